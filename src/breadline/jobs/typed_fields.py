"""What was typed into a few fields, on the page or as options: numbers, words and warmth, each checked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date

from breadline.errors import YardError
from breadline.jobs.yard_fields import range_words
from breadline.language import say
from breadline.weather.units import UNITS

COLDEST_C, HOTTEST_C = -60.0, 55.0  # of air that bees are kept in, and a little more [°C]
LINE_CALLED = {"bloom": "name", "part": "ingredient", "price": "of"}  # what a line is known by
_WITH_UNIT = re.compile(r"^\s*([-+−]?\d+(?:\.\d+)?)\s*(\D.*?)?\s*$")


def all_said(typed: Mapping[str, str], now: Mapping[str, str]) -> dict[str, str]:
    """What was typed; a field that a page of another version did not have stays as it is.

    An empty one is sent empty, and is taken out. A field of a line, ``bloom-0-start``, stays where its line
    still is of the same thing, or where the form had none of those lines.
    """
    lists = {key.partition("-")[0] for key in typed if key.count("-") > 1}
    stays = {}
    for key in now.keys() - typed.keys():
        name, dash, rest = key.partition("-")
        called = f"{name}-{rest.partition('-')[0]}-{LINE_CALLED.get(name, '')}"
        of_a_line = dash and name in LINE_CALLED and name in lists
        if not of_a_line or typed.get(called, "").strip() == now.get(called):
            stays[key] = now[key]
    return {**typed, **stays}


class Typed:
    """Fields by their names; an error says in ``where`` which field it is about."""

    def __init__(self, values: Mapping[str, str]) -> None:
        self._values = {key: value.strip() for key, value in values.items()}

    def text(self, key: str) -> str:
        """As it was typed; empty where nothing was."""
        return self._values.get(key, "")

    @property
    def empty(self) -> bool:
        """Whether nothing at all was typed."""
        return not any(self._values.values())

    def number(self, key: str, low: float, high: float, unit: str = "", do: str = "") -> float | None:
        """A number from low to high; None where nothing was typed."""
        text = self.text(key)
        if not text:
            return None
        try:
            value = float(text.replace("−", "-"))
        except ValueError:
            hint = say("Write a decimal point, not a comma") if "," in text else say("Type the number alone")
            raise YardError(
                key,
                say('"{text}" is not a number', text=text),
                range_words(low, high, unit),
                hint,
            ) from None
        if not low <= value <= high:
            raise YardError(
                key,
                say("{value:g} cannot be", value=value),
                range_words(low, high, unit),
                do,
            )
        return value

    def needed_number(self, key: str, low: float, high: float, unit: str = "", do: str = "") -> float:
        """The same, which has to be there."""
        value = self.number(key, low, high, unit, do)
        if value is None:
            raise YardError(
                key,
                say("is missing"),
                range_words(low, high, unit),
                say("Fill it in"),
            )
        return value

    def whole(self, key: str, low: int, high: int, unit: str = "") -> int | None:
        """A whole number; None where nothing was typed."""
        value = self.number(key, low, high, unit)
        if value is not None and value != int(value):
            raise YardError(
                key,
                say("{value:g} is not a whole number", value=value),
                range_words(low, high, unit),
            )
        return None if value is None else int(value)

    def word(self, key: str, choices: tuple[str, ...]) -> str | None:
        """One of a few words; None where nothing was typed."""
        text = self.text(key)
        if text and text not in choices:
            raise YardError(
                key, say('"{text}" is not one of the words for it', text=text), ", ".join(choices)
            )
        return text or None

    def truth(self, key: str) -> bool | None:
        """Yes or no; None where nothing was typed."""
        return {"yes": True, "no": False}.get(self.word(key, ("yes", "no")) or "")

    def day(self, key: str, today: date) -> date | None:
        """A day up to today; None where nothing was typed."""
        text = self.text(key)
        if not text:
            return None
        try:
            on = date.fromisoformat(text)
        except ValueError:
            raise YardError(
                key, say('"{text}" is no date', text=text), say("year-month-day, such as 2026-02-10")
            ) from None
        if on > today:
            raise YardError(
                key, say("{on} lies ahead of today, {today}", on=on, today=today), say("a day up to today")
            )
        return on

    def measured(self, key: str, kind: str, usual: str) -> float | None:
        """A temperature, rain or wind with its unit, else in the ``usual`` one; in °C, mm or m/s."""
        text = self.text(key)
        if not text:
            return None
        found, known = _WITH_UNIT.match(text), UNITS[kind]
        unit = "" if found is None else (found[2] or usual).lower().replace(" ", "")
        if found is None or unit not in known:
            raise YardError(
                key,
                say('"{text}" has no unit that is known', text=text),
                say("such as 12 {usual}", usual=usual),
            )
        factor, offset = known[unit]
        return float(found[1].replace("−", "-")) * factor + offset

    def air(self, key: str, usual: str) -> float | None:
        """Air temperature, with its unit or in the ``usual`` one; in °C."""
        value = self.measured(key, "temperature", usual)
        if value is not None and not COLDEST_C <= value <= HOTTEST_C:
            here = "°F" if usual == "°F" else "°C"
            low, high = (
                f"{one * 1.8 + 32:.0f}" if here == "°F" else f"{one:.0f}" for one in (COLDEST_C, HOTTEST_C)
            )
            typed = self.text(key)
            typed = typed if typed[-1:].isalpha() else f"{typed} {here}"
            raise YardError(
                key,
                say("{value} cannot be", value=typed),
                say("{low} to {high} {unit}", low=low.replace("-", "−"), high=high, unit=here),
                say("Another unit may stand behind it: 14 °C, 58 °F"),
            )
        return value
