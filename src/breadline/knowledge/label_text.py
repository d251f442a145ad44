"""Reads one line of a label, such as ``min 40 %``."""

from __future__ import annotations

import re
from dataclasses import dataclass

from breadline.errors import RecipeError
from breadline.language import noted, say

G_PER_100_G = {"%": 1.0, "g/100g": 1.0, "g/kg": 0.1, "mg/100g": 0.001, "mg/kg": 0.0001, "ppm": 0.0001}
UNITS = noted("%, g/100 g, g/kg, mg/100 g, mg/kg or ppm")
_LEAST = ("at least", "minimum", "min.", "min", "≥", ">=", ">")
_MOST = ("at most", "maximum", "max.", "max", "≤", "<=", "<", "up to")
_NUMBER = r"(-?\d+(?:\.\d+)?)"
_LINE = re.compile(rf"^{_NUMBER}(?:\s*(?:-|–|to)\s*{_NUMBER})?\s*(.*)$")


@dataclass(frozen=True)
class Said:
    """What one line of a label says; ``None`` where it leaves an end open. [g/100 g]"""

    low: float | None  # [g/100 g]
    high: float | None  # [g/100 g]


def said(where: str, text: str) -> Said:
    """What ``text`` says, in grams to 100 g. [g/100 g]

    Parameters
    ----------
    where
        The name of the line, for errors.
    text
        A number or a range with its unit, with "min" or "max" before or behind it.

    Errors
    ------
    RecipeError
        Without a number or a unit, below 0, over 100 %, or with the ends of a range the wrong way round.
    """
    plain, least, most = _without_words(text.strip())
    found = _LINE.match(plain)
    if found is None:
        raise RecipeError(
            where,
            say('"{text}" does not begin with a number', text=text),
            say("such as min 40 %"),
            _comma(text),
        )
    first, second, unit = float(found[1]), found[2], found[3].strip()
    scale = _scale(where, text, unit)
    low, high = first * scale, float(second) * scale if second else first * scale
    _check(where, text, low, high)
    return Said(None if most else low, None if least else high)


def possible(where: str, line: Said) -> Said:
    """The line, if there can be so much of it.

    Errors
    ------
    RecipeError
        Below 0, over 100 %, or with the ends of a range the wrong way round.
    """
    low, high = line.low or 0.0, 100.0 if line.high is None else line.high
    _check(where, say("{low:g} to {high:g} %", low=low, high=high), low, high)
    return line


def _without_words(text: str) -> tuple[str, bool, bool]:
    """The line without "min" or "max", and which of them it had."""
    for words, least in ((_LEAST, True), (_MOST, False)):
        for word in words:
            lower = text.lower()
            if lower.startswith(word):
                return text[len(word) :].lstrip(" :"), least, not least
            if lower.endswith(" " + word):
                return text[: -len(word)].rstrip(), least, not least
    return text, False, False


def _scale(where: str, text: str, unit: str) -> float:
    if not unit:
        raise RecipeError(
            where,
            say('"{text}" has no unit', text=text),
            say(UNITS),
            say("Write {text} % if it is per cent", text=text),
        )
    if unit[0] in ",.":
        raise RecipeError(
            where, say('"{text}" is not a number here', text=text), say("a point for decimals"), _comma(text)
        )
    try:
        return G_PER_100_G[unit.replace(" ", "").lower()]
    except KeyError:
        raise RecipeError(
            where, say('"{unit}" is not a unit of a label', unit=unit), say(UNITS), say("Convert it")
        ) from None


def _check(where: str, text: str, low: float, high: float) -> None:
    if low < 0:
        raise RecipeError(
            where,
            say('"{text}" is below 0', text=text),
            say("0 to 100 %"),
            say("Copy the line from the label again"),
        )
    if high > 100:
        raise RecipeError(
            where, say('"{text}" is over 100 %', text=text), say("0 to 100 %"), say("Look at the unit")
        )
    if low > high:
        raise RecipeError(
            where,
            say('"{text}" runs backwards', text=text),
            say("the lower number first"),
            say("Swap the two"),
        )


def _comma(text: str) -> str:
    point = text.replace(",", ".")
    return (
        say("Write {point}", point=point)
        if "," in text
        else say("Copy the line from the label with its number and unit")
    )
