"""The size of a check group for a yard of a book of records and the plan that was chosen for it."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import get_args

from breadline.belief.gain import Situation
from breadline.errors import RecordError
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.check_group_asked import SizeAsked, from_plan
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_file import plan_from_text


def asked_of_book(book: Path, name: str | None, today: date) -> SizeAsked:
    """What is asked for a yard: its colonies, the target, cost and belief of the plan chosen for it.

    Parameters
    ----------
    book
        The book of records.
    name
        Of the yard; may be left out where only one has a plan.
    today
        The day on which it is asked.

    Errors
    ------
    RecordError
        If there is no such book or yard, or no plan was chosen for it.
    """
    if not book.exists():
        raise RecordError(str(book), "there is no such book", "a book")
    there = RoundsBook(book, today)
    plans = {named: (key, there.plan(key)) for key, named, _ in there.yard_ids()}
    with_plan = {
        named: (key, kept) for named, (key, kept) in plans.items() if kept is not None and kept.rounds
    }
    if name is None and len(with_plan) == 1:
        name = next(iter(with_plan))
    if name is None or name not in with_plan:
        known = ", ".join(with_plan) or "a yard whose plan was chosen"
        raise RecordError("--yard", f"no plan was chosen for {name or 'any one yard'}", known,
                          "breadline rounds plan … --book keeps one; or use a size file")  # fmt: skip
    key, kept = with_plan[name]
    assert kept is not None
    plan = plan_from_text(kept.asked, kept.chosen_on, "the plan of the book")
    asked = from_plan([there.yard(key)], plan, float(kept.foretold["cost"]["total"]))
    situation = next((one for one in get_args(Situation) if one == kept.belief.get("situation")), None)
    gain = kept.belief.get("fed_over_unfed")
    own = None if not gain else (float(gain[0]), float(gain[1]), float(gain[2]))
    learnt = BeliefBook(book, today).known().beliefs.get(situation) if situation else None
    if learnt is not None:  # the plan's belief holds a season's luck, which is added here once more
        mean = learnt.after
        own = (math.exp(mean.low), math.exp(mean.middle), math.exp(mean.high))
    return replace(asked, situation=situation, gain=own)
