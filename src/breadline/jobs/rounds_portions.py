"""Which pieces a yard's colonies may get: by appetite, by beetles and warmth, by days between visits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from breadline.errors import PlanError
from breadline.jobs.rounds_file import PlanFile, RoundsAsked
from breadline.knowledge.shelf import Reader
from breadline.need.place_drivers import WeatherAhead
from breadline.need.words import counted, frames_of
from breadline.need.yard import Yard
from breadline.pictures.wording import units_of
from breadline.plan.appetite import Appetite, own_appetite, shipped_appetite
from breadline.plan.beetles import Beetles, Limit, Lying, beetles_known, limit
from breadline.plan.cuts import Patty, Rim, cut_words, rim, smaller, usual_patty
from breadline.plan.portions import Portion, Round, portion

WEEKS_AHEAD = 8  # in which pieces lie, for the warmth they lie in [weeks]
FORTNIGHT = 14  # days; the warmest one is planned for [d]
MOST_PIECES = 4  # kinds of piece that are tried


@dataclass(frozen=True)
class Allowed:
    """The pieces that are tried, and what holds them down."""

    pieces: tuple[float, ...]  # [patties]
    patty: Patty
    limit: Limit
    beetles: Beetles
    appetite: Appetite
    rim: Rim
    typical: Portion  # of the average colony, where hives are visited as the shortest interval says
    said: tuple[str, ...]  # in words

    @property
    def grams(self) -> tuple[float, ...]:
        """Their mass. [g]"""
        return tuple(cut * self.patty.mass_g for cut in self.pieces)


def allowed(
    yard: Yard, plan: PlanFile, frames: float, a_frame: float, outside_c: float, reader: Reader
) -> Allowed:
    """The pieces for a yard whose average colony has so many frames of bees.

    Parameters
    ----------
    yard, plan
        Beetles seen; the keeper's own patty, pieces, rule and appetite.
    frames
        Of bees, of the average colony. [frames]
    a_frame
        Bees on one. [bees/frame]
    outside_c
        Mean air temperature of the days the pieces lie. [°C]
    reader
        The shelf.

    Errors
    ------
    PlanError
        If no piece can be laid on: the colonies are too small for it.
    FigureError
        If an appetite or a rule of the keeper's own is impossible.
    """
    asked, units = plan.rounds, units_of(yard.place.country)
    mass = plan.feeds[0].patty_g
    patty = usual_patty(units, reader) if mass is None else Patty(mass, units)
    beetles = beetles_known(yard.health.beetles_seen, asked.beetles_about)
    needed = rim(patty, beetles != "none", reader)
    has_rim = needed.needed if asked.rim is None else asked.rim
    holds = limit(Lying(beetles, outside_c, rim=has_rim, own_rule_days=asked.beetle_days), reader)
    eats = shipped_appetite(reader) if asked.appetite_mg is None else own_appetite(asked.appetite_mg, reader)
    of = [Round(holds, days, beetles, patty, eats, a_frame) for days in sorted(set(asked.intervals))]
    cleared = [portion(frames, one, reader) for one in of]
    pieces = _own(asked, cleared, patty) if asked.pieces else _tried(one.cut for one in cleared)
    if not pieces:
        raise PlanError(
            "piece", f"none for colonies of {frames_of(frames, 'bees')}: {cleared[0].why}",
            "colonies large enough to clear a quarter piece in time",
            "Look first why they are small; a plan of feeding is not what they lack",
        )  # fmt: skip
    said = (holds.sentence, *_warned(asked, cleared, patty), *((needed.sentence,) if has_rim else ()))
    return Allowed(pieces, patty, holds, beetles, eats, needed, cleared[0], said)


def warmest_fortnight(ahead: WeatherAhead, today: int, last: int) -> float:
    """Mean of the warmest two weeks of the weeks in which pieces lie, middle season. [°C]

    ``today`` and ``last`` are days of the weather. [d]
    """
    end = min(last, today + 7 * WEEKS_AHEAD)
    daily = np.median(ahead.tmean_c[:, today : max(end, today + 1)], axis=0)
    long = min(FORTNIGHT, daily.size)
    return float(np.convolve(daily, np.ones(long) / long, "valid").max())


def _tried(cuts: Iterable[float]) -> tuple[float, ...]:
    """What is cleared at each interval, and the next smaller of each."""
    found = {cut for one in cuts for cut in (one, smaller(one)) if cut > 0.0}
    kept = sorted(found)
    while len(kept) > MOST_PIECES:
        kept.pop(1)
    return tuple(kept)


def _own(asked: RoundsAsked, cleared: list[Portion], patty: Patty) -> tuple[float, ...]:
    """The keeper's own pieces, up to what is cleared at the longest interval."""
    most = max(one.cut for one in cleared)
    kept = tuple(sorted({cut for cut in asked.pieces if cut <= most + 1e-9}))
    if not kept:
        raise PlanError(
            "pieces", f"{', '.join(cut_words(cut, patty) for cut in asked.pieces)}: more than they clear",
            f"up to {cut_words(most, patty)}, by appetite and beetles" if most else "no piece at all",
            "Cut smaller pieces, or leave pieces out to have them worked out",
        )  # fmt: skip
    return kept


def _warned(asked: RoundsAsked, cleared: list[Portion], patty: Patty) -> tuple[str, ...]:
    most = max(one.cut for one in cleared)
    left = [cut for cut in asked.pieces if cut > most + 1e-9]
    if not left:
        return ()
    said = ", ".join(cut_words(cut, patty) for cut in left)
    return (
        f"Not tried: {said}; a colony clears {cut_words(most, patty)} in {counted(cleared[-1].days, 'day')}.",
    )
