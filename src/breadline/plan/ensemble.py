"""The yard's seasons that every plan is tried in: the same ones for all of them."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import date, timedelta

import numpy as np

from breadline.belief.gain import SITUATIONS, Situation
from breadline.errors import PlanError, YardError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.dearth import frames_end
from breadline.need.fit.before import columns_of, fed_until_today
from breadline.need.fit.told import Fit
from breadline.need.forecast import DRAWS, constants, count_age, outlook_ends, season_parameters
from breadline.need.parameters import Parameters
from breadline.need.place_drivers import Columns, WeatherAhead, days_before, place_drivers
from breadline.need.season import Block, Drivers, lived
from breadline.need.seen_pollen import seen_bloom
from breadline.need.shortfall import ledger, short_rule
from breadline.need.start import Counted, start_colony
from breadline.need.starting_count import counted_draws, frame_size
from breadline.need.streams import Streams
from breadline.need.summary import SHOWN
from breadline.need.words import day_and_year
from breadline.need.yard import Yard
from breadline.plan.situation import bare_late_winter, pollen_in_reach, situations_by_day
from breadline.span import FloatArray

WEEK = 7
LOOKED_AT = 1500  # members, about, to see where a dearth begins


@dataclass(frozen=True)
class Ensemble:
    """Seasons of a yard from its count to the day that matters.

    The members of a weather path lie together, ``draws`` of them a path.
    """

    block: Block
    start: date  # first day, that of the count
    today: int  # [d]
    paths: int
    draws: int  # members a path
    draw: np.ndarray  # which draw of ``par``, and so of a feed's worth, each member has; shape (members,)
    par: Parameters  # the model's own draws, for what a feed is worth
    bees_times: FloatArray  # bees of the yard against those of the model, shape (members,) [-]
    brood_times: FloatArray  # brood, the same [-]
    bees_a_frame: float  # [bees]
    cells_a_frame: float  # of brood, as counted [cells]
    tmax_c: FloatArray  # shape (paths, days) [°C]
    pollen_in: FloatArray  # a week's mean of bloom times flying, shape (days, columns) [-]
    trusted_to: date  # last day on which frames are foretold
    because: str  # why not after it; empty where the ensemble ends before
    few_years: int | None = None  # of weather, where they are too few for a plain chance
    situation: np.ndarray | None = None  # which of ``SITUATIONS``, shape (days, columns); None: one
    bare_winter: np.ndarray | None = None  # days without pollen told as a poor spring, the same shape

    @property
    def days(self) -> int:
        """Of the ensemble."""
        return int(self.block.drivers.flight_h.shape[0])

    @property
    def members(self) -> int:
        """All of them."""
        return self.paths * self.draws

    def on(self, day: int) -> date:
        """Date of a day of the ensemble."""
        return self.start + timedelta(days=day)

    def day(self, on: date) -> int:
        """Day of the ensemble of a date. [d]"""
        return (on - self.start).days

    def few(self, members: int, among: np.ndarray | None = None) -> np.ndarray:
        """Which members to take for about so many: as many of every path, and other draws on each path.

        A yard's draws are the same ones on every path; a few of them on all paths would be few beliefs.
        ``among`` says of each member whether it may be taken, shape (members,).
        """
        may = np.ones(self.members, dtype=bool) if among is None else among
        found = []
        for path in range(self.paths):
            first = path * self.draws
            own = first + np.flatnonzero(may[first : first + self.draws])
            each = min(own.size, max(1, members // self.paths))
            found.append(own[(path * each + np.arange(each)) % max(1, own.size)])
        return np.sort(np.concatenate(found))

    def of(self, index: np.ndarray) -> Ensemble:
        """The same in the members at ``index``, as many of every weather path, in their order."""
        return replace(
            self,
            block=block_part(self.block, index),
            draws=index.size // self.paths,
            draw=self.draw[index],
            bees_times=self.bees_times[index],
            brood_times=self.brood_times[index],
        )

    def half(self, gain: FloatArray) -> np.ndarray:
        """One half of the members, the other having beliefs as strong; shape (members,).

        Plans are chosen in the one and told by the other. ``gain`` is the belief, a draw of the model
        each, shape (draws,) [log ratio]; by its rank draws go to one half, two to the other, two to the
        first and so on.
        """
        rank = np.empty(gain.size, dtype=np.int64)
        rank[np.argsort(gain, kind="stable")] = np.arange(gain.size)
        return np.asarray(((rank + 1) // 2 % 2 == 0)[self.draw])

    def by_day(self, otherwise: Situation) -> np.ndarray:
        """Which of ``SITUATIONS`` each day is, shape (days, columns); the one named where none is known."""
        if self.situation is not None:
            return self.situation
        return np.full(self.pollen_in.shape, SITUATIONS.index(otherwise))

    def go(self, from_share: float) -> FloatArray:
        """1 where a round by rule goes on, 0 where pollen is in from ``from_share``; (days, columns). [-]"""
        return np.asarray(self.pollen_in < from_share, dtype=np.float64)


def block_part(block: Block, index: np.ndarray) -> Block:
    """The members at ``index``, in that order."""
    return replace(
        block,
        start=block.start.part(index),  # type: ignore[arg-type]
        drivers=replace(block.drivers, path=block.drivers.path[index]),
        par=block.par.take(index),
        equivalence=block.equivalence[index],
    )


def yard_ensemble(
    yard: Yard, weather: WeatherAhead, reader: Reader, streams: Streams, until: date, draws: int = DRAWS
) -> Ensemble:
    """The seasons of a yard's average colony, as its outlook has them, up to a day.

    Parameters
    ----------
    yard, weather, reader, streams
        As in ``need.forecast.forecast``; the weather has to reach ``until``.
    until
        Last day: of the target.
    draws
        Parameter draws a weather path. [-]

    Errors
    ------
    YardError
        As in ``forecast``, an old count among them.
    PlanError
        If ``until`` is not ahead of today.
    """
    count_age(yard)
    days, paths = _days(yard, until), weather.flight_h.shape[0]
    path, of = np.repeat(np.arange(paths), draws), np.tile(np.arange(draws), paths)
    base, const = season_parameters(reader, streams.parameters, draws), constants(reader)
    members = base.take(of)
    counted = counted_draws(yard.count, yard.colonies, reader, streams.count, paths * draws)
    late = reader.typical("forage.shift_days") if paths > 1 else 0.0
    shifts = np.asarray(streams.bloom.normal(0.0, late, paths))
    columns = Columns(np.arange(paths), shifts, seen_bloom(yard.forage, reader, streams.seen, paths))
    place = place_drivers(yard, weather, reader, days, columns, path)
    block = Block(start_colony(counted.state, members, const), place, members, const, np.zeros(paths * draws))
    one = np.ones(paths * draws)
    filled = float(np.median(counted.filled))
    cells = reader.typical("frame_of_brood.cells_deep") * frame_size(yard.count, reader) * filled
    made = _Made(block, of, base, counted.state.bread_g, one, one, counted.bees_a_frame, cells)
    return _ensemble(yard, weather, made, until, reader)


def fitted_ensemble(
    yard: Yard, weather: WeatherAhead, reader: Reader, fit: Fit, streams: Streams, until: date
) -> Ensemble:
    """The same from what the yard's own inspections left of it, as ``need.fit.ahead.fitted_outlook`` has it.

    There are as many members a path as ``DRAWS``, paired with the draws of the fit by ``streams.fit``.
    Feed given before today is taken to be the feed that is planned. Errors as in ``yard_ensemble``.
    """
    days, paths, left = _days(yard, until), weather.flight_h.shape[0], fit.ensemble
    of = streams.fit.permutation(np.arange(paths * DRAWS) % left.par.draws)
    path = np.repeat(np.arange(paths), DRAWS) if left.one_past else left.path[of]
    order = np.argsort(path, kind="stable")
    of, path = of[order], path[order]
    column = path * len(left.shifts_days) + left.shift[of]
    columns = columns_of(paths, left.shifts_days, left.seen)
    place = place_drivers(fed_until_today(yard, reader), weather, reader, days, columns, column)
    const, members = constants(reader), left.par.take(of)
    state = {f.name: getattr(left.counted, f.name)[of] for f in fields(Counted) if f.name != "package"}
    start = start_colony(replace(left.counted, **state), members, const)
    block = Block(start, place, members, const, np.zeros(of.size))
    bees, brood = (left.stretch[of] * left.astray[what][of] for what in ("bees", "brood"))
    a_frame, cells = fit.told.bees_a_frame, fit.told.cells_a_frame
    made = _Made(block, of, left.par, state["bread_g"], bees, brood, a_frame, cells)
    return _ensemble(yard, weather, made, until, reader)


@dataclass(frozen=True)
class _Made:
    """What the two ways of making an ensemble have in common."""

    block: Block
    draw: np.ndarray
    par: Parameters
    bread_g: FloatArray
    bees_times: FloatArray
    brood_times: FloatArray
    bees_a_frame: float
    cells_a_frame: float


def _days(yard: Yard, until: date) -> int:
    if until <= yard.today:
        raise PlanError(
            "target", say("{day} is not ahead of today", day=day_and_year(until)), say("a day to come")
        )
    return (until - yard.count.on).days + 1


def _ensemble(yard: Yard, weather: WeatherAhead, made: _Made, until: date, reader: Reader) -> Ensemble:
    place, members = made.block.drivers, made.draw.size
    days, paths = place.flight_h.shape[0], weather.flight_h.shape[0]
    some = np.arange(0, members, max(1, members // LOOKED_AT))
    trusted, because = _trusted(yard, block_part(made.block, some), made.bread_g[some], until, reader)
    skip = days_before(yard, weather)
    return Ensemble(
        block=made.block,
        start=yard.count.on,
        today=(yard.today - yard.count.on).days,
        paths=paths,
        draws=members // paths,
        draw=made.draw,
        par=made.par,
        bees_times=made.bees_times,
        brood_times=made.brood_times,
        bees_a_frame=made.bees_a_frame,
        cells_a_frame=made.cells_a_frame,
        tmax_c=weather.tmax_c[:, skip : skip + days],
        pollen_in=pollen_in(place, reader.typical("plan.whole_day_h")),
        trusted_to=trusted,
        because=because,
        few_years=None if weather.paths_are_years else weather.years,
        situation=situations_by_day(place, yard.count.on, reader),
        bare_winter=bare_late_winter(place, yard.count.on, reader),
    )


def pollen_in(place: Drivers, whole_day_h: float) -> FloatArray:
    """The last week's mean of bloom times flying, of ``whole_day_h`` [h]; shape (days, columns). [-]"""
    daily = pollen_in_reach(place.pollen, place.flight_h, whole_day_h)
    total = np.cumsum(np.concatenate([np.zeros((1, daily.shape[1])), daily]), axis=0)
    first = np.maximum(0, np.arange(daily.shape[0]) - WEEK + 1)
    last = np.arange(daily.shape[0]) + 1
    return np.asarray((total[last] - total[first]) / (last - first)[:, None])


def _trusted(yard: Yard, block: Block, bread_g: FloatArray, until: date, reader: Reader) -> tuple[date, str]:
    """The last day on which frames may be foretold, up to the target, and what stops them."""
    try:
        ends = outlook_ends(yard.today, yard.place.latitude, reader)
    except YardError as winter:
        return yard.today, winter.what
    course = lived(block, SHOWN)
    today = (yard.today - yard.count.on).days
    book = ledger(course, bread_g, block.par, short_rule(reader), today)
    stop = frames_end(book, course.need_g, yard.count.on, reader)
    if stop is not None and stop.on < min(ends.on, until):
        return stop.on, stop.because
    return (ends.on, ends.because) if ends.on < until else (until, "")
