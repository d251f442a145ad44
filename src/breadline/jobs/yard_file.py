"""A yard's facts as a file: the form of exchange, read and written."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any, cast

from breadline.errors import YardError
from breadline.jobs.yard_bloom import BLOOM, bloom_of
from breadline.jobs.yard_checks import (
    check_dates,
    check_frames,
    check_hemisphere,
    check_inspected,
    check_later,
    frame_definition,
)
from breadline.jobs.yard_fields import Table, needed
from breadline.jobs.yard_text import yard_to_toml
from breadline.language import noted, say
from breadline.need.yard import (
    Aim,
    BoxDepth,
    BreadUnit,
    Count,
    Forage,
    Given,
    Goal,
    Health,
    Honey,
    Inspection,
    Place,
    PollenSeen,
    StartKind,
    Yard,
)  # fmt: skip

__all__ = ["read_yard", "yard_from_dict", "yard_to_toml"]

BREAD_UNITS: dict[str, tuple[BreadUnit, float]] = {
    "frames": ("frames", 40.0),
    "cells": ("cells", 200_000.0),
    "grams": ("g", 20_000.0),
}
ONE_BRACKET = re.compile(r"^[ \t]*\[(bloom|given|inspection)\]", re.MULTILINE)
COMMA = re.compile(r"^([ \t]*\w+[ \t]*=[ \t]*)(-?\d+),(\d+)[ \t]*(?:#.*)?\r?$", re.MULTILINE)
WHY_BREAD = noted(
    "stored pollen of one average colony, for example bread = {frames = 0.25}, {cells = 900} or {grams = 200}"
)


def read_yard(path: Path | str) -> Yard:
    """The yard of a file.

    Errors
    ------
    YardError
        If the file is not there, empty, not UTF-8, not TOML, or a fact in it
        is missing or implausible; names file, table, key and value.
    """
    where = Path(path).name
    try:
        raw = Path(path).read_bytes()
    except OSError as error:
        raise YardError(
            str(path),
            say("it can't be read ({strerror})", strerror=error.strerror),
            say("a yard file (.toml)"),
        ) from None
    if not raw.strip():
        raise YardError(
            where,
            say("the file is empty"),
            say("a yard's facts"),
            say("Start from examples/first-yard/yard.toml"),
        )
    try:
        data = tomllib.loads(raw.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise YardError(
            where, say("the file is not in UTF-8"), say("a text file in UTF-8"),
            say('Save it again with the encoding "UTF-8" in your editor'),
        ) from None  # fmt: skip
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise YardError(
            where,
            say("it is not TOML: {error}", error=error),
            say('lines such as colonies = 2 and name = "Home"'),
            _pointed(raw),
        ) from None
    return yard_from_dict(data, where)


def _pointed(raw: bytes) -> str:
    """What to write where a number has a decimal comma or a list has one bracket; else nothing."""
    text = raw.decode("utf-8")
    if once := ONE_BRACKET.search(text):
        return f"Write [[{once[1]}]] with two brackets, each time"
    comma = COMMA.search(text)
    return f"A number has a point: write {comma[1]}{comma[2]}.{comma[3]}" if comma else ""


def yard_from_dict(d: Mapping[str, Any], where: str) -> Yard:
    """The yard of tables that were read from a file or a form.

    Errors
    ------
    YardError
        As ``read_yard``; ``where`` is how the source is called in the message.
    """
    top = Table(d, where, TOP)
    today = needed(top, "today", top.day("today"), noted("the day of the question, such as 2027-02-20"))
    count = count_of(_section(d, where, "count", COUNT, needed=True), where, today)
    inspections = tuple(inspection_of(table, today) for table in _list(d, where, "inspection", INSPECTION))
    check_later(where, count.on, inspections)
    return Yard(
        name=needed(top, "name", top.text("name") or None, noted("what you call the yard")),
        place=place_of(_section(d, where, "place", PLACE, needed=True), today),
        colonies=needed(
            top, "colonies", top.whole("colonies", 1, 200_000, "colonies"), noted("how many colonies")
        ),
        today=today,
        count=count,
        health=health_of(_section(d, where, "health", HEALTH), today),
        forage=_forage(_section(d, where, "forage", FORAGE), today),
        bloom=tuple(bloom_of(table) for table in _list(d, where, "bloom", BLOOM)),
        goal=goal_of(_section(d, where, "goal", GOAL)) if "goal" in d else None,
        given=tuple(_given(table) for table in _list(d, where, "given", GIVEN)),
        wants_feed_because=top.text("wants_feed_because"),
        kept_for=cast(Any, top.word("kept_for", ("hobby", "trade")) or "trade"),
        notes=top.texts("notes"),
        inspections=inspections,
        fed_without_record=bool(top.truth("fed_without_record")),
    )


TOP = ("name", "colonies", "today", "kept_for", "wants_feed_because", "notes", "place", "count", "health",
       "forage", "bloom", "goal", "given", "inspection", "fed_without_record")  # fmt: skip
PLACE = ("latitude", "longitude", "country", "region", "season", "colonies_in_flight_range")
COUNT = ("on", "frames_of_bees", "frame_means", "frames_of_brood", "bread", "start", "bees_kg",
         "colonies_looked_in", "boxes", "frames_per_box", "afresh")  # fmt: skip
HEALTH = ("foulbrood_signs", "mites_per_100", "mites_on", "queens_laying", "queens_looked_for", "honey",
          "honey_note", "beetles_seen", "maggots_seen", "fed_miticide_label")  # fmt: skip
FORAGE = ("coming_in", "fresh_arcs", "first_reliable_pollen", "outside", "outside_c", "supers_from",
          "seen_on")  # fmt: skip
GOAL = ("aim", "on", "frames")
GIVEN = ("on", "grams")
INSPECTION = ("on", "colonies_looked_in", "frames_of_bees", "frames_each", "frame_means", "frames_of_brood",
              "bread", "boxes", "frames_per_box", "reader")  # fmt: skip


def _section(
    d: Mapping[str, Any], where: str, name: str, known: tuple[str, ...], needed: bool = False
) -> Table:
    if needed and name not in d:
        raise YardError(
            f"{where}, [{name}]",
            say("the table is missing"),
            say("keys such as {names}", names=", ".join(known[:3])),
        )
    return Table(d.get(name, {}), f"{where}, [{name}]", known)


def _list(d: Mapping[str, Any], where: str, name: str, known: tuple[str, ...]) -> list[Table]:
    items = d.get(name, [])
    if not isinstance(items, list):
        raise YardError(
            f"{where}, {name}",
            say("it is one table"),
            say("a list: write [[{name}]] with two brackets", name=name),
        )
    return [Table(item, f"{where}, [[{name}]] {i}", known) for i, item in enumerate(items, 1)]


def place_of(table: Table, today: date) -> Place:
    """Where a yard stands, checked against its country and season."""
    latitude = needed(
        table, "latitude", table.number("latitude", -90, 90, noted("degrees north")), noted("such as 41.2")
    )
    check_hemisphere(table, latitude, today)
    country = table.text("country")
    if country and not (len(country) == 2 and country.isalpha()):
        raise table.error(
            "country",
            say('"{country}" is no country code', country=country),
            say('two letters such as "US", "NZ" or "DE"'),
        )
    return Place(
        latitude,
        table.number("longitude", -180, 180, noted("degrees east")),
        country.upper() or None,
        table.text("region") or None,
        table.number("colonies_in_flight_range", 0, 100_000, "colonies"),
    )


def count_of(table: Table, where: str, today: date) -> Count:
    """A count that a season can begin from."""
    bread, unit = _bread(table)
    frames = table.number("frames_of_bees", 0, 100, "frames")
    kilos = table.number("bees_kg", 0.1, 10, "kg")
    if frames is None and kilos is None:
        raise table.error(
            "frames_of_bees", say("is missing"), say("frames of bees, or bees_kg for a package")
        )
    start = cast(StartKind, table.word("start", ("colony", "nuc", "package")) or "colony")
    if frames is None and start != "package":
        raise table.error(
            "bees_kg",
            say("is for a package"),
            say("frames_of_bees for a colony or a nuc"),
            say('Add start = "package", or frames'),
        )
    count = Count(
        on=needed(table, "on", table.day("on"), noted("the day of the count")),
        bread=bread,
        bread_unit=unit,
        frames_of_bees=frames,
        frame_means=frame_definition(table) if frames is not None else None,
        frames_of_brood=table.number("frames_of_brood", 0, 60, "frames") or 0.0,
        bees_kg=kilos,
        colonies_looked_in=table.whole("colonies_looked_in", 1, 100_000, "colonies") or 1,
        start=start,
        boxes=_boxes(table),
        frames_per_box=table.whole("frames_per_box", 3, 14, "frames") or 10,
        brood_counted="frames_of_brood" in table,
        afresh=bool(table.truth("afresh")),
    )
    check_frames(table, count)
    check_dates(where, today, count.on)
    return count


def _bread(table: Table) -> tuple[float, BreadUnit]:
    if "bread" not in table:
        raise table.error(
            "bread", say("is missing, and it decides more than the bloom does"), say(WHY_BREAD),
            say("Look at a few combs beside the brood and write what you see, 0 too"),
        )  # fmt: skip
    bread = Table(table.data["bread"], f"{table.where}, bread", tuple(BREAD_UNITS))
    given = [key for key in BREAD_UNITS if key in bread]
    if len(given) != 1:
        raise table.error("bread", say("{n} amounts are given", n=len(given)),
                          say("one of them: {what}", what=say(WHY_BREAD)))  # fmt: skip
    unit, most = BREAD_UNITS[given[0]]
    value = bread.number(given[0], 0, most, given[0])
    return cast(float, value), unit


def _boxes(table: Table) -> tuple[BoxDepth, ...]:
    boxes = table.data.get("boxes", ["deep"])
    depths = ("deep", "medium", "shallow")
    if not isinstance(boxes, list) or not boxes or any(box not in depths for box in boxes):
        raise table.error(
            "boxes", say("{boxes} is no list of boxes", boxes=repr(boxes)), say('such as ["deep", "medium"]')
        )
    return tuple(cast(BoxDepth, box) for box in boxes)


def health_of(table: Table, today: date) -> Health:
    """What comes before protein, as far as it is known."""
    laying = table.whole("queens_laying", 0, 100_000, "hives")
    looked = table.whole("queens_looked_for", 0, 100_000, "hives")
    if laying is not None and looked is None:
        raise table.error(
            "queens_looked_for",
            say("is missing beside {laying} that lay", laying=laying),
            say("in how many hives a queen or eggs were looked for"),
            say("Where nobody looked for queens, leave both out"),
        )
    if laying is not None and looked is not None and laying > looked:
        raise table.error(
            "queens_laying",
            say("{laying} lay of {looked} looked for", laying=laying, looked=looked),
            say("at most as many"),
        )
    mites_on = table.day("mites_on")
    if mites_on is not None and mites_on > today:
        raise table.error(
            "mites_on",
            say("{day} is after today, {today}", day=mites_on, today=today),
            say("the day of the test"),
        )
    return Health(
        table.truth("foulbrood_signs"),
        table.number("mites_per_100", 0, 100, noted("mites per 100 bees")),
        mites_on,
        laying,
        looked,
        cast(Honey | None, table.word("honey", ("light", "enough"))),
        table.text("honey_note"),
        table.truth("beetles_seen"),
        table.truth("maggots_seen"),
        bool(table.truth("fed_miticide_label")),
    )


def forage_of(table: Table) -> Forage:
    """What is seen of pollen on the day."""
    outside = table.number("outside_c", -60, 55, "°C")
    if outside is None:
        outside = table.warmth("outside")
    return Forage(
        cast(PollenSeen | None, table.word("coming_in", ("none", "little", "plenty"))),
        table.truth("fresh_arcs"),
        table.day("first_reliable_pollen"),
        outside,
        table.day("supers_from"),
    )


def _forage(table: Table, today: date) -> Forage:
    """The same with the day on which it was seen, where that was not the file's."""
    on = table.day("seen_on")
    if on is not None and on > today:
        raise table.error(
            "seen_on",
            say("{day} is after today, {today}", day=on, today=today),
            say("the day of the look, today or before"),
        )
    return replace(forage_of(table), seen_on=None if on == today else on)


def goal_of(table: Table) -> Goal:
    """What the colonies are wanted for."""
    aims = ("frames", "splits", "nectar_flow", "winter_bees", "keep_alive")
    aim = needed(table, "aim", table.word("aim", aims), say("one of these: {names}", names=", ".join(aims)))
    return Goal(cast(Aim, aim), table.day("on"), table.number("frames", 0.5, 40, "frames"))


def _given(table: Table) -> Given:
    on = needed(table, "on", table.day("on"), noted("the day the feed went on"))
    return Given(
        on,
        needed(
            table, "grams", table.number("grams", 0, 20_000, noted("g a colony")), noted("grams a colony")
        ),
    )


def inspection_of(table: Table, today: date) -> Inspection:
    """A later look, of which any part may be counted."""
    on = needed(table, "on", table.day("on"), noted("the day of the inspection"))
    if on > today:
        raise table.error(
            "on",
            say("{day} is after today, {today}", day=on, today=today),
            say("the day of the inspection, today or before"),
        )
    each = table.numbers("frames_each", 0, 60, "frames")
    frames = table.number("frames_of_bees", 0, 60, "frames")
    if each and frames is not None:
        raise table.error(
            "frames_each", say("frames_of_bees is there too"), say("one of them"), say("Leave out the mean")
        )
    looked_in = table.whole("colonies_looked_in", 1, 100_000, "colonies")
    if each and looked_in not in (None, len(each)):
        raise table.error(
            "frames_each",
            say("{n} hives are listed, {looked_in} were looked in", n=len(each), looked_in=looked_in),
            say("one number a hive"),
            say("Leave out colonies_looked_in, or write down the hives that are missing"),
        )
    bread, unit = _bread(table) if "bread" in table else (None, "g")
    found = Inspection(
        on=on,
        colonies_looked_in=len(each) or looked_in or 1,
        frames_of_bees=frames,
        frame_means=frame_definition(table) if "frame_means" in table else None,
        frames_each=each,
        frames_of_brood=table.number("frames_of_brood", 0, 60, "frames"),
        bread=bread,
        bread_unit=cast(BreadUnit, unit),
        boxes=_boxes(table) if "boxes" in table else (),
        reader=table.text("reader"),
    )
    if not each and (found.frames_of_bees, found.frames_of_brood, found.bread) == (None, None, None):
        raise table.error("frames_of_bees", say("is missing"), say("what was counted: bees, brood or bread"))
    if found.boxes:
        check_inspected(table, found, table.whole("frames_per_box", 3, 14, "frames") or 10)
    return found
