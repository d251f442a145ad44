"""How far a chance can be trusted that rests on few years of weather."""

from __future__ import annotations

from math import sqrt

Z90 = 1.2815515655446004  # standard normal quantile of 0.9: the range then holds 8 in 10


def chance_range(chance: float, years: int) -> tuple[float, float]:
    """Where the true chance may lie, by Wilson's score interval over years. [share]

    Draws within one year share its weather, so the years are counted and not the
    draws; this is the widest case, in which each year falls short wholly or not at all.

    Parameters
    ----------
    chance
        Share of the ensemble that falls short. [share]
    years
        Years of weather behind it, 1 or more. [-]

    Returns
    -------
    tuple
        Lower and upper end, 10th and 90th percentile. [share]
    """
    extra = Z90**2 / years
    middle = (chance + extra / 2) / (1 + extra)
    half = sqrt(chance * (1 - chance) * extra + extra**2 / 4) / (1 + extra)
    return max(0.0, middle - half), min(1.0, middle + half)
