"""How dates, frames, spans of time and temperatures are said to a keeper."""

from __future__ import annotations

from datetime import date, timedelta
from math import isinf

from breadline.need.few_years import chance_range

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_QUARTERS = ("", "¼", "½", "¾")
_WEEK = 7
HALF_A_YEAR = timedelta(days=183)
_DAYS_STILL_SAID = 13  # 10 days are no week


def day(on: date, today: date | None = None) -> str:
    """A date as "10 February"; "10 February 2028" where it lies more than half a year from ``today``."""
    return f"{on.day} {MONTHS[on.month - 1]}{_year(on, today)}"


def short_day(on: date, today: date | None = None) -> str:
    """A date as "10 Feb", or "10 Feb 2028" in the same way."""
    return f"{on.day} {MONTHS[on.month - 1][:3]}{_year(on, today)}"


def _year(on: date, today: date | None) -> str:
    return f" {on.year}" if today is not None and abs(on - today) > HALF_A_YEAR else ""


def day_and_year(on: date) -> str:
    """A date as "10 February 2027", where the year is in doubt."""
    return f"{day(on)} {on.year}"


def day_range(first: date, last: date, today: date | None = None) -> str:
    """Two dates as "10 to 24 February" or "28 January to 11 February".

    With the year where an end lies more than half a year from ``today`` or from the
    other end: "10 to 24 February 2028", "20 December 2027 to 11 February 2028".
    """
    if first == last:
        return day(first, today)
    far = last - first > HALF_A_YEAR or bool(_year(first, today) or _year(last, today))
    end = day_and_year(last) if far else day(last)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {end}"
    start = day_and_year(first) if far and first.year != last.year else day(first)
    return f"{start} to {end}"


def _in_parts(count: float, parts: int) -> str:
    pieces = round(abs(count) * parts)
    whole, rest = divmod(pieces * (4 // parts), 4)
    sign = "−" if count < 0 and pieces else ""
    return f"{sign}{whole if whole or not rest else ''}{_QUARTERS[rest]}"


def half_frames(frames: float) -> str:
    """A count of one colony to the half frame: 7.4 as "7½", 0.5 as "½". [frames]"""
    return _in_parts(frames, 2)


def quarter_frames(frames: float) -> str:
    """Bread or brood to the quarter frame: 0.25 as "¼". [frames]"""
    return _in_parts(frames, 4)


def frames_of(frames: float, what: str, *, parts: int = 2) -> str:
    """A count with its noun: "½ frame of bread", "7 frames of bees", "no bread". [frames]"""
    said = _in_parts(frames, parts)
    if said == "0":
        return f"no {what}" if frames == 0 else f"next to no {what}"
    return f"{said} frame{'s' if round(frames * parts) / parts > 1 else ''} of {what}"


def frames_against(frames: float, least: float, what: str, *, parts: int = 2) -> str:
    """The same, "just under 5 frames of bees" where rounding would hide that it is under a limit. [frames]"""
    said = frames_of(frames, what, parts=parts)
    return f"just under {said}" if frames < least <= round(frames * parts) / parts else said


def days_or_weeks(low: float, high: float) -> str:
    """How long, as keepers say it: in days below a week, else in weeks. [days]

    3.2 to 5.1 gives "3 to 5 days", 8 to 20 "1 to 3 weeks", 2 to 20 "2 days to 3 weeks";
    below two weeks both ends stay in days, so that "2 to 9 days" needs no two units.
    An end that lies beyond the outlook is infinite: "2 weeks or more".
    """
    if isinf(low):
        return "longer than this outlook reaches"
    if isinf(high):
        return f"{days_or_weeks(low, low)} or more"
    if round(high) == 0:
        return "less than a day"
    if high < _WEEK or (low < _WEEK and round(high) <= _DAYS_STILL_SAID):
        return _ends(round(low), round(high), "day")
    if low < _WEEK:
        return f"{_counted(round(low), 'day')} to {_counted(round(high / _WEEK), 'week')}"
    return _ends(round(low / _WEEK), round(high / _WEEK), "week")


def _ends(low: int, high: int, noun: str) -> str:
    return _counted(high, noun) if low == high else f"{low} to {_counted(high, noun)}"


def _counted(n: int, noun: str) -> str:
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


def counted(n: int, noun: str, many: str = "") -> str:
    """A number with its noun in the right form: "1 hive", "6 hives"; ``many`` where no s makes it."""
    return f"{n:,} {many}" if many and n != 1 else _counted(n, noun)


def in_hundred(chance: float) -> str:
    """A chance in steps of 5: 0.56 as "55 in 100"; the ends are never certain. [share]"""
    fives = round(chance * 20) * 5
    if fives <= 0:
        return "less than 5 in 100"
    return "more than 95 in 100" if fives >= 100 else f"{fives} in 100"


def chance_in_hundred(chance: float, few_years: int | None) -> str:
    """The same, as a range where it rests on few years of weather: "60 or more in 100". [share]"""
    if few_years is None:
        return in_hundred(chance)
    low, high = (round(end * 20) * 5 for end in chance_range(chance, few_years))
    if low <= 0 and high >= 100:
        return "any number in 100"
    if low <= 0:
        return f"up to {high} in 100"
    return f"{low} or more in 100" if high >= 100 else f"{low} to {high} in 100"


def from_few_years(few_years: int | None) -> str:
    """What stands behind such a range, ", from 4 years of weather only"; empty where they are enough."""
    return "" if few_years is None else f", from {_counted(few_years, 'year')} of weather only"


def warmth(celsius: float, country: str | None = None) -> str:
    """An air temperature: 10 as "10 °C", in the United States or nowhere known "50 °F (10 °C)". [°C]"""
    said = f"{round(celsius)} °C"
    if country in (None, "US"):
        said = f"{round(celsius * 9 / 5 + 32)} °F ({said})"
    return said.replace("-", "−")


def per_hundred(mites: float) -> str:
    """A mite count, whole where it is whole: 6.0 as "6 per 100 bees". [mites/100 bees]"""
    return f"{round(mites, 1):g} per 100 bees"
