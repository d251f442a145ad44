"""Plans that are shown struck out, with the reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from breadline.errors import PlanError
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.words import day_and_year, in_hundred, warmth
from breadline.need.yard import Yard
from breadline.plan.breeding import breeding
from breadline.plan.clears import Clears
from breadline.plan.ensemble import WEEK, Ensemble
from breadline.plan.plans import Plan
from breadline.plan.starving import bare_before_sugar
from breadline.plan.targets import Target, has_a_date
from breadline.plan.tried import Tried

STORES = noted("run out of stores")
UNFED_TOO = noted("so do unfed ones")
TROPIC = 25.0  # degrees; nearer the equator there is no winter to be early for [°]
BEFORE_SHORTEST_DAY = timedelta(days=60)
AFTER_SHORTEST_DAY = timedelta(days=150)


@dataclass(frozen=True)
class Bars:
    """Days that are ruled out before any plan is tried, each with its reason."""

    starts: dict[int, str]  # for a first round
    rounds: dict[int, str] = field(default_factory=dict)  # for any round
    clears: Clears | None = None  # what of a piece is cleared while it lies, where that is known

    def why(self, plan: Plan) -> str:
        """The reason against a plan; empty where there is none."""
        if plan.start is None:
            return ""
        days = [piece.day for piece in plan.pieces]
        later = (
            say("round {n}: {rounds}", n=n, rounds=self.rounds[day])
            for n, day in enumerate(days, 1)
            if day in self.rounds
        )
        return self.starts.get(plan.start, "") or next(later, "") or self._too_large(plan)

    def _too_large(self, plan: Plan) -> str:
        days = None if self.clears is None else self.clears.too_large(plan)
        if days is None:
            return ""
        return say("a piece so large is not cleared in {interval} days", interval=days)


def bars(yard: Yard, target: Target, ensemble: Ensemble, starts: Sequence[int], reader: Reader) -> Bars:
    """Reasons against first rounds, and against any, on these days of the ensemble.

    Sources: [patty_label] for the weeks before pollen; ``ladder.open_c``, ``ladder.cluster_frames`` and
    ``ladder.weeks_adults``.
    """
    first, country = first_pollen(yard, ensemble, reader), yard.place.country
    bred = breeding(yard.today, target, reader)
    found, cold = {}, {day: why for day in starts if (why := _cold(ensemble, day, reader, country))}
    for day in starts:
        why = bred.late_words(ensemble.on(day)) or _early(yard, target, ensemble.on(day), first, reader)
        why = why or cold.get(day, "") or _few_bees(yard, ensemble.on(day), first, reader)
        if why:
            found[day] = why
    return Bars(found, cold)


def start_possible(ensemble: Ensemble, day: int, reader: Reader, country: str | None = None) -> None:
    """Nothing, where hives can be opened in the week that begins on ``day``.

    Errors: PlanError where they cannot, for a keeper's own start.
    """
    why = _cold(ensemble, day, reader, country)
    if why:
        raise PlanError("start", f"{day_and_year(ensemble.on(day))}: {why}", say("a week for opening hives"),
                        say("Begin later, or slip a piece under the lid on a mild still day"))  # fmt: skip


def first_pollen(yard: Yard, ensemble: Ensemble, reader: Reader) -> date | None:
    """First reliable pollen: today where the keeper sees plenty, the keeper's own date, or that of half
    the seasons."""
    if yard.forage.coming_in == "plenty":
        return yard.today
    own = yard.forage.first_reliable_pollen
    if own is not None and own >= yard.today:
        return own
    share = np.mean(ensemble.pollen_in >= reader.typical("plan.pollen_in"), axis=1)
    days = np.nonzero(share[ensemble.today :] >= 0.5)[0]
    return ensemble.on(ensemble.today + int(days[0])) if days.size else None


def out_of_stores(
    tried: Tried, ensemble: Ensemble, reader: Reader, sugar_beside: bool = False
) -> tuple[str, ...]:
    """The reason against each plan that runs a colony out of stores; empty where it does not.

    Where sugar is given beside the rounds, only stores that are spent before the first of them count.
    """
    limit = reader.typical("plan.out_of_stores")
    bare = tried.bare_on < ensemble.days
    if sugar_beside:
        bare = bare_before_sugar(tried.plans, tried.bare_on, ensemble.days - 1)
    chance = bare.mean(axis=1)
    why = []
    for k, plan in enumerate(tried.plans):
        if not plan.pieces or chance[k] < limit:
            why.append("")
            continue
        day = ensemble.on(int(np.median(tried.bare_on[k][bare[k]])))
        told = {
            "chance": in_hundred(float(chance[k])), "stores": say(STORES), "day": day_and_year(day),
            "also": f"; {say(UNFED_TOO)}" if chance[0] >= limit else "",
        }  # fmt: skip
        why.append(
            say("{chance} seasons {stores}, about {day}{also}: sugar or syrup before the first round", **told)
            if sugar_beside
            else say("{chance} seasons {stores}, about {day}{also}: sugar or syrup first", **told)
        )
    return tuple(why)


def _early(yard: Yard, target: Target, start: date, first: date | None, reader: Reader) -> str:
    if first is None or has_a_date(target) or not _winter_side(yard.place.latitude, start, first):
        return ""
    weeks = reader.typical("ladder.weeks_before_pollen")
    if start >= first - timedelta(weeks=weeks):
        return ""
    return say(
        "more than {weeks:g} weeks before reliable pollen, about {day}, and no contract asks for it",
        weeks=weeks,
        day=day_and_year(first),
    )


def _cold(ensemble: Ensemble, day: int, reader: Reader, country: str | None) -> str:
    week = ensemble.tmax_c[:, day : day + WEEK]
    if not week.size:
        return ""
    open_c = reader.typical("ladder.open_c")
    share = float(np.mean(week.max(axis=1) >= open_c))
    if share >= reader.typical("plan.opening_paths"):
        return ""
    return say(
        "hives cannot be opened: a day of {warmth} or more that week in {chance} seasons only",
        warmth=warmth(open_c, country),
        chance=in_hundred(share),
    )


def _few_bees(yard: Yard, start: date, first: date | None, reader: Reader) -> str:
    bees, least = yard.count.frames_of_bees, reader.typical("ladder.cluster_frames")
    if bees is None or bees >= least or yard.count.start != "colony":
        return ""
    if first is None or not _winter_side(yard.place.latitude, start, first) or start >= first:
        return ""
    return say(
        "under {least:g} frames of bees, too few to warm more brood before there is pollen", least=least
    )


def _winter_side(latitude: float, start: date, first: date) -> bool:
    """From two months before the shortest day to the first pollen after it."""
    if abs(latitude) < TROPIC:
        return False
    month = 12 if latitude > 0 else 6
    days = (date(year, month, 21) for year in (start.year - 1, start.year))
    return any(day - BEFORE_SHORTEST_DAY <= start < first <= day + AFTER_SHORTEST_DAY for day in days)
