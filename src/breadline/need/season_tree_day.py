"""The walk over legs, written to be read: the reference, in NumPy, all members at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from breadline.need.season import Block, Colony
from breadline.need.season_day import Day, Today, added, today
from breadline.need.season_signal import laying
from breadline.need.season_traits import NOTHING
from breadline.need.season_tree import (
    FIELDS,
    KINDS,
    NEVER,
    RUN_ON,
    Leg,
    Times,
    Watch,
    ways_of,
)  # fmt: skip
from breadline.span import FloatArray


@dataclass
class _Seen:
    bee_days: FloatArray
    cell_days: FloatArray
    eaten_g: FloatArray  # shape (KINDS, members)
    drawn_g: FloatArray  # at most so far
    down_g: FloatArray  # today
    bare_on: FloatArray
    crowded_on: FloatArray
    flow_field: FloatArray

    @classmethod
    def nothing(cls, members: int) -> _Seen:
        return cls(
            bee_days=np.zeros(members),
            cell_days=np.zeros(members),
            eaten_g=np.zeros((KINDS, members)),
            drawn_g=np.zeros(members),
            down_g=np.zeros(members),
            bare_on=np.full(members, NEVER),
            crowded_on=np.full(members, NEVER),
            flow_field=np.zeros(members),
        )

    def copy(self) -> _Seen:
        return replace(self, **{k: v.copy() for k, v in vars(self).items()})

    def look(self, went: dict[str, FloatArray], sky: Today, kind: np.ndarray, w: Watch, t: int) -> None:
        if t < w.today:
            return
        self.bee_days += went["adults"]
        self.cell_days += went["brood"]
        self.eaten_g += np.where(kind == np.arange(KINDS)[:, None], went["eaten_g"], 0.0)
        used = (
            w.sugar_bee_g * went["adults"] + w.sugar_cell_g * went["brood"] - w.feed_sugar * went["eaten_g"]
        )
        used = np.maximum(0.0, used)
        flown = np.minimum(1.0, sky.flight_h / w.whole_day_h)
        brought = w.nectar_bee_g * went["field"] * sky.nectar * flown
        full = self.down_g + (1.0 - flown) * used - np.maximum(0.0, brought - flown * used)
        full = np.maximum(0.0, full)
        self.down_g = np.where(sky.nectar < w.nectar_from, self.down_g + used, full)
        self.drawn_g = np.maximum(self.drawn_g, self.down_g)
        self.bare_on = np.where((self.drawn_g > w.honey_g) & (self.bare_on == NEVER), t, self.bare_on)
        full = (went["adults"] >= w.room_bees) & (self.crowded_on == NEVER)
        self.crowded_on = np.where(full, t, self.crowded_on)
        if w.flow[0] <= t <= w.flow[1]:
            self.flow_field += went["field"]

    @property
    def rows(self) -> tuple[FloatArray, ...]:
        return (self.bee_days, self.cell_days, *self.eaten_g, self.drawn_g, self.bare_on, self.crowded_on,
                self.flow_field)  # fmt: skip


def walked(
    block: Block, go: FloatArray, legs: Sequence[Leg], watch: Watch, times: Times
) -> tuple[FloatArray, float]:
    """What each way left behind, shape (fields of ``Ends``, ways, members), units as there.

    The second number is the worst that a day's ledger is out by [share]; ``go`` is 1 or 0 [-].
    """
    drivers = block.drivers
    members = drivers.path.shape[0]
    season = laying(drivers.latitude, block.par)
    signals = zip(drivers.rho, drivers.trend, drivers.turn, strict=True)
    shares = [season.share(*(float(value) for value in one)) for one in signals]
    out = np.empty((len(FIELDS), ways_of(legs), members))
    kept: dict[int, tuple[Colony, _Seen]] = {}
    everyone = slice(0, members)
    day, seen, worst = (
        Day(block.start.part(everyone), block.par, block.const, block.equivalence),
        _Seen.nothing(members),
        0.0,
    )
    for leg in legs:
        if leg.start != RUN_ON:
            state, before = kept[leg.start]
            day.s, seen = state.part(everyone), before.copy()
        day.s.patty += leg.grams * (go[leg.first, drivers.path] if leg.by_rule else 1.0)
        for t in range(leg.first, leg.last):
            had = day.s.store + day.s.reserve
            now, kind = today(drivers, shares, t), times.kind[t, drivers.path]
            _worth_today(day, times.worth[kind, np.arange(members)])
            went = day.live(now)
            worst = max(worst, _out_by(went, had))
            seen.look({**went, "field": day.s.field}, now, kind, watch, t)
        if leg.keep != RUN_ON:
            kept[leg.keep] = (day.s.part(everyone), seen.copy())
        if leg.way != RUN_ON:
            s = day.s
            brood = added(s.egg) + added(s.larva) + added(s.sealed)
            young = added(s.young)
            out[:, leg.way] = [s.hive + young + s.field, brood, young, s.field, *seen.rows]
    return out, worst


def _worth_today(day: Day, worth: FloatArray) -> None:
    """A gram of feed replaces so much pollen today. [g/g]"""
    day.t = replace(day.t, equivalence=worth, feed_a_g=1.0 / np.maximum(worth, NOTHING))


def _out_by(went: dict[str, FloatArray], had: FloatArray) -> float:
    came = went["income_g"] + went["useful_g"] + went["recycled_g"]
    gone = sum(went[k] for k in ("adults_ate_g", "larvae_given_g", "unused_g", "spilled_g", "left_g"))
    after = went["store_g"] + went["reserve_g"]
    return float((np.abs(had + came - gone - after) / np.maximum(1.0, had + came)).max(initial=0.0))
