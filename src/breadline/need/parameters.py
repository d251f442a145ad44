"""The parameters of the season model, drawn jointly.

They come as whole sets from the joint search (``knowledge/season_draws.csv``); names
are those of ``docs/method/need.md``.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, fields, replace

import numpy as np
from scipy.special import ndtri

from breadline.span import FloatArray, Span


@dataclass(frozen=True)
class Parameters:
    """One value a draw; every array has shape (draws,).

    Sources
    -------
    See the entry ``season.<name>`` on the shelf for range, unit and source.
    """

    Lmax: FloatArray  # most eggs a day [eggs/d]
    v: FloatArray  # hive bees at half of the laying that numbers allow [bees]
    c0: FloatArray  # hive bees at the best brood per bee [bees]
    d50: FloatArray  # season signal at half laying [-]
    kd: FloatArray  # weight of the trend of day length [-]
    wd: FloatArray  # width of the season signal [-]
    smin: FloatArray  # laying left in winter at 45° [share]
    ls: FloatArray  # latitude over which that grows e-fold [degrees]
    wb: FloatArray  # laying of confined colonies once the days lengthen, at the spring equinox at 45° [share]
    alpha: FloatArray  # fastest recruitment to the field [1/d]
    phimax: FloatArray  # largest share of foragers [share]
    dem0: FloatArray  # flying when there is nothing to fetch [share]
    hr: FloatArray  # what a flight brings home, of the best, at half of full flying [share]
    mu0: FloatArray  # death of resting hive bees [1/d]
    muf: FloatArray  # death in flight [1/h flown]
    tph: FloatArray  # trips an hour flown [1/h]
    site: FloatArray  # how rich this place is in pollen [-]
    pmin: FloatArray  # least share of pollen foragers [share]
    pmax: FloatArray  # largest share of pollen foragers [share]
    Rd: FloatArray  # days of need that the colony wants stored [d]
    Sr: FloatArray  # store that the colony wants at least [g]
    cL: FloatArray  # pollen for one larva [mg]
    cA: FloatArray  # pollen a young bee eats [mg/d]
    cO: FloatArray  # pollen an older nursing bee eats [mg/d]
    jc: FloatArray  # reserve a young or hive bee can hold [mg]
    Ts: FloatArray  # days over which stored bread is spent on brood [d]
    kt: FloatArray  # how much slower bread is spent in a lean time of shortening days [-]
    tx: FloatArray  # memory of the protein signal [d]
    umax: FloatArray  # most feed a bee eats [mg/d]
    umin: FloatArray  # share of it eaten when sated [share]
    rho: FloatArray  # share of an eaten larva that comes back [share]

    @property
    def draws(self) -> int:
        """Number of draws."""
        return int(self.Lmax.shape[0])

    def take(self, index: np.ndarray | slice) -> Parameters:
        """The draws at ``index``, in that order."""
        return replace(self, **{f.name: getattr(self, f.name)[index] for f in fields(self)})


NAMES: tuple[str, ...] = tuple(f.name for f in fields(Parameters))


def joint_draws(
    shipped: Mapping[str, FloatArray],
    spans: Mapping[str, Span],
    edited: Collection[str],
    rng: np.random.Generator,
    draws: int,
) -> Parameters:
    """Draw all parameters together, so that pairs that trade off stay together.

    Whole sets are taken from the search's own. A parameter that it did not search is
    drawn from its span; one that the user edited keeps its rank among the sets and
    takes its value from the edited span.

    Parameters
    ----------
    shipped
        Sets that met the published facts; each array has shape (sets,).
    spans
        One span a name in ``NAMES``.
    edited
        Names whose span the user changed.
    draws
        How many. [-]
    """
    sets = next(iter(shipped.values())).shape[0]
    # Each set as often as any other, in a random order; what is over is drawn without repeats.
    order = np.concatenate([rng.permutation(sets) for _ in range(-(-draws // sets))])[:draws]
    free = rng.standard_normal((len(NAMES), draws))
    drawn: dict[str, FloatArray] = {}
    for k, name in enumerate(NAMES):
        span = spans[name]
        if name not in shipped:
            drawn[name] = span.at(free[k])
        elif name in edited:
            drawn[name] = span.at(_scores(shipped[name])[order])
        else:
            drawn[name] = shipped[name][order]
    return Parameters(**drawn)


def _scores(values: FloatArray) -> FloatArray:
    """Normal score of each value's rank among all; the shape of ``values``. [-]"""
    rank = values.argsort().argsort()
    return np.asarray(ndtri((rank + 0.5) / values.shape[0]))
