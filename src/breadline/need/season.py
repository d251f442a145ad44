"""The season model: one colony, day by day, for a whole ensemble at once.

The reference kernel in NumPy. Members are the last axis; age classes come
first. The order of a day's events is that of ``docs/method/need.md``.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from breadline.errors import OurFault
from breadline.need.khoury import nursed_share, recruitment
from breadline.need.parameters import Parameters
from breadline.span import FloatArray

BLOCK = 2048  # members worked at once: large enough to hide the cost of a call, small enough for the cache
NURSE_DAYS = 10  # classes of young bees


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
    reference_load: float  # larvae a hive bee nurses without wear [cells/bee]
    wear_days: float  # days of full nursing that make wear 1 [d]


@dataclass(frozen=True)
class Drivers:
    """What the place does to the colony; arrays of shape (days, members) unless said."""

    t5_c: FloatArray  # mean temperature of five days [°C]
    flight_h: FloatArray  # [h]
    pollen: FloatArray  # forage, 0 to 1 [-]
    quality: FloatArray  # protein of that pollen against the reference [-]
    nectar: FloatArray  # 0 to 1 [-]
    season: FloatArray  # share of full laying [share]
    put_on_g: FloatArray  # protein feed put on, shape (days,) [g]


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
    reserve: FloatArray  # in the bees' bodies [g]
    signal: FloatArray  # recent protein, with feed [g/d]
    signal_unfed: FloatArray  # recent protein, without feed [g/d]
    wear: FloatArray  # mean wear of hive bees [-]
    load: FloatArray  # ten-day mean nursing load [-]
    patty: FloatArray  # feed left on the hive [g]
    wanted: FloatArray  # (9, members) eggs and larvae that bees and season allow [cells]

    def part(self, members: slice) -> Colony:
        """A copy of some members."""
        return Colony(**{f.name: getattr(self, f.name)[..., members].copy() for f in fields(self)})


@dataclass(frozen=True)
class Course:
    """What happened; every array has shape (days, members)."""

    adults: FloatArray  # [bees]
    brood: FloatArray  # all stages [cells]
    store_g: FloatArray  # bread at the end of the day [g]
    income_g: FloatArray  # pollen brought in [g pollen-equivalent/d]
    reach_g: FloatArray  # what foragers would bring if all of them went for pollen [g/d]
    need_g: FloatArray  # need of the brood that bees and season allow, and of the nurses [g/d]
    eaten_g: FloatArray  # feed eaten [g/d]
    emerged: FloatArray  # [bees/d]


COURSE = tuple(f.name for f in fields(Course))


def run(
    start: Colony, drivers: Drivers, par: Parameters, const: Constants, equivalence: FloatArray
) -> Course:
    """Run every member through the season.

    Parameters
    ----------
    start
        State on the first morning; it is copied, not changed.
    drivers
        Weather, forage and feed of each day and member.
    par
        One value a member.
    const
        The constants.
    equivalence
        Pollen that a gram of the feed eaten replaces, shape (members,). [g/g]

    Returns
    -------
    Course
        Every array of shape (days, members).

    Errors
    ------
    OurFault
        If a result is not finite.
    """
    days, members = drivers.t5_c.shape
    out = {name: np.empty((days, members)) for name in COURSE}
    for first in range(0, members, BLOCK):
        part = slice(first, min(first + BLOCK, members))
        day = Day(start.part(part), par.take(np.arange(members)[part]), const, equivalence[part])
        for t in range(days):
            today = Today(
                t5_c=drivers.t5_c[t, part],
                flight_h=drivers.flight_h[t, part],
                pollen=drivers.pollen[t, part],
                quality=drivers.quality[t, part],
                nectar=drivers.nectar[t, part],
                season=drivers.season[t, part],
                put_on_g=float(drivers.put_on_g[t]),
            )
            for name, value in zip(COURSE, day.live(today), strict=True):
                out[name][t, part] = value
    if not all(np.isfinite(a).all() for a in (out["adults"], out["need_g"], out["income_g"])):
        raise OurFault("season model", "a result is not a number", do="Please report this yard file")
    return Course(**out)


@dataclass(frozen=True)
class Today:
    """One day's drivers, each in the unit of its field in ``Drivers``; shape (members,)."""

    t5_c: FloatArray
    flight_h: FloatArray
    pollen: FloatArray
    quality: FloatArray
    nectar: FloatArray
    season: FloatArray
    put_on_g: float


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

    def live(self, now: Today) -> tuple[FloatArray, ...]:
        """One day, in the order of the method page; the fields of ``Course``, in the unit of each."""
        s, p = self.s, self.p
        emerged = self._age_brood()
        load = self._adults(now, emerged)
        in_hive = s.hive + s.young.sum(0)
        brood_need = p.cL * (self.share * s.larva).sum(0) / 1000.0
        adult_need = (p.cA * s.young.sum(0) + p.cO * s.hive * np.minimum(1.0, load)) / 1000.0
        need = brood_need + adult_need
        reach = self._reach(now)
        income = reach * pollen_share(p, s.store, need)
        potential = self._laying_potential(now, in_hive)
        s.patty += now.put_on_g
        offered = np.minimum(s.patty, p.umax * in_hive / 1000.0)
        eaten = self._eat(now, potential, need, in_hive)
        self._allocate(need, adult_need, in_hive, eaten, income)
        self._lay(now, potential, reach * p.pmax, offered)
        s.patty -= eaten
        wanted = p.cL * (self.share * s.wanted[3:]).sum(0) / 1000.0 + adult_need
        adults = s.hive + s.young.sum(0) + s.field
        brood = s.egg.sum(0) + s.larva.sum(0) + s.sealed.sum(0)
        return adults, brood, s.store.copy(), income, reach, wanted, eaten, emerged

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

    def _adults(self, now: Today, emerged: FloatArray) -> FloatArray:
        s, p, c = self.s, self.p, self.c
        in_hive = s.hive + s.young.sum(0)
        load = np.minimum(1.5, s.larva.sum(0) / (c.reference_load * np.maximum(in_hive, 1.0)))
        best = np.maximum(now.pollen, now.nectar)
        self.activity = p.dem0 + (1 - p.dem0) * 1.1 * best / (best + 0.1)
        self.flown = now.flight_h * c.phi * self.activity
        s.field *= (1 - p.mu0) * np.exp(-p.muf * self.flown)
        hive_left = s.hive * (1 - (p.mu0 + p.mu1 * s.wear))
        young_left = s.young * (1 - (p.mu0 + 0.5 * p.mu1 * load))
        joining = young_left[-1]
        joined = hive_left + joining
        brought = s.load * NURSE_DAYS / c.wear_days
        mixed = (s.wear * hive_left + brought * joining) / np.maximum(joined, 1e-9)
        s.wear = np.minimum(1.5, mixed + load / c.wear_days)
        s.load += (load - s.load) / 10.0
        s.young[1:] = young_left[:-1]
        s.young[0] = emerged
        s.hive = joined
        everyone = s.hive + s.young.sum(0) + s.field
        brake = p.alpha / (p.phimax * self.activity)  # the foragers' share settles below phimax
        recruits = recruitment(p.alpha, brake, s.field / np.maximum(everyone, 1e-9))
        going = s.hive * np.maximum(0.0, recruits) * np.minimum(1.0, now.flight_h / 4.0)
        s.hive = s.hive - going
        s.field = s.field + going
        return np.asarray(load)

    def _reach(self, now: Today) -> FloatArray:
        p = self.p
        trips = self.s.field * self.flown * p.tph * p.site
        return np.asarray(trips * self.c.load_g * now.pollen * now.quality)

    def _laying_potential(self, now: Today, in_hive: FloatArray) -> FloatArray:
        p = self.p
        by_numbers = np.asarray(now.season * p.Lmax * nursed_share(in_hive, p.v, p.c0))
        by_warmth = (p.b0 + p.b1 * np.maximum(0.0, now.t5_c)) * in_hive / 21.0
        return np.asarray(np.minimum(by_numbers, by_warmth))

    def _per_egg(self) -> FloatArray:
        return np.asarray((self.p.cL + NURSE_DAYS * self.p.cA) / 1000.0)

    def _eat(self, now: Today, potential: FloatArray, need: FloatArray, in_hive: FloatArray) -> FloatArray:
        s, p = self.s, self.p
        supply = (s.signal_unfed + now.season * s.store / p.Ts) / self._per_egg()
        sated = _held_back(potential, supply)
        wish = np.maximum(0.0, need + p.jc * in_hive / 1000.0 - s.reserve)
        eaten = np.minimum(s.patty, p.umax * in_hive / 1000.0 * np.maximum(p.umin, 1 - sated))
        # A feed that is worth nothing fills nobody: the wish limits only what counts.
        limit = np.divide(wish, self.eps, out=np.full_like(wish, np.inf), where=self.eps > 0)
        return np.asarray(np.minimum(eaten, limit))

    def _allocate(
        self,
        need: FloatArray,
        adult_need: FloatArray,
        in_hive: FloatArray,
        eaten: FloatArray,
        income: FloatArray,
    ) -> None:
        s, p = self.s, self.p
        useful = self.eps * eaten
        wish = np.maximum(0.0, need + p.jc * in_hive / 1000.0 - s.reserve)
        from_comb = np.minimum(s.store, np.maximum(0.0, wish - useful))
        pool = s.reserve + useful + from_comb
        pool = pool - np.minimum(pool, adult_need)
        for k in range(5, -1, -1):
            asked = p.cL * self.c.wk[k] * s.larva[k] / 1000.0
            given = np.minimum(pool, asked)
            fed = np.divide(given, asked, out=np.ones_like(asked), where=asked > 0)
            lost = s.larva[k] * (1 - fed)
            pool = pool - given + p.rho * lost * p.cL * self.invested[k] / 1000.0
            s.larva[k] = s.larva[k] * fed
        s.reserve = np.minimum(pool, p.jc * in_hive / 1000.0)
        s.store = s.store - from_comb + (pool - s.reserve) + income

    def _lay(self, now: Today, potential: FloatArray, could_bring: FloatArray, offered: FloatArray) -> None:
        s, p = self.s, self.p
        s.signal = s.signal + (could_bring + self.eps * offered - s.signal) / p.tx
        s.signal_unfed = s.signal_unfed + (could_bring - s.signal_unfed) / p.tx
        supply = (s.signal + now.season * s.store / p.Ts) / self._per_egg()
        s.egg[0] = potential * _held_back(potential, supply)
        s.wanted[0] = potential


def pollen_share(par: Parameters, store_g: FloatArray, need_g: FloatArray) -> FloatArray:
    """Share of the foragers that go for pollen: the fuller the comb, the fewer. [share]

    ``store_g`` [g], ``need_g`` [g/d] and ``par`` have shape (members,).
    """
    hunger = np.clip(1 - store_g / np.maximum(par.Rd * need_g, par.Sr), 0.0, 1.0)
    return np.asarray(par.pmin + (par.pmax - par.pmin) * hunger)


def _held_back(potential: FloatArray, supply: FloatArray) -> FloatArray:
    """Share of the eggs that the protein supply lets through. [share]"""
    ratio = potential / np.maximum(supply, 1e-9)
    return np.asarray((1.0 + np.minimum(ratio, 1e6) ** 3) ** (-1.0 / 3.0))
