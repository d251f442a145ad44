"""How dates, frames, spans of time and temperatures are said to a keeper."""

from __future__ import annotations

import re
from datetime import date, timedelta
from math import isinf

from breadline.language import noted, noted_as, say, say_as, say_counted
from breadline.measures import units_of
from breadline.need.few_years import chance_range

MONTHS = (
    noted("January"),
    noted("February"),
    noted("March"),
    noted("April"),
    noted("May"),
    noted("June"),
    noted("July"),
    noted("August"),
    noted("September"),
    noted("October"),
    noted("November"),
    noted("December"),
)
SHORT_MONTHS = (
    noted_as("short month", "Jan"),
    noted_as("short month", "Feb"),
    noted_as("short month", "Mar"),
    noted_as("short month", "Apr"),
    noted_as("short month", "May"),
    noted_as("short month", "Jun"),
    noted_as("short month", "Jul"),
    noted_as("short month", "Aug"),
    noted_as("short month", "Sep"),
    noted_as("short month", "Oct"),
    noted_as("short month", "Nov"),
    noted_as("short month", "Dec"),
)
_QUARTERS = ("", "¼", "½", "¾")
_WEEK = 7
# what frames are of, and what there is none of
_OF = (
    noted_as("frames of", "brood"), noted_as("frames of", "bees"), noted_as("frames of", "bread"),
    noted_as("frames of", "pollen"), noted_as("none of", "bees"), noted_as("none of", "bread"),
    noted_as("none of", "pollen"),
)  # fmt: skip
_SOME_LIGHT = re.compile(r"(\d+) of (\d+) light")  # as ``records.colony_average`` writes it
HALF_A_YEAR = timedelta(days=183)
_DAYS_STILL_SAID = 13  # 10 days are no week


def day(on: date, today: date | None = None) -> str:
    """A date as "10 February"; "10 February 2028" where it lies more than half a year from ``today``."""
    if _far(on, today):
        return day_and_year(on)
    return say("{day} {month}", day=on.day, month=say(MONTHS[on.month - 1]))


def short_day(on: date, today: date | None = None) -> str:
    """A date as "10 Feb", or "10 Feb 2028" in the same way."""
    month = short_month(on.month)
    if _far(on, today):
        return say_as("short date", "{day} {month} {year}", day=on.day, month=month, year=on.year)
    return say_as("short date", "{day} {month}", day=on.day, month=month)


def short_month(month: int) -> str:
    """A month in three letters, 1 for "Jan"."""
    return say_as("short month", SHORT_MONTHS[month - 1])


def _far(on: date, today: date | None) -> bool:
    return today is not None and abs(on - today) > HALF_A_YEAR


def day_and_year(on: date) -> str:
    """A date as "10 February 2027", where the year is in doubt."""
    return say("{day} {month} {year}", day=on.day, month=say(MONTHS[on.month - 1]), year=on.year)


def day_range(first: date, last: date, today: date | None = None) -> str:
    """Two dates as "10 to 24 February" or "28 January to 11 February".

    With the year where an end lies more than half a year from ``today`` or from the
    other end: "10 to 24 February 2028", "20 December 2027 to 11 February 2028".
    """
    if first == last:
        return day(first, today)
    far = last - first > HALF_A_YEAR or _far(first, today) or _far(last, today)
    end = day_and_year(last) if far else day(last)
    if (first.year, first.month) == (last.year, last.month):
        return say_as("dates", "{start} to {end}", start=first.day, end=end)
    start = day_and_year(first) if far and first.year != last.year else day(first)
    return say_as("dates", "{start} to {end}", start=start, end=end)


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
        stuff = say_as("none of", what)
        return say("no {what}", what=stuff) if frames == 0 else say("next to no {what}", what=stuff)
    many = 2 if round(frames * parts) / parts > 1 else 1
    of = say_as("frames of", what)
    return say_counted("{n} frame of {what}", "{n} frames of {what}", many, n=said, what=of)


def frames_against(frames: float, least: float, what: str, *, parts: int = 2) -> str:
    """The same, "just under 5 frames of bees" where rounding would hide that it is under a limit. [frames]"""
    said = frames_of(frames, what, parts=parts)
    return (
        say("just under {frames}", frames=said) if frames < least <= round(frames * parts) / parts else said
    )


def days_or_weeks(low: float, high: float) -> str:
    """How long, as keepers say it: in days below a week, else in weeks. [days]

    3.2 to 5.1 gives "3 to 5 days", 8 to 20 "1 to 3 weeks", 2 to 20 "2 days to 3 weeks";
    below two weeks both ends stay in days, so that "2 to 9 days" needs no two units.
    An end that lies beyond the outlook is infinite: "2 weeks or more".
    """
    if isinf(low):
        return say("longer than this outlook reaches")
    if isinf(high):
        return say("{span} or more", span=days_or_weeks(low, low))
    if round(high) == 0:
        return say("less than a day")
    if high < _WEEK or (low < _WEEK and round(high) <= _DAYS_STILL_SAID):
        return _ends(round(low), round(high), "day")
    if low < _WEEK:
        return say(
            "{low} to {high}", low=counted(round(low), "day"), high=counted(round(high / _WEEK), "week")
        )
    return _ends(round(low / _WEEK), round(high / _WEEK), "week")


def _ends(low: int, high: int, noun: str) -> str:
    return counted(high, noun) if low == high else say("{low} to {high}", low=low, high=counted(high, noun))


def counted(n: int, noun: str, many: str = "") -> str:
    """A number with its noun in the right form: "1 hive", "6 hives"; ``many`` where no s makes it."""
    written = f"{n:,}" if many else f"{n}"
    return say_counted(f"{{n}} {noun}", f"{{n}} {many or noun + 's'}", n, n=written)


def in_hundred(chance: float) -> str:
    """A chance in steps of 5: 0.56 as "55 in 100"; the ends are never certain. [share]"""
    fives = round(chance * 20) * 5
    if fives <= 0:
        return say("less than 5 in 100")
    return say("more than 95 in 100") if fives >= 100 else say("{n} in 100", n=fives)


def chance_in_hundred(chance: float, few_years: int | None) -> str:
    """The same, as a range where it rests on few years of weather: "60 or more in 100". [share]"""
    if few_years is None:
        return in_hundred(chance)
    low, high = (round(end * 20) * 5 for end in chance_range(chance, few_years))
    if low <= 0 and high >= 100:
        return say("any number in 100")
    if low <= 0:
        return say("up to {n} in 100", n=high)
    return (
        say("{n} or more in 100", n=low) if high >= 100 else say("{low} to {high} in 100", low=low, high=high)
    )


def from_few_years(few_years: int | None) -> str:
    """What stands behind such a range, ", from 4 years of weather only"; empty where they are enough."""
    if few_years is None:
        return ""
    return say(", from {years} of weather only", years=counted(few_years, "year"))


def warmth(celsius: float, country: str | None = None) -> str:
    """An air temperature: 10 as "10 °C", where it is told in °F "50 °F (10 °C)". [°C]"""
    said = f"{round(celsius)} °C"
    if units_of(country) == "lb":
        said = f"{round(celsius * 9 / 5 + 32)} °F ({said})"
    return said.replace("-", "−")


def per_hundred(mites: float) -> str:
    """A mite count, whole where it is whole: 6.0 as "6 per 100 bees". [mites/100 bees]"""
    return say("{n} per 100 bees", n=f"{round(mites, 1):g}")


def honey_said(note: str) -> str:
    """What is noted of the stores; how many hives of a visit were light, in this language."""
    found = _SOME_LIGHT.fullmatch(note)
    return say(note) if found is None else say("{n} of {many} light", n=found[1], many=found[2])
