"""What the server's own description allows, 300 times to each path: it may refuse, never break.

Half of it is a form of the pages as it stands with one field amiss; a path that takes nothing is asked
twice. The short form is in
tests/web/test_two_steps.py.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tests"))

from web.anything_sent import How, broken_by
from web.crawl import crawled, small_book

EXAMPLES = 300


def going(n: int, many: int, path: str, faults: int) -> None:
    """How far it is: shown, not kept."""
    print(f"… {n} of {many} {path}{f': {faults} faults' if faults else ''}", flush=True)


def main() -> int:
    """Send it; 1 where the server broke or refused without a word."""
    how = How(EXAMPLES, int(os.environ.get("BREADLINE_SEED", "1")), going)
    with tempfile.TemporaryDirectory() as folder, small_book(Path(folder) / "book.sqlite") as (app, client):
        found = list(broken_by(app, client, crawled(client).asked, how))
    print(f"{EXAMPLES} times each path of the description that takes anything, seed {how.seed}.")
    print("\n".join(found) or "Nothing broke, and every refusal had words.")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
