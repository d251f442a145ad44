"""The published experiments, run through the season model: a number a draw for each fact."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.stats import norm
from scripts.season_search.places import Feeding, place

from breadline.need.parameters import Parameters
from breadline.need.season import Colony, Constants, Course, Drivers, run
from breadline.need.season_day import Day, today
from breadline.need.start import Counted, start_colony
from breadline.span import FloatArray

Facts = dict[str, FloatArray]


@dataclass(frozen=True)
class Colonies:
    """Some colonies of each draw, side by side: draws vary slowest."""

    par: Parameters
    each: int  # colonies a draw

    @property
    def draws(self) -> int:
        return self.par.draws

    @property
    def members(self) -> Parameters:
        return self.par.take(np.repeat(np.arange(self.draws), self.each))

    @property
    def which(self) -> np.ndarray:
        return np.tile(np.arange(self.each), self.draws)

    def by_draw(self, values: FloatArray) -> FloatArray:
        """Last axis split into (draws, colonies of a draw)."""
        return values.reshape(*values.shape[:-1], self.draws, self.each)


def begin(
    of: Colonies, const: Constants, adults: FloatArray, brood: FloatArray, bread_g: FloatArray, full: float
) -> Colony:
    """Each colony of a draw from its own count; ``full`` is how full the bees' bodies are [share]."""

    def spread(values: FloatArray) -> FloatArray:
        return np.broadcast_to(np.asarray(values, dtype=np.float64), (of.each,))[of.which]

    n = of.draws * of.each
    counted = Counted(
        adults=spread(adults),
        brood=spread(brood),
        bread_g=spread(bread_g),
        reserve_share=np.full(n, full),
        foragers=np.full(n, 0.2),
        package=False,
    )
    return start_colony(counted, of.members, const)


def live(
    of: Colonies, start: Colony, here: Drivers, const: Constants, equivalence: float | FloatArray = 0.0
) -> Course:
    """The season of all colonies."""
    worth = np.broadcast_to(np.asarray(equivalence, dtype=np.float64), (of.draws * of.each,))
    return run(start, here, of.members, const, worth)


def one(value: float) -> FloatArray:
    return np.array([value])


def scotland(par: Parameters, const: Constants, years: int, seed: int) -> Facts:
    """A whole year from 27 September; mean over the random years."""
    of = Colonies(par, years)
    here = place("scotland", "2026-09-27", 366, of.which, years=years, seed=seed)
    c = live(of, begin(of, const, one(13_000), one(300), one(750), 1.0), here, const)
    day = {d: int((np.datetime64(d) - np.datetime64("2026-09-27")).astype(int)) for d in
           ("2027-01-15", "2027-05-27", "2027-06-01", "2027-07-31", "2027-09-01", "2027-09-27")}  # fmt: skip
    peak_brood = c.brood.argmax(0)
    adults, june, july = c.adults, day["2027-06-01"], day["2027-07-31"]
    died = adults[june] - adults[july] + c.emerged[june + 1 : july + 1].sum(0)
    lived = adults[june:july].sum(0)
    first = 269  # 27 September is day 270 of 2026
    facts = {
        "late_may_adults": adults[day["2027-05-27"]],
        "peak_adults": adults.max(0),
        "peak_day": (adults.argmax(0) + first) % 365 + 1.0,
        "september_adults": adults[day["2027-09-27"]],
        "late_may_brood": c.brood[day["2027-05-27"]],
        "peak_brood": c.brood.max(0),
        "peak_brood_day": (peak_brood + first) % 365 + 1.0,
        "september_brood": c.brood[day["2027-09-27"]],
        "early_september_brood": c.brood[day["2027-09-01"]] / np.maximum(c.brood.max(0), 1.0),
        "year_pollen": (c.income_g.sum(0) - c.store_g[-1] + 750.0) / 1000.0,
        "store_at_peak": np.take_along_axis(c.store_g, peak_brood[None], 0)[0],
        "september_store": c.store_g[day["2027-09-27"]],
        "january_brood": c.brood[day["2027-01-15"]],
        "summer_life": lived / np.maximum(died, 1.0),
        "mg_a_bee": 1000.0 * (c.income_g.sum(0) - c.store_g[-1] + 750.0) / np.maximum(c.emerged.sum(0), 1.0),
    }
    # In June there is so much to bring that bees fly whenever they can.
    flights = here.flight_h[june : june + 30].mean() * const.phi * par.tph * par.site
    return {**{n: of.by_draw(values).mean(-1) for n, values in facts.items()}, "trips_a_day": flights}


def germany(par: Parameters, const: Constants, years: int, seed: int) -> Facts:
    """End of October to early March."""
    of = Colonies(par, years)
    here = place("germany", "2026-10-28", 128, of.which, years=years, seed=seed)
    c = live(of, begin(of, const, one(12_000), one(800), one(800), 1.0), here, const)
    return {"winter_kept": of.by_draw(c.adults[-1] / 12_000).mean(-1)}


def manitoba(par: Parameters, const: Constants) -> Facts:
    """Three sizes on 1 October, confined from 5 December to 11 March."""
    of = Colonies(par, 3)
    here = place("manitoba", "2026-10-01", 162, np.zeros(par.draws * 3, dtype=np.int64))
    start = begin(of, const, np.array([16e3, 20e3, 24e3]), one(1_500), one(1_000), 1.0)
    c = live(of, start, here, const)
    confined = 65  # 5 December
    last = c.adults.shape[0] - 1
    ages = last - np.arange(confined, last + 1)
    alive = (c.emerged[confined:] * (1 - of.members.mu0) ** ages[:, None]).sum(0)
    facts = {
        "confined_sealed": c.sealed[confined:].min(0),
        "march_adults": c.adults[-1],
        "winter_reared": alive / c.adults[-1],
    }
    return {name: of.by_draw(values).mean(-1) for name, values in facts.items()}


STORES = 12  # colonies on their combs of bread, at the quantiles of a spread that nobody measured
SIZES = (9_000.0, 13_000.0)


def tucson(par: Parameters, const: Constants) -> Facts:
    """Four months from mid-October without pollen, on syrup alone and fed; start judged."""
    of = Colonies(par, STORES * len(SIZES))
    share = (np.arange(STORES) + 0.5) / STORES
    bread = np.tile(400.0 * np.exp(0.9 * norm.ppf(share)), len(SIZES))
    adults = np.repeat(SIZES, STORES)
    start = begin(of, const, adults, 0.25 * adults, bread, 0.5)
    path = np.zeros(par.draws * of.each, dtype=np.int64)
    bare = place("tucson", "2026-10-15", 121, path)
    weekly = tuple(str(np.datetime64("2026-10-15") + 7 * k) for k in range(17))
    fed = place("tucson", "2026-10-15", 121, path, feeding=Feeding(weekly, 450.0))
    # Over 300 cells, softened so that one cell more or less does not move a whole colony.
    kept = {
        "syrup_only_brood": live(of, start, bare, const).brood[-1],
        "fed_brood": live(of, start, fed, const, 0.8).brood[-1],
    }
    soft = {name: 1 / (1 + (300.0 / np.maximum(brood, 1e-3)) ** 4) for name, brood in kept.items()}
    return {name: of.by_draw(values).mean(-1) for name, values in soft.items()}


def foothills(par: Parameters, const: Constants, equivalence: FloatArray | None = None) -> Facts:
    """August to 5 February: nothing, a trickle of pollen, and fed."""
    of = Colonies(par, 1)
    path = np.zeros(par.draws, dtype=np.int64)
    rounds = tuple(str(np.datetime64("2026-08-01") + 14 * k) for k in range(7))
    feeding = Feeding((*rounds, "2027-01-02", "2027-01-16"), 450.0)
    start = begin(of, const, one(14_000), one(9_000), one(200), 0.5)
    bare = live(of, start, place("foothills", "2026-08-01", 189, path), const).adults[-1]
    trickle = place("foothills", "2026-08-01", 189, path, pollen_floor=0.1)
    facts = {"trickle": live(of, start, trickle, const).adults[-1] / np.maximum(bare, 1.0)}
    if equivalence is not None:
        fed = place("foothills", "2026-08-01", 189, path, feeding=feeding)
        facts["dearth_gain"] = np.log(
            np.maximum(live(of, start, fed, const, equivalence).adults[-1], 1.0) / np.maximum(bare, 1.0)
        )
    return facts


def north_china(par: Parameters, const: Constants) -> Facts:
    """48 days of early spring with pollen always on the hive; start sizes judged.

    How much of it a bee eats belongs to the feed: small free colonies ate 4.2 to 6.8 mg of
    a pollen diet a bee and day (brodschneider2010, read).
    """
    of = Colonies(replace(par, umax=np.linspace(4.2, 6.8, par.draws)), 3)
    days = tuple(str(np.datetime64("2027-03-01") + 4 * k) for k in range(12))
    path = np.zeros(par.draws * 3, dtype=np.int64)
    here = place("north_china", "2027-03-01", 48, path, feeding=Feeding(days, 600.0))
    adults = np.array([8e3, 11e3, 14e3])
    c = live(of, begin(of, const, adults, 0.4 * adults, one(500), 0.5), here, const, 1.0)
    return {"workers_48_days": of.by_draw(c.emerged.sum(0)).mean(-1)}


def rich_spring(par: Parameters, const: Constants) -> Facts:
    """A rich spring, fed and unfed, begun with much and with little bread."""
    of = Colonies(par, 2)
    path = np.zeros(par.draws * 2, dtype=np.int64)
    start = begin(of, const, one(9_000), one(1_500), np.array([2_000.0, 150.0]), 0.7)
    feeding = Feeding(("2027-02-01", "2027-02-15", "2027-03-01", "2027-03-15"), 450.0)
    bare = live(of, start, place("piedmont", "2027-02-01", 80, path), const)
    fed = live(of, start, place("piedmont", "2027-02-01", 80, path, feeding=feeding), const, 0.5)
    gain = of.by_draw(np.log(fed.adults[-1] / bare.adults[-1]))
    return {"rich_spring_gain": gain[:, 0], "poor_store_gain": gain[:, 1]}


def warm_autumn(par: Parameters, const: Constants) -> Facts:
    """Late September to the end of the year where autumn is warm."""
    of = Colonies(par, 1)
    here = place("piedmont", "2026-09-27", 96, np.zeros(par.draws, dtype=np.int64))
    late = live(of, begin(of, const, one(13_000), one(300), one(750), 1.0), here, const)
    return {"warm_autumn": late.adults[-1]}


def southern_autumn(par: Parameters, const: Constants) -> Facts:
    """From May to October in the south, where brood goes on."""
    of = Colonies(par, 1)
    here = place("piedmont", "2026-05-10", 145, np.zeros(par.draws, dtype=np.int64))
    c = live(of, begin(of, const, one(20_000), one(18_000), one(1_000), 0.8), here, const)
    return {"south_october_brood": c.brood[144] / np.maximum(c.brood[36], 1.0)}


def five_days(par: Parameters, const: Constants) -> Facts:
    """Five days without flight on empty combs in June."""
    of = Colonies(par, 1)
    start = begin(of, const, one(12_000), one(9_000), one(0), 0.5)
    here = place("scotland", "2027-06-01", 5, np.zeros(par.draws, dtype=np.int64))
    here.flight_h[:] = 0.0
    here.pollen[:] = 0.0
    here.nectar[:] = 0.0
    day = Day(start.part(slice(None)), par, const, np.zeros(par.draws))
    full = np.ones((5, par.draws))
    for t in range(5):
        day.live(today(here, full, t))
    return {
        # Five days on, larvae of day 1 and 2 would be of day 6 or newly sealed; those of day 4 to 6 sealed.
        "young_larvae_kept": (day.s.larva[5] + day.s.sealed[0]) / start.larva[:2].sum(0),
        "old_larvae_kept": day.s.sealed[2:5].sum(0) / start.larva[3:].sum(0),
    }


def size_alone(par: Parameters) -> Facts:
    """Brood a bee against colony size, from the laying curve itself."""

    def a_bee(bees: float) -> FloatArray:
        return np.asarray(bees / (bees * bees + par.v * bees + par.c0 * par.c0))

    return {
        "best_size": par.c0.copy(),  # where X / (X² + vX + c0²) is largest
        "per_bee_17": a_bee(17_000) / a_bee(4_500),
        "per_bee_35": a_bee(35_000) / a_bee(4_500),
    }


def fitted_facts(par: Parameters, const: Constants, years: int, seed: int) -> Facts:
    """Every fact that the search may see."""
    confined = manitoba(par, const)
    return {
        **scotland(par, const, years, seed),
        **germany(par, const, years, seed),
        **tucson(par, const),
        **five_days(par, const),
        **size_alone(par),
        **southern_autumn(par, const),
        **foothills(par, const),
        "confined_sealed": confined["confined_sealed"],
        "rich_spring_gain": rich_spring(par, const)["rich_spring_gain"],
    }
