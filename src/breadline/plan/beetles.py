"""How long a patty may lie where small hive beetles are.

Beetles lay in the patty, eggs hatch, maggots grow. The warmer the patty, the faster;
it lies between the brood nest and the air outside. The limit is the time until the
maggots have grown a share of their growth, and never more than the keeper's own rule.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from scipy.special import ndtri

from breadline.errors import FigureError
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.words import counted
from breadline.span import FloatArray

Beetles = Literal["seen", "about", "none", "unknown"]
Place = Literal["above_brood", "beside_brood", "under_lid"]
POINTS = 1021  # of the lattice over the four unknowns; a prime, so that each is spread evenly
STEPS = (1, 76, 671, 967)  # powers of 76 modulo POINTS: a lattice of Korobov's kind
TENTHS = (0.1, 0.5, 0.9)
JUST = 1e-9  # so that 7 days minus rounding are 7 days


NOT_LOOKED = noted("beetles not looked for, so taken as there")


def beetles_known(seen: bool | None, in_district: bool | None) -> Beetles:
    """What is known of beetles, from the yard's facts and what the keeper knows of the district.

    Looked for and not seen counts as none where nobody knows of any in the district.
    """
    if seen:
        return "seen"
    if in_district:
        return "about"
    return "unknown" if seen is None and in_district is None else "none"


@dataclass(frozen=True)
class Rule:
    """Days within which a piece must be gone, whatever the warmth."""

    days: float  # [days]
    why: str


@dataclass(frozen=True)
class Lying:
    """How and where a patty lies."""

    beetles: Beetles
    outside_c: float  # mean air temperature of the days it will lie, day and night [°C]
    place: Place = "above_brood"
    rim: bool = True  # bees can walk over and under it
    own_rule_days: float | None = None  # the keeper's rule in place of the shipped ones [days]


@dataclass(frozen=True)
class Limit:
    """How long a piece may lie: to the whole day, a rule rounded down."""

    days: int  # what to plan with
    rule: Rule
    warmth_days: tuple[float, float, float] | None  # 10th, 50th, 90th percentile; None without beetles [days]
    patty_c: tuple[float, float, float]  # 10th, 50th, 90th percentile [°C]
    by_warmth: bool  # the warmth is stricter than the rule
    sentence: str


def rule(beetles: Beetles, outside_c: float, own_days: float | None, reader: Reader) -> Rule:
    """The rule that holds: the keeper's own, else the shipped one.

    Parameters
    ----------
    beetles
        Seen in these hives, about in the district, none there, or not known (taken as about).
    outside_c
        Mean air temperature of the days ahead. [°C]
    own_days
        The keeper's own rule. [days]

    Errors
    ------
    FigureError
        If the keeper's rule is no time at all.
    """
    if own_days is not None:
        if not 1.0 <= own_days < math.inf:
            raise FigureError(
                "your rule for beetles", say("{own_days:g} days", own_days=own_days), say("1 day or more")
            )
        return Rule(own_days, noted("your own rule"))
    if beetles == "none":
        return Rule(reader.typical("portion.days_elsewhere"), noted("no hive beetles here"))
    if beetles == "seen" and outside_c >= reader.typical("beetle.heat_c"):
        return Rule(reader.typical("ladder.beetle_days_strict"), noted("beetles seen, and it is hot"))
    why = {"seen": noted("beetles seen"), "about": noted("beetles in the district")}
    return Rule(reader.typical("ladder.beetle_days"), why.get(beetles, NOT_LOOKED))


def patty_c(outside_c: float, place: Place, reader: Reader) -> FloatArray:
    """Warmth of the patty, between the air outside and the brood nest, shape (POINTS,) [°C]."""
    if not -60.0 <= outside_c <= 55.0:
        raise FigureError(
            "air temperature outside",
            f"{outside_c:g} °C",
            say("−60 to 55 °C"),
            say("If you typed °F, enter {outside_c:.0f} °C", outside_c=(outside_c - 32) / 1.8),
        )
    share = reader.span(f"patty_place.{place}").at(_scores(0))
    return np.asarray(outside_c + share * (reader.typical("patty_place.brood_nest_c") - outside_c))


def stage_days(degree_days: FloatArray, base_c: float, patty: FloatArray, warmest_c: float) -> FloatArray:
    """Days that a stage takes, shape of ``patty``; infinite where it is too cold for it.

    Parameters
    ----------
    degree_days
        Warmth that the stage needs above ``base_c``. [°C·day]
    base_c
        Below it nothing develops. [°C]
    patty
        Warmth of the patty. [°C]
    warmest_c
        Above it no faster growth was measured, and none is reckoned with. [°C]

    Returns
    -------
    FloatArray
        [days]

    Sources
    -------
    [meikle2011] for sums and bases.
    """
    above = np.minimum(patty, warmest_c) - base_c
    with np.errstate(divide="ignore"):
        return np.where(above > 0.0, degree_days / np.maximum(above, 1e-12), np.inf)


def days_until_maggots(patty: FloatArray, reader: Reader) -> FloatArray:
    """Laying delay + egg to hatching + the borne share of a larva's growth, shape (POINTS,) [days].

    Patty in [°C], shape (POINTS,). The delay (0 to 2 days) and the share (40 %) are assumptions; the rest is
    [meikle2011].
    """
    warmest = reader.typical("beetle.warmest_measured_c")
    delay = np.maximum(reader.span("beetle.laying_delay_days").at(_scores(1)), 0.0)
    egg = stage_days(
        reader.span("beetle.egg_degree_days").at(_scores(2)),
        reader.typical("beetle.egg_base_c"),
        patty,
        warmest,
    )
    larva = stage_days(
        reader.span("beetle.larva_degree_days").at(_scores(3)),
        reader.typical("beetle.larva_base_c"),
        patty,
        warmest,
    )
    share = reader.typical("beetle.larva_share_borne")
    return delay + egg + (share * larva if share > 0.0 else 0.0)


def limit(lying: Lying, reader: Reader) -> Limit:
    """How long a piece may lie, to the whole day, at least one.

    With a rim the middle of the range of warmth holds, without one its cautious end:
    maggots live where bees cannot get at them. Never above the rule.
    """
    holds = rule(lying.beetles, lying.outside_c, lying.own_rule_days, reader)
    warm = patty_c(lying.outside_c, lying.place, reader)
    patty = _tenths(warm)
    if lying.beetles == "none":
        return Limit(_whole(holds.days), holds, None, patty, False, _by_rule(holds))
    low, middle, high = _tenths(days_until_maggots(warm, reader))
    warmth = middle if lying.rim else low
    by_warmth = warmth < holds.days
    days = max(1, min(round(min(warmth, holds.days)), _whole(holds.days)))
    said = _by_warmth(days, patty, lying) if by_warmth else _by_rule(holds)
    return Limit(days, holds, (low, middle, high), patty, by_warmth, said)


@cache
def _scores(unknown: int) -> FloatArray:
    """Normal scores of one unknown at the points of a lattice, shape (POINTS,) [1].

    A lattice in place of dice: the limit is the same whoever asks, and a patty a degree
    warmer is compared with itself.
    """
    even = np.arange(POINTS) * STEPS[unknown] % POINTS
    return np.asarray(ndtri((even + 0.5) / POINTS))


def _tenths(values: FloatArray) -> tuple[float, float, float]:
    """Quantiles that may be infinite: no value lies between two draws."""
    low, middle, high = np.quantile(values, TENTHS, method="lower")
    return float(low), float(middle), float(high)


def _whole(days: float) -> int:
    return max(1, math.floor(days + JUST))


def _by_rule(holds: Rule) -> str:
    return say(
        "To be gone within {days}: {why}.", days=counted(_whole(holds.days), "day"), why=say(holds.why)
    )


def _by_warmth(days: int, patty: tuple[float, float, float], lying: Lying) -> str:
    low, high = round(patty[0]), round(patty[2])
    warm = f"{high} °C" if low == high else say("{low} to {high} °C", low=low, high=high)
    more = "" if lying.rim else say("; without a rim bees can't get at all of it")
    more += f"; {say(NOT_LOOKED)}" if lying.beetles == "unknown" else ""
    return say(
        "To be gone within {days}: at {warm} maggots would have grown by then{more}.",
        days=counted(days, "day"),
        warm=warm,
        more=more,
    )
