"""The colonies that may be drawn: from a table of hives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from breadline.errors import TrialError
from breadline.jobs.check_group_table import Row, rows_of, text_of
from breadline.language import say
from breadline.need.yard import Place
from breadline.trial.matching import Candidate
from breadline.trial.unit import Stand

COLUMNS = {
    "hive": ("tag", "colony", "name"),
    "yard": ("apiary",),
    "strength": ("frames", "frames of bees", "baseline", "before"),
    "row": (),
    "place": ("position", "stand"),
    "queen line": ("queen", "line"),
    "latitude": ("lat",),
    "longitude": ("lon", "long"),
}
MOST_STRENGTH = 200.0  # frames of bees, or kg of honey
MOST_IN_A_YARD = 5_000


@dataclass(frozen=True)
class Listed:
    """Colonies that may be drawn, and where their yards stand."""

    colonies: tuple[Candidate, ...]
    stands: tuple[Stand, ...]
    said: tuple[str, ...] = ()


def read_colonies(path: Path) -> Listed:
    """The colonies of a table: hive, yard, and strength, row, place, queen line, position where known.

    Errors
    ------
    TrialError
        With file, row and column.
    """
    return colonies_from_text(text_of(path), path.name)


def colonies_from_text(text: str, file: str) -> Listed:
    """The same from the text of a table."""
    colonies, places = [], dict[str, Place | None]()
    for row in rows_of(text, file, COLUMNS, ("hive", "yard")):
        yard = _filled(row, "yard")
        colonies.append(
            Candidate(
                _filled(row, "hive"), yard, row.number_in("strength", 0, MOST_STRENGTH, say("frames or kg")),
                row.whole_in("row", MOST_IN_A_YARD, "row"), row.whole_in("place", MOST_IN_A_YARD, "place"),
                row.text("queen line"),
            )
        )  # fmt: skip
        places[yard] = _place(row, places.get(yard))
    return Listed(tuple(colonies), tuple(Stand(yard, place) for yard, place in places.items()))


def of_yards(listed: Listed, names: Sequence[str]) -> Listed:
    """The colonies of some yards of a list; of all where none is named.

    Errors
    ------
    TrialError
        If a yard is not in the list.
    """
    known = [stand.yard for stand in listed.stands]
    strange = [name for name in names if name not in known]
    if strange:
        raise TrialError(
            "yard", say("there is no yard {yard} in the list", yard=strange[0]), ", ".join(known)
        )
    if not names:
        return listed
    colonies = tuple(c for c in listed.colonies if c.yard in names)
    return replace(listed, colonies=colonies, stands=tuple(s for s in listed.stands if s.yard in names))


def _filled(row: Row, column: str) -> str:
    text = " ".join(row.text(column).split())
    if not text:
        raise row.error(column, say("it is blank"), say("the {column} of every colony", column=column))
    if len(text) > 60:
        raise row.error(column, say("{n} letters", n=len(text)), say("{n} at most", n=60))
    return text


def _place(row: Row, before: Place | None) -> Place | None:
    latitude = row.number_in("latitude", -90, 90, say("degrees north"))
    longitude = row.number_in("longitude", -180, 180, say("degrees east"))
    if latitude is None:
        return before
    here = Place(latitude, longitude)
    if before is not None and (before.latitude, before.longitude) != (latitude, longitude):
        raise TrialError(
            f"{row.file}, row {row.number}", say("{yard} stands in two places", yard=row.text("yard")),
            say("one position a yard"), say("Give yards that lie apart their own names"),
        )  # fmt: skip
    return here
