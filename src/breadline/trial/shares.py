"""Power of two bare shares, beside which a comparison by frames is held."""

from __future__ import annotations

from scipy import optimize, stats

from breadline.errors import TrialError
from breadline.language import say
from breadline.trial.size import MOST_UNITS

NO_COLONY = 1e-9  # where the search begins; less than half of one tells nothing [colonies]


def power_of_shares(unfed: int | float, fed: int | float, shares: tuple[float, float], alpha: float) -> float:
    """Chance that two shares are told apart, two-sided, the far tail left out [share].

    The normal approximation: the spread without a difference is that of both groups together, the
    spread with one that of each.

    Parameters
    ----------
    unfed, fed
        Colonies a group. [colonies]
    shares
        True shares, unfed then fed. [share]
    alpha
        Of the test. [share]

    Errors
    ------
    TrialError
        If a share is not between 0 and 1, or a group is empty.

    Sources
    -------
    For groups of one size as ``power.prop.test`` of the R package stats has it.
    """
    low, high = shares
    if not (0.0 <= low <= 1.0 and 0.0 <= high <= 1.0 and unfed > 0 and fed > 0):
        raise TrialError(
            "shares",
            say("{low:g} of {unfed:g} and {high:g} of {fed:g}", low=low, unfed=unfed, high=high, fed=fed),
            say("shares from 0 to 1 of at least one colony each"),
        )
    together = (unfed * low + fed * high) / (unfed + fed)
    without = (together * (1.0 - together) * (1.0 / unfed + 1.0 / fed)) ** 0.5
    apart = (low * (1.0 - low) / unfed + high * (1.0 - high) / fed) ** 0.5
    beyond = abs(high - low) - float(stats.norm.isf(alpha / 2.0)) * without
    if apart == 0.0:  # all of one group and none of the other, or no difference
        return 1.0 if beyond > 0 else 0.0
    return float(stats.norm.cdf(beyond / apart))


def unfed_for_shares(shares: tuple[float, float], fed_each: float, alpha: float, wanted: float) -> float:
    """Unfed colonies that tell two shares apart with power ``wanted`` [share], not rounded [colonies].

    Parameters
    ----------
    shares
        True shares, unfed then fed. [share]
    fed_each
        Fed colonies for each unfed one. [-]
    alpha, wanted
        Of the test, and its power. [share]

    Errors
    ------
    TrialError
        If the shares are alike, or no number of colonies would do.
    """

    def short(n: float) -> float:
        return power_of_shares(n, n * fed_each, shares, alpha) - wanted

    high = 2.0
    while short(high) < 0:
        high *= 2.0
        if high > MOST_UNITS:
            raise TrialError("shares", say("no number of colonies would do"), say("shares further apart"))
    return float(optimize.brentq(short, NO_COLONY, high, xtol=1e-9))
