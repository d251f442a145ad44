"""The colony on the first morning, from what a keeper counted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.need.parameters import Parameters
from breadline.need.season import NURSE_DAYS, Colony, Constants
from breadline.span import FloatArray


@dataclass(frozen=True)
class Counted:
    """What was counted, as draws; shape (members,)."""

    adults: FloatArray  # [bees]
    brood: FloatArray  # all stages [cells]
    bread_g: FloatArray  # [g]
    reserve_share: FloatArray  # how full the bees' bodies are [share]
    foragers: FloatArray  # share of adults [share]
    package: bool  # a package: bees of mixed age on bare comb, none reared here


def start_colony(counted: Counted, par: Parameters, const: Constants) -> Colony:
    """Spread adults and brood over their ages.

    Brood of a colony that has been laying steadily lies in the ages as 3 : 6 : 12
    days, thinned by their survival; the young bees are those that emerged from
    brood of the same size, but never more than half of the adults.
    """
    keep = _survival_to(const)
    steady = keep / keep.sum()
    ages = steady[:, None] * counted.brood[None, :]
    egg, larva, sealed = ages[:3], ages[3:9], ages[9:]
    emerging = sealed[-1]
    young_all = np.minimum(emerging * NURSE_DAYS, 0.5 * counted.adults)
    if counted.package:
        young_all = 0.3 * counted.adults
    field = counted.foragers * (counted.adults - young_all)
    young = np.repeat((young_all / NURSE_DAYS)[None, :], NURSE_DAYS, axis=0)
    hive = counted.adults - young_all - field
    in_hive = hive + young_all
    need_now = larva.sum(0) * par.cL / 6.0 / 1000.0 + par.cA * young_all / 1000.0
    zero = np.zeros_like(hive)
    return Colony(
        egg=egg.copy(),
        larva=larva.copy(),
        sealed=sealed.copy(),
        young=young,
        hive=hive,
        field=field,
        store=counted.bread_g.copy(),
        reserve=counted.reserve_share * par.jc * in_hive / 1000.0,
        # What was coming in is not counted; the brood that is there was fed by it.
        signal=need_now.copy(),
        signal_unfed=need_now.copy(),
        lean=need_now.copy(),
        patty=zero.copy(),
        wanted=ages[:9].copy(),
    )


def _survival_to(const: Constants) -> FloatArray:
    daily = np.concatenate(
        [
            np.full(3, const.egg_survival ** (1 / 3)),
            np.full(6, const.larva_survival ** (1 / 6)),
            np.full(12, const.sealed_survival ** (1 / 12)),
        ]
    )
    return np.concatenate([[1.0], np.cumprod(daily)[:-1]])
