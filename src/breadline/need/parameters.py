"""The parameters of the season model, drawn jointly.

Ranges and the pairs that trade off come from the shelf (``season.*``); names are
those of ``docs/method/need.md``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

import numpy as np

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
    spans: Mapping[str, Span], correlation: FloatArray, rng: np.random.Generator, draws: int
) -> Parameters:
    """Draw all parameters together, so that pairs that trade off stay together.

    A Gaussian copula: each parameter keeps its own span, ``correlation`` holds
    between the normal scores.

    Parameters
    ----------
    spans
        One span a name in ``NAMES``.
    correlation
        In the order of ``NAMES``, positive definite, shape (names, names). [-]
    draws
        How many. [-]
    """
    z = rng.standard_normal((draws, len(NAMES))) @ np.linalg.cholesky(correlation).T
    # Nothing is drawn beyond low and high: the model was searched only between them,
    # so the tenth that a span would put outside stays at the ends.
    drawn = {n: np.clip(spans[n].at(z[:, k]), spans[n].low, spans[n].high) for k, n in enumerate(NAMES)}
    return Parameters(**drawn)
