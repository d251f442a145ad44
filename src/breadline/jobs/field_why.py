"""Why an entry is asked about, and amounts in it, in the words of whoever reads."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from breadline.language import noted, say, say_as
from breadline.need.words import day_and_year
from breadline.pictures.wording import GRAMS_A_POUND
from breadline.sheets.works import Options

PUT_ON = noted("put on {grams} g")
OUNCES = 16  # of a pound
Told = Mapping[str, Any]


def why_said(why: str, asked_by: Told | None, reading: Callable[[str, Told], str]) -> str:
    """The sentence in the language of the reader; where its message is not known, the English that was kept.

    ``reading`` says one kind that was read of a hive.
    """
    return why if asked_by is None else _said(asked_by, reading)


def _said(told: Told, reading: Callable[[str, Told], str]) -> str:
    if "as" in told:
        return say_as(told["as"], told["say"])
    return say(told["say"], **{name: _field(one, reading) for name, one in told.items() if name != "say"})


def _field(one: Any, reading: Callable[[str, Told], str]) -> str:
    if isinstance(one, list):
        return ", ".join(_field(each, reading) for each in one)
    if not isinstance(one, Mapping):
        return f"{one:g}" if isinstance(one, float) else str(one)
    if "say" in one or "as" in one:  # a message, whatever its fields are called
        return _said(one, reading)
    if "day" in one:
        return day_and_year(date.fromisoformat(one["day"]))
    return reading(one["read"], one)


def in_pieces(says: str, pieces: Options) -> str:
    """What was laid on, in the words of the pieces that can be."""
    for grams, words in pieces:
        lower = say("put on {lower}", lower=say(words).lower())
        says = re.sub(rf"{_number(PUT_ON, 'grams', re.escape(grams))}(?!\w)", lower, says)
    return says


def in_pounds(says: str) -> str:
    """Feed in ounces and pounds, and a hive's weight in pounds, where they are weighed so."""

    def feed(found: re.Match[str]) -> str:
        return say("put on {lower}", lower=_of_feed(float(found[1]) / GRAMS_A_POUND))

    def hive(found: re.Match[str]) -> str:
        return f"{say('weight')} {1000 * float(found[1]) / GRAMS_A_POUND:.0f} lb"

    says = re.sub(_number(PUT_ON, "grams", r"(\d+(?:\.\d+)?)"), feed, says)
    return re.sub(rf"{re.escape(say('weight'))} (\d+(?:\.\d+)?) kg", hive, says)


def _number(message: str, field: str, number: str) -> str:
    """A pattern of a message with a number in it."""
    before, after = say(message, **{field: "\0"}).split("\0")
    return re.escape(before) + number + re.escape(after)


def _of_feed(pounds: float) -> str:
    ounces = round(pounds * OUNCES, 1)
    return f"{ounces:g} oz" if ounces < OUNCES else f"{round(pounds, 2):g} lb"
