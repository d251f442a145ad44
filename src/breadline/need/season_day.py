"""One day of the season model, written to be read: the reference, in NumPy.

The compiled lanes must agree with this to 1e-10 and do so to the last digit, because
both do the same sums in the same order and use no function that rounds differently.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.need.khoury import nursed_share, recruitment
from breadline.need.parameters import Parameters
from breadline.need.season import (
    COURSE,
    FLIGHTS,
    FLOWS,
    NURSE_DAYS,
    Block,
    Colony,
    Constants,
    Course,
    Drivers,
    Flows,
)
from breadline.span import FloatArray


def work(block: Block, flows: bool) -> tuple[Course, float]:
    """The course of a block of members, and the worst that a day's ledger is out by [share]."""
    days, members = block.laying.shape
    out = {name: np.empty((days, members)) for name in (*COURSE, *FLOWS)}
    start = block.start
    before = start.store + start.reserve
    day = Day(start, block.par, block.const, block.equivalence)
    for t in range(days):
        for name, value in day.live(today(block.drivers, block.laying, t)).items():
            out[name][t] = value
    kept = Flows(**{name: out[name] for name in FLOWS})
    worst = float(kept.out_by(before).max(initial=0.0))
    return Course(**{name: out[name] for name in COURSE}, flows=kept if flows else None), worst


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


def today(drivers: Drivers, laying: FloatArray, t: int) -> Today:
    """Day ``t`` [d] of the drivers, spread over the members; ``laying`` has shape (days, members) [share]."""
    path = drivers.path
    return Today(
        flight_h=drivers.flight_h[t, path],
        pollen=drivers.pollen[t, path],
        quality=drivers.quality[t, path],
        nectar=drivers.nectar[t, path],
        laying=laying[t],
        trend=float(drivers.trend[t]),
        put_on_g=float(drivers.put_on_g[t]),
    )


class Day:
    """One block of members; ``live`` takes it through a day."""

    def __init__(self, colony: Colony, par: Parameters, const: Constants, equivalence: FloatArray) -> None:
        self.s, self.p, self.c, self.eps = colony, par, const, equivalence
        self.keep_egg = const.egg_survival ** (1 / 3)
        self.keep_larva = const.larva_survival ** (1 / 6)
        self.keep_sealed = const.sealed_survival ** (1 / 12)
        wk = np.asarray(const.wk)
        self.share = wk[:, None]
        self.invested = np.concatenate([[0.0], np.cumsum(wk)[:-1]])
        self.per_egg = np.asarray((par.cL + NURSE_DAYS * par.cA) / 1000.0)  # pollen an egg will ask for [g]

    def live(self, now: Today) -> dict[str, FloatArray]:
        """One day, in the order of the method page; the fields of ``Course`` and ``Flows``."""
        s, p = self.s, self.p
        emerged = self._age_brood()
        died_g = self._hive_deaths(emerged)
        in_hive = s.hive + s.young.sum(0)
        load = np.minimum(1.0, s.larva.sum(0) / (self.c.reference_load * np.maximum(in_hive, 1.0)))
        adult_need = (p.cA * s.young.sum(0) + p.cO * s.hive * load) / 1000.0
        need = p.cL * (self.share * s.larva).sum(0) / 1000.0 + adult_need
        for_pollen = pollen_share(p, s.store, need)
        reach = self._fly(now, for_pollen)
        income = reach * for_pollen
        went_g = self._recruit(now, in_hive)
        in_hive = s.hive + s.young.sum(0)
        potential = self._laying_potential(now, in_hive)
        s.patty += now.put_on_g
        offered = np.minimum(s.patty, p.umax * in_hive / 1000.0)
        eaten, wish = self._eat(now, potential, need, in_hive)
        flows = self._share_out(adult_need, in_hive, self.eps * eaten, wish)
        s.store = s.store + income
        self._lay(now, potential, reach * p.pmax, offered)
        s.patty -= eaten
        return {
            "adults": s.hive + s.young.sum(0) + s.field,
            "brood": s.egg.sum(0) + s.larva.sum(0) + s.sealed.sum(0),
            "sealed": s.sealed.sum(0),
            "emerged": emerged,
            "reach_g": reach,
            "need_g": p.cL * (self.share * s.wanted[3:]).sum(0) / 1000.0 + adult_need,
            "eaten_g": eaten,
            "store_g": s.store,
            "reserve_g": s.reserve,
            "income_g": income,
            "useful_g": self.eps * eaten,
            "left_g": died_g + went_g,
            **flows,
        }

    def _age_brood(self) -> FloatArray:
        s = self.s
        emerged: FloatArray = s.sealed[-1] * self.keep_sealed
        s.sealed[1:] = s.sealed[:-1] * self.keep_sealed
        s.sealed[0] = s.larva[-1] * self.keep_larva
        s.larva[1:] = s.larva[:-1] * self.keep_larva
        s.larva[0] = s.egg[-1] * self.keep_egg
        s.egg[1:] = s.egg[:-1] * self.keep_egg
        s.wanted[4:] = s.wanted[3:-1] * self.keep_larva
        s.wanted[1:4] = s.wanted[0:3] * self.keep_egg
        return emerged

    def _hive_deaths(self, emerged: FloatArray) -> FloatArray:
        """Death in the hive and a day of age; the reserve that died with the bees [g]."""
        s, alive = self.s, 1 - self.p.mu0
        s.hive = (s.hive + s.young[-1]) * alive
        s.young[1:] = s.young[:-1] * alive
        s.young[0] = emerged
        died: FloatArray = s.reserve * self.p.mu0
        s.reserve = s.reserve * alive
        return died

    def _fly(self, now: Today, for_pollen: FloatArray) -> FloatArray:
        """Foragers fly as far as it pays, and die of it; pollen within their reach [g/d]."""
        s, p = self.s, self.p
        # What an hour of flight brings home, against the best there is.
        brought = for_pollen * np.minimum(1.0, p.site * now.pollen) + (1 - for_pollen) * now.nectar
        self.activity = p.dem0 + (1 - p.dem0) * (1 + p.hr) * brought / (brought + p.hr)
        flown = now.flight_h * self.c.phi * self.activity
        # A day's flying in sixteen parts, each with its risk: close to exp(−muf·flown), without
        # a function that differs in the last digit from one machine to the next.
        left = np.maximum(0.0, 1 - p.muf * flown / FLIGHTS)
        for _ in range(4):
            left = left * left
        s.field = s.field * (1 - p.mu0) * left
        return np.asarray(s.field * flown * p.tph * p.site * self.c.load_g * now.pollen * now.quality)

    def _recruit(self, now: Today, in_hive: FloatArray) -> FloatArray:
        """Hive bees go out to forage; the reserve that left with them [g]."""
        s, p = self.s, self.p
        everyone = in_hive + s.field
        brake = p.alpha / (p.phimax * self.activity)  # the foragers' share settles below phimax
        rate = np.maximum(0.0, recruitment(p.alpha, brake, s.field / np.maximum(everyone, 1e-9)))
        going = s.hive * rate * np.minimum(1.0, now.flight_h / self.c.recruit_hours)
        left: FloatArray = s.reserve * going / np.maximum(in_hive, 1e-9)
        s.hive = s.hive - going
        s.field = s.field + going
        s.reserve = s.reserve - left
        return left

    def _laying_potential(self, now: Today, in_hive: FloatArray) -> FloatArray:
        p = self.p
        return np.asarray(now.laying * p.Lmax * nursed_share(in_hive, p.v, p.c0))

    def _from_bread(self, now: Today, potential: FloatArray) -> FloatArray:
        """Bread that the colony would spend in a day [g/d].

        It spends freely while days lengthen or pollen comes in, and saves in a
        lean time after midsummer.
        """
        s, p = self.s, self.p
        asked = potential * self.per_egg
        covered = s.lean / np.maximum(s.lean + asked, 1e-9)
        thrift = p.kt * (1 - covered) * (1 - now.trend) / 2.0
        return np.asarray(s.store / (p.Ts * (1 + thrift)))

    def _eat(
        self, now: Today, potential: FloatArray, need: FloatArray, in_hive: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Feed eaten [g/d], and the protein the colony could use [g/d]."""
        s, p = self.s, self.p
        supply = (s.signal_unfed + self._from_bread(now, potential)) / self.per_egg
        sated = held_back(potential, supply)
        wish = np.maximum(0.0, need + p.jc * in_hive / 1000.0 - s.reserve)
        most = p.umax * in_hive / 1000.0
        # A feed that is worth nothing fills nobody: the wish limits only what counts.
        limit = np.divide(wish, self.eps, out=np.full_like(wish, np.inf), where=self.eps > 0)
        appetite = np.maximum(most * p.umin, np.minimum(most * (1 - sated), limit))
        return np.minimum(s.patty, appetite), wish

    def _share_out(
        self, adult_need: FloatArray, in_hive: FloatArray, useful: FloatArray, wish: FloatArray
    ) -> dict[str, FloatArray]:
        """Reserve, feed and bread to adults first, then to larvae from the oldest; the flows [g/d]."""
        s, p = self.s, self.p
        unused = np.maximum(0.0, useful - wish)
        from_comb = np.minimum(s.store, np.maximum(0.0, wish - useful))
        pool = s.reserve + (useful - unused) + from_comb
        adults_ate = np.minimum(pool, adult_need)
        pool = pool - adults_ate
        given_all, back_all = np.zeros_like(pool), np.zeros_like(pool)
        for k in range(5, -1, -1):
            asked = p.cL * self.c.wk[k] * s.larva[k] / 1000.0
            given = np.minimum(pool, asked)
            fed = np.divide(given, asked, out=np.ones_like(asked), where=asked > 0)
            back = p.rho * s.larva[k] * (1 - fed) * p.cL * self.invested[k] / 1000.0
            pool = pool - given + back
            given_all, back_all = given_all + given, back_all + back
            s.larva[k] = s.larva[k] * fed
        s.reserve = np.minimum(pool, p.jc * in_hive / 1000.0)
        s.store = s.store - from_comb
        return {
            "adults_ate_g": adults_ate,
            "larvae_given_g": given_all,
            "recycled_g": back_all,
            "unused_g": unused,
            "spilled_g": pool - s.reserve,
        }

    def _lay(self, now: Today, potential: FloatArray, could_bring: FloatArray, offered: FloatArray) -> None:
        s, p = self.s, self.p
        s.signal = s.signal + (could_bring + self.eps * offered - s.signal) / p.tx
        s.signal_unfed = s.signal_unfed + (could_bring - s.signal_unfed) / p.tx
        s.lean = s.lean + (could_bring - s.lean) / self.c.lean_days
        supply = (s.signal + self._from_bread(now, potential)) / self.per_egg
        s.egg[0] = potential * held_back(potential, supply)
        s.wanted[0] = potential


def pollen_share(par: Parameters, store_g: FloatArray, need_g: FloatArray) -> FloatArray:
    """Share of the foragers that go for pollen: the fuller the comb, the fewer. [share]

    ``store_g`` [g], ``need_g`` [g/d] and ``par`` have shape (members,).
    """
    hunger = np.clip(1 - store_g / np.maximum(par.Rd * need_g, par.Sr), 0.0, 1.0)
    return np.asarray(par.pmin + (par.pmax - par.pmin) * hunger)


def held_back(potential: FloatArray, supply: FloatArray) -> FloatArray:
    """Share of the eggs that the protein supply lets through: a smooth smaller-of-two. [share]

    ``potential`` and ``supply`` [eggs/d] have shape (members,).
    """
    ratio = np.minimum(potential / np.maximum(supply, 1e-9), 1e3)
    squared = ratio * ratio
    return np.asarray(1.0 / np.sqrt(np.sqrt(1.0 + squared * squared)))
