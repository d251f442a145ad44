"""Numbers that can be read in two ways, 3.500 and 1,500, and moneys whose prices have no usual size."""

from __future__ import annotations

import re

from breadline.language import language, say
from breadline.measures import MONEY

_GROUP = re.compile(r"([1-9]\d{0,2})([.,])(\d{3})")
_SIGNS = {"USD", "US$", "EUR", "€", "GBP", "£", "NZD", "NZ$", "AUD", "A$", "AU$", "CAD", "C$", "CA$"}
BY_UNITS = _SIGNS | set(MONEY.values())  # of a bare "$" nobody knows


def by_units(money: str) -> bool:
    """Whether things of the trade cost some units of it, with cents; False where that is not known."""
    return money.strip().upper() in BY_UNITS


class Written(float):
    """A number of a file with its text, since 3.500 is not always 3.5; ``parse_float`` of TOML."""

    text: str

    def __new__(cls, text: str) -> Written:
        """The number of a text, which is kept."""
        made = super().__new__(cls, text)
        made.text = text
        return made


def two_readings(text: str, money: str = "") -> tuple[str, str] | None:
    """The two numbers that a price may be, as they are to be written; None where it is one.

    A comma before three digits may always stand between thousands. So may a point, where a reader of
    Spanish or of another money than dollars, euros and pounds writes it.
    """
    found = _GROUP.fullmatch(text.strip())
    if found is None or (found[2] == "." and language() != "es" and (not money.strip() or by_units(money))):
        return None
    part = f"{found[1]}.{found[3]}".rstrip("0").rstrip(".")
    return found[1] + found[3], f"{part}0" if _GROUP.fullmatch(part) else part


def asked_which(text: str, readings: tuple[str, str]) -> tuple[str, str, str]:
    """What is wrong with such a number, what is expected, and what to do."""
    whole, part = readings
    return (
        say('"{found}" can be read in two ways', found=text.strip()),
        say("a number with a point or with neither"),
        say(
            "Is that {spaced}? Write {whole}. Or {found} and a bit? Write {part}",
            spaced=f"{whole[:-3]}\u202f{whole[-3:]}",
            whole=whole,
            found=part.partition(".")[0],
            part=part,
        ),
    )
