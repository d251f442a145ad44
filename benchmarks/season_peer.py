"""The season model as one would write it first: a loop over colonies, a loop over days, small arrays of ages.

A peer to measure against, written from ``docs/method/need.md`` and kept apart from the
program. It is held to the reference before it is timed.
"""

from __future__ import annotations

from math import exp

import numpy as np

from breadline.need.parameters import NAMES, Parameters
from breadline.need.season import Colony, Constants, Drivers
from breadline.span import FloatArray

AGES = ("egg", "larva", "sealed", "young", "wanted")
OTHERS = ("hive", "field", "store", "reserve", "signal", "signal_unfed", "lean", "patty")


class OneColony:
    """One colony of one draw; ``live`` takes it through a day."""

    def __init__(self, start: Colony, par: Parameters, const: Constants, worth: float, m: int) -> None:
        for name in AGES:
            setattr(self, name, getattr(start, name)[:, m].copy())
        for name in OTHERS:
            setattr(self, name, float(getattr(start, name)[m]))
        for name in NAMES:
            setattr(self, name if name != "v" else "half_hive", float(getattr(par, name)[m]))
        self.const, self.worth = const, worth
        self.wk = np.array(const.wk)
        self.invested = np.concatenate([[0.0], np.cumsum(self.wk)[:-1]])
        self.egg_needs = (self.cL + 10 * self.cA) / 1000
        self.keep = (
            const.egg_survival ** (1 / 3),
            const.larva_survival ** (1 / 6),
            const.sealed_survival ** (1 / 12),
        )

    def live(self, day: Today) -> tuple[float, ...]:
        """Adults, all brood, bread [g] and income [g] at the end of the day."""
        self.age()
        young = self.young.sum()
        in_hive = self.hive + young
        load = min(1.0, self.larva.sum() / (self.const.reference_load * max(in_hive, 1e-9)))
        adults_need = (self.cA * young + self.cO * self.hive * load) / 1000
        need = self.cL * (self.wk * self.larva).sum() / 1000 + adults_need
        hunger = min(1.0, max(0.0, 1 - self.store / max(self.Rd * need, self.Sr)))
        share = self.pmin + (self.pmax - self.pmin) * hunger
        reach = self.fly(day, share, in_hive)
        in_hive = self.hive + young
        laid = (
            day.laying(self) * self.Lmax * in_hive**2 / (in_hive**2 + self.half_hive * in_hive + self.c0**2)
        )
        self.patty += day.put_on
        offered = min(self.patty, self.umax * in_hive / 1000)
        wish = max(0.0, need + self.jc * in_hive / 1000 - self.reserve)
        eaten = self.eat(day, laid, wish, in_hive)
        self.share_out(adults_need, in_hive, self.worth * eaten, wish)
        self.store += reach * share
        self.lay(day, laid, reach * self.pmax, offered)
        self.patty -= eaten
        brood = self.egg.sum() + self.larva.sum() + self.sealed.sum()
        return in_hive + self.field, brood, self.store, reach * share

    def age(self) -> None:
        """A day older, less those that died."""
        egg, larva, sealed = self.keep
        emerged = self.sealed[-1] * sealed
        self.sealed[1:] = self.sealed[:-1] * sealed
        self.sealed[0] = self.larva[-1] * larva
        self.larva[1:] = self.larva[:-1] * larva
        self.larva[0] = self.egg[-1] * egg
        self.egg[1:] = self.egg[:-1] * egg
        self.wanted[4:] = self.wanted[3:-1] * larva
        self.wanted[1:4] = self.wanted[:3] * egg
        self.hive = (self.hive + self.young[-1]) * (1 - self.mu0)
        self.young[1:] = self.young[:-1] * (1 - self.mu0)
        self.young[0] = emerged
        self.reserve *= 1 - self.mu0

    def fly(self, day: Today, share: float, in_hive: float) -> float:
        """Flight, its deaths, and recruits; pollen within reach [g]."""
        brought = share * min(1.0, self.site * day.pollen) + (1 - share) * day.nectar
        rises = (1 + self.hr**2) * brought**2 / (brought**2 + self.hr**2)
        activity = self.dem0 + (1 - self.dem0) * rises
        flown = day.flight_h * self.const.phi * activity
        self.field *= (1 - self.mu0) * max(0.0, 1 - self.muf * flown / 16) ** 16
        trips = flown * self.tph * self.site
        reach = self.field * trips * self.const.load_g * day.pollen * day.quality
        brake = self.alpha / (self.phimax * activity)
        rate = max(0.0, self.alpha - brake * self.field / max(in_hive + self.field, 1e-9))
        going = self.hive * rate * min(1.0, day.flight_h / self.const.recruit_hours)
        self.reserve -= self.reserve * going / max(in_hive, 1e-9)
        self.hive -= going
        self.field += going
        return reach

    def carried(self, day: Today, laid: float, signal: float) -> float:
        """Share of the eggs that protein lets through."""
        asked = laid * self.egg_needs
        covered = self.lean / max(self.lean + asked, 1e-9)
        thrift = self.kt * (1 - covered) * (1 - day.trend) / 2
        supply = (signal + self.store / (self.Ts * (1 + thrift))) / self.egg_needs
        ratio = min(laid / max(supply, 1e-9), 1e3)
        return (1 + ratio**4) ** -0.25

    def eat(self, day: Today, laid: float, wish: float, in_hive: float) -> float:
        """Feed eaten [g]."""
        most = self.umax * in_hive / 1000
        wanted = most * (1 - self.carried(day, laid, self.signal_unfed))
        if self.worth > 0:
            wanted = min(wanted, wish / self.worth)
        return min(self.patty, max(most * self.umin, wanted))

    def share_out(self, adults_need: float, in_hive: float, useful: float, wish: float) -> None:
        """Adults first, then larvae from the oldest."""
        from_comb = min(self.store, max(0.0, wish - useful))
        pool = self.reserve + min(useful, wish) + from_comb
        pool -= min(pool, adults_need)
        for k in range(5, -1, -1):
            asked = self.cL * self.wk[k] * self.larva[k] / 1000
            given = min(pool, asked)
            fed = given / asked if asked > 0 else 1.0
            pool += self.rho * self.larva[k] * (1 - fed) * self.cL * self.invested[k] / 1000 - given
            self.larva[k] *= fed
        self.reserve = min(pool, self.jc * in_hive / 1000)
        self.store -= from_comb

    def lay(self, day: Today, laid: float, could: float, offered: float) -> None:
        """The protein signals, and the eggs they let through."""
        self.signal += (could + self.worth * offered - self.signal) / self.tx
        self.signal_unfed += (could - self.signal_unfed) / self.tx
        self.lean += (could - self.lean) / self.const.lean_days
        self.egg[0] = laid * self.carried(day, laid, self.signal)
        self.wanted[0] = laid


class Today:
    """The weather, bloom and feed of day ``t`` on path ``j``."""

    def __init__(self, drivers: Drivers, t: int, j: int) -> None:
        self.flight_h = float(drivers.flight_h[t, j])
        self.pollen = float(drivers.pollen[t, j])
        self.quality = float(drivers.quality[t, j])
        self.nectar = float(drivers.nectar[t, j])
        self.rho, self.trend, self.turn = (float(a[t]) for a in (drivers.rho, drivers.trend, drivers.turn))
        self.put_on, self.latitude = float(drivers.put_on_g[t]), drivers.latitude

    def laying(self, one: OneColony) -> float:
        """Share of full laying that the season allows."""
        south = exp((45.0 - abs(self.latitude)) / one.ls)
        floor = min(1.0, min(1.0, one.smin * south) + one.wb / 2 * south * (1 + self.trend))
        signal = (self.rho + one.kd * self.turn - one.d50) / one.wd
        return floor + (1 - floor) / (1 + exp(-min(60.0, max(-60.0, signal))))


def peer(start: Colony, drivers: Drivers, par: Parameters, const: Constants, worth: FloatArray) -> FloatArray:
    """Adults, brood, bread and income; shape (4, days, members)."""
    days, members = drivers.flight_h.shape[0], drivers.path.shape[0]
    out = np.empty((4, days, members))
    for m in range(members):
        one = OneColony(start, par, const, float(worth[m]), m)
        for t in range(days):
            out[:, t, m] = one.live(Today(drivers, t, int(drivers.path[m])))
    return out
