"""Every caution of the table stands at a step, with whom to ask."""

from __future__ import annotations

import pytest

from breadline.knowledge.cautions import cautions, in_the_yard
from house import tree

SHOWN = [
    path.read_text(encoding="utf-8")
    for kind in ("py", "html")
    for path in (tree.ROOT / "src" / "breadline").rglob(f"*.{kind}")
    if path.name != "fields.html"
]


@pytest.mark.parametrize("key", [one.key for one in cautions()])
def test_a_caution_is_named_where_it_is_shown(key):
    calls = (f'caution("{key}"', f'_shelved("{key}"', "c.care(say(")
    named = [text for text in SHOWN if f'"{key}"' in text and any(call in text for call in calls)]
    assert named, "nobody ever reads it"


def test_each_is_one_line_and_says_whom_to_ask():
    for one in cautions():
        assert "\n" not in one.line
        assert len(one.line) <= 130
        assert one.ask


def test_those_of_the_yard_have_a_short_form_for_paper():
    assert [one.key for one in in_the_yard()] == ["stings", "smoker", "lifting", "heat"]
    for one in in_the_yard():
        assert 8 < len(one.short) < len(one.line)
