"""Which pieces a yard's colonies may get: by appetite, by beetles and warmth, by days between visits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from breadline.errors import FigureError, PlanError
from breadline.jobs.rounds_file import PlanFile, RoundsAsked
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.measures import units_of
from breadline.need.place_drivers import WeatherAhead
from breadline.need.words import counted, frames_of, half_frames
from breadline.need.yard import Yard
from breadline.plan.appetite import Appetite, own_appetite, shipped_appetite
from breadline.plan.beetles import Beetles, Limit, Lying, beetles_known, limit
from breadline.plan.clears import Clears
from breadline.plan.cuts import Patty, Rim, cut_words, rim, smaller, usual_patty
from breadline.plan.portions import Portion, Round, least_frames, portion

WEEKS_AHEAD = 8  # in which pieces lie, for the warmth they lie in [weeks]
FORTNIGHT = 14  # days; the warmest one is planned for [d]
MOST_PIECES = 4  # kinds of piece that are tried


@dataclass(frozen=True)
class OfFeed:
    """The pieces of one feed that are tried, in cuts of its own patty."""

    name: str
    pieces: tuple[float, ...]  # [patties]
    patty: Patty  # by weight, counted in another, where a quarter of its own is too much

    @property
    def grams(self) -> tuple[float, ...]:
        """Their mass. [g]"""
        return tuple(cut * self.patty.mass_g for cut in self.pieces)


@dataclass(frozen=True)
class Allowed:
    """The pieces that are tried, and what holds them down."""

    of_feeds: tuple[OfFeed, ...]  # in the order of the plan
    patty: Patty  # of the first feed
    limit: Limit
    beetles: Beetles
    appetite: Appetite
    rim: Rim
    typical: Portion  # of the average colony, where hives are visited as the shortest interval says
    clears: Clears  # what colonies of a size clear of a piece while it lies
    said: tuple[str, ...]  # in words

    @property
    def pieces(self) -> tuple[float, ...]:
        """Those of the first feed. [patties]"""
        return self.of_feeds[0].pieces


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
    usual = usual_patty(units, reader)
    patties = [usual if one.patty_g is None else Patty(one.patty_g, units) for one in plan.feeds]
    patty = patties[0]
    beetles = beetles_known(yard.health.beetles_seen, asked.beetles_about)
    needed = rim(patty, beetles != "none", reader)
    has_rim = needed.needed if asked.rim is None else asked.rim
    holds = limit(Lying(beetles, outside_c, rim=has_rim, own_rule_days=asked.beetle_days), reader)
    eats = _appetite(asked, reader)
    days = sorted(set(asked.intervals))
    cleared = {
        of: [portion(frames, Round(holds, one, beetles, of, eats, a_frame), reader) for one in days]
        for of in (*patties, usual)
    }
    tried = {of: _tried(asked, each) for of, each in cleared.items()}
    measure = next((of for of, cuts in tried.items() if cuts), None)
    if measure is None:
        raise _too_small(asked, frames, cleared[patty], patty)
    of_feeds = tuple(
        OfFeed(feed.name, tried[own], own) if tried[own]
        else OfFeed(feed.name, tried[measure], replace(measure, sold_g=own.mass_g))
        for feed, own in zip(plan.feeds, patties, strict=True)
    )  # fmt: skip
    warned = [text for own in dict.fromkeys(patties) for text in _warned(asked, cleared[own], own)]
    said = (holds.sentence, *_small(beetles, reader), *warned, *((needed.sentence,) if has_rim else ()))
    clears = Clears(
        eats.typical * a_frame / 1000.0, frames, holds.days, beetles != "none", least_frames(beetles, reader)
    )
    return Allowed(of_feeds, patty, holds, beetles, eats, needed, cleared[measure][0], clears, said)


def _appetite(asked: RoundsAsked, reader: Reader) -> Appetite:
    """The keeper's own figure, else the shelf's; FigureError at its line where no colony can eat so."""
    if asked.appetite_mg is None:
        return shipped_appetite(reader)
    try:
        return own_appetite(asked.appetite_mg, reader)
    except FigureError as error:
        raise FigureError(asked.appetite_at or error.where, error.what, error.expected, error.do) from None


def _small(beetles: Beetles, reader: Reader) -> tuple[str, ...]:
    """That small colonies get less or none where beetles are; nothing where none are."""
    if beetles == "none":
        return ()
    least = half_frames(least_frames(beetles, reader))
    return (
        say(
            "For the beetles no colony gets more than one of its size clears in that time, and under "
            "{least} frames of bees none.",
            least=least,
        ),
    )


def warmest_fortnight(ahead: WeatherAhead, today: int, last: int) -> float:
    """Mean of the warmest two weeks of the weeks in which pieces lie, middle season. [°C]

    ``today`` and ``last`` are days of the weather. [d]
    """
    end = min(last, today + 7 * WEEKS_AHEAD)
    daily = np.median(ahead.tmean_c[:, today : max(end, today + 1)], axis=0)
    long = min(FORTNIGHT, daily.size)
    return float(np.convolve(daily, np.ones(long) / long, "valid").max())


def _tried(asked: RoundsAsked, cleared: Sequence[Portion]) -> tuple[float, ...]:
    """What is cleared at each interval, and the next smaller of each; the keeper's own pieces, where named.

    None where a quarter of the patty is too much. [patties]
    """
    if asked.pieces:
        most = max(one.cut for one in cleared)
        return tuple(sorted({cut for cut in asked.pieces if cut <= most + 1e-9}))
    found = {cut for one in cleared for cut in (one.cut, smaller(one.cut)) if cut > 0.0}
    kept = sorted(found)
    while len(kept) > MOST_PIECES:
        kept.pop(1)
    return tuple(kept)


def _too_small(asked: RoundsAsked, frames: float, cleared: Sequence[Portion], patty: Patty) -> PlanError:
    """Why no piece of any feed can be laid on."""
    if asked.pieces:
        most = max(one.cut for one in cleared)
        return PlanError(
            "pieces",
            say(
                "{what}: more than they clear", what=", ".join(cut_words(cut, patty) for cut in asked.pieces)
            ),
            say("up to {cut_words}, by appetite and beetles", cut_words=cut_words(most, patty))
            if most
            else say("no piece at all"),
            say("Cut smaller pieces, or leave pieces out to have them worked out"),
        )
    return PlanError(
        "piece",
        say(
            "none for colonies of {frames_of}: {why}", frames_of=frames_of(frames, "bees"), why=cleared[0].why
        ),
        say("colonies large enough to clear a quarter piece in time"),
        say("Look first why they are small; a plan of feeding is not what they lack"),
    )


def _warned(asked: RoundsAsked, cleared: Sequence[Portion], patty: Patty) -> tuple[str, ...]:
    most = max(one.cut for one in cleared)
    left = [cut for cut in asked.pieces if cut > most + 1e-9]
    if not left:
        return ()
    said = ", ".join(cut_words(cut, patty) for cut in left)
    return (
        say(
            "Not tried: {said}; a colony clears {cut_words} in {many}.",
            said=said,
            cut_words=cut_words(most, patty),
            many=counted(cleared[-1].days, "day"),
        ),
    )
