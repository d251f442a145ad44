"""The size of a check group for yards of a book of records and the plans that were chosen for them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import get_args

from breadline.belief.gain import Situation
from breadline.errors import BreadlineError, RecordError
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.check_group_asked import SizeAsked, from_plan
from breadline.jobs.rounds_book import PlanKept, RoundsBook
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.trial_book import TrialsBook
from breadline.plan.targets import Frames
from breadline.records.address import BookAt
from breadline.records.engine import is_there
from breadline.trial.design import CheckArm, Outcome


def asked_of_book(book: BookAt, names: Sequence[str], today: date) -> SizeAsked:
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

    Errors
    ------
    RecordError
        If there is no such book or yard, no plan was chosen for it, or two plans are paid for otherwise.
    """
    if not is_there(book):
        raise RecordError(str(book), "there is no such book", "a book")
    there = RoundsBook(book, today)
    plans = {named: (key, there.plan(key)) for key, named, _ in there.yard_ids()}
    with_plan = {
        named: (key, kept) for named, (key, kept) in plans.items() if kept is not None and kept.rounds
    }
    strange = [name for name in names if name not in with_plan]
    if strange or not with_plan:
        known = ", ".join(with_plan) or "a yard whose plan was chosen"
        raise RecordError("--yard", f"no plan was chosen for {strange[0] if strange else 'any yard'}", known,
                          "breadline rounds plan … --book keeps one; or use a size file")  # fmt: skip
    chosen = {name: with_plan[name] for name in dict.fromkeys(names) or with_plan}
    kept = [one for _, one in chosen.values()]
    _paid_alike(chosen)
    yards = [there.yard(key) for key, _ in chosen.values()]
    weights = [yard.colonies for yard in yards]
    cost = sum(n * float(one.foretold["cost"]["total"]) for n, one in zip(weights, kept, strict=True))
    plan = plan_from_text(kept[0].asked, kept[0].chosen_on, "the plan of the book")
    asked = _believing(from_plan(yards, plan, cost / sum(weights)), kept[0], BeliefBook(book, today))
    counts = TrialsBook(book, today).counts(tuple(chosen))
    return replace(asked, counts=counts) if counts.of_all else asked


def planned_prices(
    book: BookAt, yards: Sequence[str], outcome: Outcome, today: date, arm: CheckArm = CheckArm.SAME_CARE
) -> dict[str, str]:
    """Cost, price and money of the plans of a trial's yards, as they are typed; {} where there are none.

    The cost is that of what fed colonies get more than the check group: half of it where that gets half;
    where it gets sugar or usual practice the plans do not say.
    """
    asked = _planned(book, yards, today)
    if asked is None:
        return {}
    found = {"money": asked.money}
    if arm in (CheckArm.SAME_CARE, CheckArm.HALF):
        found["cost"] = f"{asked.cost / (2.0 if arm is CheckArm.HALF else 1.0):.2f}"
    target, paid = asked.target, asked.price
    if target is not None:
        paid = target.fee if isinstance(target, Frames) else target.value
    if paid is not None and asked.outcome is outcome:
        found["price"] = f"{paid.amount:g}"
    return found


def planned_situation(book: BookAt, yards: Sequence[str], today: date) -> Situation | None:
    """What the place gives, as the plans chosen for these yards have it; None where there are none."""
    asked = _planned(book, yards, today)
    return None if asked is None else asked.situation


def _planned(book: BookAt, yards: Sequence[str], today: date) -> SizeAsked | None:
    """By the plans of all these yards, else of the first that has one; None: the user knows what was paid."""
    for names in (yards, *((one,) for one in yards)):
        try:
            return asked_of_book(book, names, today)
        except BreadlineError:  # no plan, or plans for different targets
            continue
    return None


def _paid_alike(chosen: dict[str, tuple[str, PlanKept]]) -> None:
    """Refuse yards whose plans are paid for otherwise: one trial has one outcome."""
    (first, (_, plan)), *others = chosen.items()
    target = plan_from_text(plan.asked, plan.chosen_on, "the plan of the book").target
    for name, (_, other) in others:
        if plan_from_text(other.asked, other.chosen_on, "the plan of the book").target != target:
            raise RecordError("--yard", f"{first} and {name} are planned for different targets",
                              "yards of one target", "Name those that are paid for alike")  # fmt: skip


def _believing(asked: SizeAsked, kept: PlanKept, beliefs: BeliefBook) -> SizeAsked:
    """The same with the belief under which the plan was chosen, or what was learnt of it since."""
    situation = next((one for one in get_args(Situation) if one == kept.belief.get("situation")), None)
    gain = kept.belief.get("fed_over_unfed")
    own = None if not gain else (float(gain[0]), float(gain[1]), float(gain[2]))
    learnt = beliefs.known().beliefs.get(situation) if situation else None
    if learnt is not None:  # the plan's belief holds a season's luck, which is added here once more
        mean = learnt.after
        own = (math.exp(mean.low), math.exp(mean.middle), math.exp(mean.high))
    return replace(asked, situation=situation, gain=own)
