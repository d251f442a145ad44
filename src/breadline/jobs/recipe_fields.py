"""Reading one table of a recipe file, with errors that name the line."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from math import inf
from typing import Any, ClassVar, cast

from breadline.errors import InputToMend, RecipeError
from breadline.jobs.yard_fields import Table
from breadline.knowledge.ingredient import Content
from breadline.language import say

_HEAD = re.compile(r"^\s*\[\[?\s*([\w-]+)\s*\]\]?")
_KEY = re.compile(r"^\s*[\"']?([\w-]+)[\"']?\s*=")
_RATIO = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*(?::|to)\s*(\d+(?:\.\d+)?)\s*$")
_GUARANTEE = re.compile(r"^\s*(min|max)\s+(\d+(?:\.\d+)?(?:e-?\d+)?)\s*$")
_WITH_UNIT = re.compile(r"^\s*(\d+(?:[.,]\d+)?)\s*(%|[a-zA-Z]+)\s*$")


class Lines:
    """Where each key of a file stands, by its heading and how often the heading came before."""

    def __init__(self, text: str) -> None:
        self._at: dict[tuple[str, int, str], int] = {}
        heading, seen, inside = "", {"": 1}, ""
        for number, line in enumerate(text.splitlines(), 1):
            if inside:  # a text over several lines
                inside = "" if inside in line else inside
                continue
            if found := _HEAD.match(line):
                heading = found[1]
                seen[heading] = seen.get(heading, 0) + 1
                self._at[heading, seen[heading], ""] = number
            elif key := _KEY.match(line):
                self._at.setdefault((heading, seen[heading], key[1]), number)
            inside = next((q for q in ('"""', "'''") if line.count(q) % 2), "")

    def of(self, heading: str, n: int, key: str = "") -> int | None:
        """The line of a key, else of its table, else nothing."""
        return self._at.get((heading, n, key)) or self._at.get((heading, n, ""))


@dataclass(frozen=True)
class Spot:
    """A table of a file: which file, which heading, which one of several."""

    file: str
    lines: Lines
    heading: str = ""
    n: int = 1
    several: bool = False

    def where(self, key: str = "") -> str:
        """File, line, table and key in words."""
        line = self.lines.of(self.heading, self.n, key)
        table = f"[[{self.heading}]] {self.n}" if self.several else f"[{self.heading}]"
        parts = [self.file, f"line {line}" if line else "", table if self.heading else "", key]
        return ", ".join(part for part in parts if part)


class RecipeTable(Table):
    """One table of a recipe file."""

    fault: ClassVar[type[InputToMend]] = RecipeError

    def __init__(self, data: Any, spot: Spot, known: Collection[str]) -> None:
        self.spot = spot
        super().__init__(data, spot.where(), known)

    def error(self, key: str, what: str, expected: str = "", do: str = "") -> InputToMend:
        """An error that names the file, the line, the table and the key."""
        return RecipeError(self.spot.where(key), what, expected, do)

    def needed_text(self, key: str, expected: str) -> str:
        """A text that has to be there."""
        value = self.text(key).strip()
        if not value:
            raise self.error(key, say("is missing"), expected, say("Add the line"))
        return value

    def needed_word(self, key: str, choices: Collection[str], why: str = "") -> str:
        """One of a few words that has to be there."""
        value = self.word(key, choices)
        if value is None:
            raise self.error(
                key,
                say("is left out"),
                say("one of {choices}", choices=", ".join(choices)),
                why or say("Add the line"),
            )
        return value

    def above_nought(self, key: str, high: float, unit: str) -> float | None:
        """A number above 0; None where the key is not there."""
        value = self.data.get(key)
        if isinstance(value, str) and (found := _WITH_UNIT.match(value)):
            raise self.error(
                key,
                say('"{value}" is text', value=value),
                say("a number, its unit in a line of its own"),
                say(
                    'Write {key} = {replace} and, below it, unit = "{found}"',
                    key=key,
                    replace=found[1].replace(",", "."),
                    found=found[2],
                ),
            )
        if isinstance(value, int | float) and not isinstance(value, bool) and value <= 0:
            said = say(unit) if unit else ""
            raise self.error(
                key,
                say("{value:g} {unit} cannot be", value=value, unit=said),
                say("more than 0 {unit}", unit=said).strip(),
            )
        return self.number(key, 0, high, unit)

    def needed_above_nought(self, key: str, high: float, unit: str, expected: str) -> float:
        """A number above 0 that has to be there."""
        value = self.above_nought(key, high, unit)
        if value is None:
            raise self.error(key, say("is missing"), expected, say("Add the line"))
        return value

    def percent(self, key: str) -> float | None:
        """A percentage, 0 to 100; None where the key is not there. [%]"""
        value = self.data.get(key)
        if isinstance(value, int | float) and not isinstance(value, bool) and value > 100:
            raise self.error(
                key,
                say("{value:g} % is more than the whole", value=value),
                "0 to 100 %",
                say("Mend the number"),
            )
        return self.number(key, 0, 100, "%")

    def percent_between(self, key: str, low: float, high: float) -> float | None:
        """A percentage that is none where it was typed as a fraction; None where the key is not there. [%]"""
        value = self.percent(key)
        if value is None or value == 0 or low <= value <= high:
            return value
        do = say("Mend the number")
        if value < low:
            do = say(
                "If you typed a fraction ({value:g}), enter per cent ({value2:g})",
                value=value,
                value2=100 * value,
            )
        raise self.error(
            key,
            say("{value:g} % is implausible", value=value),
            say("{low:g} to {high:g} %", low=low, high=high),
            do,
        )

    def span(self, key: str, most: float, unit: str) -> Content | None:
        """A number, a range such as [40, 48], or a guarantee such as "min 40"; None where it is not there."""
        value = self.data.get(key)
        if isinstance(value, str) and (found := _GUARANTEE.match(value)):
            end = RecipeTable({key: float(found[2])}, self.spot, (key,)).span(key, most, unit)
            assert end is not None, "there is a number"
            return Content(end.low, inf) if found[1] == "min" else Content(0.0, end.high)
        if not isinstance(value, list):
            one = self.percent(key) if unit == "%" else self.number(key, 0, most, unit)
            return None if one is None else Content(one, one)
        if len(value) != 2:
            raise self.error(
                key,
                say("{value} is no range", value=repr(value)),
                say("one number, or its two ends: [40, 48]"),
            )
        low, high = (
            cast(float, RecipeTable({key: end}, self.spot, (key,)).number(key, 0, most, unit))
            for end in value
        )
        if low > high:
            raise self.error(
                key,
                say("{low:g} is above {high:g}", low=low, high=high),
                say("the low end first, such as [40, 48]"),
                say("If one number was meant, write it with a point: {low:g}.{high:g}", low=low, high=high),
            )
        return Content(low, high)

    def ratio(self, key: str, most: float) -> float | None:
        """A ratio, as 2.5 or as "5:2"; None where the key is not there. [1]"""
        value = self.data.get(key)
        if isinstance(value, str) and (found := _RATIO.match(value)):
            if float(found[2]) == 0:
                raise self.error(
                    key,
                    say('the denominator of "{value}" is 0', value=value),
                    say('a ratio such as "2:1", or 2'),
                )
            return float(found[1]) / float(found[2])
        return self.number(key, 0, most, "to 1")
