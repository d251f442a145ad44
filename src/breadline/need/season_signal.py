"""The season as the colony reads it: day length and its trend, the same in both hemispheres."""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Protocol

import numpy as np

from breadline.need.daylight import day_length_h, days_of_year
from breadline.span import FloatArray

# Below this swing (about 3 degrees of latitude) day length tells no season.
SMALLEST_SWING_H = 0.15
STEEPEST_AT_45_H = 1.575  # most that day length changes in 30 days at 45 degrees [h]; a test works it out
SERIES = tuple(1.0 / math.factorial(k) for k in range(8, -1, -1))  # of the exponential, highest power first


@dataclass(frozen=True)
class Season:
    """Day length and its monthly change, from −1 to 1; shape (days,).

    Where days shorten fast, far from the equator, brood ends sooner: so ``turn`` is
    stronger there than ``trend`` and weaker in the south.
    """

    rho: FloatArray  # day length, −1 on the shortest day to 1 on the longest [1]
    trend: FloatArray  # its monthly change against the largest of the year [1]
    turn: FloatArray  # the same, but shortening days count by hours lost, against 45° [1]


@dataclass(frozen=True)
class BroodEnd:
    """When laying counts as stopped for the winter (``outlook.*`` on the shelf)."""

    laying_share: float  # of the seasonal part of laying [share]
    winter_share: float  # winter laying above which there is no stop [share]
    brood_days: int  # from egg to bee [d]


def season_of(days: np.ndarray, latitude: float) -> Season:
    """The signal on the given dates.

    Parameters
    ----------
    days
        Dates, datetime64[D], shape (days,).
    latitude
        Degrees north; south is negative. [degrees]
    """
    # Day length in the south is that of the north half a year on, so the
    # formula itself carries the hemisphere.

    def length(on: np.ndarray) -> FloatArray:
        return np.asarray(day_length_h(latitude, days_of_year(on)) - 12.0)

    whole = length(np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]"))
    swing = max(float(whole.max()), SMALLEST_SWING_H)
    half_month = np.timedelta64(15, "D")
    monthly = np.roll(whole, -15) - np.roll(whole, 15)
    steepest = max(float(monthly.max()), SMALLEST_SWING_H / 2)
    change = (length(days + half_month) - length(days - half_month)) / steepest
    turn = np.where(change < 0, change * steepest / STEEPEST_AT_45_H, change)
    # In the south days shorten by a hundredth more than they lengthen; no laying must not become less.
    return Season(rho=length(days) / swing, trend=np.maximum(-1.0, change), turn=turn)


class LayingSeason(Protocol):
    """The parameters that laying takes from the season; each of shape (draws,)."""

    @property
    def smin(self) -> FloatArray: ...
    @property
    def ls(self) -> FloatArray: ...
    @property
    def wb(self) -> FloatArray: ...
    @property
    def d50(self) -> FloatArray: ...
    @property
    def kd(self) -> FloatArray: ...
    @property
    def wd(self) -> FloatArray: ...


def winter_share(latitude: float, par: LayingSeason) -> FloatArray:
    """Share of full laying left in the darkest time, more towards the equator, shape (draws,). [share]

    ``latitude`` in [degrees].
    """
    return np.asarray(np.minimum(1.0, par.smin * _southwards(latitude, par)))


def _southwards(latitude: float, par: LayingSeason) -> FloatArray:
    """How much more winter brood there is than at 45 degrees. [-]"""
    return np.asarray(np.exp((45.0 - abs(latitude)) / par.ls))


def exponential(x: FloatArray) -> FloatArray:
    """exp(x) by multiplication alone, so that every machine gets the same digits; any shape. [-]

    The power series of x/128, squared seven times: right to 1e-13 for x up to 9 and to
    1e-6 at 60; the share of laying made from it is right to 1e-14.
    """
    part = x * 0.0078125
    power = np.full_like(part, SERIES[0])
    for term in SERIES[1:]:
        power = power * part + term
    for _ in range(7):
        power = power * power
    return power


@dataclass(frozen=True)
class Laying:
    """What laying takes from the season, worked out once; every array has shape (draws,)."""

    winter: FloatArray  # laying in the darkest time [share]
    little: FloatArray  # what lengthening days add to it, at a trend of nought [share]
    d50: FloatArray  # season signal at half laying [-]
    kd: FloatArray  # weight of the trend of day length [-]
    steep: FloatArray  # one over the width of the season signal [-]

    def share(self, rho: float, trend: float, turn: float) -> FloatArray:
        """Share of full laying that the season allows on one day, shape (draws,). [share]

        ``rho``, ``trend`` and ``turn`` [-] are those of ``Season``. The floor is what is left in the
        darkest time and the little brood that confined colonies rear once the days lengthen.
        """
        floor = np.minimum(1.0, self.winter + self.little * (1.0 + trend))
        signal = np.clip((rho + self.kd * turn - self.d50) * self.steep, -60.0, 60.0)
        return np.asarray(floor + (1.0 - floor) / (1.0 + exponential(-signal)))


def laying(latitude: float, par: LayingSeason) -> Laying:
    """What the draws of ``par`` take from the season at a ``latitude`` [degrees]."""
    little = par.wb / 2.0 * _southwards(latitude, par)
    return Laying(winter_share(latitude, par), little, par.d50, par.kd, 1.0 / par.wd)


def last_brood_date(
    start: np.datetime64, latitude: float, par: dict[str, float], rule: BroodEnd
) -> np.datetime64 | None:
    """The day on which the last sizeable brood before winter has emerged.

    The season model is not trusted across winter, so an outlook stops here.
    ``None`` where winter brood never stops, as near the equator. On or before
    ``start`` where that brood has emerged already and winter lies ahead.

    Parameters
    ----------
    start
        First day of the outlook.
    latitude
        Degrees north. [degrees]
    par
        Typical smin, ls, wb, d50, kd and wd.
    rule
        When laying counts as stopped.
    """
    typical = SimpleNamespace(**{k: np.array([v]) for k, v in par.items()})
    if float(winter_share(latitude, typical)[0]) >= rule.winter_share:
        return None
    days = start - np.timedelta64(rule.brood_days, "D") + np.arange(400 + rule.brood_days)
    season = season_of(days, latitude)
    signal = (season.rho + par["kd"] * season.turn - par["d50"]) / par["wd"]
    laying = 1.0 / (1.0 + np.exp(-np.clip(signal, -60, 60)))  # the seasonal part, without the floor
    below = laying < rule.laying_share
    if below[0] and season.trend[rule.brood_days] < 0:
        return start  # the brood of this year is over, and winter is ahead
    falls = below[1:] & ~below[:-1]
    if not falls.any():
        return None
    return np.datetime64(days[1 + int(falls.argmax())] + np.timedelta64(rule.brood_days, "D"))
