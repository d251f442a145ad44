"""The record of foretelling: outlooks kept as they were shown, and the counts that came later."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, replace
from datetime import date
from functools import partial
from typing import Any, cast, get_args
from uuid import UUID

import numpy as np
from sqlalchemy.orm import Session

from breadline import __version__
from breadline.jobs.lately import Lately
from breadline.jobs.season import SeasonAnswer
from breadline.knowledge.season_draws import shipped_draws
from breadline.knowledge.shelf import Shelf
from breadline.need import season_lanes
from breadline.need.coverage import Coverage, coverage, season_of
from breadline.need.foretold import (
    Aside,
    Compared,
    OwnError,
    Shown,
    What,
    compared,
    own_error,
)
from breadline.need.foretold_counts import Visited, later_count
from breadline.need.outlook import Band
from breadline.need.yard import Count, Given, Inspection, StartKind, Yard
from breadline.records import outlooks, yards
from breadline.records.outlooks import CountedLater
from breadline.records.tables import OutlookRow

BANDS: dict[What, str] = {"bees": "adults", "brood": "brood"}


@dataclass(frozen=True)
class Held:
    """How the counts of one kind lie against their bands."""

    what: What
    coverage: Coverage
    own_error: OwnError | None
    died: int  # counts of no bees, which are outside


@dataclass(frozen=True)
class YardRecord:
    """The record of one yard."""

    id: str
    name: str
    listed: bool  # False where it was taken off the list since
    outlooks: int  # kept so far
    bees_a_frame: float | None  # by which its frames are told, as last shown [bees]
    bees: Held
    brood: Held
    rows: tuple[Compared, ...]  # newest first
    aside: tuple[Aside, ...]  # newest first


@dataclass(frozen=True)
class Record:
    """The record of all yards of a book."""

    yards: tuple[YardRecord, ...]
    bees: Held
    brood: Held
    outlooks: int
    versions: int  # of the model behind the outlooks that a count was held against


def shown(answer: SeasonAnswer, shelf: Shelf) -> outlooks.Shown | None:
    """An answer's outlook as the book keeps it, from the day of the answer on; None where there is none.

    Nor is one kept whose bees and brood stop before that day: no count could be held against it.
    """
    yard, out = answer.yard, answer.outlook
    if out is None or out.frames_until < yard.today:
        return None
    today = (yard.today - out.dates[0]).days
    bands = {
        "adults": out.adults if out.adults_fed is None else out.adults_fed,
        "brood": out.brood if out.brood_fed is None else out.brood_fed,
        "bread_g": out.bread_g,
    }
    return outlooks.Shown(
        shown_on=yard.today,
        counted_on=_newest_count(yard),
        count=_counted(yard),
        given=tuple(one for one in yard.given if one.on >= yard.count.on),
        bees_a_frame=out.bees_a_frame,
        seed=answer.seed,
        members=out.members,
        program=__version__,
        engine="lanes" if season_lanes.available() else "reference",
        draws=draws_version(shelf),
        first=yard.today,
        bands={name: _whole(band, today) for name, band in bands.items()},
    )


def draws_version(shelf: Shelf) -> str:
    """A digest of what the season model draws from: its sets of parameters, and its ranges as edited."""
    digest = hashlib.sha256("\n".join(f"{f.key} {f.span}" for f in shelf.below("season")).encode())
    for name, values in shipped_draws().items():
        digest.update(name.encode() + values.tobytes())
    return digest.hexdigest()[:12]


def record(session: Session, today: date, shelf: Shelf, lately: Lately | None = None) -> Record:
    """Every outlook kept in a book against the counts that came later, up to a day.

    With ``lately`` only of the yards of which something was written down since it was worked out last.
    """
    listed = [_Told(row.id, row.name, row.colonies, row.latitude, True) for row in yards.yards(session)]
    known = {one.key for one in listed}
    # A yard taken off the list keeps its place here: else the record forgets those that died.
    off = [
        _Told(row.yard_id, row.name, row.colonies, row.latitude, False)
        for row in outlooks.yards_shown(session)
        if row.yard_id not in known
    ]
    told = [
        _of_yard(session, one, today, shelf) if lately is None
        else lately.of_yard("record", one.key, partial(_of_yard, session, one, today, shelf))
        for one in [*listed, *off]
    ]  # fmt: skip
    rows = [row for one in told for row in one.rows]
    versions = {row.model for row in rows}
    return Record(
        yards=tuple(told),
        bees=_held("bees", rows),
        brood=_held("brood", rows),
        outlooks=sum(one.outlooks for one in told),
        versions=len(versions),
    )


@dataclass(frozen=True)
class _Told:
    """What has to be known of a yard to tell its record."""

    key: UUID
    name: str
    colonies: int
    latitude: float  # [°]
    listed: bool


def _of_yard(session: Session, yard: _Told, today: date, shelf: Shelf) -> YardRecord:
    kept = {row.id.int: row for row in outlooks.of_yard(session, yard.key)}
    counts = [
        later_count(_visited(one, boxes, yard.colonies), shelf)
        for one, boxes in with_boxes(outlooks.counts(session, yard.key, today))
    ]

    def bands_of(one: Shown) -> dict[What, Band]:
        return {what: _band(kept[one.written].bands[band]) for what, band in BANDS.items()}

    told = compared(counts, [_shown(row) for row in kept.values()], outlooks.fed(session, yard.key), bands_of)
    told.sort(key=lambda one: (-one.on.toordinal(), one.what))
    rows = tuple(
        replace(one, season=f"{yard.key} {season_of(one.on, yard.latitude)}")
        for one in told
        if isinstance(one, Compared)
    )
    return YardRecord(
        id=str(yard.key),
        name=yard.name,
        listed=yard.listed,
        outlooks=len(kept),
        bees_a_frame=list(kept.values())[-1].bees_a_frame if kept else None,
        bees=_held("bees", rows),
        brood=_held("brood", rows),
        rows=rows,
        aside=tuple(one for one in told if isinstance(one, Aside)),
    )


def own_errors(record: Record, yard_id: str, shelf: Shelf) -> dict[What, float]:
    """The model's own error for a fit of this yard: from its own counts where they are enough, else from all.

    On the log scale, beside the belief of the shelf [1]; absent where neither has enough counts.
    """
    held = [(record.bees, record.brood), *((y.bees, y.brood) for y in record.yards if y.id == yard_id)]
    return {
        one.what: one.own_error.believed(shelf[f"fit.model_{one.what}_log_sd"].span.typical)
        for pair in held
        for one in pair
        if one.own_error is not None
    }


def _held(what: What, rows: Iterable[Compared]) -> Held:
    own = [row for row in rows if row.what == what]
    return Held(what, coverage(own), own_error(own), sum(row.place == "died" for row in own))


def with_boxes(looks: Iterable[CountedLater]) -> Iterator[tuple[CountedLater, list[str]]]:
    """Each count with its boxes; where a look names none, they are those of the one before."""
    boxes = ["deep"]
    for one in looks:
        boxes = one.visit.boxes or boxes
        yield one, boxes


def _visited(one: CountedLater, boxes: list[str], colonies: int) -> Visited:
    visit, rows = one.visit, one.rows
    values = {kind: row.value for kind, row in rows.items()}
    bees = rows.get("frames_of_bees")
    counted = Count(
        on=visit.on,
        bread=0.0,  # not compared
        bread_unit="g",
        frames_of_bees=values.get("frames_of_bees"),
        frame_means=None if bees is None else bees.definition,
        frames_of_brood=values.get("frames_of_brood") or 0.0,
        bees_kg=values.get("bees_kg"),
        colonies_looked_in=visit.colonies_looked_in or 1,
        start=cast(Any, visit.start if visit.start in get_args(StartKind) else "colony"),
        boxes=cast(Any, tuple(boxes)),
    )
    brood = values.get("frames_of_brood") is not None
    singly = bool(one.of_colonies) and bees is None
    return Visited(one.written.int, counted, colonies, brood, singly, one.hives)


def _shown(row: OutlookRow) -> Shown:
    return Shown(
        written=row.id.int,
        shown_on=row.shown_on,
        counted_on=row.counted_on,
        first=row.first,
        last=row.last,
        given=tuple(Given(date.fromisoformat(on), grams) for on, grams in row.given),
        model=f"{row.program} {row.draws}",
    )


def _band(numbers: list[list[int]]) -> Band:
    low, middle, high = np.array(numbers, dtype=np.float64).T
    return Band(low, middle, high)


def _whole(band: Band, first: int) -> list[list[int]]:
    """Whole numbers for each day from ``first`` on, as [low, middle, high]."""
    days = np.stack([band.low, band.middle, band.high], axis=1)[first:]
    return [[int(value) for value in row] for row in np.rint(days)]


def _newest_count(yard: Yard) -> date:
    """Day of the newest count that an answer knows of."""
    return max([yard.count.on, *(one.on for one in yard.inspections)])


def _counted(yard: Yard) -> dict[str, Any]:
    """The count, and the inspections after it, as they were written down."""
    looks: list[Count | Inspection] = [yard.count, *yard.inspections]
    count, *later = ({key: _plain(value) for key, value in asdict(one).items()} for one in looks)
    return count | {"inspections": later} if later else count


def _plain(value: Any) -> Any:
    return (
        value.isoformat() if isinstance(value, date) else list(value) if isinstance(value, tuple) else value
    )
