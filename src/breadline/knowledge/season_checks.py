"""Whether the season model met published counts in a situation, and so may draw frames across it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import Any, Literal, get_args

from breadline.errors import OurFault
from breadline.knowledge.data import shipped

Situation = Literal["winter", "dearth"]
NAME = "season_checks.toml"


@dataclass(frozen=True)
class Checked:
    """One published fact beside what the shipped sets of parameters make of it.

    Every number is in the fact's own unit [bees, share].
    """

    key: str
    meaning: str  # in the words of the method page
    published: float
    low: float  # of the range the fact is known in
    high: float
    model_low: float  # 8 sets and years in 10 lie between this
    model: float  # the middle of all of them
    model_high: float  # and this
    inside: bool  # whether the range it is known in meets that band


@dataclass(frozen=True)
class SeasonChecks:
    """The facts of each situation that the model was asked, and with what it was asked."""

    on: date
    commit: str
    draws: str  # digest of the shipped sets, as in ``draws_digest``
    facts: Mapping[Situation, tuple[Checked, ...]]

    def trusts(self, situation: Situation) -> bool:
        """Whether every fact of it was met; one that nobody asked about is not trusted."""
        asked = self.facts.get(situation, ())
        return bool(asked) and all(one.inside for one in asked)

    def missed(self, situation: Situation) -> tuple[Checked, ...]:
        """The facts of it that were not met."""
        return tuple(one for one in self.facts.get(situation, ()) if not one.inside)


@cache
def season_checks() -> SeasonChecks:
    """The result that came with the program.

    Written by ``scripts/season_search``; the whole table is on the method page.

    Errors
    ------
    OurFault
        If the file that came with the program is damaged.
    """
    try:
        return checks_from_tables(shipped(NAME))
    except (KeyError, TypeError, ValueError) as damaged:
        raise OurFault(NAME, f"is damaged: {damaged!r}") from damaged


def checks_from_tables(tables: Mapping[str, Any]) -> SeasonChecks:
    """The result from the tables of its file.

    Errors
    ------
    OurFault
        If a fact is said to lie inside a band that it does not meet, or outside one that it does.
    """
    made = tables["made"]
    facts: dict[Situation, tuple[Checked, ...]] = {
        situation: tuple(Checked(**one) for one in tables[situation]) for situation in get_args(Situation)
    }
    for one in (one for asked in facts.values() for one in asked):
        if one.inside != (one.low <= one.model_high and one.model_low <= one.high):
            said = "inside" if one.inside else "outside"
            raise OurFault(NAME, f"says that {one.key} lies {said} its band", "what its own numbers say")
    return SeasonChecks(made["on"], str(made["commit"]), str(made["draws"]), facts)


def draws_digest() -> str:
    """Digest of the shipped sets of parameters, which changes with any of them."""
    text = (files("breadline.knowledge") / "season_draws.csv").read_text("utf-8")
    return sha256(text.encode()).hexdigest()[:16]
