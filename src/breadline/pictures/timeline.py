"""The axis of time under all panels: months, or weeks where the outlook is short."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from breadline.need.words import short_day, short_month
from breadline.pictures.letters import text_width

SHORT_OUTLOOK = 70  # days below which weeks are ruled instead of months
GAP = 8.0  # between two names [px]


@dataclass(frozen=True)
class Mark:
    """A thin upright rule through all panels, and the name under the last one."""

    day: int
    name: str  # empty where there is no room for it
    rule: bool


def time_marks(first: date, span: float, width: float, size: float) -> list[Mark]:
    """Marks of an axis that starts on ``first`` and is ``span`` days and ``width`` pixels long.

    The year stands with the first name that has room for it, and with each January.
    """
    days, names = _weeks(first, span) if span < SHORT_OUTLOOK else _months(first, span)
    marks: list[Mark] = []
    free_from, told = 0.0, False
    for i, day in enumerate(days):
        x = day / span * width
        following = days[i + 1] / span * width - GAP if i + 1 < len(days) else width
        fits = [n for n in names[i] if x + text_width(n, size) <= (following if i == 0 else width)]
        # a year is told only where it does not push out the next month
        fits = [n for n in fits if n == names[i][-1] or x + text_width(n, size) <= following]
        if told and fits and not fits[-1].startswith("Jan"):
            fits = fits[-1:]
        name = fits[0] if fits and x >= free_from else ""
        told = told or (bool(name) and name != names[i][-1])
        free_from = max(free_from, x + text_width(name, size) + GAP) if name else free_from
        marks.append(Mark(day, name, day > 0))
    return marks


def _months(first: date, span: float) -> tuple[list[int], list[tuple[str, ...]]]:
    days: list[int] = []
    names: list[tuple[str, ...]] = []
    year, month = first.year, first.month
    while True:
        day = max(0, (date(year, month, 1) - first).days)
        if day >= span:
            return days, names
        short = short_month(month)
        long = (f"{short} {year}",)
        days.append(day)
        names.append((*long, short))
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)


def _weeks(first: date, span: float) -> tuple[list[int], list[tuple[str, ...]]]:
    days = list(range(0, max(1, int(span)), 7)) if span > 10 else list(range(int(span) + 1))
    return days, [(short_day(first + timedelta(d)),) for d in days]
