"""Law and custom of a country, as far as a source was read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, cast

from breadline.errors import FigureError
from breadline.knowledge.data import shipped
from breadline.knowledge.figure import Read
from breadline.language import noted, say

Default = Literal["no", "by need", "ask"]
NO_COUNTRY = ("EU", "names", "also_called")  # tables that are no country's own
INSPECTOR = noted("your bee inspector")


@dataclass(frozen=True)
class CountryLaw:
    """What a country's law and custom say about protein feed.

    An empty text means that no source was read on that point, never that
    anything is allowed.
    """

    code: str  # ISO 3166-1 alpha-2, upper case; "" where the yard does not say
    name: str
    default: Default
    why: str
    movement: str
    imports: str
    drugs: str
    selling: str
    ask: str
    year: int | None  # year of the newest source
    sources: tuple[str, ...]
    read: Read | None  # how the sources were read; None where there are none

    @property
    def known(self) -> bool:
        """Whether any source was read for the country."""
        return bool(self.sources)


def law_of(code: str | None) -> CountryLaw:
    """Law and custom of a country; "ask your inspector" where no source was read.

    Never falls back on another country.

    Parameters
    ----------
    code
        ISO 3166-1 alpha-2 in either case, or None where the yard does not say.

    Errors
    ------
    FigureError
        If the code is not two letters.
    """
    if not code or not code.strip():
        return _ask("", "")
    key = code.strip().upper()
    if len(key) != 2 or not key.isascii() or not key.isalpha():
        raise FigureError(
            "country", say('"{code}" is not a country code', code=code), say("two letters, such as US or NZ")
        )
    tables = shipped("countries.toml")
    if key in _own():
        return _law(key, tables[key])
    if key in tables["EU"]["members"]:
        return _law(key, tables["EU"], tables["names"][key])
    return _ask(key, key)


def countries() -> tuple[tuple[str, str], ...]:
    """Code and name of the countries that have an entry of their own, by name."""
    tables = shipped("countries.toml")
    return tuple(sorted(((key, str(tables[key]["name"])) for key in _own()), key=lambda pair: pair[1]))


def named_countries() -> dict[str, str]:
    """Code of each country that has a name on the shelf, by that name in small letters."""
    tables = shipped("countries.toml")
    names = {str(tables[key]["name"]): key for key in _own()}
    names |= {str(name): code for code, name in tables["names"].items()}
    names |= {str(name): code for code, also in tables["also_called"].items() for name in also}
    return {name.casefold().removeprefix("the "): code for name, code in names.items()}


def _own() -> tuple[str, ...]:
    return tuple(key for key in shipped("countries.toml") if key not in NO_COUNTRY)


def _law(code: str, table: dict[str, Any], name: str | None = None) -> CountryLaw:
    texts = {key: str(table[key]) for key in ("why", "movement", "imports", "drugs", "selling", "ask")}
    return CountryLaw(
        code=code,
        name=name or str(table["name"]),
        default=cast(Default, table["default"]),
        year=int(table["year"]),
        sources=tuple(table["sources"]),
        read=cast(Read, table["read"]),
        **texts,
    )


def _ask(code: str, name: str) -> CountryLaw:
    return CountryLaw(code, name, "ask", "", "", "", "", "", INSPECTOR, None, (), None)
