"""Pictures as a page takes them: inline SVG of our own making, marked safe for the template."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from markupsafe import Markup

from breadline.jobs.season import SeasonAnswer
from breadline.jobs.season_chart import season_svg
from breadline.language import say
from breadline.measures import units_of
from breadline.need.ladder.sight import State
from breadline.need.outlook import Outlook, Range
from breadline.need.words import short_day
from breadline.need.yard import Given, Yard
from breadline.pictures import states
from breadline.pictures.bread_table import FIRST_DAY, bread_left, bread_table
from breadline.pictures.frame import Size
from breadline.pictures.slices import slices
from breadline.web.words import first_big

MARKS: dict[State, states.State] = {
    "feed": "feed_now",
    "soon": "soon",
    "no_need": "no_need",
    "stop": "stop",
    "cannot_tell": "cannot_tell",
    "something_first": "something_else_first",
}
SIZES: tuple[Size, ...] = ("wide", "phone", "print")
TRIPLE = (", low", ", middle", ", high")


@dataclass(frozen=True)
class Charts:
    """The bread chart in its three sizes; the style sheet shows one of them."""

    wide: Markup
    phone: Markup
    print: Markup


def charts_of(answer: SeasonAnswer, planned: tuple[Given, ...] = ()) -> Charts:
    """The season of a yard with the rounds ahead, drawn once for each size; the answer has an outlook."""
    key = (id(answer), planned)
    known = _drawn.get(key)
    if known is None or known[0] is not answer:  # another answer may have come to lie where it lay
        drawn = Charts(*(Markup(season_svg(answer, size, planned=planned)) for size in SIZES))
        known = _drawn[key] = (answer, drawn)
        while len(_drawn) > DRAWN:
            _drawn.pop(next(iter(_drawn)), None)
    return known[1]


DRAWN = 64  # answers whose pictures are kept in this program
_drawn: dict[tuple[int, tuple[Given, ...]], tuple[SeasonAnswer, Charts]] = {}


def table_of(outlook: Outlook, yard: Yard) -> tuple[list[str], list[list[str]]]:
    """The same data as a table, one row a week: heads, and rows of cells "middle (low to high)"."""
    rows = bread_table(outlook, units_of(yard.place.country))
    heads = list(dict.fromkeys(_stem(name) for name in rows[0]))
    return [first_big(say(head)) for head in heads], [[_cell(row, head) for head in heads] for row in rows]


def _stem(name: str) -> str:
    return next((name.removesuffix(part) for part in TRIPLE if name.endswith(part)), name)


def _cell(row: dict[str, Any], head: str) -> str:
    if head in row:
        value = row[head]
        if isinstance(value, str):
            return short_day(date.fromisoformat(value)) if head == FIRST_DAY else value
        return f"{value:g}"
    if all(row[head + part] is None for part in TRIPLE) and head != bread_left():
        return say("not foretold")
    low, middle, high = (_number(row[head + part]) for part in TRIPLE)
    return say("{typical} ({low} to {high})", typical=middle, low=low, high=high)


def _number(value: float | None) -> str:
    return say("no need") if value is None else f"{value:g}"


def slices_of(days: Range | None) -> Markup:
    """Days of bread as strokes, a line under them from low to high; nothing where they can't be told."""
    return Markup("" if days is None else slices(days))


def mark_of(state: State) -> Markup:
    """The shape of a state."""
    return Markup(states.state_mark(MARKS[state]))
