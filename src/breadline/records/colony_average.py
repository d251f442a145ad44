"""The yard's average of hives that were looked at one by one on a visit; nothing is written down for it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import get_args
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.need.yard import PollenSeen
from breadline.records.append_only import current
from breadline.records.field_tables import FieldAnswer, FieldEntry, FieldReading
from breadline.records.tables import Reading, Visit
from breadline.records.yard_rows import hive_by_hive

MEANS = ("frames_of_bees", "frames_of_brood", "bread", "bees_kg")
ANY = ("maggots_seen", "beetles_seen", "foulbrood_signs")  # one hive is enough
LAYS = ("seen", "eggs")
AMOUNTS: tuple[str, ...] = get_args(PollenSeen)  # from none to plenty
FRAME = "frame_of_bees."  # what sheets of older versions wrote before a definition


def as_seen(session: Session, rows: Sequence[Reading]) -> Sequence[Reading]:
    """Readings of single hives in the order in which they were seen, by the entries that led to them.

    A phone that was without signal sends late. What no entry led to stays last, as it came.
    """
    if len({(row.colony_id, row.kind) for row in rows}) == len(rows):
        return rows  # nothing was seen twice: any order will do
    stored = current(FieldAnswer).order_by(None).where(FieldAnswer.answer == "stored")
    links = stored.join(FieldEntry, FieldEntry.id == FieldAnswer.entry_id)
    links = links.join(FieldReading, FieldReading.entry_id == FieldEntry.id)
    of_these = links.where(FieldReading.reading_id.in_([row.id for row in rows]))
    seen: dict[UUID, datetime] = {}
    for key, at in session.execute(of_these.with_only_columns(FieldReading.reading_id, FieldEntry.seen_at)):
        seen[key] = max(at, seen.get(key, at))
    known = sorted((row for row in rows if row.id in seen), key=lambda row: seen[row.id])
    return known + [row for row in rows if row.id not in seen]


def one_by_one(visit: Visit, rows: Sequence[Reading]) -> list[Reading]:
    """Hives of a phone or a sheet; a reading of one colony elsewhere is not the yard's."""
    return [row for row in rows if row.colony_id is not None] if hive_by_hive(visit) else []


def not_there_yet(rows: Sequence[Reading], before: Sequence[Reading]) -> list[Reading]:
    """Rows without what was put on just so by another visit of the day: a sheet tells what a phone told."""
    fed = {(row.colony_id, row.value) for row in before if row.kind == "put_on"}
    return [row for row in rows if row.kind != "put_on" or (row.colony_id, row.value) not in fed]


def averaged(visit: Visit, rows: Sequence[Reading]) -> dict[str, Reading]:
    """Readings of single hives as those of the average one, by kind; not saved.

    A mean is taken over the hives that were counted, and only where all were counted in
    the same unit and by the same definition of a frame; the counts one by one stand in
    its note, and in ``out_of`` how many hives were counted. Rows come as they were seen: a
    hive that was gone through twice counts as it was seen last, and has all that was put on.
    That is told for each hive that was seen on the visit. A hive without bees is no part of it.
    """
    rows = _with_bees(rows)
    last = {(row.colony_id, row.kind): row for row in rows}
    by_kind: dict[str, list[Reading]] = {"put_on": [row for row in rows if row.kind == "put_on"]}
    for row in last.values():
        if row.kind != "put_on":
            by_kind.setdefault(row.kind, []).append(row)
    found = {kind: one for kind in MEANS if (one := _mean(visit, kind, by_kind.get(kind, [])))}
    found |= {kind: one for kind in ANY if (one := _any(visit, kind, by_kind.get(kind, [])))}
    others = (_mites, _queens, _honey, _pollen, _arcs)
    for told in (*(of(visit, by_kind) for of in others), _fed(visit, by_kind, rows)):
        if told is not None:
            found[told.kind] = told
    return found


def fed_on_average(visit: Visit, rows: Sequence[Reading]) -> Reading | None:
    """What ``averaged`` says was put on, and nothing else of it."""
    rows = _with_bees(rows)
    return _fed(visit, {"put_on": [row for row in rows if row.kind == "put_on"]}, rows)


def _with_bees(rows: Sequence[Reading]) -> Sequence[Reading]:
    """Without the hives that were seen last to have none."""
    frames = {row.colony_id: row.value for row in rows if row.kind == "frames_of_bees"}  # the last of each
    empty = {colony for colony, value in frames.items() if value == 0.0}
    return [row for row in rows if row.colony_id not in empty] if empty else rows


def _mean(visit: Visit, kind: str, rows: Sequence[Reading]) -> Reading | None:
    values = [row.value for row in rows if row.value is not None]
    if not values or len({(row.unit, (row.definition or "").removeprefix(FRAME)) for row in rows}) > 1:
        return None  # frames of two kinds have no mean
    each = " ".join(map(repr, values)) if kind == "frames_of_bees" else ""
    mean = _reading(
        visit, kind, sum(value / len(values) for value in values), rows[0].unit, each, rows[0].definition
    )
    mean.out_of = float(len(values))
    return mean


def _any(visit: Visit, kind: str, rows: Sequence[Reading]) -> Reading | None:
    values = [row.value for row in rows if row.value is not None]
    return _reading(visit, kind, max(values), "yes/no") if values else None


def _mites(visit: Visit, by_kind: dict[str, list[Reading]]) -> Reading | None:
    mean = _mean(visit, "mites_per_100", by_kind.get("mites_per_100", []))
    if mean is not None:
        mean.on, mean.out_of = visit.on, None
    return mean


def _queens(visit: Visit, by_kind: dict[str, list[Reading]]) -> Reading | None:
    """How many queens lay, of those that were looked for."""
    words = [row.word for row in by_kind.get("queen_status", [])]
    if not words:
        return None
    told = _reading(visit, "queens", float(sum(word in LAYS for word in words)), "queens")
    told.out_of = float(len(words))
    return told


def _honey(visit: Visit, by_kind: dict[str, list[Reading]]) -> Reading | None:
    """Light where half of the hives or more are; fewer of them stand in the note."""
    words = [row.word for row in by_kind.get("honey", []) if row.word]
    if not words:
        return None
    light = words.count("light")
    note = f"{light} of {len(words)} light" if 0 < light < len(words) else ""
    told = _reading(visit, "honey", None, "", note)
    told.word = "light" if 2 * light >= len(words) else "enough"
    return told


def _pollen(visit: Visit, by_kind: dict[str, list[Reading]]) -> Reading | None:
    """What came in at the middle hive of those whose entrance was watched; of two in the middle the less."""
    seen = sorted(AMOUNTS.index(row.word) for row in by_kind.get("pollen_seen", []) if row.word)
    if not seen:
        return None
    told = _reading(visit, "pollen_seen", None, "")
    told.word = AMOUNTS[seen[(len(seen) - 1) // 2]]
    return told


def _arcs(visit: Visit, by_kind: dict[str, list[Reading]]) -> Reading | None:
    """Whether most hives had a fresh arc of pollen."""
    seen = [row.value for row in by_kind.get("fresh_arcs", []) if row.value is not None]
    return _reading(visit, "fresh_arcs", float(2 * sum(seen) > len(seen)), "yes/no") if seen else None


def _fed(visit: Visit, by_kind: dict[str, list[Reading]], rows: Sequence[Reading]) -> Reading | None:
    """What was put on, a hive of those that were seen; a hive that got nothing counts."""
    grams = [row.value for row in by_kind.get("put_on", []) if row.value is not None]
    if not grams or sum(grams) <= 0.0:
        return None
    told = _reading(visit, "feed_given", sum(grams) / len({row.colony_id for row in rows}), "g/colony")
    told.on = visit.on
    return told


def _reading(
    visit: Visit, kind: str, value: float | None, unit: str, note: str = "", definition: str | None = None
) -> Reading:
    return Reading(
        visit_id=visit.id, colony_id=None, kind=kind, value=value, out_of=None, word=None, unit=unit,
        definition=definition, on=None, note=note,
    )  # fmt: skip
