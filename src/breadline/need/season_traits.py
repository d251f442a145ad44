"""What a day asks of a member's parameters, in grams and worked out once.

Both engines read these numbers, so they start from the same digits; and what does
not change from day to day is not divided again on every one of them.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from itertools import accumulate
from typing import NamedTuple

import numpy as np

from breadline.need.parameters import Parameters
from breadline.need.season import FLIGHTS, NURSE_DAYS, Constants
from breadline.span import FloatArray

NOTHING = 1e-9  # keeps one over the worth of a feed finite [g/g]


@dataclass(frozen=True)
class Traits:
    """One value a member; every array has shape (members,)."""

    Lmax: FloatArray  # most eggs a day [eggs/d]
    v: FloatArray  # hive bees at half of the laying that numbers allow [bees]
    c0: FloatArray  # hive bees at the best brood per bee [bees]
    alpha: FloatArray  # fastest recruitment [1/d]
    brake: FloatArray  # what the share of foragers takes from it at full flying [1/d]
    dem0: FloatArray  # flying when there is nothing to fetch [share]
    rewarded: FloatArray  # flying that the best day adds, before it saturates [share]
    half_return: FloatArray  # what a flight brings home at half of full flying, squared [share²]
    alive: FloatArray  # hive bees of yesterday [share]
    mu0: FloatArray  # and those that died [share]
    risk: FloatArray  # death in one part of a day's flying [1/h flown]
    site: FloatArray  # how rich this place is in pollen [-]
    trip: FloatArray  # pollen of an hour flown where it blooms in full [g/h]
    pmin: FloatArray  # least share of pollen foragers [share]
    pmax: FloatArray  # largest share of pollen foragers [share]
    Rd: FloatArray  # days of need that the colony wants stored [d]
    Sr: FloatArray  # store that the colony wants at least [g]
    larva_g: FloatArray  # pollen for one larva [g]
    larvae_a_g: FloatArray  # the same, the other way round [larvae/g]
    young_g: FloatArray  # pollen a young bee eats [g/d]
    older_g: FloatArray  # pollen an older nursing bee eats [g/d]
    holds_g: FloatArray  # reserve a bee can hold [g]
    egg_g: FloatArray  # pollen an egg will ask for [g]
    eggs_a_g: FloatArray  # the same, the other way round [eggs/g]
    spend: FloatArray  # bread spent on brood [share/d]
    thrift: FloatArray  # half of how much slower in a lean time [-]
    follow: FloatArray  # how fast the protein signal follows [1/d]
    most_g: FloatArray  # most feed a bee eats [g/d]
    least_g: FloatArray  # what it eats when sated [g/d]
    rho: FloatArray  # share of an eaten larva that comes back [share]
    equivalence: FloatArray  # pollen that a gram of feed replaces [g/g]
    feed_a_g: FloatArray  # feed that replaces a gram of pollen, at most 1e9 [g/g]


TRAITS = tuple(f.name for f in fields(Traits))


def traits(par: Parameters, const: Constants, equivalence: FloatArray) -> Traits:
    """Worked out from parameters and ``equivalence`` [g/g], both of shape (members,)."""
    egg_g = par.cL / 1000.0 + NURSE_DAYS * (par.cA / 1000.0)
    return Traits(
        Lmax=par.Lmax,
        v=par.v,
        c0=par.c0,
        alpha=par.alpha,
        brake=par.alpha / par.phimax,
        dem0=par.dem0,
        rewarded=(1 - par.dem0) * (1 + par.hr * par.hr),
        half_return=par.hr * par.hr,
        alive=1 - par.mu0,
        mu0=par.mu0,
        risk=par.muf / FLIGHTS,
        site=par.site,
        trip=par.tph * par.site * const.load_g,
        pmin=par.pmin,
        pmax=par.pmax,
        Rd=par.Rd,
        Sr=par.Sr,
        larva_g=par.cL / 1000.0,
        larvae_a_g=1000.0 / par.cL,
        young_g=par.cA / 1000.0,
        older_g=par.cO / 1000.0,
        holds_g=par.jc / 1000.0,
        egg_g=egg_g,
        eggs_a_g=1.0 / egg_g,
        spend=1.0 / par.Ts,
        thrift=par.kt / 2.0,
        follow=1.0 / par.tx,
        most_g=par.umax / 1000.0,
        least_g=par.umax / 1000.0 * par.umin,
        rho=par.rho,
        equivalence=equivalence,
        feed_a_g=1.0 / np.maximum(equivalence, NOTHING),
    )


class Daily(NamedTuple):
    """The same for the constants; a plain tuple of numbers, which the compiler can take as it is."""

    keep_egg: float  # eggs of yesterday that are there today [share]
    keep_larva: float  # larvae [share]
    keep_sealed: float  # sealed brood [share]
    phi: float  # share of flight hours really flown [share]
    full_load: float  # hive bees that nurse a larva at full load [bees/cell]
    leaning: float  # how fast the memory of a lean time follows [1/d]
    full_day: float  # share of a full day for recruits that an hour is [1/h]
    wk: tuple[float, ...]  # share of a larva's need by day of its life, six of them [share]
    a_share: tuple[float, ...]  # the same, the other way round; nought where a day asks nothing [-]
    invested: tuple[float, ...]  # what went into it before, for a gram asked today [g/g]


def daily(const: Constants) -> Daily:
    """Worked out from the constants."""
    wk = tuple(float(share) for share in const.wk)
    a_share = tuple(1.0 / share if share > 0 else 0.0 for share in wk)
    before = accumulate((0.0, *wk[:-1]))
    return Daily(
        keep_egg=const.egg_survival ** (1 / 3),
        keep_larva=const.larva_survival ** (1 / 6),
        keep_sealed=const.sealed_survival ** (1 / 12),
        phi=const.phi,
        full_load=1.0 / const.reference_load,
        leaning=1.0 / const.lean_days,
        full_day=1.0 / const.recruit_hours,
        wk=wk,
        a_share=a_share,
        invested=tuple(g * a for g, a in zip(before, a_share, strict=True)),
    )
