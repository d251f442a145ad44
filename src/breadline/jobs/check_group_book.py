"""The size of a check group for yards of a book of records and the plans that were chosen for them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import get_args

from breadline.belief.gain import Situation
from breadline.errors import BreadlineError, RecordError
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.check_group_asked import SizeAsked, from_plan
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yards_named import key_named
from breadline.language import say
from breadline.measures import Units
from breadline.need.words import day_and_year
from breadline.plan.targets import Frames
from breadline.records.address import BookAt
from breadline.records.engine import is_there
from breadline.trial.design import CheckArm, Design, Outcome
from breadline.trial.honey import POUND


@dataclass(frozen=True)
class Planned:
    """What a verdict's fields are filled in with from a book, by the field, and what is said of it."""

    typed: dict[str, str]
    said: str = ""


def asked_of_book(
    book: BookAt, names: Sequence[str], today: date, fed: tuple[date, date] | None = None
) -> SizeAsked:
    """What is asked for yards: their colonies, the target, cost and belief of the plans chosen for them.

    Target and belief are those of the first yard's plan; the cost is that of a colony on average.

    Parameters
    ----------
    book
        The book of records.
    names
        Of the yards; empty takes all that have a plan with a round in it.
    today
        The day on which it is asked.
    fed
        Only plans that fed between these days; None takes those that hold now.

    Errors
    ------
    RecordError
        If there is no such book or yard, no plan was chosen for it, or two plans are paid for otherwise.
    """
    if not is_there(book):
        raise RecordError(str(book), say("there is no such book"), say("a book"))
    there = RoundsBook(book, today)
    for name in names:
        key_named([(key, named) for key, named, _ in there.yard_ids()], name)  # refuses two of one name
    plans = {named: (key, there.plan(key, fed)) for key, named, _ in there.yard_ids()}
    with_plan = {
        named: (key, kept) for named, (key, kept) in plans.items() if kept is not None and kept.rounds
    }
    strange = [name for name in names if name not in with_plan]
    if strange or not with_plan:
        idle = any(kept is not None for _, kept in plans.values()) and not strange
        if idle:
            raise RecordError(
                "plan", say("what was chosen is to do nothing"), say("a plan with rounds"),
                say("Choose one under Rounds, or ask without a plan"),
            )  # fmt: skip
        known = ", ".join(with_plan) or say("a yard whose plan was chosen")
        raise RecordError(
            "plan",
            say("none was chosen for {yard}", yard=strange[0]) if strange else say("none was chosen for "
                                                                                   "any yard"),
            known,
            say("Choose one under Rounds (breadline rounds plan … --book); or ask without a plan, by a "
                "size file"),
        )  # fmt: skip
    chosen = {name: with_plan[name] for name in dict.fromkeys(names) or with_plan}
    kept = [one for _, one in chosen.values()]
    _paid_alike(there, chosen)
    yards = [there.yard(key) for key, _ in chosen.values()]
    weights = [yard.colonies for yard in yards]
    cost = sum(n * float(one.foretold["cost"]["total"]) for n, one in zip(weights, kept, strict=True))
    plan = there.read_back(kept[0])
    asked = _believing(from_plan(yards, plan, cost / sum(weights)), kept[0], BeliefBook(book, today))
    asked = replace(asked, planned_on=kept[0].chosen_on)
    counts = TrialsBook(book, today).counts(tuple(chosen))
    return replace(asked, counts=counts) if counts.of_all else asked


def planned_prices(book: BookAt, design: Design, drawn_on: date, today: date, units: Units = "g") -> Planned:
    """Cost, price, money and their year as the plans of a trial's own season have them, as they are typed.

    The cost is that of what fed colonies get more than the check group: half of it where that gets half;
    where it gets sugar or usual practice the plans do not say.
    """
    yards = yards_of(design)
    asked = _planned(book, yards, today, (drawn_on, design.grading))
    if asked is None:
        year = {"year": f"{design.grading.year}"}
        if _planned(book, yards, today) is None:
            return Planned(year)
        return Planned(
            year,
            say(
                "The plans in the book feed in another season than this trial, so cost and worth are not "
                "filled in from them."
            ),
        )
    found = {"money": asked.money, "year": f"{asked.year or design.grading.year}"}
    if design.check_arm in (CheckArm.SAME_CARE, CheckArm.HALF):
        found["cost"] = f"{asked.cost / (2.0 if design.check_arm is CheckArm.HALF else 1.0):.2f}"
    target, paid = asked.target, asked.price
    if target is not None:
        paid = target.fee if isinstance(target, Frames) else target.value
    if paid is not None and asked.outcome is design.outcome:
        pound = design.outcome is Outcome.HONEY and units == "lb"
        found["price"] = f"{paid.amount * (POUND if pound else 1.0):.4g}"
    if asked.planned_on is None:
        return Planned(
            found,
            say(
                "Filled in from the plans of the trial’s season, at prices of {year}: change what came out "
                "otherwise.",
                year=found["year"],
            ),
        )
    return Planned(
        found,
        say(
            "Filled in from the plans of the trial’s season, chosen on {day}, at prices of {year}: change "
            "what came out otherwise.",
            day=day_and_year(asked.planned_on), year=found["year"],
        ),
    )  # fmt: skip


def planned_situation(book: BookAt, design: Design, drawn_on: date, today: date) -> Situation | None:
    """What the place gave, as the plans of a trial's own season have it; None where there are none."""
    asked = _planned(book, yards_of(design), today, (drawn_on, design.grading))
    return None if asked is None else asked.situation


def yards_of(design: Design) -> tuple[str, ...]:
    """Names of the yards of a trial, in the order of its colonies."""
    return tuple(dict.fromkeys(one.yard for one in design.started))


def _planned(
    book: BookAt, yards: Sequence[str], today: date, fed: tuple[date, date] | None = None
) -> SizeAsked | None:
    """By the plans of all these yards, else of the first that has one; None: the user knows what was paid."""
    for names in (yards, *((one,) for one in yards)):
        try:
            return asked_of_book(book, names, today, fed)
        except BreadlineError:  # no plan, or plans for different targets
            continue
    return None


def _paid_alike(there: RoundsBook, chosen: dict[str, tuple[str, PlanKept]]) -> None:
    """Refuse yards whose plans are paid for otherwise: one trial has one outcome."""
    (first, (_, plan)), *others = chosen.items()
    target = there.read_back(plan).target
    for name, (_, other) in others:
        if there.read_back(other).target != target:
            raise RecordError(
                "--yard", say("{one} and {other} are planned for different targets", one=first, other=name),
                say("yards of one target"), say("Name those that are paid for alike"),
            )  # fmt: skip


def _believing(asked: SizeAsked, kept: PlanKept, beliefs: BeliefBook) -> SizeAsked:
    """The same with the belief under which the plan was chosen, or what was learnt of it since."""
    situation = next((one for one in get_args(Situation) if one == kept.belief.get("situation")), None)
    gain = kept.belief.get("fed_over_unfed")
    own, survival = None if not gain else (float(gain[0]), float(gain[1]), float(gain[2])), None
    learnt = beliefs.known().beliefs.get(situation) if situation else None
    if learnt is not None:  # the plan's belief holds a season's luck, which is added here once more
        mean = learnt.after
        own = (math.exp(mean.low), math.exp(mean.middle), math.exp(mean.high))
        survival = learnt.survival
    # of bees, as in a plan: what deaths taught is laid on it
    return replace(asked, situation=situation, gain=own, with_losses=False, survival=survival)
