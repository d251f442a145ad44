"""How many unfed colonies could tell what: spread of the answer, power, smallest difference, classes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import optimize, stats

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.trial.classes import AnswerClass, Lines, class_of_interval

SPREAD_NODES = 64  # Gauss–Legendre nodes over the spread that the trial will happen to show
RARE = 1e-12  # of the spread's distribution left out at either end [share]
MOST_UNITS = 10_000_000  # a comparison that needs more is none


@dataclass(frozen=True)
class Precision:
    """How sharply a design will see a difference of two arms.

    Parameters
    ----------
    se
        Standard error of the difference. [unit of the outcome]
    df
        Degrees of freedom of the spread it is judged by. [-]
    """

    se: float
    df: float

    def __post_init__(self) -> None:
        if not (np.isfinite(self.se) and self.se > 0 and self.df >= 1):
            raise TrialError(
                "design",
                say(
                    "standard error {se:g} with {df:g} degrees of freedom cannot be judged",
                    se=self.se,
                    df=self.df,
                ),
                say("at least two units an arm beyond blocks and baseline, and a spread above 0"),
                say("Add colonies, or draw in fewer blocks"),
            )


@dataclass(frozen=True)
class ColonyDraw:
    """Colonies drawn one by one, within blocks or not.

    Parameters
    ----------
    check, fed
        Colonies an arm.
    sd
        Spread between colonies of one block. [unit of the outcome]
    baseline_r
        Correlation of the baseline with the outcome within blocks; 0 where there is none. [-]
    blocks
        Blocks drawn in; 1 where there are none.
    measures
        Baseline measures that are fitted.
    """

    check: int
    fed: int
    sd: float
    baseline_r: float
    blocks: int
    measures: int

    @property
    def precision(self) -> Precision:
        """Standard error and degrees of freedom, shares of arms taken as alike in all blocks."""
        units = 1.0 / max(self.check, 1) + 1.0 / max(self.fed, 1)
        df = self.check + self.fed - 1 - self.blocks - self.measures
        if min(self.check, self.fed) < 1:
            df = 0
        return Precision(_left_of(self.sd, self.baseline_r) * float(np.sqrt(units)), df)


@dataclass(frozen=True)
class YardDraw:
    """Whole yards drawn, each fed or not, the yard being the unit.

    Parameters
    ----------
    check, fed
        Yards an arm.
    colonies
        Colonies graded a yard.
    sd
        Spread between all colonies, that of yards included. [unit of the outcome]
    icc
        Share of that variance which lies between yards. [share]
    baseline_r
        Correlation of the baseline with the outcome among colonies of a yard. [-]
    pairs
        Whether yards are matched in pairs and drawn within them.
    mean
        Of the check yards, where the spread of an arm grows with its mean; 0 where it does not.
        [unit of the outcome]
    """

    check: int
    fed: int
    colonies: int
    sd: float
    icc: float
    baseline_r: float
    pairs: bool
    mean: float = 0.0

    @property
    def precision(self) -> Precision:
        """Standard error and degrees of freedom; pairing is taken to sharpen nothing."""
        if not 0.0 <= self.icc <= 1.0:
            raise TrialError("intraclass correlation", f"{self.icc}", say("0 to 1"))
        within = _left_of(self.sd, self.baseline_r) ** 2 * (1.0 - self.icc) / max(self.colonies, 1)
        yard = float(np.sqrt(self.sd**2 * self.icc + within))
        units = 1.0 / max(self.check, 1) + 1.0 / max(self.fed, 1)
        df = self.check - 1 if self.pairs else self.check + self.fed - 2
        return Precision(yard * float(np.sqrt(units)), df if min(self.check, self.fed) >= 1 else 0)


def design_effect(colonies: float, icc: float, size_cv: float) -> float:
    """How many times the variance grows when whole yards are drawn [-].

    Parameters
    ----------
    colonies
        Colonies a yard, on average. [colonies]
    icc
        Share of the variance that lies between yards. [share]
    size_cv
        Spread of yard sizes over their mean; 0 where all are alike. [-]

    Sources
    -------
    [eldridge2006] for unequal yards.
    """
    return 1.0 + ((1.0 + size_cv**2) * colonies - 1.0) * icc


def power(benefit: float, precision: Precision, alpha: float) -> float:
    """Chance that a true ``benefit`` [unit of the outcome] is told from 0, two-sided at ``alpha`` [share]."""
    reach = float(stats.t.isf(alpha / 2.0, precision.df))
    ncp = abs(benefit) / precision.se
    return _beyond(reach, precision.df, ncp) + _beyond(reach, precision.df, -ncp)


def chance_told_above(line: float, benefit: float, precision: Precision, level: float) -> float:
    """Chance [share] that the interval at ``level`` [share] lies wholly above ``line`` [unit of the outcome].

    ``benefit`` is the true one [unit of the outcome].
    """
    reach = float(stats.t.ppf((1.0 + level) / 2.0, precision.df))
    return _beyond(reach, precision.df, (benefit - line) / precision.se)


def smallest_difference(precision: Precision, alpha: float, wanted: float) -> float:
    """Smallest difference [unit of the outcome] told from 0 with power ``wanted`` at ``alpha`` [share].

    Told from another line than 0, it is that line plus as much.
    """

    def short(ncp: float) -> float:
        return power(ncp * precision.se, precision, alpha) - wanted

    return precision.se * _root(short, 0.0)


def colonies_per_group(benefit: float, sd: float, alpha: float, wanted: float) -> float:
    """Colonies in each of two equal groups for power ``wanted`` [share], not rounded [colonies].

    ``benefit`` and ``sd`` are in the unit of the outcome [unit of the outcome], ``alpha`` a [share].
    """

    def short(n: float) -> float:
        return power(benefit, Precision(sd * float(np.sqrt(2.0 / n)), 2.0 * n - 2.0), alpha) - wanted

    if benefit == 0:
        raise TrialError(
            "benefit",
            "0",
            say("a difference to be told"),
            say("No number of colonies tells nothing from nothing"),
        )
    return _root(short, 2.0)


def class_chances(
    benefit: float, precision: Precision, lines: Lines, level: float
) -> dict[AnswerClass, float]:
    """Chance of each class A to G at a true ``benefit`` [unit of the outcome], each a [share].

    The estimate is normal about the benefit, its standard error as chi-square shows it; for each
    standard error the estimates are cut where the class changes. ``level`` is the interval's [share].
    """
    at, weight = np.polynomial.legendre.leggauss(SPREAD_NODES)
    low, high = stats.chi.ppf(RARE, precision.df), stats.chi.isf(RARE, precision.df)
    spread = (low + high) / 2.0 + (high - low) / 2.0 * at
    weight = weight * (high - low) / 2.0 * stats.chi.pdf(spread, precision.df)
    reach = float(stats.t.ppf((1.0 + level) / 2.0, precision.df)) * precision.se / np.sqrt(precision.df)
    chances: dict[AnswerClass, float] = {c: 0.0 for c in AnswerClass if c != AnswerClass.NOT_FAIR}
    for half, share in zip((reach * spread).tolist(), (weight / weight.sum()).tolist(), strict=True):
        for given, chance in _at_spread(half, benefit, precision.se, lines):
            chances[given] += share * chance
    return chances


def _at_spread(half: float, benefit: float, se: float, lines: Lines) -> list[tuple[AnswerClass, float]]:
    """Class and chance of each stretch of estimates whose interval reaches ``half`` either way."""
    ends = (0.0, max(lines.break_even, 0.0), lines.margin, -lines.margin)
    cuts = np.unique([line + side * half for line in ends for side in (-1.0, 1.0)])
    inside = np.concatenate([[cuts[0] - se], (cuts[1:] + cuts[:-1]) / 2.0, [cuts[-1] + se]])
    below = np.concatenate([[0.0], stats.norm.cdf((cuts - benefit) / se), [1.0]])
    given = [class_of_interval(middle - half, middle + half, lines) for middle in inside.tolist()]
    return list(zip(given, np.diff(below).tolist(), strict=True))


def _beyond(reach: float, df: float, ncp: float) -> float:
    """Chance of a noncentral t above ``reach``; scipy gives no number far out in a tail."""
    chance = float(stats.nct.sf(reach, df, ncp)) if ncp else float(stats.t.sf(reach, df))
    if np.isfinite(chance):
        return min(max(chance, 0.0), 1.0)
    return float(_beyond_by_spread(reach, df, ncp))


def _beyond_by_spread(reach: float, df: float, ncp: float) -> FloatArray:
    """The same chance integrated over the spread: P(Z + ncp > reach · chi / √df)."""
    at, weight = np.polynomial.legendre.leggauss(SPREAD_NODES)
    low, high = stats.chi.ppf(RARE, df), stats.chi.isf(RARE, df)
    spread = (low + high) / 2.0 + (high - low) / 2.0 * at
    weight = weight * (high - low) / 2.0 * stats.chi.pdf(spread, df)
    chance: FloatArray = np.sum(weight * stats.norm.sf(reach * spread / np.sqrt(df) - ncp))
    return chance


def _left_of(sd: float, baseline_r: float) -> float:
    """Spread that the baseline leaves."""
    if not -1.0 < baseline_r < 1.0:
        raise TrialError("baseline correlation", f"{baseline_r}", say("above -1 and below 1"))
    return float(sd * np.sqrt(1.0 - baseline_r**2))


def _root(short: Callable[[float], float], low: float) -> float:
    """Where power stops being short; ``low`` itself where it never was."""
    if short(low) >= 0:
        return low
    high = max(2.0 * low, 4.0)
    while short(high) < 0:
        high *= 2.0
        if high > MOST_UNITS:
            raise TrialError(
                "design", say("no number of colonies would do"), say("a difference larger than that")
            )
    return float(optimize.brentq(short, low, high, xtol=1e-9))
