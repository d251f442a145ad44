"""A yard as its rows, and rows as a yard; the only place that knows both shapes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from datetime import date
from typing import Any, cast
from uuid import UUID

from breadline.need.yard import (
    Bloom,
    Count,
    DegreeDays,
    Forage,
    Given,
    Goal,
    Health,
    Inspection,
    Place,
    StartKind,
    Yard,
)
from breadline.records.readings import Kind, Look, Seen
from breadline.records.tables import BloomRow, Reading, Visit, YardFact

INSPECTION = "inspection"
PREFIX = "frame_of_bees."  # sheets brought in by an earlier version wrote the whole key of the figure
FROM_PHONE = "entered on a phone"  # what the visit of phones says of itself
FROM_SHEET = "brought in from "  # what the visit of a sheet says of itself, before the name of its file


def hive_by_hive(visit: Visit) -> bool:
    """Whether the hives of a visit were gone through one by one, so that they stand for their yard."""
    return visit.note == FROM_PHONE or visit.note.startswith(FROM_SHEET)


def fact_of(yard: Yard, yard_id: UUID) -> YardFact:
    """What lasts of a yard, as an unsaved row."""
    goal = yard.goal
    place = {part.name: getattr(yard.place, part.name) for part in fields(Place)}
    return YardFact(
        yard_id=yard_id,
        name=yard.name,
        **place,
        colonies=yard.colonies,
        kept_for=yard.kept_for,
        aim=goal.aim if goal else None,
        aim_on=goal.on if goal else None,
        aim_frames=goal.frames if goal else None,
        first_reliable_pollen=yard.forage.first_reliable_pollen,
        supers_from=yard.forage.supers_from,
        wants_feed_because=yard.wants_feed_because,
        notes=list(yard.notes),
    )


def look_of(count: Count) -> Look:
    """The visit on which a count was made."""
    return Look(count.on, count.colonies_looked_in, count.start, tuple(count.boxes), count.frames_per_box)


def counted(count: Count) -> list[Seen]:
    """The numbers of a count; what was not counted makes no reading."""
    seen = [
        Seen("bread", count.bread, count.bread_unit),
        Seen("frames_of_brood", count.frames_of_brood if count.brood_counted else None),
        Seen("frames_of_bees", count.frames_of_bees, definition=count.frame_means),
        Seen("bees_kg", count.bees_kg),
        Seen("begins_afresh", 1.0 if count.afresh else None),
    ]
    return [one for one in seen if _says_something(one)]


def seen_today(yard: Yard) -> list[Seen]:
    """Health and forage as they are on the yard's day; what is not known makes no reading."""
    unrecorded = Seen("fed_without_record", 1.0 if yard.fed_without_record else None)
    return [*seen_of(yard.health, yard.forage), *([unrecorded] if _says_something(unrecorded) else [])]


def seen_of(health: Health, forage: Forage) -> list[Seen]:
    """What was seen in the hives and at their entrances; what is not known makes no reading."""
    flags: list[tuple[Kind, bool | None]] = [
        ("foulbrood_signs", health.foulbrood_signs),
        ("beetles_seen", health.beetles_seen),
        ("maggots_seen", health.maggots_seen),
        ("fed_miticide_label", health.fed_miticide_label),
        ("fresh_arcs", forage.fresh_arcs),
    ]
    seen = [
        Seen("mites_per_100", health.mites_per_100, on=health.mites_on),
        Seen("queens", health.queens_laying, out_of=health.queens_looked_for),
        Seen("honey", word=health.honey, note=health.honey_note),
        Seen("pollen_seen", word=forage.coming_in),
        Seen("outside_c", forage.outside_c),
        *(Seen(kind, None if flag is None else float(flag)) for kind, flag in flags),
    ]
    return [one for one in seen if _says_something(one)]


def given_seen(given: Given) -> Seen:
    """Feed that was put on, as a reading."""
    return Seen("feed_given", given.grams, on=given.on)


def _says_something(seen: Seen) -> bool:
    told = (seen.value, seen.word, seen.out_of, seen.definition, seen.on)
    return bool(seen.note) or any(part is not None for part in told)


def bloom_of(bloom: Bloom, yard_id: UUID, position: int) -> BloomRow:
    """A source of pollen as an unsaved row."""
    start, end, target = bloom.start or (None, None), bloom.end or (None, None), bloom.degree_days
    sums: dict[str, Any] = {}
    if target is not None:
        sums = {name: getattr(target, name) for name in ("sum_c", "base_c", "cap_c", "method")}
        sums |= {"sum_month": target.start[0], "sum_day": target.start[1]}
    return BloomRow(
        yard_id=yard_id, position=position, name=bloom.name, start_month=start[0], start_day=start[1],
        end_month=end[0], end_day=end[1], strength=bloom.strength, nectar=bloom.nectar,
        protein_pct=bloom.protein_pct, lasts_days=bloom.lasts_days, source=bloom.source, **sums,
    )  # fmt: skip


def bloom_from(row: BloomRow) -> Bloom:
    """The source of pollen that a row holds."""
    target = None
    if row.sum_c is not None and row.base_c is not None:
        start = (cast(int, row.sum_month), cast(int, row.sum_day))
        target = DegreeDays(row.sum_c, row.base_c, row.cap_c, cast(Any, row.method), start)
    return Bloom(
        row.name, _day(row.start_month, row.start_day), _day(row.end_month, row.end_day), row.strength,
        row.nectar, row.protein_pct, target, row.lasts_days, row.source,
    )  # fmt: skip


def _day(month: int | None, day: int | None) -> tuple[int, int] | None:
    return None if month is None or day is None else (month, day)


def count_from(visit: Visit, rows: Mapping[str, Reading]) -> Count:
    """The count of one visit from its readings by kind; ``rows`` holds bread."""
    bees = rows.get("frames_of_bees")
    return Count(
        on=visit.on,
        bread=cast(float, rows["bread"].value),
        bread_unit=cast(Any, rows["bread"].unit),
        frames_of_bees=None if bees is None else bees.value,
        frame_means=None if bees is None else _means(bees.definition),
        frames_of_brood=_value(rows, "frames_of_brood") or 0.0,
        bees_kg=_value(rows, "bees_kg"),
        colonies_looked_in=_looked_in(visit, rows["bread"]),
        start=start_of(visit),
        boxes=cast(Any, ("deep",) if visit.boxes is None else tuple(visit.boxes)),
        frames_per_box=10 if visit.frames_per_box is None else visit.frames_per_box,
        brood_counted="frames_of_brood" in rows,
        afresh=bool(_flag(rows, "begins_afresh")),
    )


def written_down(one: Inspection, count: Count) -> Inspection:
    """An inspection as the book keeps it: with what a frame of bees is, also where it is the count's."""
    if one.frames_of_bees is None and not one.frames_each:
        return replace(one, frame_means=None)
    return replace(one, frame_means=one.frame_means or count.frame_means)


def inspected(one: Inspection, count: Count) -> tuple[Look, list[Seen]]:
    """An inspection as a day in the yard and its readings.

    The word ``inspection`` where a count says how the colonies began tells the two apart.
    Hives counted one by one stand in the note of their mean.
    """
    kept, each = written_down(one, count), one.frames_each
    # each divided first: the sum of any numbers that can be written down might be none
    mean = sum(frames / len(each) for frames in each) if each else one.frames_of_bees
    seen = [
        Seen("frames_of_bees", mean, definition=kept.frame_means, note=" ".join(map(repr, each))),
        Seen("frames_of_brood", kept.frames_of_brood),
        Seen("bread", kept.bread, kept.bread_unit),
    ]
    look = Look(kept.on, kept.colonies_looked_in, INSPECTION, kept.boxes or None, note=kept.reader)
    return look, [one for one in seen if one.value is not None]


def inspection_from(visit: Visit, rows: Mapping[str, Reading]) -> Inspection:
    """What was counted on one visit, from its readings by kind."""
    bees, bread = rows.get("frames_of_bees"), rows.get("bread")
    each = () if bees is None else tuple(float(one) for one in bees.note.split())
    return Inspection(
        on=visit.on,
        colonies_looked_in=_looked_in(visit, rows.get("frames_of_brood"), bread, hives=len(each)),
        frames_of_bees=None if bees is None or each else bees.value,
        frame_means=None if bees is None else _means(bees.definition),
        frames_each=each,
        frames_of_brood=_value(rows, "frames_of_brood"),
        bread=None if bread is None else bread.value,
        bread_unit="g" if bread is None else cast(Any, bread.unit),
        boxes=() if visit.boxes is None else cast(Any, tuple(visit.boxes)),
        reader=visit.note,
    )


def _looked_in(visit: Visit, *means: Reading | None, hives: int = 0) -> int:
    """In how many hives, as the visit says, else as many as were counted one by one."""
    if visit.colonies_looked_in is not None:
        return visit.colonies_looked_in
    counted = [int(mean.out_of) for mean in means if mean is not None and mean.out_of]
    return hives or min(counted, default=1)


def start_of(visit: Visit) -> StartKind:
    """How the colonies of a visit began; those of an inspection are colonies by then."""
    return "colony" if visit.start in (None, INSPECTION) else cast(StartKind, visit.start)


def health_from(rows: Mapping[str, Reading]) -> Health:
    """Health from the newest reading of each kind."""
    mites, queens, honey = rows.get("mites_per_100"), rows.get("queens"), rows.get("honey")
    return Health(
        foulbrood_signs=_flag(rows, "foulbrood_signs"),
        mites_per_100=None if mites is None else mites.value,
        mites_on=None if mites is None else mites.on,
        queens_laying=None if queens is None else _whole(queens.value),
        queens_looked_for=None if queens is None else _whole(queens.out_of),
        honey=None if honey is None else cast(Any, honey.word),
        honey_note="" if honey is None else honey.note,
        beetles_seen=_flag(rows, "beetles_seen"),
        maggots_seen=_flag(rows, "maggots_seen"),
        fed_miticide_label=bool(_flag(rows, "fed_miticide_label")),
    )


def forage_from(rows: Mapping[str, Reading], fact: YardFact) -> Forage:
    """What was seen of pollen on the last visit, and the yard's own dates."""
    pollen = rows.get("pollen_seen")
    return Forage(
        coming_in=None if pollen is None else cast(Any, pollen.word),
        fresh_arcs=_flag(rows, "fresh_arcs"),
        first_reliable_pollen=fact.first_reliable_pollen,
        outside_c=_value(rows, "outside_c"),
        supers_from=fact.supers_from,
    )


def yard_from(
    fact: YardFact, today: date, count: Count, health: Health, forage: Forage, more: Mapping[str, Any]
) -> Yard:
    """The yard put together; ``more`` holds bloom and given."""
    place = Place(**{part.name: getattr(fact, part.name) for part in fields(Place)})
    goal = None if fact.aim is None else Goal(cast(Any, fact.aim), fact.aim_on, fact.aim_frames)
    return Yard(
        name=fact.name, place=place, colonies=fact.colonies, today=today, count=count, health=health,
        forage=forage, goal=goal, wants_feed_because=fact.wants_feed_because,
        kept_for=cast(Any, fact.kept_for), notes=tuple(fact.notes), **more,
    )  # fmt: skip


def given_from(rows: Sequence[Reading]) -> tuple[Given, ...]:
    """Feed that was put on, in the order in which it was written down."""
    return tuple(Given(row.on, row.value) for row in rows if row.on is not None and row.value is not None)


def _value(rows: Mapping[str, Reading], kind: str) -> float | None:
    return rows[kind].value if kind in rows else None


def _flag(rows: Mapping[str, Reading], kind: str) -> bool | None:
    value = _value(rows, kind)
    return None if value is None else bool(value)


def _whole(value: float | None) -> int | None:
    return None if value is None else int(value)


def _means(definition: str | None) -> str | None:
    """What a frame of bees is, as a yard file says it."""
    return None if definition is None else definition.removeprefix(PREFIX)
