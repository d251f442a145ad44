"""The colony models of Khoury, Barron and Myerscough, and the terms the season model shares with them.

Both models are kept as small integrators with their own step: they are the
measure against which the shared terms are checked, not the forecast.

Sources: khoury2011, khoury2013.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from breadline.errors import OurFault
from breadline.span import FloatArray

Numbers = float | FloatArray


def recruitment(alpha: Numbers, sigma: Numbers, forager_share: Numbers) -> Numbers:
    """Share of hive bees that take up foraging in a day [1/day]; negative when foragers turn back.

    ``alpha`` [1/day] is recruitment with no foragers at all, ``sigma`` [1/day] the
    social brake, ``forager_share`` the foragers' share of all adults [0-1].
    """
    return alpha - sigma * forager_share


def nursed_share(hive_bees: Numbers, half_at: Numbers, best_at: Numbers = 0.0) -> Numbers:
    """Share of laid eggs that a hive of this size can bring on [0-1]: X²/(X² + vX + c²).

    ``half_at`` [bees] is v, ``best_at`` [bees] the size c with the most brood a bee.
    Without it the term is X/(X+v) of khoury2013, one half at v bees; with it small
    colonies do worse, as harbo1986 counted.
    """
    squared = hive_bees * hive_bees
    return squared / (squared + half_at * hive_bees + best_at * best_at)


def fed_share(food: Numbers, half_at: Numbers) -> Numbers:
    """Share of full effect that a store allows [0-1]: f²/(f²+b²), half at ``half_at`` of the store."""
    squared = food * food
    return squared / (squared + half_at * half_at)


@dataclass(frozen=True)
class Khoury2011:
    """Parameters of the model of hive bees and foragers."""

    laying: float  # most eggs laid [1/day]
    half_size: float  # adults at which half of them are brought on [bees]
    alpha: float  # recruitment with no foragers [1/day]
    sigma: float  # social brake [1/day]
    death: float  # forager deaths [1/day]


@dataclass(frozen=True)
class Khoury2013:
    """Parameters of the model with uncapped brood and one store of food."""

    laying: float  # [1/day]
    capping: float  # uncapped brood that is capped [1/day]
    capped_days: float  # [day]
    alpha_min: float  # recruitment with plenty of food [1/day]
    alpha_max: float  # added when there is none [1/day]
    sigma: float  # [1/day]
    death: float  # [1/day]
    half_food: float  # food at half effect [g]
    half_hive: float  # hive bees at half brood survival [bees]
    gathered: float  # [g/day per forager]
    adult_eats: float  # [g/day per adult]
    brood_eats: float  # [g/day per uncapped brood]


def change_2011(colony: FloatArray, p: Khoury2011) -> FloatArray:
    """Daily change of (hive bees, foragers), shape (2,) [bees/day]."""
    hive, foragers = float(colony[0]), float(colony[1])
    adults = hive + foragers
    if adults <= 0.0:
        return np.zeros(2)
    emerging = p.laying * nursed_share(adults, p.half_size)
    recruits = hive * recruitment(p.alpha, p.sigma, foragers / adults)
    return np.array([emerging - recruits, recruits - p.death * foragers])


def path_2011(start: tuple[float, float], p: Khoury2011, days: float, step: float) -> FloatArray:
    """Hive bees and foragers after ``days``, shape (2,) [bees]; fourth-order Runge-Kutta."""
    colony = np.array(start, dtype=np.float64)
    for a, b in pairwise(np.linspace(0.0, days, round(days / step) + 1)):
        h = b - a
        k1 = change_2011(colony, p)
        k2 = change_2011(colony + h / 2 * k1, p)
        k3 = change_2011(colony + h / 2 * k2, p)
        k4 = change_2011(colony + h * k3, p)
        colony = colony + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
    return colony


def change_2013(colony: FloatArray, emerging: float, p: Khoury2013) -> FloatArray:
    """Daily change of (uncapped brood, hive bees, foragers, food), shape (4,) [1/day, g/day]."""
    brood, hive, foragers, food = (float(x) for x in colony)
    adults = hive + foragers
    fed = fed_share(food, p.half_food)
    laid = p.laying * fed * nursed_share(hive, p.half_hive)
    share = foragers / adults if adults > 0 else 0.0
    recruits = hive * recruitment(p.alpha_min + p.alpha_max * (1.0 - fed), p.sigma, share)
    eaten = p.adult_eats * adults + p.brood_eats * brood
    return np.array(
        [
            laid - p.capping * brood,
            emerging - recruits,
            recruits - p.death * foragers,
            p.gathered * foragers - eaten,
        ]
    )


def path_2013(start: FloatArray, p: Khoury2013, days: float, step: float) -> FloatArray:
    """Brood, hive bees, foragers and food after ``days``, shape (4,) [bees, g].

    Euler with a memory of ``capped_days``; no brood was capped before the start,
    and food cannot fall below nothing.

    Errors: OurFault if ``step`` is longer than the capped stage it has to resolve.
    """
    lag = round(p.capped_days / step)
    if p.capped_days > 0 and lag < 1:
        raise OurFault(
            "khoury model", f"step {step} day", f"below {p.capped_days} days", "Use a shorter step"
        )
    colony = np.array(start, dtype=np.float64)
    capped: list[float] = []
    for i in range(round(days / step)):
        capped.append(p.capping * float(colony[0]))
        emerging = capped[i - lag] if i >= lag else 0.0
        colony = np.maximum(colony + step * change_2013(colony, emerging, p), 0.0)
    return colony
