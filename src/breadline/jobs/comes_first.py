"""In which yards something else comes before protein feed, for whoever is about to draw a check group."""

from __future__ import annotations

from collections.abc import Sequence

from breadline.errors import BreadlineError
from breadline.jobs.book import Book
from breadline.jobs.rounds import season_says
from breadline.knowledge.shelf import load
from breadline.language import say
from breadline.records import figure_edits, yards
from breadline.records.engine import looking


def first_of(book: Book, wanted: Sequence[str]) -> tuple[str, ...]:
    """Each yard where something comes first, with what; a yard that cannot be read has none."""
    found = []
    with looking(book._engine) as session:
        shelf = load(figure_edits.current_edits(session))
        for row in yards.yards(session):
            if row.name not in wanted:
                continue
            try:
                said = season_says(yards.yard_as_known(session, row.id, book.today), shelf.reader())
            except BreadlineError:  # the yard's own page says what is wrong with it
                continue
            if said.comes_first:
                found.append(say("{yard}, {what} first", yard=row.name, what=said.comes_first.lower()))
    return tuple(found)
