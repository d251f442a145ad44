"""Reading one table of a file, value by value, with errors a keeper can mend."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Mapping
from datetime import date, datetime
from difflib import get_close_matches
from typing import Any, ClassVar

from breadline.errors import InputToMend, YardError
from breadline.language import noted, say

_COMMA_NUMBER = re.compile(r"^\s*[-+]?\d+,\d+\s*$")
_FAHRENHEIT = re.compile(r"^\s*([-+−]?\d+(?:\.\d+)?)\s*°?\s*([FfCc])\s*$")
FIRST_YEAR, LAST_YEAR = 1980, 2150
# Words of units that readers of several files ask a number with; each is looked up as it is told.
UNITS = (
    noted("days"), noted("weeks"), noted("seasons"), noted("degrees"), noted("to 1"), noted("lb of honey"),
    noted("% more than unfed"),
)  # fmt: skip
_LONGEST_MONTH = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


class Table:
    """One table of the file: checks its keys, then hands out checked values."""

    fault: ClassVar[type[InputToMend]] = YardError

    def __init__(self, data: Any, where: str, known: Collection[str]) -> None:
        if not isinstance(data, Mapping):
            raise self.fault(
                where, say("{data} is not a table", data=repr(data)), say("keys and values below a [heading]")
            )
        self.data, self.where = data, where
        for key in data:
            if key not in known:
                raise self._unknown(str(key), known)

    def __contains__(self, key: str) -> bool:
        return key in self.data

    def error(self, key: str, what: str, expected: str = "", do: str = "") -> InputToMend:
        """An error that names the file, the table and the key."""
        return self.fault(f"{self.where}, {key}", what, expected, do)

    def number(self, key: str, low: float, high: float, unit: str = "") -> float | None:
        """A finite number from low to high; None where the key is not there."""
        if key not in self.data:
            return None
        value = self.data[key]
        if isinstance(value, str):
            raise self._text_for_number(key, value)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.error(
                key, say("{value} is not a number", value=repr(value)), range_words(low, high, unit)
            )
        if isinstance(value, float) and not math.isfinite(value):
            raise self.error(
                key, say("{value} is not a number that can be counted", value=value),
                range_words(low, high, unit),
                say("Leave the line out if you don't know it"),
            )  # fmt: skip
        if not low <= value <= high:
            raise self.error(
                key,
                say("{short} is implausible", short=_short(value)),
                range_words(low, high, unit),
                _sense(value, low, unit),
            )
        return float(value)

    def numbers(self, key: str, low: float, high: float, unit: str = "") -> tuple[float, ...]:
        """A list of numbers from low to high; empty where the key is not there."""
        values = self.data.get(key, [])
        if not isinstance(values, list):
            raise self.error(
                key,
                say("{values} is no list of numbers", values=repr(values)),
                say("numbers in brackets: [7.5, 9, 6]"),
            )
        one_by_one = (
            Table({key: value}, self.where, (key,)).number(key, low, high, unit) for value in values
        )
        return tuple(value for value in one_by_one if value is not None)

    def whole(self, key: str, low: int, high: int, unit: str = "") -> int | None:
        """A whole number from low to high; None where the key is not there."""
        value = self.number(key, low, high, unit)
        if value is not None and value != int(value):
            raise self.error(
                key, say("{value:g} is not a whole number", value=value), range_words(low, high, unit)
            )
        return None if value is None else int(value)

    def word(self, key: str, choices: Collection[str]) -> str | None:
        """One of a few words; None where the key is not there."""
        if key not in self.data:
            return None
        value = self.data[key]
        if value not in choices:
            small = str(value).casefold()
            near = [small] if small in choices else get_close_matches(small, choices, n=1)
            raise self.error(
                key, say("\"{value}\" is not one of the words for it", value=value), ", ".join(choices),
                say("Did you mean \"{near}\"?", near=near[0]) if near else "",
            )  # fmt: skip
        return str(value)

    def text(self, key: str) -> str:
        """A text; empty where the key is not there."""
        value = self.data.get(key, "")
        if not isinstance(value, str):
            raise self.error(key, say("{value} is not text", value=repr(value)), say("text between quotes"))
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; empty where the key is not there."""
        value = self.data.get(key, [])
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            raise self.error(
                key,
                say("{value} is no list of texts", value=repr(value)),
                say('texts in brackets: ["one", "two"]'),
            )
        return tuple(value)

    def truth(self, key: str) -> bool | None:
        """True or false; None where the key is not there (not known)."""
        value = self.data.get(key)
        if value is not None and not isinstance(value, bool):
            raise self.error(
                key,
                say("{value} is neither true nor false", value=repr(value)),
                say("true or false, without quotes"),
                say("Leave the line out if you don't know it"),
            )
        return value

    def day(self, key: str) -> date | None:
        """A date, as 2027-02-10 with or without quotes; None where the key is not there."""
        value = self.data.get(key)
        if value is None:
            return None
        on = _date(value)
        if on is None:
            raise self.error(
                key, say('"{value}" is no date', value=value), say("year-month-day such as 2027-02-10")
            )
        if not FIRST_YEAR <= on.year <= LAST_YEAR:
            raise self.error(
                key,
                say("the year {year} is implausible", year=on.year),
                say("{first_year} to {last_year}", first_year=FIRST_YEAR, last_year=LAST_YEAR),
            )
        return on

    def month_day(self, key: str) -> tuple[int, int] | None:
        """A day of any year, as "02-10"; None where the key is not there."""
        if key not in self.data:
            return None
        found = re.fullmatch(r"(\d{1,2})-(\d{1,2})", str(self.data[key]))
        if found:
            month, on = int(found[1]), int(found[2])
            if 1 <= month <= 12 and 1 <= on <= _LONGEST_MONTH[month - 1]:
                return month, on
        raise self.error(
            key, say('"{data}" is no day of the year', data=self.data[key]), say('month-day such as "02-10"')
        )

    def warmth(self, key: str) -> float | None:
        """A temperature written with its unit, "35 °F" or "2 °C", in °C."""
        if key not in self.data:
            return None
        found = _FAHRENHEIT.match(str(self.data[key]))
        if not found:
            raise self.error(
                key,
                say('"{data}" has no unit', data=self.data[key]),
                say('a temperature with its unit: "35 °F" or "2 °C"'),
            )
        value = float(found[1].replace("−", "-"))
        celsius = (value - 32) / 1.8 if found[2] in "Ff" else value
        if not -60 <= celsius <= 55:
            raise self.error(
                key, say('"{data}" is implausible', data=self.data[key]), "−76 to 131 °F, −60 to 55 °C"
            )
        return celsius

    def _text_for_number(self, key: str, value: str) -> InputToMend:
        if _COMMA_NUMBER.match(value):
            do = say(
                "Write {number}, with a point and without quotes", number=value.strip().replace(",", ".")
            )
            return self.error(
                key, say('"{value}" is text, with a decimal comma', value=value), say("a number"), do
            )
        return self.error(
            key, say('"{value}" is text', value=value), say("a number without quotes and without a unit")
        )

    def _unknown(self, key: str, known: Collection[str]) -> InputToMend:
        near = get_close_matches(key, known, n=1)
        do = (
            say('Did you mean "{near}"?', near=near[0])
            if near
            else say("Take the line out, or keep it as a # note")
        )
        return self.error(
            key, say("this key is not known here"), say("one of {names}", names=", ".join(known)), do
        )


def _date(value: Any) -> date | None:
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        return None


def _short(value: float) -> str:
    return f"{value:g}" if abs(value) < 1e15 else say("a number of that size")


def range_words(low: float, high: float, unit: str) -> str:
    """The range in the reader's words; ``unit`` is looked up as it is told."""
    return say("{low:g} to {high:g} {unit}", low=low, high=high, unit=say(unit) if unit else "").strip()


def _sense(value: float, low: float, unit: str) -> str:
    if unit.startswith("%") and 0 < value < 1 <= low:
        return say(
            "If you typed a fraction ({value:g}), enter per cent ({value2:g})",
            value=value,
            value2=100 * value,
        )
    return (
        say("A count can't be below 0; leave the line out if you don't know it") if value < 0 <= low else ""
    )


def needed(table: Table, key: str, value: Any, expected: str, do: str = noted("Add the line")) -> Any:
    """A value of a table; refused where it is not there, with what was ``expected`` and to ``do``."""
    if value is None:
        raise table.error(key, say("is missing"), say(expected), say(do))
    return value
