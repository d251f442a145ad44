"""Weather as Breadline uses it, whatever file or service it came from.

Times are local *standard* time of the place (no daylight saving), held as naive
``datetime64``; each table says which offset that is. Missing values are NaN.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from breadline.language import Later, noted_as, say, say_as
from breadline.span import FloatArray

KINDS = (
    noted_as("weather", "dropped"), noted_as("weather", "filled"), noted_as("weather", "assumed"),
    noted_as("weather", "warning"),
)  # fmt: skip
Dates = NDArray[np.datetime64]


@dataclass(frozen=True)
class Station:
    """Where a table was measured or modelled, and under what terms."""

    source: str  # file name or service, as shown to the user
    latitude: float | None = None  # north of the equator [°]
    longitude: float | None = None  # east of Greenwich [°]
    utc_offset_hours: float | None = None  # of the local standard time used [h]
    licence: str = ""  # shown before first use where terms are not free for all
    typical_year: bool = False  # a made-up typical year: no year-to-year range


@dataclass(frozen=True)
class Hourly:
    """Hourly weather; every array has shape (hours,), times ascending without duplicates."""

    time: Dates  # datetime64[h], beginning of the hour, local standard time
    temp_c: FloatArray  # air temperature at 2 m [°C]
    rain_mm: FloatArray  # precipitation in the hour [mm]
    wind_ms: FloatArray  # wind at 10 m [m/s]
    sun_wm2: FloatArray  # global horizontal irradiance, mean of the hour [W/m²]
    station: Station


@dataclass(frozen=True)
class Daily:
    """Daily weather; every array has shape (days,), dates ascending without duplicates."""

    date: Dates  # datetime64[D]
    tmin_c: FloatArray  # [°C]
    tmax_c: FloatArray  # [°C]
    tmean_c: FloatArray  # [°C]
    rain_mm: FloatArray  # [mm]
    wind_ms: FloatArray  # daily mean at 10 m [m/s]
    station: Station


@dataclass(frozen=True)
class Note:
    """One thing that was dropped, filled or assumed while reading."""

    kind: str  # one of KINDS
    told: str | Later  # a sentence for the user, with the count and the period
    count: int = 0

    @property
    def text(self) -> str:
        """The sentence, in the language of whoever reads it now."""
        return str(self.told)

    @property
    def kind_words(self) -> str:
        """The kind in words."""
        return say_as("weather", self.kind)

    @property
    def said(self) -> str:
        """The text where it stands among others: what was dropped or filled says so first."""
        if self.kind not in ("dropped", "filled"):
            return self.text
        return say("{kind}: {text}", kind=self.kind_words.capitalize(), text=self.text)

    def plain(self) -> dict[str, Any]:
        """For a program: kind, text and count."""
        return {"kind": self.kind, "text": self.text, "count": self.count}


@dataclass(frozen=True)
class WeatherFile:
    """What a reader returns: one table (hourly or daily) and its report."""

    table: Hourly | Daily
    notes: tuple[Note, ...] = ()

    @property
    def hourly(self) -> bool:
        """True where the file carries hourly values."""
        return isinstance(self.table, Hourly)


@dataclass(frozen=True)
class SeasonWeather:
    """The season ahead as several paths; arrays of shape (paths, days).

    ``flight_h`` is the number of hours a day in which bees can fly (weighted
    0 to 1 by ``need.flight``), before the colony decides how much of it to use.
    """

    start: np.datetime64  # first day, datetime64[D]
    tmin_c: FloatArray  # [°C]
    tmax_c: FloatArray  # [°C]
    tmean_c: FloatArray  # [°C]
    flight_h: FloatArray  # [h/day]
    label: str  # "the last 15 years (2011 to 2025)", "made from 4 years", "one typical year"
    paths_are_years: bool  # False where the year-to-year range is made up or missing
    notes: tuple[Note, ...] = ()
    extra: dict[str, Any] = field(default_factory=dict)

    @property
    def years(self) -> int:
        """How many years of weather the paths come from."""
        return len(self.extra.get("years", ()))
