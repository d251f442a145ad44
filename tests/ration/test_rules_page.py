"""The page of rules says what the rule table says."""

from __future__ import annotations

from scripts.ration_rules import PAGE, page

from breadline.knowledge.data import sources
from breadline.knowledge.feed_rules import feed_rules


def test_the_page_is_the_one_that_the_table_writes():
    assert PAGE.read_text(encoding="utf-8") == page(), "run python -m scripts.ration_rules"


def test_every_rule_stands_on_it_with_its_source():
    text = PAGE.read_text(encoding="utf-8")
    for rule in feed_rules():
        section = text.split(f"### `{rule.key}`")[1].split("### ")[0]
        assert sources()[rule.source] in section
        assert rule.why in section
