"""Cells of a tally sheet as they are keyed in: short, and what could mean two things is asked."""

from __future__ import annotations

import re

from breadline.errors import RecordError
from breadline.sheets.works import Ask

MOST_FRAMES = 60.0  # in one hive [frames]
PARTS = {"h": 0.5, "½": 0.5, "1/2": 0.5, "q": 0.25, "¼": 0.25, "1/4": 0.25, "¾": 0.75, "3/4": 0.75}
DEAD = frozenset({"d", "dead"})
GRAMS = {"g": 1.0, "kg": 1000.0, "lb": 453.59237, "oz": 28.349523125}  # international avoirdupois
MOST_G = 5_000.0  # of feed on one colony at a time [g]
_WHOLE_AND_PART = re.compile(r"(\d{1,2})?\s*([hq½¼¾])|(?:(\d{1,2})\s+)?([13]/[24])", re.ASCII)
_DECIMAL = re.compile(r"\d{1,3}(?:\.\d{0,3})?|\.\d{1,3}", re.ASCII)
_AMOUNT = re.compile(r"(\d{1,4}(?:\.\d{1,3})?|\.\d{1,3})\s*(g|kg|lb|oz)", re.ASCII)


def value_of(ask: Ask, text: str, where: str) -> float | str:
    """What a cell says: frames, grams, yes as 1 and no as 0, or the word that is written down.

    ``where`` names row, hive and column in an error.

    Errors
    ------
    RecordError
        If it says nothing that the column takes, or could say two things.
    """
    told = " ".join(text.casefold().split())
    if "," in told:
        raise RecordError(where, f"“{text}” has a comma", "7.5 or 7h for seven and a half",
                          "Write a point, or two cells if it was two numbers")  # fmt: skip
    if ask.key in ("frames", "brood", "bread"):
        return _frames(told, text, where)
    if ask.key == "put":
        return _put(ask, told, text, where)
    word = _option(ask, told)
    if word is None:
        raise RecordError(where, f"“{text}” is not known", short_keys(ask), "Key in one of them")
    return float(word) if ask.key == "maggots" else word


def short_keys(ask: Ask) -> str:
    """What can be keyed in: "n none, s some, m most"."""
    if ask.key in ("frames", "brood", "bread"):
        return "7, 7h, 7.5 or 7½" + (", d for dead" if ask.key == "frames" else "")
    if ask.key == "put":
        return ", ".join(words for _, words in ask.options) + ", or with its unit, 300 g"
    return ", ".join(f"{words[0].lower()} {words.lower()}" for _, words in ask.options)


def _frames(told: str, text: str, where: str) -> float:
    """A number of frames, in quarters at the finest."""
    if parts := _WHOLE_AND_PART.fullmatch(told):
        value = float(parts[1] or parts[3] or 0) + PARTS[parts[2] or parts[4]]
    elif _DECIMAL.fullmatch(told):
        value = float(told)
    else:
        raise RecordError(where, f"“{text}” is no number of frames", "7, 7h, 7.5 or 7½", "Key it in again")
    if value * 4 % 1:
        raise RecordError(where, f"“{text}” is finer than quarters", "7, 7.25, 7.5 or 7.75", "Round it")
    if value > MOST_FRAMES:
        do = f"Was it {told[:-1]}.{told[-1]}? Then write the point" if told.isdigit() else "Look again"
        raise RecordError(where, f"{value:g} frames in one hive", f"at most {MOST_FRAMES:g}", do)
    return value


def _put(ask: Ask, told: str, text: str, where: str) -> float:
    """What was laid on [g]; a bare number is one of the pieces on the sheet, another amount has its unit."""
    for grams, words in ask.options:
        if told in _said(words):
            return float(grams)
    amount = _AMOUNT.fullmatch(told)
    if amount is None:
        raise RecordError(where, f"“{text}” is none of the pieces", short_keys(ask),
                          "Write another amount with its unit")  # fmt: skip
    value = round(float(amount[1]) * GRAMS[amount[2]])
    if value > MOST_G:
        raise RecordError(where, f"{text} on one colony", f"at most {MOST_G:g} g", "Look again")
    return float(value)


def _said(words: str) -> set[str]:
    """The ways to key in a piece: "½ lb", "½", "h", "0.5", "0.5 lb"."""
    if words == "Nothing":
        return {"nothing", "n", "0"}
    number, _, unit = words.partition(" ")
    numbers = {number} | ({"h", "1/2", "0.5", ".5"} if number == "½" else set())
    return {f"{one}{gap}{unit}" for one in numbers for gap in ("", " ")} | numbers


def _option(ask: Ask, told: str) -> str | None:
    """The word of an option, by itself or by its first letter."""
    found = [value for value, words in ask.options if told in (words.casefold(), words[0].casefold())]
    return found[0] if len(found) == 1 else None
