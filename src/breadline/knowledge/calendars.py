"""Starter bloom calendars of regions, labelled as starting points."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Any, Literal, cast

from breadline.errors import FigureError
from breadline.knowledge.data import shipped
from breadline.knowledge.figure import Read
from breadline.language import say

MonthDay = tuple[int, int]


@dataclass(frozen=True)
class DegreeDays:
    """A growing-degree-day target with all that gives it a meaning."""

    sum_c: float  # [°C·day]
    base_c: float  # [°C]
    cap_c: float | None  # [°C]
    method: Literal["average", "clipped"]
    start: MonthDay  # day on which the sum starts


@dataclass(frozen=True)
class Window:
    """One source of pollen: by dates, or by degree days.

    ``read`` says how the dates were read; strength and nectar are our judgement
    everywhere.
    """

    name: str
    start: MonthDay | None
    end: MonthDay | None  # before ``start`` where the window runs over New Year
    strength: float  # 0 to 1, 1 = the best pollen weeks of a good place
    nectar: float  # 0 to 1
    protein_pct: float | None  # crude protein of the pollen [% of mass]
    degree_days: DegreeDays | None
    lasts_days: int | None  # with degree_days
    source: str
    read: Read


@dataclass(frozen=True)
class Disagreement:
    """What another source says of the region."""

    what: str
    source: str


@dataclass(frozen=True)
class Calendar:
    """The bloom of a region as a starting point."""

    key: str
    name: str
    country: str  # ISO 3166-1 alpha-2
    latitude: float  # degrees north; negative south of the equator
    windows: tuple[Window, ...]
    first_reliable_pollen: MonthDay
    first_pollen_source: str
    first_pollen_read: Read
    dearth: str
    says: str  # that it is a starting point, and what to mind
    disagrees_with: tuple[Disagreement, ...]


def calendar(key: str) -> Calendar:
    """The starter calendar of a region.

    Errors
    ------
    FigureError
        If there is none of that key; names the nearest ones.
    """
    if key in _calendars():
        return _calendars()[key]
    near = get_close_matches(key.lower(), list(_calendars()), n=3, cutoff=0.4)
    do = (
        say("Nearest: {names}", names=", ".join(near))
        if near
        else say("There are: {names}", names=", ".join(_calendars()))
    )
    raise FigureError(
        "region", say('there is no starter calendar "{key}"', key=key), say("the key of a region"), do
    )


def regions() -> tuple[tuple[str, str, str], ...]:
    """Key, name and country of each region with a starter calendar."""
    return tuple((c.key, c.name, c.country) for c in _calendars().values())


def for_place(country: str | None, latitude: float) -> tuple[Calendar, ...]:
    """Calendars to suggest for a place, nearest latitude first; empty where none fits.

    Only calendars of the same country, since bloom is no matter of latitude
    alone; without a country all of the same hemisphere within 6 degrees.

    Parameters
    ----------
    country
        ISO 3166-1 alpha-2, or None.
    latitude
        Degrees north; negative south of the equator. [degrees]
    """
    code = country.strip().upper() if country else None
    near = [
        c
        for c in _calendars().values()
        if (c.latitude < 0) == (latitude < 0)
        and (c.country == code if code else abs(c.latitude - latitude) <= 6.0)
    ]
    return tuple(sorted(near, key=lambda c: abs(c.latitude - latitude)))


@lru_cache(maxsize=1)
def _calendars() -> Mapping[str, Calendar]:
    return {key: _calendar(key, table) for key, table in shipped("calendars.toml").items()}


def _calendar(key: str, table: Mapping[str, Any]) -> Calendar:
    return Calendar(
        key=key,
        name=str(table["name"]),
        country=str(table["country"]),
        latitude=float(table["latitude"]),
        windows=tuple(_window(row) for row in table["windows"]),
        first_reliable_pollen=_month_day(table["first_reliable_pollen"]),
        first_pollen_source=str(table["first_pollen_source"]),
        first_pollen_read=cast(Read, table["first_pollen_read"]),
        dearth=str(table["dearth"]),
        says=str(table["says"]),
        disagrees_with=tuple(Disagreement(str(d["what"]), str(d["source"])) for d in table["disagrees"]),
    )


def _window(row: Mapping[str, Any]) -> Window:
    by_warmth = "sum_c" in row
    return Window(
        name=str(row["name"]),
        start=None if by_warmth else _month_day(row["start"]),
        end=None if by_warmth else _month_day(row["end"]),
        strength=float(row["strength"]),
        nectar=float(row["nectar"]),
        protein_pct=float(row["protein_pct"]) if "protein_pct" in row else None,
        degree_days=_degree_days(row) if by_warmth else None,
        lasts_days=int(row["lasts_days"]) if by_warmth else None,
        source=str(row["source"]),
        read=cast(Read, row["read"]),
    )


def _degree_days(row: Mapping[str, Any]) -> DegreeDays:
    return DegreeDays(
        sum_c=float(row["sum_c"]),
        base_c=float(row["base_c"]),
        cap_c=float(row["cap_c"]) if "cap_c" in row else None,
        method=cast(Literal["average", "clipped"], row["method"]),
        start=_month_day(row["sums_from"]),
    )


def _month_day(text: str) -> MonthDay:
    month, day = text.split("-")
    return int(month), int(day)
