"""The season model: colonies day by day, for a whole ensemble at once.

What goes in, what comes out, and who does the work: the reference in
``season_day.py`` (NumPy, in blocks) or the compiled lanes in ``season_lanes.py``.
Members are the last axis; age classes come first. The order of a day's events is
that of ``docs/method/need.md``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, replace
from typing import Any, Literal

import numpy as np

from breadline.errors import BalanceError, OurFault
from breadline.need.parameters import Parameters
from breadline.span import FloatArray

BLOCK = 1024  # members worked at once: large enough to hide the cost of a call, small enough for the cache
NURSE_DAYS = 10  # classes of young bees
CLOSES_TO = 1e-9  # of the protein in hand; what the ledger of a day may be out by

FLIGHTS = 16  # parts into which a day's flying is cut; each has its own risk
Engine = Literal["quickest", "reference", "lanes"]


@dataclass(frozen=True)
class Constants:
    """What does not vary between draws.

    Sources
    -------
    The entries ``season.*`` on the shelf.
    """

    egg_survival: float  # of three days [share]
    larva_survival: float  # of six days [share]
    sealed_survival: float  # of twelve days [share]
    load_g: float  # pollen of one trip [g]
    phi: float  # share of flight hours really flown [share]
    wk: tuple[float, ...]  # share of a larva's need by day of its life, six of them [share]
    reference_load: float  # larvae a hive bee nurses at full load [cells/bee]
    lean_days: float  # memory of how much pollen the place gives [d]
    recruit_hours: float  # flight hours of a day on which recruits fly out in full [h]


@dataclass(frozen=True)
class Drivers:
    """What the place does to the colonies.

    Weather and forage come by path, shape (days, paths); ``path`` says which one a
    member lives on, so that memory does not grow with the members.
    """

    flight_h: FloatArray  # [h]
    pollen: FloatArray  # forage, 0 to 1 [-]
    quality: FloatArray  # protein of that pollen against the reference [-]
    nectar: FloatArray  # 0 to 1 [-]
    path: np.ndarray  # shape (members,) [-]
    rho: FloatArray  # day length, −1 to 1, shape (days,) [-]
    trend: FloatArray  # its monthly change, −1 to 1, shape (days,) [-]
    turn: FloatArray  # the same, shortening days by hours lost, shape (days,) [-]
    latitude: float  # [degrees]
    put_on_g: FloatArray  # protein feed put on, shape (days,) [g]

    def part(self, members: slice) -> Drivers:
        """The same place for some members."""
        return replace(self, path=self.path[members])


@dataclass
class Colony:
    """State of the members; shape (members,) or (classes, members)."""

    egg: FloatArray  # (3, members) [cells]
    larva: FloatArray  # (6, members) [cells]
    sealed: FloatArray  # (12, members) [cells]
    young: FloatArray  # (10, members) [bees]
    hive: FloatArray  # [bees]
    field: FloatArray  # foragers [bees]
    store: FloatArray  # bread [g]
    reserve: FloatArray  # in the bodies of young and hive bees [g]
    signal: FloatArray  # recent protein, with feed [g/d]
    signal_unfed: FloatArray  # recent protein, without feed [g/d]
    lean: FloatArray  # pollen the place gave over the last weeks [g/d]
    patty: FloatArray  # feed left on the hive [g]
    wanted: FloatArray  # (9, members) eggs and larvae that bees and season allow [cells]

    def part(self, members: slice) -> Colony:
        """A copy of some members."""
        return Colony(**{f.name: getattr(self, f.name)[..., members].copy() for f in fields(self)})


STATE = tuple(f.name for f in fields(Colony))


@dataclass(frozen=True)
class Flows:
    """Where the protein of a day went, in pollen-equivalents; every array has shape (days, members).

    Bread and reserve of the evening before, plus income, useful feed and what
    eaten larvae gave back, is what adults ate, larvae were given, feed nobody
    needed, what was spilled, what left in the bodies of bees, and bread and
    reserve of this evening.
    """

    store_g: FloatArray  # bread at the end of the day [g]
    reserve_g: FloatArray  # reserve in the bees at the end of the day [g]
    income_g: FloatArray  # pollen brought in [g/d]
    useful_g: FloatArray  # feed eaten × its pollen-equivalence [g/d]
    recycled_g: FloatArray  # given back by larvae that were eaten [g/d]
    adults_ate_g: FloatArray  # [g/d]
    larvae_given_g: FloatArray  # [g/d]
    unused_g: FloatArray  # useful feed beyond what anybody needed [g/d]
    spilled_g: FloatArray  # beyond what the bees' bodies hold [g/d]
    left_g: FloatArray  # reserve of bees that died or went out to forage [g/d]

    def out_by(self, before_g: FloatArray) -> FloatArray:
        """What a day's ledger is out by, against what was in hand; shape (days, members). [share]

        ``before_g`` is bread and reserve on the first morning, shape (members,). [g]
        """
        after = self.store_g + self.reserve_g
        had = np.concatenate([before_g[None, :], after[:-1]])
        came = self.income_g + self.useful_g + self.recycled_g
        went = self.adults_ate_g + self.larvae_given_g + self.unused_g + self.spilled_g + self.left_g
        return np.asarray(np.abs(had + came - went - after) / np.maximum(1.0, had + came))


FLOWS = tuple(f.name for f in fields(Flows))


@dataclass(frozen=True)
class Course:
    """What happened; every array has shape (days, members)."""

    adults: FloatArray  # [bees]
    brood: FloatArray  # all stages [cells]
    sealed: FloatArray  # sealed brood [cells]
    emerged: FloatArray  # [bees/d]
    reach_g: FloatArray  # what foragers would bring if all of them went for pollen [g/d]
    need_g: FloatArray  # need of the brood that bees and season allow, and of the nurses [g/d]
    eaten_g: FloatArray  # feed eaten [g/d]
    store_g: FloatArray  # bread at the end of the day [g]
    income_g: FloatArray  # pollen brought in [g/d]
    flows: Flows | None = None  # where asked for


COURSE = tuple(f.name for f in fields(Course) if f.name != "flows")


@dataclass(frozen=True)
class Block:
    """Members that are worked at once, and what they need."""

    start: Colony
    drivers: Drivers
    par: Parameters
    const: Constants
    equivalence: FloatArray  # shape (members,) [g/g]


# Members of a block, their course, and the worst that a day's ledger of theirs is out by [share].
Worked = tuple[slice, Course, float]


def run(
    start: Colony,
    drivers: Drivers,
    par: Parameters,
    const: Constants,
    equivalence: FloatArray,
    engine: Engine = "quickest",
    flows: bool = False,
) -> Course:
    """Run every member through the season.

    Parameters
    ----------
    start
        State on the first morning; it is copied, not changed.
    drivers
        Weather, forage and feed of each day, and the path of each member.
    par
        One value a member.
    const
        The constants.
    equivalence
        Pollen that a gram of the feed eaten replaces, shape (members,). [g/g]
    engine
        ``lanes`` is compiled and needs numba; ``quickest`` takes it where it is.
    flows
        Whether to keep where the protein went; it is checked in any case.

    Returns
    -------
    Course
        Every array of shape (days, members).

    Errors
    ------
    OurFault
        If a result is not finite.
    BalanceError
        If the protein of a day does not add up to 1e-9 of what was in hand.
    """
    shape = (drivers.flight_h.shape[0], drivers.path.shape[0])
    out = {name: np.empty(shape) for name in COURSE}
    kept = {name: np.empty(shape) for name in (FLOWS if flows else ())}
    for part, block in each_block(start, drivers, par, const, equivalence, engine, flows):
        for name in COURSE:
            out[name][:, part] = getattr(block, name)
        for name in kept:
            kept[name][:, part] = getattr(block.flows, name)
    return Course(**out, flows=Flows(**kept) if flows else None)


def lived(ensemble: Block, wanted: tuple[str, ...]) -> Course:
    """What happened to an ensemble, of which only the fields ``wanted`` are kept.

    As ``run``, with half of the memory and of the time that goes with it where half is wanted;
    the fields that are not hold no number anywhere. Every array of shape (days, members).
    """
    shape = (ensemble.drivers.flight_h.shape[0], ensemble.drivers.path.shape[0])
    nothing = np.broadcast_to(np.nan, shape)
    out: dict[str, Any] = {name: np.empty(shape) if name in wanted else nothing for name in COURSE}
    one = ensemble
    for part, block in each_block(one.start, one.drivers, one.par, one.const, one.equivalence):
        for name in wanted:
            out[name][:, part] = getattr(block, name)
    return Course(**out)


def each_block(
    start: Colony,
    drivers: Drivers,
    par: Parameters,
    const: Constants,
    equivalence: FloatArray,
    engine: Engine = "quickest",
    flows: bool = False,
) -> Iterator[tuple[slice, Course]]:
    """The same block by block, for ensembles too large to keep; arguments and errors as in ``run``.

    ``equivalence`` is in [g/g]. The arrays of a block, shape (days, members of the block),
    are used again for the next one: take what is wanted from them at once.
    """
    work = _engine(engine)
    for first in range(0, drivers.path.shape[0], BLOCK):
        part = slice(first, min(first + BLOCK, drivers.path.shape[0]))
        members = par.take(part)
        block = Block(start.part(part), drivers.part(part), members, const, equivalence[part])
        for here, course, out_by in work(block, flows):
            _sound(course, out_by)
            yield slice(first + here.start, first + here.stop), course


def _sound(course: Course, out_by: float) -> None:
    if not all(np.isfinite(a).all() for a in (course.adults, course.need_g, course.income_g)):
        raise OurFault("season model", "a result is not a number", do="Please report this yard file")
    if out_by > CLOSES_TO:
        raise BalanceError(
            "season model",
            f"pollen in and out of a colony differ by a share of {out_by:.1e} of what was in hand",
            f"less than {CLOSES_TO:g}",
            "Please report this yard file",
        )


def _engine(engine: Engine) -> Callable[[Block, bool], Iterator[Worked]]:
    from breadline.need import season_day, season_lanes

    if engine == "reference" or (engine == "quickest" and not season_lanes.available()):
        return season_day.work
    return season_lanes.work
