"""In which weights, warmth and money a reader wants to be told: their own choice, else their country's.

The choice belongs to the context (a request, a command), as the language does, so that one reader never
changes another's. What is kept in a book is in SI units and is turned only where it is shown or typed.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from math import copysign, floor, isfinite
from typing import Literal, get_args

from breadline.language import language

Units = Literal["lb", "g"]  # pounds, ounces, inches, °F; or kilograms, grams, millimetres, °C
UNITS: tuple[Units, ...] = get_args(Units)
MONEY = {"US": "US$", "CA": "CA$", "AU": "A$", "NZ": "NZ$", "GB": "£", "IE": "EUR", "DE": "EUR", "AT": "EUR",
         "FR": "EUR", "ES": "EUR", "IT": "EUR", "NL": "EUR", "BE": "EUR"}  # fmt: skip
LONGEST_MONEY = 8  # letters and signs
_SURE = 12  # digits of a number that are worked out alike on every way to it


@dataclass(frozen=True)
class Measures:
    """What a reader chose; nothing where the country decides."""

    units: Units | None = None
    money: str = ""


_CHOSEN: ContextVar[Measures] = ContextVar("measures", default=Measures())  # noqa: B039  # frozen


def measures() -> Measures:
    """What was chosen in this context."""
    return _CHOSEN.get()


@contextmanager
def measuring(chosen: Measures) -> Iterator[None]:
    """All within is told in these."""
    before = _CHOSEN.set(chosen)
    try:
        yield
    finally:
        _CHOSEN.reset(before)


def measure(chosen: Measures) -> None:
    """These from here on: of a whole command; a part of a program takes ``measuring``."""
    _CHOSEN.set(chosen)


def units_named(text: str) -> Units | None:
    """The units by their word: "lb", or "kg" and "g"; None for any other."""
    return {"lb": "lb", "kg": "g", "g": "g"}.get(text.strip().lower())  # type: ignore[return-value]


def units_of(country: str | None) -> Units:
    """Those of the reader; where none were chosen pounds where the trade weighs in pounds, else grams."""
    return measures().units or ("lb" if country in {"US", None} else "g")


def money_of(country: str | None) -> str:
    """The reader's money; where none was chosen that of the country, "" where it is not known."""
    return measures().money or MONEY.get(country or "", "")


def told_to() -> tuple[str, Measures]:
    """Language and measures: what a text that is kept for a while has to be kept apart by."""
    return language(), measures()


def of_money(number: str, money: str) -> str:
    """A number with whose money it is, one way everywhere: "US$12", "€12", "12 EUR", "−12 kr"."""
    if money[-1:].isalpha():
        return f"{number} {money}"
    return f"{number[0]}{money}{number[1:]}" if number[:1] in ("−", "+") else f"{money}{number}"


def halves_up(value: float, digits: int = 0) -> float:
    """A number so finely, halves away from 0 whatever the last bits of a sum made of them [any unit].

    4.25 is a tie to a reader, and to a computer only if it was not worked out as 4.249999999999999.
    """
    if not isfinite(value):
        return value
    parts = 10.0**digits
    told = floor(float(f"{abs(value) * parts:.{_SURE}g}") + 0.5) / parts
    return copysign(told, value)
