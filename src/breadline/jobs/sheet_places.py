"""Countries and regions as sheets of yards write them: by name or code, known or to be mended."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from breadline.jobs.sheet_read import Fault, Row
from breadline.knowledge.calendars import for_place, regions
from breadline.knowledge.countries import named_countries
from breadline.language import say
from breadline.need.words import counted


def country_of(text: str) -> str | None:
    """The two letters of a country by its name, or as they stand; None where the name is not known."""
    plain = text.strip().casefold()
    if len(plain) == 2 and plain.isascii() and plain.isalpha():
        return "GB" if plain == "uk" else plain.upper()
    return named_countries().get(plain.removeprefix("the "))


def region_of(text: str) -> str | None:
    """The key of the starter calendar of a region by its key or name; None where there is none."""
    plain = text.strip().casefold()
    return next(
        (key for key, name, _ in regions() if plain in (key, name.casefold(), say(name).casefold())), None
    )


def country_fault(row: Row, head: Mapping[str, str]) -> Fault | None:
    """What is to be mended in the country of a row; None where it is known or left out."""
    text = str(row.values.get("country", "")).strip()
    if not text or country_of(text) is not None:
        return None
    return Fault(
        row.line, head.get("country", "country"), say('"{text}" is not known as a country', text=text),
        say("Write its two letters, such as NZ or US"),
    )  # fmt: skip


def regions_said(rows: Sequence[Row]) -> tuple[str, ...]:
    """Which regions have a starter calendar of bloom and which have none, with those that would fit."""
    told: dict[tuple[str, str | None], list[Row]] = {}
    for row in rows:
        text = str(row.values.get("region", "")).strip()
        if text:
            country = country_of(str(row.values.get("country", "")))
            told.setdefault((text, None if region_of(text) else country or ""), []).append(row)
    return tuple(_region_words(text, country, rows) for (text, country), rows in told.items())


def _region_words(text: str, country: str | None, rows: Sequence[Row]) -> str:
    many = counted(len(rows), "yard")
    key = region_of(text)
    if key is not None:
        name = next(say(name) for at, name, _ in regions() if at == key)
        return say(
            "Region {text} of {yards}: bloom goes by the starter calendar {name}.",
            text=text,
            yards=many,
            name=name,
        )
    latitude = rows[0].values.get("latitude")
    near = for_place(country, latitude) if isinstance(latitude, float | int) else ()
    names = ", ".join(say(one.name) for one in near[:3])
    if names:
        return say(
            "Region {text} of {yards} is kept as a note: there is no starter calendar of that name; {names} "
            "would fit. Choose one under weather and bloom.", text=text, yards=many, names=names,
        )  # fmt: skip
    return say(
        "Region {text} of {yards} is kept as a note: there is no starter calendar of that name. Choose one "
        "under weather and bloom.", text=text, yards=many,
    )  # fmt: skip
