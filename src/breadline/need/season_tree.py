"""Many ways through one season that share their beginning: each stretch is run once, and branched off.

A plan of feeding is a way from the count to the last day. Ways that are alike up to a day are one way up
to that day. A ``Leg`` is a stretch of days that no two ways part on; legs come in the order in which they
are walked, and a leg begins where the one before ended or where a kept state lies.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from breadline.errors import BalanceError, OurFault
from breadline.need.season import CLOSES_TO, Block, Constants
from breadline.span import FloatArray

RUN_ON = -1  # no slot: go on from where the leg before ended
NEVER = 1e9  # day of something that did not happen [d]
KINDS = 3  # of time that feed is told apart in
FIELDS = ("adults", "brood", "nurses", "field", "bee_days", "cell_days", "eaten_first_g", "eaten_second_g",
          "eaten_third_g", "drawn_g", "bare_on", "crowded_on", "flow_field")  # fmt: skip


@dataclass(frozen=True)
class Leg:
    """A stretch of days; ``grams`` [g] are put on in its first morning, by rule only where ``go`` says."""

    first: int  # day
    last: int  # day after its last
    start: int = RUN_ON  # slot to begin from
    keep: int = RUN_ON  # slot to leave the state of its end in
    grams: float = 0.0  # put on a colony [g]
    by_rule: bool = False
    way: int = RUN_ON  # of which way this is the end


@dataclass(frozen=True)
class Watch:
    """What is looked at on the way, beside bees and brood on the last day.

    What colonies eat and bring is one number, or one a member, shape (members,).
    """

    today: int  # nothing before it is summed [d]
    sugar_bee_g: FloatArray | float  # dry sugar of a bee in a day [g/d]
    sugar_cell_g: FloatArray | float  # more for a cell of brood [g/d]
    feed_sugar: float  # dry sugar of the feed [share]
    honey_g: float  # stores today, as dry sugar [g]
    nectar_from: float  # nectar of a day on which stores are left alone [-]
    room_bees: float  # bees at which the boxes are full [bees]
    flow: tuple[int, int]  # days of a honey flow, first and last; empty where first > last
    whole_day_h: float  # hours of flying from which a day gives what its bloom has [h]
    nectar_bee_g: FloatArray | float = (
        0.0  # sugar that a field bee brings on a whole day of the best nectar [g/d]
    )

    def of(self, index: np.ndarray) -> Watch:
        """The same of the members at ``index``."""
        each = {name: value[index] for name in ("sugar_bee_g", "sugar_cell_g", "nectar_bee_g")
                if isinstance(value := getattr(self, name), np.ndarray) and value.ndim}  # fmt: skip
        return replace(self, **each)

    def sugar_rows(self, members: int) -> FloatArray:
        """What a bee eats, a cell takes and a field bee brings, member by member, (3, members). [g/d]"""
        rows = (self.sugar_bee_g, self.sugar_cell_g, self.nectar_bee_g)
        return np.stack([np.broadcast_to(np.asarray(row, dtype=np.float64), (members,)) for row in rows])


@dataclass(frozen=True)
class Times:
    """What feed is worth where it is not worth the same in all kinds of time, such as a dearth and a flow."""

    kind: np.ndarray  # 0 to KINDS - 1, of each day and column of the place; shape (days, columns)
    worth: FloatArray  # pollen that a gram of feed replaces in each kind, shape (KINDS, members) [g/g]

    @classmethod
    def alike(cls, block: Block) -> Times:
        """All days of the first kind, with the equivalence of the block."""
        worth = np.zeros((KINDS, block.equivalence.size))
        worth[0] = block.equivalence
        return cls(np.zeros(block.drivers.flight_h.shape, dtype=np.int64), worth)


@dataclass(frozen=True)
class Ends:
    """What each way left behind; every array has shape (ways, members)."""

    adults: FloatArray  # on the last evening [bees]
    brood: FloatArray  # all stages [cells]
    nurses: FloatArray  # young bees, to ten days [bees]
    field: FloatArray  # field bees [bees]
    bee_days: FloatArray  # bees summed over the days from today [bees·d]
    cell_days: FloatArray  # brood, the same [cells·d]
    eaten_first_g: FloatArray  # feed eaten from today in the first kind of time [g]
    eaten_second_g: FloatArray  # in the second [g]
    eaten_third_g: FloatArray  # in the third [g]
    drawn_g: FloatArray  # dry sugar that stores were down by at most, of those of today [g]
    bare_on: FloatArray  # day on which stores are spent, NEVER where they are not [d]
    crowded_on: FloatArray  # day on which the boxes are full, NEVER where they are not [d]
    flow_field: FloatArray  # field bees over the flow [bees·d]

    @property
    def eaten_by_kind_g(self) -> FloatArray:
        """Feed eaten from today in each kind of time, shape (KINDS, ways, members). [g]"""
        return np.stack([self.eaten_first_g, self.eaten_second_g, self.eaten_third_g])

    @property
    def eaten_g(self) -> FloatArray:
        """All feed eaten from today, shape (ways, members). [g]"""
        return self.eaten_first_g + self.eaten_second_g + self.eaten_third_g


def walk(
    block: Block,
    go: FloatArray,
    legs: Sequence[Leg],
    watch: Watch,
    engine: str = "quickest",
    times: Times | None = None,
) -> Ends:
    """Walk every leg with every member.

    Parameters
    ----------
    block
        State on the first morning, drivers, parameters and pollen-equivalence.
    go
        1 where a piece goes on that is put on by rule, 0 where not, shape (days, paths). [-]
    legs
        In walking order.
    watch
        What is looked at.
    engine
        ``lanes`` (compiled), ``reference`` (NumPy) or the quickest there is.
    times
        What feed is worth day by day; None takes the block's equivalence throughout.

    Errors
    ------
    OurFault, BalanceError
        As ``need.season.run``.
    """
    from breadline.need import season_lanes, season_tree_day

    if engine == "reference" or (engine == "quickest" and not season_lanes.available()):
        out, worst = season_tree_day.walked(block, go, legs, watch, times or Times.alike(block))
    else:
        out, worst = _compiled(block, go, legs, watch, times or Times.alike(block))
    if not np.isfinite(out).all():
        raise OurFault("season model", "a result is not a number", do="Please report this yard file")
    if worst > CLOSES_TO:
        raise BalanceError("season model", f"pollen in and out differ by a share of {worst:.1e}",
                           f"less than {CLOSES_TO:g}", "Please report this yard file")  # fmt: skip
    return Ends(**dict(zip(FIELDS, out, strict=True)))


def make_ready() -> bool:
    """Compile the walk, or bring it in from disk, ahead of the first one; false without numba."""
    from breadline.need import season_lanes
    from breadline.need.season_rows import FIXED, STATE_ROWS
    from breadline.need.season_traits import daily

    if not season_lanes.available():
        return False
    from breadline.need.season_tree_kernel import WALK

    rows = np.ones((STATE_ROWS, 1)), np.ones((len(FIXED), 1))
    place = np.zeros(1, dtype=np.int64), np.zeros((1, 1, 4)), np.zeros((1, 4))
    any_place = daily(Constants(1.0, 1.0, 1.0, 1.0, 1.0, (1.0,) * 6, 1.0, 1.0, 1.0))
    # A day of nonsense: only the kinds of its numbers count.
    turns, out = np.array([[0, 1, RUN_ON, RUN_ON, 0, 0]], dtype=np.int64), np.empty((len(FIELDS), 1, 1))
    kind, worth = np.zeros((1, 1), dtype=np.int64), np.zeros((KINDS, 1))
    feed = np.ones((1, 1)), kind, worth, turns, np.zeros(1)
    WALK(*rows, *place, any_place, *feed, np.zeros(8), np.zeros((3, 1)), 0, out)
    return True


def slots_of(legs: Sequence[Leg]) -> int:
    """How many states are kept at a time."""
    return 1 + max((leg.keep for leg in legs), default=0)


def ways_of(legs: Sequence[Leg]) -> int:
    """How many ways there are."""
    return 1 + max((leg.way for leg in legs), default=0)


def watch_row(watch: Watch) -> FloatArray:
    """The numbers of a ``Watch`` in a row, for the compiled walk, each in the unit of its field."""
    return np.array([watch.today, watch.feed_sugar, watch.honey_g, watch.nectar_from, watch.room_bees,
                     *watch.flow, 1.0 / watch.whole_day_h], dtype=np.float64)  # fmt: skip


def _compiled(
    block: Block, go: FloatArray, legs: Sequence[Leg], watch: Watch, times: Times
) -> tuple[FloatArray, float]:
    from breadline.need.season_lanes import member_rows, place_rows
    from breadline.need.season_tree_kernel import WALK

    start, fixed = member_rows(block)
    sky, year, path, n = place_rows(block)
    turns = np.array([[g.first, g.last, g.start, g.keep, g.by_rule, g.way] for g in legs], dtype=np.int64)
    grams = np.array([g.grams for g in legs], dtype=np.float64)
    out = np.empty((len(FIELDS), ways_of(legs), path.shape[0]))
    go = np.ascontiguousarray(go, dtype=np.float64)
    kind = np.ascontiguousarray(times.kind, dtype=np.int64)
    worth = np.ascontiguousarray(times.worth, dtype=np.float64)
    feed = (go, kind, worth, turns, grams)
    seen = watch_row(watch), watch.sugar_rows(path.shape[0])
    worst = WALK(start, fixed, path, sky, year, n, *feed, *seen, slots_of(legs), out)
    return out, float(worst)
