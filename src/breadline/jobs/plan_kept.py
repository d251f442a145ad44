"""The plan that holds for a yard, as it was chosen, beside what was given since."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property, lru_cache
from typing import Any

from sqlalchemy.orm import Session

from breadline.jobs.book import Book
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.check_hives import kept_back_in, left_out, running_trials
from breadline.jobs.rounds_done import RoundKept, held_against, open_words
from breadline.jobs.rounds_file import PlanFile
from breadline.jobs.rounds_named import kept_name, kept_said
from breadline.jobs.rounds_paper_kept import paper_from
from breadline.jobs.rounds_yard_paper import YardPaper
from breadline.language import say
from breadline.need.words import counted, day_and_year
from breadline.need.yard import Given
from breadline.plan.money import Amount
from breadline.records import yard_readings, yard_rows
from breadline.records.tables import PlanRow

Pieces = tuple[tuple[date, float], ...]  # day and grams a colony of each round [g]
Against = tuple[tuple[RoundKept, ...], tuple[Given, ...]]  # its rounds, and what was given beside them


@dataclass(frozen=True)
class PlanKept:
    """The plan that holds for a yard, as it was chosen."""

    id: str
    chosen_on: date
    asked: str
    sentence: str
    break_even: str
    feed: str
    colonies: int
    belief: dict[str, Any]
    prices: dict[str, Any]
    foretold: dict[str, Any]
    rounds: tuple[RoundKept, ...]
    beside: tuple[tuple[date, float], ...]  # given and in no round: day, grams a colony [g]
    changes: int  # plans of this yard before it
    paper: dict[str, Any] | None = None  # what its sheets are printed from; older books have none
    threshold: float | None = None  # bees with pollen from which it is stopped; older books have none [share]
    program: str = ""  # version of Breadline it was chosen with

    @property
    def meant_for(self) -> date | None:
        """The day of what was wanted; None where the plan file that is kept cannot be read."""
        return _asked(self.asked)[0]

    def past(self, today: date) -> bool:
        """Whether its last round and the day it was meant for are over."""
        on = self.meant_for
        return on is not None and on < today and all(one.on < today for one in self.rounds)

    def done(self, today: date) -> str:
        """What was done of it up to a day, in words."""
        if self.past(today) and self.meant_for is not None:
            return self._over(self.meant_for, today)
        due = [one for one in self.rounds if one.on < today or one.given is not None]
        if self.foretold.get("kind") == "move":
            said = say("The plan is to move; nothing is fed here.")
        elif not self.rounds:
            said = say("The plan is to do nothing.")
        elif not due:
            ahead = next((one.on for one in self.rounds if one.on >= today), self.rounds[-1].on)
            said = say("Its first round is on {day}.", day=day_and_year(ahead))
        else:
            given, many = sum(one.in_full for one in due), counted(len(due), "round")
            said = say("{given} of {many} due by now written down as given.", given=given, many=many)
        told = said, self._beside(), open_words(self.rounds, today)
        return " ".join(filter(None, told))

    def _over(self, meant_for: date, today: date) -> str:
        said = say("A plan for {day}, which is over.", day=day_and_year(meant_for))
        if not self.rounds:
            return said
        given, many = sum(one.in_full for one in self.rounds), counted(len(self.rounds), "round")
        told = say("{given} of {many} written down as given.", given=given, many=many)
        part = open_words([replace(one, until=None) for one in self.rounds if one.missing], today)
        return f"{said} {told} {part}".strip()

    @property
    def which_feed(self) -> str:
        """The feed that was chosen, where several were asked about; empty where there was no choice."""
        return self.feed if self.rounds and _asked(self.asked)[1] > 1 else ""

    @cached_property
    def sheets(self) -> YardPaper | None:
        """What its sheets are printed from, as it was chosen; None in older books."""
        return paper_from(self.paper)

    def as_chosen(self, plan: PlanFile) -> PlanFile:
        """A plan file with the feed that was chosen alone, at the price it was chosen under."""
        feed = next((one for one in plan.feeds if one.name == self.feed), plan.feeds[0])
        a_kg, money, year = (self.prices[key] for key in ("feed_kg", "money", "feed_year"))
        return replace(plan, feeds=(replace(feed, price=Amount(a_kg, money, year)),))

    def _beside(self) -> str:
        if not self.beside:
            return ""
        return say(
            "{many} written down that the plan does not have.",
            many=counted(len(self.beside), "other feeding"),
        )


@lru_cache(maxsize=256)  # a list of yards asks it of each plan some times
def _asked(asked: str) -> tuple[date | None, int]:
    """The day of what was wanted in a plan file, and how many feeds; neither where it is no file."""
    try:
        told = tomllib.loads(asked)
    except tomllib.TOMLDecodeError:
        return None, 0
    target = told.get("target", {})
    days = [day for day in (target.get("on"), target.get("until")) if isinstance(day, date)]
    return max(days, default=None), len(told.get("feed", []))


def kept_from(row: PlanRow, against: Against, before: int) -> PlanKept:
    """A plan as its row has it; ``before`` are the plans of its yard before it."""
    rounds, beside = against
    name = kept_name(row)
    return PlanKept(str(row.id), row.chosen_on, row.asked, name, kept_said(row)["break_even"], row.feed,
                    row.colonies, row.belief, row.prices, row.foretold, rounds,
                    tuple((one.on, one.grams) for one in beside), before, row.paper, row.threshold,
                    row.program)  # fmt: skip


def against_given(session: Session, row: PlanRow, pieces: Pieces, today: date) -> Against:
    """The rounds of a plan against what was given from its day on."""
    fed, hives = yard_readings.fed_and_hives(session, row.yard_id)
    since = [one for one in yard_rows.given_from(fed) if row.chosen_on <= one.on <= today]
    return held_against(pieces, since, hives)


def with_hives(
    of: Book, held: Mapping[str, PlanKept], stand: Callable[[], Mapping[str, int]]
) -> dict[str, PlanKept]:
    """Plans with how many hives each round feeds that was told hive by hive: of the colonies of now.

    ``stand`` tells how many stand in each yard; it is asked only where it matters.
    """
    told = {key for key, kept in held.items() if any(one.hives is not None for one in kept.rounds)}
    if not told:
        return dict(held)
    running, there = running_trials(of), stand()
    told &= there.keys()
    return {**held, **{key: _with_hives(of, key, held[key], there[key], running) for key in told}}


def _with_hives(of: Book, yard_id: str, kept: PlanKept, stand: int, running: Sequence[Trial]) -> PlanKept:
    paper = kept.sheets
    by_day = {}
    if paper:
        by_day = {one.on: one.fed for one in left_out(paper, kept_back_in(of, yard_id, running)).visits}
    share = min(1.0, stand / max(1, kept.colonies))
    rounds = (
        replace(one, fed=round(share * by_day.get(one.on, kept.colonies))) for one in kept.rounds
    )  # fmt: skip
    return replace(kept, rounds=tuple(rounds))
