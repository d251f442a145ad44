"""The arrays that the bread chart and its table show, worked out from an outlook."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from itertools import pairwise

import numpy as np

from breadline.errors import OurFault
from breadline.measures import Units
from breadline.need.outlook import Band, Outlook
from breadline.need.summary import JOIN_DAYS
from breadline.pictures.wording import per_week
from breadline.span import FloatArray

Flags = np.ndarray[tuple[int], np.dtype[np.bool_]]
WEEK = 7
HALF = 0.5  # bread is called missing from where at least half of the members are short


@dataclass(frozen=True)
class Series:
    """What is drawn; each array has shape (days,), those of frames fewer where frames end sooner.

    ``need`` and ``income`` are means of seven days around each day, in [lb/week] or [g/week],
    because single days of pollen jump with the weather and nobody feeds by the day.
    """

    dates: tuple[date, ...]
    need: Band
    income: Band
    missing: Flags  # days on which at least half are short, and the days between two such spells
    bread_days: Band
    frames: Band
    frames_fed: Band | None
    tells_short: bool = True  # False where the model does not fit the yard: no gap is drawn then

    @property
    def open_end(self) -> bool:
        """Whether bread is still missing on the last day: the shortage runs off the picture."""
        return bool(self.missing[-1] and self.need.middle[-1] > self.income.middle[-1])


def series_of(outlook: Outlook, units: Units) -> Series:
    """The drawn arrays of an outlook.

    Errors
    ------
    OurFault
        If the outlook is empty, holds a value that is not a number, or its arrays differ in length.
    """
    _check(outlook)
    tells_short = outlook.short_from is not None
    return Series(
        outlook.dates,
        _weekly(outlook.need_g, units),
        _weekly(outlook.income_g, units),
        joined((outlook.short >= HALF) & tells_short),
        outlook.bread_days,
        _frames(outlook.adults, outlook.bees_a_frame),
        None if outlook.adults_fed is None else _frames(outlook.adults_fed, outlook.bees_a_frame),
        tells_short,
    )


def joined(flags: Flags) -> Flags:
    """Days between two spells closer than a week count to them, as where the spells are said in words."""
    out = flags.copy()
    at = np.flatnonzero(flags)
    for first, following in pairwise(at.tolist()):
        if following - first <= JOIN_DAYS:
            out[first:following] = True
    return out


def around(values: FloatArray, days: int = WEEK) -> FloatArray:
    """Mean of ``days`` days around each day, shape kept; at both ends of the days there are."""
    half = days // 2
    total = np.concatenate([[0.0], np.cumsum(values)])
    first = np.maximum(np.arange(len(values)) - half, 0)
    last = np.minimum(np.arange(len(values)) + half + 1, len(values))
    return np.asarray((total[last] - total[first]) / (last - first))


def _weekly(band: Band, units: Units) -> Band:
    scale = per_week(1.0, units)
    # A quantile of week means still jumps from member to member; the drawn line is smoothed once more.
    return Band(*(around(a) * scale for a in (band.low, band.middle, band.high)))


def _frames(adults: Band, bees_a_frame: float) -> Band:
    return Band(adults.low / bees_a_frame, adults.middle / bees_a_frame, adults.high / bees_a_frame)


def _check(outlook: Outlook) -> None:
    days = len(outlook.dates)
    if not days:
        raise OurFault("bread chart", "the outlook holds no day", "at least one day")
    of_frames = (outlook.frames_until - outlook.dates[0]).days + 1
    arrays: list[tuple[str, FloatArray]] = [("short", outlook.short)]
    for item in fields(outlook):
        band = getattr(outlook, item.name)
        if isinstance(band, Band):
            arrays += [(f"{item.name}.{part}", getattr(band, part)) for part in ("low", "middle", "high")]
    for name, values in arrays:
        wanted = of_frames if name.startswith(("adults", "brood")) else days
        if values.shape != (wanted,):
            raise OurFault("bread chart", f"{name} has shape {values.shape}", f"shape ({wanted},)")
        bad = np.isnan(values) if name.startswith("bread_days") else ~np.isfinite(values)
        if bad.any():
            day = outlook.dates[int(np.argmax(bad))]
            raise OurFault("bread chart", f"{name} is not a number on {day}", "a finite number for each day")
