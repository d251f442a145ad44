"""Cells of a tally sheet as they are keyed in: short, and what could mean two things is asked."""

from __future__ import annotations

import re

from breadline.errors import RecordError
from breadline.language import LANGUAGES, say, speaking
from breadline.sheets.works import Ask

MOST_FRAMES = 60.0  # in one hive [frames]
PARTS = {"h": 0.5, "½": 0.5, "1/2": 0.5, "q": 0.25, "¼": 0.25, "1/4": 0.25, "¾": 0.75, "3/4": 0.75}
DEAD = frozenset({"d", "dead", "muerta"})
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
        what, do = (
            say("“{text}” has a comma", text=text),
            say("Write a point, or two cells if it was two numbers"),
        )
        raise RecordError(where, what, say("7.5 or 7h for seven and a half"), do)
    if ask.key in ("frames", "brood", "bread"):
        return _frames(told, text, where)
    if ask.key == "put":
        return _put(ask, told, text, where)
    if ask.key == "mites":
        return _counted(ask, told, text, where)
    if ask.key == "weight":
        return _weighed(ask, told, text, where)
    word = _option(ask, told)
    if word is None:
        raise RecordError(
            where, say("“{text}” is not known", text=text), short_keys(ask), say("Key in one of them")
        )
    return float(word) if ask.key == "maggots" else word


def short_keys(ask: Ask) -> str:
    """What can be keyed in: "n none, s some, m most"."""
    if ask.key in ("frames", "brood", "bread"):
        return say("7, 7h, 7.5 or 7½") + (say(", d for dead") if ask.key == "frames" else "")
    if ask.key == "put":
        return ", ".join(say(words) for _, words in ask.options) + say(", or with its unit, 300 g")
    if ask.key == "mites":
        return say("2 or 2.5")
    if ask.key == "weight":
        return say("40 kg or 88 lb")
    said = (say(words).lower() for _, words in ask.options)
    return ", ".join(f"{words[0]} {words}" for words in said)


def _frames(told: str, text: str, where: str) -> float:
    """A number of frames, in quarters at the finest."""
    if parts := _WHOLE_AND_PART.fullmatch(told):
        value = float(parts[1] or parts[3] or 0) + PARTS[parts[2] or parts[4]]
    elif _DECIMAL.fullmatch(told):
        value = float(told)
    else:
        raise RecordError(
            where,
            say("“{text}” is no number of frames", text=text),
            say("7, 7h, 7.5 or 7½"),
            say("Key it in again"),
        )
    if value * 4 % 1:
        raise RecordError(
            where,
            say("“{text}” is finer than quarters", text=text),
            say("7, 7.25, 7.5 or 7.75"),
            say("Round it"),
        )
    if value > MOST_FRAMES:
        do = (
            say("Was it {told}.{told2}? Then write the point", told=told[:-1], told2=told[-1])
            if told.isdigit()
            else say("Look again")
        )
        raise RecordError(
            where,
            say("{value:g} frames in one hive", value=value),
            say("at most {most_frames:g}", most_frames=MOST_FRAMES),
            do,
        )
    return value


def _put(ask: Ask, told: str, text: str, where: str) -> float:
    """What was laid on [g]; a bare number is one of the pieces on the sheet, another amount has its unit."""
    for grams, words in ask.options:
        if told in _said(words):
            return float(grams)
    amount = _AMOUNT.fullmatch(told)
    if amount is None:
        raise RecordError(where, say("“{text}” is none of the pieces", text=text), short_keys(ask),
                          say("Write another amount with its unit"))  # fmt: skip
    value = round(float(amount[1]) * GRAMS[amount[2]])
    if value > MOST_G:
        raise RecordError(
            where,
            say("{text} on one colony", text=text),
            say("at most {most_g:g} g", most_g=MOST_G),
            say("Look again"),
        )
    return float(value)


def _counted(ask: Ask, told: str, text: str, where: str) -> float:
    """Mites on 100 bees, from a count of any number of bees."""
    if not _DECIMAL.fullmatch(told):
        raise RecordError(where, say("“{text}” is no number", text=text), short_keys(ask),
                          say("Key it in again"))  # fmt: skip
    if float(told) > ask.most:
        raise RecordError(where, say("{text} mites on 100 bees", text=text),
                          say("at most {most:g}", most=ask.most), say("Look again"))  # fmt: skip
    return float(told)


def _weighed(ask: Ask, told: str, text: str, where: str) -> float:
    """What a hive weighs [kg]; the sheet has no unit, so that it is written with the number."""
    amount = _AMOUNT.fullmatch(told)
    if amount is None or amount[2] not in ("kg", "lb"):
        raise RecordError(where, say("“{text}” is no weight with its unit", text=text), short_keys(ask),
                          say("Write kg or lb after the number"))  # fmt: skip
    value = round(float(amount[1]) * GRAMS[amount[2]] / GRAMS["kg"], 2)
    if value > ask.most:
        raise RecordError(where, say("{text} for one hive", text=text),
                          say("at most {most:g} kg", most=ask.most), say("Look again"))  # fmt: skip
    return value


def _said(words: str) -> set[str]:
    """The ways to key in a piece: "½ lb", "½", "h", "0.5", "0.5 lb"."""
    if words == "Nothing":
        return {"nothing", "nada", "n", "0"}
    number, _, unit = words.partition(" ")
    numbers = {number} | ({"h", "1/2", "0.5", ".5"} if number == "½" else set())
    return {f"{one}{gap}{unit}" for one in numbers for gap in ("", " ")} | numbers


def _option(ask: Ask, told: str) -> str | None:
    """The word of an option, by itself or by its first letter, in any language that a sheet is printed in."""
    found = set()
    for code in LANGUAGES:
        with speaking(code):
            said = [(value, say(words).casefold()) for value, words in ask.options]
        found |= {value for value, words in said if told in (words, words[0])}
    return found.pop() if len(found) == 1 else None
