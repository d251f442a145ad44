"""What a reader hands on, before it is checked: rows as they stood in the file."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from breadline.span import FloatArray
from breadline.weather.table import Dates, Note, Station

Step = Literal["hour", "day"]


@dataclass(frozen=True)
class Origin:
    """Where a file comes from, and what the user said about the place."""

    name: str  # file or service, as shown to the user
    latitude: float | None = None  # [degrees north]
    longitude: float | None = None  # [degrees east]
    today: date | None = None  # rows far after it are dropped; None: no check
    units: dict[str, str] = field(default_factory=dict)  # column → "temp [°C]"


@dataclass(frozen=True)
class Readings:
    """Rows of one file, in SI units, any order; arrays of shape (rows,).

    ``values`` is keyed by the fields of ``Hourly`` or ``Daily``; a column that the
    file does not have is absent. ``time`` is local standard time, or the wall
    clock where ``wall_clock`` says that daylight saving may be in it.
    """

    time: Dates  # datetime64[s] or coarser
    values: dict[str, FloatArray]
    station: Station
    step: Step
    notes: tuple[Note, ...] = ()
    wall_clock: bool = False
