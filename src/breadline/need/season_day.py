"""One day of the season model, written to be read: the reference, in NumPy.

The compiled lanes agree with this to the last digit (1e-10 is asked for), because
both do the same sums in the same order and use no function that rounds differently.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from breadline.need.khoury import nursed_share, recruitment
from breadline.need.parameters import Parameters
from breadline.need.season import (
    COURSE,
    FLOWS,
    Block,
    Colony,
    Constants,
    Course,
    Drivers,
    Flows,
    Worked,
)
from breadline.need.season_signal import laying
from breadline.need.season_traits import Daily, Traits, daily, traits
from breadline.span import FloatArray


def work(block: Block, flows: bool) -> Iterator[Worked]:
    """The course of a block of members, all in one part; see ``Worked``."""
    drivers, start = block.drivers, block.start
    days, members = drivers.flight_h.shape[0], drivers.path.shape[0]
    out = {name: np.empty((days, members)) for name in (*COURSE, *FLOWS)}
    before = start.store + start.reserve
    season = laying(drivers.latitude, block.par)
    signals = zip(drivers.rho, drivers.trend, drivers.turn, strict=True)
    shares = [season.share(*(float(value) for value in day)) for day in signals]
    day = Day(start, block.par, block.const, block.equivalence)
    for t in range(days):
        for name, value in day.live(today(drivers, shares, t)).items():
            out[name][t] = value
    kept = Flows(**{name: out[name] for name in FLOWS})
    worst = float(kept.out_by(before).max(initial=0.0))
    yield slice(0, members), Course(**{n: out[n] for n in COURSE}, flows=kept if flows else None), worst


@dataclass(frozen=True)
class Today:
    """One day's drivers, each in the unit of its field in ``Drivers``; shape (members,) or one number."""

    flight_h: FloatArray
    pollen: FloatArray
    quality: FloatArray
    nectar: FloatArray
    laying: FloatArray  # share of full laying [share]
    trend: float
    put_on_g: float


def today(drivers: Drivers, shares: Sequence[FloatArray], t: int) -> Today:
    """Day ``t`` [d] of the drivers, spread over the members; ``shares`` of full laying by day. [share]"""
    path = drivers.path
    return Today(
        flight_h=drivers.flight_h[t, path],
        pollen=drivers.pollen[t, path],
        quality=drivers.quality[t, path],
        nectar=drivers.nectar[t, path],
        laying=shares[t],
        trend=float(drivers.trend[t]),
        put_on_g=float(drivers.put_on_g[t]),
    )


class Day:
    """One block of members; ``live`` takes it through a day."""

    def __init__(self, colony: Colony, par: Parameters, const: Constants, equivalence: FloatArray) -> None:
        self.s, self.c = colony, const
        self.t: Traits = traits(par, const, equivalence)
        self.d: Daily = daily(const)
        self.wk = np.asarray(const.wk)[:, None]

    def live(self, now: Today) -> dict[str, FloatArray]:
        """One day, in the order of the method page; the fields of ``Course`` and ``Flows``."""
        s, p = self.s, self.t
        emerged = self._age_brood()
        died_g = self._hive_deaths(emerged)
        young = added(s.young)
        in_hive = s.hive + young
        a_bee = 1.0 / np.maximum(in_hive, 1e-9)
        load = np.minimum(1.0, added(s.larva) * a_bee * self.d.full_load)
        adult_need = p.young_g * young + p.older_g * s.hive * load
        need = p.larva_g * added(self.wk * s.larva) + adult_need
        for_pollen = pollen_share(p, s.store, need)
        reach, activity = self._fly(now, for_pollen)
        income = reach * for_pollen
        went_g = self._recruit(now, in_hive, a_bee, activity)
        in_hive = s.hive + young
        potential = now.laying * p.Lmax * nursed_share(in_hive, p.v, p.c0)
        s.patty += now.put_on_g
        offered = np.minimum(s.patty, p.most_g * in_hive)
        wish = np.maximum(0.0, need + p.holds_g * in_hive - s.reserve)
        eaten = self._eat(now, potential, wish, in_hive)
        flows = self._share_out(adult_need, in_hive, p.equivalence * eaten, wish)
        s.store = s.store + income
        self._lay(now, potential, reach * p.pmax, offered)
        s.patty -= eaten
        sealed = added(s.sealed)
        return {
            "adults": in_hive + s.field,
            "brood": added(s.egg) + added(s.larva) + sealed,
            "sealed": sealed,
            "emerged": emerged,
            "reach_g": reach,
            "need_g": p.larva_g * added(self.wk * s.wanted[3:]) + adult_need,
            "eaten_g": eaten,
            "store_g": s.store,
            "reserve_g": s.reserve,
            "income_g": income,
            "useful_g": p.equivalence * eaten,
            "left_g": died_g + went_g,
            **flows,
        }

    def _age_brood(self) -> FloatArray:
        s, d = self.s, self.d
        emerged: FloatArray = s.sealed[-1] * d.keep_sealed
        s.sealed[1:] = s.sealed[:-1] * d.keep_sealed
        s.sealed[0] = s.larva[-1] * d.keep_larva
        s.larva[1:] = s.larva[:-1] * d.keep_larva
        s.larva[0] = s.egg[-1] * d.keep_egg
        s.egg[1:] = s.egg[:-1] * d.keep_egg
        s.wanted[4:] = s.wanted[3:-1] * d.keep_larva
        s.wanted[1:4] = s.wanted[0:3] * d.keep_egg
        return emerged

    def _hive_deaths(self, emerged: FloatArray) -> FloatArray:
        """Death in the hive and a day of age; the reserve that died with the bees [g]."""
        s, p = self.s, self.t
        s.hive = (s.hive + s.young[-1]) * p.alive
        s.young[1:] = s.young[:-1] * p.alive
        s.young[0] = emerged
        died: FloatArray = s.reserve * p.mu0
        s.reserve = s.reserve * p.alive
        return died

    def _fly(self, now: Today, for_pollen: FloatArray) -> tuple[FloatArray, FloatArray]:
        """They fly as far as it pays, and die of it; pollen within their reach [g/d], and flying [share]."""
        s, p = self.s, self.t
        # What an hour of flight brings home, against the best there is.
        brought = for_pollen * np.minimum(1.0, p.site * now.pollen) + (1 - for_pollen) * now.nectar
        tempted = brought * brought  # a poor return hardly tempts them out: flat at its foot
        activity = p.dem0 + p.rewarded * tempted / (tempted + p.half_return)
        flown = now.flight_h * self.c.phi * activity
        # A day's flying in sixteen parts, each with its risk: close to exp(−muf·flown), without
        # a function that differs in the last digit from one machine to the next.
        left = np.maximum(0.0, 1 - p.risk * flown)
        for _ in range(4):
            left = left * left
        s.field = s.field * p.alive * left
        return s.field * flown * p.trip * now.pollen * now.quality, activity

    def _recruit(
        self, now: Today, in_hive: FloatArray, a_bee: FloatArray, activity: FloatArray
    ) -> FloatArray:
        """Hive bees go out to forage; the reserve that left with them [g]."""
        s, p = self.s, self.t
        # The foragers' share settles below phimax where all of them fly.
        flying = activity * np.maximum(in_hive + s.field, 1e-9)
        rate = np.maximum(0.0, recruitment(p.alpha, p.brake, s.field / flying))
        going = s.hive * rate * np.minimum(1.0, now.flight_h * self.d.full_day)
        left: FloatArray = s.reserve * going * a_bee
        s.hive = s.hive - going
        s.field = s.field + going
        s.reserve = s.reserve - left
        return left

    def _supply(self, now: Today, potential: FloatArray, signal: FloatArray) -> FloatArray:
        """Eggs a day that protein would carry: what came lately, and bread that the colony would spend.

        It spends freely while days lengthen or pollen comes in, and saves in a
        lean time after midsummer.
        """
        s, p = self.s, self.t
        both = np.maximum(s.lean + potential * p.egg_g, 1e-9)
        thrift = p.thrift * (1 - now.trend) * (both - s.lean)
        bread = s.store * p.spend * both / (both + thrift)
        return np.asarray((signal + bread) * p.eggs_a_g)

    def _eat(self, now: Today, potential: FloatArray, wish: FloatArray, in_hive: FloatArray) -> FloatArray:
        """Feed eaten [g/d], where the colony could use ``wish`` [g/d] of pollen."""
        s, p = self.s, self.t
        freely = 1 - held_back(potential, self._supply(now, potential, s.signal_unfed))
        # A feed that is worth nothing fills nobody: the wish limits only what counts.
        limit = np.where(p.equivalence > 0, wish * p.feed_a_g, np.inf)
        appetite = np.maximum(p.least_g * in_hive, np.minimum(p.most_g * in_hive * freely, limit))
        return np.minimum(s.patty, appetite)

    def _share_out(
        self, adult_need: FloatArray, in_hive: FloatArray, useful: FloatArray, wish: FloatArray
    ) -> dict[str, FloatArray]:
        """Reserve, feed and bread to adults first, then to larvae from the oldest; the flows [g/d]."""
        s, p, d = self.s, self.t, self.d
        unused = np.maximum(0.0, useful - wish)
        from_comb = np.minimum(s.store, np.maximum(0.0, wish - useful))
        pool = s.reserve + (useful - unused) + from_comb
        adults_ate = np.minimum(pool, adult_need)
        pool = pool - adults_ate
        given_all, back_all = np.zeros_like(pool), np.zeros_like(pool)
        for k in range(5, -1, -1):
            asked = p.larva_g * d.wk[k] * s.larva[k]
            given = np.minimum(pool, asked)
            missing = asked - given
            back = p.rho * missing * d.invested[k]
            pool = pool - given + back
            given_all, back_all = given_all + given, back_all + back
            s.larva[k] = np.maximum(0.0, s.larva[k] - missing * p.larvae_a_g * d.a_share[k])
        s.reserve = np.minimum(pool, p.holds_g * in_hive)
        s.store = s.store - from_comb
        return {
            "adults_ate_g": adults_ate,
            "larvae_given_g": given_all,
            "recycled_g": back_all,
            "unused_g": unused,
            "spilled_g": pool - s.reserve,
        }

    def _lay(self, now: Today, potential: FloatArray, could_bring: FloatArray, offered: FloatArray) -> None:
        s, p = self.s, self.t
        s.signal = s.signal + (could_bring + p.equivalence * offered - s.signal) * p.follow
        s.signal_unfed = s.signal_unfed + (could_bring - s.signal_unfed) * p.follow
        s.lean = s.lean + (could_bring - s.lean) * self.d.leaning
        s.egg[0] = potential * held_back(potential, self._supply(now, potential, s.signal))
        s.wanted[0] = potential


def added(ages: FloatArray) -> FloatArray:
    """The sum over age classes, youngest first, for any number of members; shape (members,). [cells]

    NumPy's own sum takes another order where there is one member only.
    """
    together: FloatArray = ages[0] + ages[1]
    for age in ages[2:]:
        together += age
    return together


def pollen_share(par: Parameters | Traits, store_g: FloatArray, need_g: FloatArray) -> FloatArray:
    """Share of the foragers that go for pollen: the fuller the comb, the fewer. [share]

    ``store_g`` [g], ``need_g`` [g/d] and ``par`` have shape (members,).
    """
    hunger = np.clip(1 - store_g / np.maximum(par.Rd * need_g, par.Sr), 0.0, 1.0)
    return np.asarray(par.pmin + (par.pmax - par.pmin) * hunger)


def held_back(potential: FloatArray, supply: FloatArray) -> FloatArray:
    """Share of the eggs that the protein supply lets through: a smooth smaller-of-two. [share]

    It is (1 + (potential/supply)⁴)^−¼, and never under a thousandth. ``potential`` and
    ``supply`` [eggs/d] have shape (members,).
    """
    carried = np.maximum(supply, np.maximum(potential * 1e-3, 1e-9))
    a, b = potential * potential, carried * carried
    return np.asarray(carried / np.sqrt(np.sqrt(a * a + b * b)))
