"""The axis of time under all panels: months, or weeks where the outlook is short."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from breadline.pictures.letters import text_width
from breadline.pictures.wording import MONTHS, short_date

SHORT_OUTLOOK = 70  # days below which weeks are ruled instead of months
GAP = 8.0  # between two names [px]


@dataclass(frozen=True)
class Mark:
    """A thin upright rule through all panels, and the name under the last one."""

    day: int
    name: str  # empty where there is no room for it
    rule: bool


def time_marks(first: date, span: float, width: float, size: float) -> list[Mark]:
    """Marks of an axis that starts on ``first`` and is ``span`` days and ``width`` pixels long."""
    days, names = _weeks(first, span) if span < SHORT_OUTLOOK else _months(first, span)
    marks: list[Mark] = []
    free_from = 0.0
    for i, day in enumerate(days):
        x = day / span * width
        # the first name may begin in the middle of a month: the month after it has the first right
        end = days[1] / span * width - GAP if i == 0 and len(days) > 1 else width
        name = next((n for n in names[i] if x >= free_from and x + text_width(n, size) <= end), "")
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
        short = MONTHS[month - 1][:3]
        long = (f"{short} {year}",) if not days or month == 1 else ()
        days.append(day)
        names.append((*long, short))
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)


def _weeks(first: date, span: float) -> tuple[list[int], list[tuple[str, ...]]]:
    days = list(range(0, max(1, int(span)), 7)) if span > 10 else list(range(int(span) + 1))
    return days, [(short_date(first + timedelta(d)),) for d in days]
