"""What has to be said beside a plan: supers, crowding, a yard that was fed without record."""

from __future__ import annotations

import numpy as np

from breadline.language import say
from breadline.need.words import day_and_year, in_hundred
from breadline.need.yard import Yard
from breadline.plan.ensemble import WEEK, Ensemble
from breadline.plan.plans import Plan, break_after
from breadline.plan.search import Found
from breadline.plan.targets import HoneyFlow, Target

EARLIER = 3  # days; crowding by less is not told [d]
HALF = 0.5  # of the seasons [share]


def warnings(yard: Yard, target: Target, found: Found, ensemble: Ensemble) -> tuple[str, ...]:
    """Said beside the best plan; nothing where it is to do nothing."""
    plan = found.best.plan
    if not plan.pieces:
        return ()
    each = (over_supers(yard, target, plan, ensemble), _crowded(found, ensemble), _sorting(found, ensemble))
    said = [text for text in each if text]
    if yard.fed_without_record:
        said.append(say("Feed went on since the count that nobody wrote down; it is not in the sum."))
    return tuple(said)


def over_supers(yard: Yard, target: Target, plan: Plan, ensemble: Ensemble) -> str:
    """That a plan feeds while supers for harvest are on; empty where it does not."""
    flow = target.on if isinstance(target, HoneyFlow) else None
    supers = yard.forage.supers_from or flow
    over = [p for p in plan.pieces if supers is not None and ensemble.on(p.day) >= supers]
    if supers is None or not over:
        return ""
    first = day_and_year(ensemble.on(over[0].day))
    return say(
        "Supers for harvest are on from {day}, and a round falls on {first}: feed can "
        "end up in honey that is sold. Leave those rounds out, or keep the supers off.",
        day=day_and_year(supers),
        first=first,
    )


def _sorting(found: Found, ensemble: Ensemble) -> str:
    """Before the break of a plan of two series, colonies are sorted: common practice, no source."""
    plan = found.best.plan
    at = break_after(plan)
    if at is None:
        return ""
    when = day_and_year(ensemble.on(plan.pieces[at - 1].day + WEEK))
    return say(
        "Before the break, about {when}, grade every colony and combine the small ones; "
        "the second series goes by what is left.",
        when=when,
    )


def _crowded(found: Found, ensemble: Ensemble) -> str:
    """Earlier crowding than unfed, with a date."""
    last = found.last
    at = last.plans.index(found.best.plan)
    fed, unfed = last.crowded_on[at], last.crowded_on[0]
    share = float((fed < ensemble.days).mean())
    if share < HALF:
        return ""
    when = float(np.median(fed))
    sooner = float(np.median(np.minimum(unfed, ensemble.days))) - when
    if sooner < EARLIER:
        return ""
    day = day_and_year(ensemble.on(int(when)))
    return say(
        "Crowded from about {day} in {chance} seasons, {sooner} days or more earlier "
        "than unfed: give room or split.",
        day=day,
        chance=in_hundred(share),
        sooner=round(sooner),
    )
