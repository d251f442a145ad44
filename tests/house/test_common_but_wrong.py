"""Every wrong claim says why, what the program does, and its source; those on the shelf stand on the page."""

from __future__ import annotations

import re
import tomllib

import pytest

from house import tree
from house.test_questions_page import KEY, NO_SOURCE, SOURCES

METHOD = tree.ROOT / "docs" / "method"
PAGE = (METHOD / "common-but-wrong.md").read_text("utf-8")
SHELF = tomllib.loads((tree.SOURCE / "knowledge" / "common_but_wrong.toml").read_text("utf-8"))


def claims() -> dict[str, str]:
    parts = re.split(r'^### "(.+)"\n', re.split(r"^## ", PAGE, maxsplit=1, flags=re.M)[1], flags=re.M)[1:]
    return dict(zip(parts[::2], parts[1::2], strict=True))


CLAIMS = claims()


@pytest.mark.parametrize("claim", CLAIMS)
def test_a_claim_says_why_what_is_done_and_where_from(claim):
    why, does, source = re.split(
        r"\*\*Why not\.\*\* |\n\*\*Breadline\*\* |\n\*\*Source:\*\* ", CLAIMS[claim]
    )[1:]
    assert min(len(why.split()), len(does.split())) > 5
    named = set(KEY.findall(source))
    assert named or NO_SOURCE in source or "arithmetic" in source
    assert not named - set(SOURCES)


@pytest.mark.parametrize("key", SHELF)
def test_a_claim_of_the_shelf_stands_on_the_page_with_its_source(key):
    assert f"[{SHELF[key]['source']}]" in CLAIMS[SHELF[key]["claim"]]


def test_the_arithmetic_of_the_page_is_right():
    from math import exp, sqrt

    assert round(6.25 / 5.71, 3) == 1.095
    assert round(15 / 0.75, 3) == 20
    assert round(20 / 15, 2) == 1.33  # a third more
    assert round(4 / 3 * 6.25 / 5.71, 2) == 1.46  # near half as much again
    assert round(exp(1.96 * 0.4 * sqrt(1 / 6 + 1 / 6)), 2) == 1.57
    assert 15 * 7 / 20 == 5.25
    assert (round(16 / 18, 1), round((6 + 5 / 8) / (9 + 5 / 8), 2)) == (0.9, 0.69)


def test_the_index_leads_to_every_page_of_the_method():
    index = (METHOD / "README.md").read_text("utf-8")
    linked = set(re.findall(r"\]\(([\w.-]+\.md)\)", index))
    assert {path.name for path in METHOD.glob("*.md")} - {"README.md"} == linked
