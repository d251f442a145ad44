"""Every key of the plan file has its word in docs/guide/rounds-file.md."""

from __future__ import annotations

import re

from breadline.jobs import rounds_file
from house import tree

LISTS = ("TOP", "FEED", "WORK", "SYRUP", "ROUNDS", "LAST_YEAR", "DRIVE", "HIVE", "MOVE")


def keys() -> set[str]:
    own = {key for name in LISTS for key in getattr(rounds_file, name)}
    return own | set(rounds_file.KINDS) | {key for _, known in rounds_file.KINDS.values() for key in known}


def test_the_page_names_every_key_and_no_other():
    page = (tree.ROOT / "docs" / "guide" / "rounds-file.md").read_text(encoding="utf-8")
    said = set(re.findall(r"[`\[\"]([a-z_]+)[`\]\" ]", page))
    assert not sorted(keys() - said)
