"""Every column and every status of a comparison's spreadsheet has its word in docs/guide/verdict-file.md."""

from __future__ import annotations

import re

from breadline.jobs.verdict_columns import NAMES, STATUS
from house import tree

PAGE = (tree.ROOT / "docs" / "guide" / "verdict-file.md").read_text(encoding="utf-8")


def first_cells() -> list[str]:
    """The first cell of every row of a table."""
    return [line.split("|")[1].strip() for line in PAGE.splitlines() if line.startswith("| ")]


def test_the_page_names_every_column():
    named = {word for cell in first_cells() for word in re.split(r", ", cell)}
    assert not set(NAMES) - named


def test_the_page_names_every_end():
    said = " ".join(first_cells())
    ends = set(STATUS.values())
    words = {became: [word for word, one in STATUS.items() if one is became and word] for became in ends}
    assert not [became for became, known in words.items() if not any(word in said for word in known)]
