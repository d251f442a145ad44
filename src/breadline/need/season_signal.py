"""The season as the colony reads it: day length and its trend, the same in both hemispheres."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.need.daylight import day_length_h, days_of_year
from breadline.span import FloatArray

# Below this swing (about 3 degrees of latitude) day length tells no season.
SMALLEST_SWING_H = 0.15


@dataclass(frozen=True)
class Season:
    """Day length and its monthly change, both from −1 to 1; shape (days,)."""

    rho: FloatArray  # day length, −1 on the shortest day to 1 on the longest [1]
    trend: FloatArray  # its monthly change against the largest of the year [1]


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
    trend = (length(days + half_month) - length(days - half_month)) / steepest
    return Season(rho=length(days) / swing, trend=trend)


def laying_season(season: Season, latitude: float, par: dict[str, FloatArray]) -> FloatArray:
    """Share of full laying that the season allows, shape (days, draws). [share]

    ``par`` holds smin, ls, d50, kd and wd, each of shape (draws,).
    """
    s0 = np.minimum(1.0, par["smin"] * np.exp((45.0 - abs(latitude)) / par["ls"]))
    signal = season.rho[:, None] + par["kd"] * season.trend[:, None] - par["d50"]
    return np.asarray(s0 + (1.0 - s0) / (1.0 + np.exp(-np.clip(signal / par["wd"], -60, 60))))


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
        Typical smin, ls, d50, kd and wd.
    rule
        When laying counts as stopped.
    """
    s0 = min(1.0, par["smin"] * float(np.exp((45.0 - abs(latitude)) / par["ls"])))
    if s0 >= rule.winter_share:
        return None
    days = start - np.timedelta64(rule.brood_days, "D") + np.arange(400 + rule.brood_days)
    season = season_of(days, latitude)
    arrays = {k: np.array([v]) for k, v in par.items()}
    laying = (laying_season(season, latitude, arrays)[:, 0] - s0) / (1 - s0)
    below = laying < rule.laying_share
    if below[0] and season.trend[rule.brood_days] < 0:
        return start  # the brood of this year is over, and winter is ahead
    falls = below[1:] & ~below[:-1]
    if not falls.any():
        return None
    return np.datetime64(days[1 + int(falls.argmax())] + np.timedelta64(rule.brood_days, "D"))
