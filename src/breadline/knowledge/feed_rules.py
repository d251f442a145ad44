"""The rules about what goes into a feed, and what its mixer should know."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, cast

from breadline.knowledge.data import shipped
from breadline.knowledge.figure import READ_WORDS, Read
from breadline.language import say

Level = Literal["refuse", "caution", "note"]
LEVELS: tuple[Level, ...] = ("refuse", "caution", "note")
# Which end of its figure an amount has to reach: "low", "high", or to pass: "above" (low), "above_high".
End = Literal["low", "high", "above", "above_high"]


@dataclass(frozen=True)
class FeedRule:
    """One rule. It speaks when all that it names holds; with ``by`` a gate decides instead.

    Parameters
    ----------
    key, level, line, why, ask
        What it says, how hard, why, and who knows more.
    traits, words, but_not, without
        An ingredient has one of the traits, or its name carries one of the words, and it has none of
        ``but_not``; no ingredient at all has ``without``.
    over, figure, end
        An amount that reaches an end of a figure on the shelf, in that figure's unit.
    when
        Something that the user said of the feed.
    by
        The gate that decides, where not the rule itself.
    unless
        Keys of stronger rules that silence this one.
    law
        What of the country's law is said with it.
    source, read
        Where it comes from, and how that was read.
    """

    key: str
    level: Level
    line: str
    why: str
    ask: str
    source: str
    read: Read
    traits: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    over: str = ""
    figure: str = ""
    end: End = "low"
    when: str = ""
    by: str = ""
    unless: tuple[str, ...] = ()
    law: Literal["", "borders", "selling"] = ""
    but_not: tuple[str, ...] = ()

    @property
    def grounds(self) -> str:
        """How well it is founded, in words."""
        return grounds(self.source, self.read)


def feed_rules() -> tuple[FeedRule, ...]:
    """All rules, in the order of the file."""
    return tuple(_rule(key, table) for key, table in shipped("feed_rules.toml").items())


def feed_rule(key: str) -> FeedRule:
    """One rule; a missing key is our own mistake and ends in a KeyError in the tests."""
    return _rule(key, shipped("feed_rules.toml")[key])


def grounds(source: str, read: Read) -> str:
    """How well a rule is founded, in words; "common practice, no source" where nothing was read."""
    if source in ("field_rule", "judged"):
        return say("common practice, no source")
    return say(READ_WORDS[read])


def _rule(key: str, table: Mapping[str, Any]) -> FeedRule:
    return FeedRule(
        key, cast(Level, table["level"]), str(table["line"]), str(table["why"]), str(table["ask"]),
        str(table["source"]), cast(Read, table["read"]), tuple(table.get("traits", ())),
        tuple(table.get("words", ())), tuple(table.get("without", ())), str(table.get("over", "")),
        str(table.get("figure", "")), cast(End, table.get("end", "low")), str(table.get("when", "")),
        str(table.get("by", "")), tuple(table.get("unless", ())),
        cast(Literal["", "borders", "selling"], table.get("law", "")),
        tuple(table.get("but_not", ())),
    )  # fmt: skip
