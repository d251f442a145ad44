"""What a cell says: numbers and days by what was asked, never by a guess; else with what to mend."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from breadline.jobs.export import unguarded
from breadline.jobs.sheet_cells import Native, clean
from breadline.jobs.sheet_fields import YES, Field
from breadline.jobs.verdict_columns import word_of
from breadline.language import say, say_as

Decimal = Literal["point", "comma"]
Order = Literal["day-month", "month-day"]
Value = str | float | int | bool | date | None
NOTHING = {
    "",
    "-",
    "–",
    "—",
    "?",
    "n/a",
    "na",
    "n.a.",
    "nil",
    ".",
    "none",
    "null",
    "keine",
    "k.a.",
    "nada",
    "ninguno",
    "ninguna",
}
_PARTS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "1/2": 0.5, "1/4": 0.25, "3/4": 0.75}
_WITH_PART = re.compile(r"(\d*)[\s-]*(½|¼|¾|1/2|1/4|3/4)")
_NUMBER: Mapping[Decimal, re.Pattern[str]] = {
    "point": re.compile(r"[+-]?(?:\d+|\d{1,3}(?:[, ']\d{3})+|(?=\.\d))(?:\.\d*)?(?:[eE][+-]?\d+)?"),
    "comma": re.compile(r"[+-]?(?:\d+|\d{1,3}(?:[. ']\d{3})+|(?=,\d))(?:,\d*)?(?:[eE][+-]?\d+)?"),
}
_SHORT = re.compile(r"[+-]?\d{1,3}\.\d{3}")  # 1.500: one and a half, or fifteen hundred
_TAIL = re.compile(r"([+-]?[\d.,' ½¼¾/]*\d[\d.,']*|[½¼¾])\s*([^\d\s.,][^\d]*\d?[^\d]*)")
_DAY = re.compile(r"(\d{1,4})[./-](\d{1,2})[./-](\d{2,4})")
_SPANISH = {"ene": "jan", "abr": "apr", "ago": "aug", "dic": "dec"}  # where they are not the same
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_NAMED = (
    re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[ ./-]+([A-Za-z]{3,10})\.?,?[ ./-]+(\d{2}|\d{4})"),
    re.compile(r"([A-Za-z]{3,10})\.?[ -]+(\d{1,2})(?:st|nd|rd|th)?,?[ -]+(\d{2}|\d{4})"),
)


class Mend(Exception):
    """What is wrong with a cell, and what would be right."""

    def __init__(self, what: str, do: str = "") -> None:
        super().__init__(what)
        self.what, self.do = what, do


@dataclass(frozen=True)
class Reading:
    """How cells are read: what was asked, None where it was not."""

    decimal: Decimal | None = None
    order: Order | None = None
    today: date = date.max


def value_of(text: str, of: Field, unit: str, how: Reading) -> Value:
    """The value of a cell in the unit it is kept in; None where it says nothing [unit of the field].

    Errors
    ------
    Mend
        With what is wrong.
    """
    text = typed(text)
    if of.shape == "text":
        return text
    if text.lower() in NOTHING and not (of.shape == "word" and of.word(text)):
        return None
    if text.startswith(("=", "#")):
        raise Mend(
            say("“{text}” is a formula without a value, or an error of one", text=text[:30]),
            say("Open the file in your spreadsheet program, save it, and bring it in again"),
        )
    if of.shape == "day":
        return day_of(text, how)
    if of.shape == "word":
        return _word(text, of)
    if of.shape == "yes":
        return _yes(text)
    said = "" if of.key == "frames_of_bees" else unit  # which is a definition, no unit
    return _ranged(number_of(text, how.decimal, said), of, unit, text)


def typed(text: str) -> str:
    """A cell as it was typed: without odd blanks, and without the apostrophe that we put before it."""
    text = clean(text)
    return text if type(text) is Native else unguarded(text)


def number_of(text: str, decimal: Decimal | None, unit: str = "") -> float:
    """A number by the decimal sign that was asked [unit of the field].

    Errors
    ------
    Mend
        If it is none, or could be two.
    """
    if type(text) is Native:
        try:
            return float(text)
        except ValueError:
            raise Mend(
                say("“{text}” is a day, not a number", text=text), say("Format the column as a number")
            ) from None
    text = text.replace("−", "-")
    if parts := _WITH_PART.fullmatch(text):
        return float(parts[1] or 0) + _PARTS[parts[2]]
    sign: Decimal = decimal or "point"
    if decimal is None and unsure_number(text):
        raise Mend(
            say("“{text}” could be two numbers", text=text),
            say("Say whether commas or points are the decimal sign"),
        )
    if _NUMBER[sign].fullmatch(text):
        return _float(text, sign)
    raise _no_number(text, sign, unit)


def unsure_number(text: str) -> bool:
    """Whether a number needs the decimal sign to be asked."""
    if type(text) is Native or ("," not in text and "." not in text):
        return False
    text = clean(text).replace("−", "-")
    fits = any(pattern.fullmatch(text) for pattern in _NUMBER.values())
    return bool(_SHORT.fullmatch(text)) or ("," in text and fits)


def day_of(text: str, how: Reading) -> date:
    """A day: year first, or with its month named, or in the order that was asked.

    Errors
    ------
    Mend
        If there is no such day, it is to come, or could be two.
    """
    told = re.sub(r"[T ]+\d{1,2}:\d{2}.*$", "", text)
    found = _named_day(told) or _numbered_day(told, how)
    try:
        on = date(*found)
    except ValueError:
        raise Mend(
            say("“{text}”: there is no such day", text=text), say("Look at the day and the month")
        ) from None
    if on > how.today or on.year < 1950:
        late = (
            say("{day} is still to come", day=on) if on > how.today else say("{day} is too long ago", day=on)
        )
        raise Mend(late, say("Look at the year"))
    return on


def orders(texts: Iterable[str]) -> set[Order]:
    """The orders in which all of some days can be read; empty where no day needs one.

    A day that is none in either order, such as 31/02/2026, says nothing of the order.
    """
    left: set[Order] = {"day-month", "month-day"}
    asked = False
    for text in texts:
        parts = (
            None
            if type(text) is Native
            else _DAY.fullmatch(re.sub(r"[T ]+\d{1,2}:\d{2}.*$", "", clean(text)))
        )
        if parts is None or len(parts[1]) > 2:
            continue
        asked = True
        first, second, year = (int(part) for part in parts.groups())
        fits: set[Order] = set()
        if _is_day(year, second, first):
            fits.add("day-month")
        if _is_day(year, first, second):
            fits.add("month-day")
        left &= fits or left
    return left if asked else set()


def _is_day(year: int, month: int, day: int) -> bool:
    try:
        date(year if year > 99 else 2000 + year, month, day)
    except ValueError:
        return False
    return True


def _numbered_day(text: str, how: Reading) -> tuple[int, int, int]:
    parts = _DAY.fullmatch(text)
    if parts is None:
        if text.isdigit() and len(text) == 8:
            return int(text[:4]), int(text[4:6]), int(text[6:])
        if text.isdigit() and len(text) == 5:
            raise Mend(
                say("“{text}” is a spreadsheet's number of a day", text=text),
                say("Format the column as a date and save again"),
            )
        raise Mend(say("“{text}” is no day", text=text[:40]), say("Write year-month-day, such as 2026-03-10"))
    first, second, third = (int(part) for part in parts.groups())
    if len(parts[1]) == 4:
        return first, second, third
    year = 2000 + third if len(parts[3]) == 2 else third
    if how.order is None:
        raise Mend(
            say("“{text}” could be two days", text=text), say("Say whether the day or the month comes first")
        )
    return (year, second, first) if how.order == "day-month" else (year, first, second)


def _named_day(text: str) -> tuple[int, int, int] | None:
    text = re.sub(r"\s+del?\s+", " ", text, flags=re.I)  # 10 de marzo de 2026
    for place, pattern in enumerate(_NAMED):
        if parts := pattern.fullmatch(text):
            day, month = (parts[1], parts[2]) if place == 0 else (parts[2], parts[1])
            named = _SPANISH.get(month[:3].lower(), month[:3].lower())
            if named in _MONTHS:
                year = int(parts[3]) + (2000 if len(parts[3]) == 2 else 0)
                return year, _MONTHS.index(named) + 1, int(day)
    return None


def _float(text: str, sign: Decimal) -> float:
    text = re.sub(r"[ ']", "", text)
    text = text.replace(",", "") if sign == "point" else text.replace(".", "").replace(",", ".")
    return float(text)


def _no_number(text: str, sign: Decimal, unit: str) -> Mend:
    if "%" in text:
        return Mend(
            say("“{text}” has a % sign", text=text),
            say("Write the number alone; the column's unit was asked"),
        )
    if "°" in text:
        return Mend(
            say("“{text}” is in degrees and minutes", text=text),
            say("Write degrees with decimals, such as 44.5, and a minus for south and west"),
        )
    if (tail := _TAIL.fullmatch(text)) and not tail[2].startswith(("-", "/")):
        wrong = (
            say("“{text}” carries a unit or a word, and the column was said to be in {unit}", text=text,
                unit=unit)
            if unit
            else say("“{text}” carries a unit or a word", text=text)
        )  # fmt: skip
        return Mend(wrong, say("Write numbers alone, all in one unit"))
    if "," in text or "." in text:
        wrong = (
            say("“{text}” does not fit decimal commas", text=text)
            if sign == "comma"
            else say("“{text}” does not fit decimal points", text=text)
        )
        return Mend(wrong, say("Write every number with the same decimal sign"))
    return Mend(
        say("“{text}” is no number", text=text[:40]),
        say("Put words into a column for notes, and leave blank what is not known"),
    )


def _ranged(value: float, of: Field, unit: str, text: str) -> float | int:
    kept = value * of.units.get(unit, 1.0)
    if not of.low <= kept <= of.high:
        told = {"text": text, "what": say_as("column", of.name)}
        wrong = (
            say("“{text}” is below nought for {what}", **told)
            if kept < 0 <= of.low
            else say("“{text}” is not possible for {what}", **told)
        )
        raise Mend(wrong, say("It is kept from {low:g} to {high:g}", low=of.low, high=of.high))
    if of.shape == "whole":
        if kept != int(kept):
            raise Mend(say("“{text}” is not a whole number", text=text), say("Count whole ones"))
        return int(kept)
    return kept


def _word(text: str, of: Field) -> str:
    found = of.word(text)
    if found is None:
        known = ", ".join(dict.fromkeys(of.words.values()))
        raise Mend(
            say("“{text}” is no word for {what}", text=text[:40], what=say_as("column", of.name)),
            say("One of: {words}", words=known),
        )
    return found


def _yes(text: str) -> bool:
    found = YES.get(word_of(text))
    if found is None:
        raise Mend(say("“{text}” is neither yes nor no", text=text[:40]), say("Write yes or no"))
    return found
