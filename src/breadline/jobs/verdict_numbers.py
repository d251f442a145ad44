"""Numbers and days as people write them into a spreadsheet; what could mean two things is asked."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Literal

from breadline.errors import TrialError
from breadline.language import say

Decimal = Literal["point", "comma"]
_PARTS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "1/2": 0.5, "1/4": 0.25, "3/4": 0.75}
_WITH_PART = re.compile(r"(\d*)\s*(½|¼|¾|1/2|1/4|3/4)")
_POINT = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_COMMA = re.compile(r"[+-]?\d*,\d+")
_FIRST_DAY = date(1899, 12, 30)  # day 0 of spreadsheets


def number(text: str, where: str, decimal: Decimal) -> float | None:
    """A number; None where the cell is blank [as the column has it].

    ``where`` names the file, the row and the column in an error.
    """
    text = text.strip().replace("−", "-").replace("\u00a0", "")
    if not text:
        return None
    if parts := _WITH_PART.fullmatch(text):
        return float(parts[1] or 0) + _PARTS[parts[2]]
    if decimal == "comma":
        if _COMMA.fullmatch(text) or text.lstrip("+-").isdigit():
            return float(text.replace(",", "."))
    elif _POINT.fullmatch(text):
        return float(text)
    if _COMMA.fullmatch(text):
        raise TrialError(
            where, say("“{text}” has a comma", text=text), say("8.5, or a file with decimal commas "
                                                               "throughout"),
            say("Say it is decimal (--decimal comma; “Numbers have”); or write 8.5"),
        )  # fmt: skip
    if decimal == "comma" and _POINT.fullmatch(text):
        raise TrialError(
            where, say("“{text}” has a point", text=text), say("decimal commas, as you said"),
            say("Write 8,5, or leave out --decimal comma"),
        )  # fmt: skip
    raise TrialError(
        where, say("“{text}” is no number", text=text), say("a number, such as 7.5 or 7½"),
        say("Put words into the status column"),
    )  # fmt: skip


def day(text: str, where: str) -> date | None:
    """A day as year-month-day, or the day number of a spreadsheet; None where the cell is blank."""
    text = text.strip().split("T")[0].split(" ")[0]
    if not text:
        return None
    try:
        if text.isdigit() and len(text) == 5:
            return _FIRST_DAY + timedelta(days=int(text))
        return date.fromisoformat(text)
    except ValueError:
        raise TrialError(
            where, say("“{text}” is no day that means one day only", text=text),
            say("year-month-day, 2027-02-10"), say("10/02 is read in two ways; write the year first"),
        ) from None  # fmt: skip
