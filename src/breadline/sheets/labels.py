"""Labels for hives and for boxes of patties: yard, hive, round, portion, date; on sheets as they are sold."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from importlib.resources import files
from math import ceil
from typing import Any

from breadline.errors import RecordError
from breadline.language import say, say_counted
from breadline.need.words import day_and_year, short_day
from breadline.plan.cuts import Patty, cut_words, load_words
from breadline.plan.paper import Load, RoundVisit
from breadline.plan.strength_classes import cut_for
from breadline.ration.measures import in_quarters
from breadline.sheets.letterhead import Paper, cut, letterhead
from breadline.sheets.printed import printed

LONGEST = 44  # letters on a line
LEAST_MM = 20.0  # a side of a label that can still be read [mm]
_SIZE_MM = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}
MOST_FRAMES = 60.0  # of bees in a hive [frames]
MOST_LABELS = 600  # at once; more is a slip of the finger


@dataclass(frozen=True)
class LabelSheet:
    """One kind of label sheet, measured from its top left corner. [mm]"""

    paper: Paper
    columns: int
    rows: int
    wide: float
    high: float
    left: float
    top: float
    across: float  # from one label's left edge to the next
    down: float  # from one label's top edge to the next

    def __post_init__(self) -> None:
        wide, high = _SIZE_MM.get(self.paper, (0.0, 0.0))
        right = self.left + (self.columns - 1) * self.across + self.wide
        bottom = self.top + (self.rows - 1) * self.down + self.high
        on_paper = min(self.left, self.top) >= 0 and right <= wide and bottom <= high
        apart = self.across >= self.wide and self.down >= self.high
        if not (on_paper and apart and min(self.wide, self.high) >= LEAST_MM):
            raise RecordError(
                "label sheet",
                say(
                    "{columns} × {rows} labels of {wide:g} × {high:g} mm",
                    columns=self.columns,
                    rows=self.rows,
                    wide=self.wide,
                    high=self.high,
                ),
                say(
                    "labels of {least_mm:g} mm and more that lie side by side on A4 or Letter",
                    least_mm=LEAST_MM,
                ),
                say("Measure the sheet once more"),
            )

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.columns * self.rows


@dataclass(frozen=True)
class Label:
    """What one label says.

    Parameters
    ----------
    head, beside
        What is looked for first, and what stands beside it: hive and yard, yard and box.
    round, on
        Which round, and on which day it goes on.
    gets
        The portion: "½ patty (½ lb)", "18 patties of 1 lb".
    gone_by
        The day by which the piece is to be gone; None on a box.
    """

    head: str
    beside: str
    round: int
    on: date
    gets: str
    gone_by: date | None = None


@cache
def label_sheets() -> Mapping[str, LabelSheet]:
    """The shipped sheets by name, such as "letter_30" or "a4_21".

    Sources: [label_templates], read itself.
    """
    text = files("breadline.sheets").joinpath("label_sheets.toml").read_text(encoding="utf-8")
    return {name: LabelSheet(**fields) for name, fields in tomllib.loads(text).items()}


def hive_labels(visit: RoundVisit, hives: Sequence[tuple[str, float]]) -> tuple[Label, ...]:
    """One label for each hive that gets a piece, from its tag and its frames of bees [frames].

    Of two that are joined the one that stays gets it, by the bees of both; the other is named on the round on
    which it is joined. A hive without bees gets none.
    """
    gone_by = visit.on + timedelta(days=visit.days)
    told = []
    for tag, frames in hives:
        if not 0.0 <= frames <= MOST_FRAMES:
            raise RecordError(
                f"hive {tag}",
                say("{frames:g} frames of bees", frames=frames),
                say("0 to {most_frames:g}", most_frames=MOST_FRAMES),
            )
        pair = visit.pair_of(tag)
        if not frames or tag in visit.unfed or (pair and tag == pair.hives[0]):
            continue
        share = next((one.share for one in visit.left_out if not one.hives or tag in one.hives), 1.0)
        piece = share * cut_for(visit.steps, pair.frames if pair else frames)
        if piece:
            also = say(", with {hive}", hive=pair.hives[0]) if pair and visit.joins else ""
            gets = cut_words(piece, visit.patty) + also
            told.append(Label(tag, visit.yard, visit.round, visit.on, gets, gone_by))
    return tuple(told)


def box_labels(load: Load, a_box: int) -> tuple[Label, ...]:
    """Labels for the boxes packed for each yard, ``a_box`` patties at most in one, and one for the spare."""
    if a_box < 1:
        raise RecordError("patties in a box", f"{a_box}", say("1 or more"))
    told = []
    whole = load.patty.mass_g / load.patty.whole_g
    packed = [(visit.yard, visit.patties * whole) for visit in load.visits]
    for yard, patties in [*packed, (say("Spare"), float(load.spare_patties))]:
        boxes = ceil(patties / a_box - 1e-9)
        for n in range(boxes):
            gets = _packed(min(a_box, patties - n * a_box), load.patty)
            told.append(
                Label(yard, say("box {n} of {boxes}", n=n + 1, boxes=boxes), load.round, load.on, gets)
            )
    return tuple(told)


def _packed(patties: float, patty: Patty) -> str:
    """What is in a box: patties in quarters, or a weight where pieces are weighed out of them."""
    if patty.sold_g is not None:
        return load_words(patties * patty.sold_g, patty.units)
    return say_counted("{n} patty", "{n} patties", 1 if patties <= 1 else 2, n=in_quarters(patties))


def labels_printed(
    labels: Sequence[Label], sheet: LabelSheet, on: date, first: int = 1, cut_lines: bool = False
) -> bytes:
    """All labels as a tagged PDF, as many pages as sheets are needed.

    Parameters
    ----------
    labels, sheet
        What they say, and on what they are printed.
    on
        The day the file is dated.
    first
        The first free label of the first sheet, from 1, where the sheet has been begun.
    cut_lines
        Lines to cut along, for plain paper.
    """
    return printed("labels.typ", labels_data(labels, sheet, first, cut_lines), on)


def labels_data(
    labels: Sequence[Label], sheet: LabelSheet, first: int = 1, cut_lines: bool = False
) -> dict[str, Any]:
    """Everything the labels say, as plain data; its words are never markup."""
    if not 1 <= first <= sheet.count:
        raise RecordError("first label", f"{first}", say("1 to {count} on this sheet", count=sheet.count))
    if not 1 <= len(labels) <= MOST_LABELS:
        raise RecordError(
            "labels",
            say("{labels} of them", labels=len(labels)),
            say("1 to {most_labels}", most_labels=MOST_LABELS),
            say("Print one yard at a time"),
        )
    return {
        **letterhead(sheet.paper, ""),
        "title": say(
            "Labels, round {round}, {day_and_year}",
            round=labels[0].round,
            day_and_year=day_and_year(labels[0].on),
        ),
        "wide": sheet.wide,
        "high": sheet.high,
        "cut_lines": cut_lines,
        "pages": ceil((first - 1 + len(labels)) / sheet.count),
        "labels": [
            _words(label) | place_on_sheet(n, sheet) for n, label in enumerate(labels, start=first - 1)
        ],
    }


def place_on_sheet(n: int, sheet: LabelSheet) -> dict[str, float]:
    """Where label ``n`` lies, from 0: from the left and the top of its page [mm], and on which page."""
    page, there = divmod(n, sheet.count)
    row, column = divmod(there, sheet.columns)
    return {
        "x": sheet.left + column * sheet.across,
        "y": sheet.top + row * sheet.down,
        "page": page,
    }


def _words(label: Label) -> dict[str, Any]:
    gone = say(", gone by {short_day}", short_day=short_day(label.gone_by)) if label.gone_by else ""
    return {
        "head": cut(label.head, LONGEST),
        "beside": cut(label.beside, LONGEST),
        "gets": cut(label.gets, LONGEST),
        "below": say(
            "Round {round}, {day_and_year}{gone}",
            round=label.round,
            day_and_year=day_and_year(label.on),
            gone=gone,
        ),
    }
