"""Two yards of one name in a book are refused wherever a yard is meant by its name. All invented."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.cli.rounds_kept import kept_back_there, plan_kept, yard_in
from breadline.errors import RecordError
from breadline.jobs.book import Book
from breadline.jobs.check_group_book import asked_of_book
from breadline.jobs.field_paper import FieldPaper
from breadline.jobs.rounds_move import place_of_book
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yard_file import read_yard
from breadline.jobs.yards_named import key_named
from breadline.records import yards
from breadline.records.engine import open_book, writing
from house import tree

YARD = read_yard(tree.ROOT / "examples" / "first-rounds" / "yard.toml")


@pytest.fixture
def path(tmp_path):
    """A book with two yards of one name, as two books brought together may have."""
    engine = open_book(tmp_path / "book.sqlite")
    with writing(engine) as session:
        for colonies in (40, 12):
            yards.add_yard(session, replace(YARD, colonies=colonies))
    engine.dispose()
    return tmp_path / "book.sqlite"


@pytest.mark.parametrize(
    "asked",
    [
        lambda path: yard_in(path, YARD),
        lambda path: plan_kept(path, YARD),
        lambda path: kept_back_there(path, YARD),
        lambda path: FieldPaper(path, YARD.today).yard_named(YARD.name),
        lambda path: place_of_book(path, YARD.name, YARD.today),
        lambda path: TrialsBook(path, YARD.today).candidates([YARD.name]),
        lambda path: asked_of_book(path, [YARD.name], YARD.today),
        lambda path: Book(path, YARD.today).add_yard(YARD),
    ],
)
def test_none_of_two_is_taken(path, asked):
    with pytest.raises(RecordError, match="2 yards have this name"):
        asked(path)


def test_one_written_just_so_is_meant_and_else_letters_do_not_matter():
    known = [("a", "Mill"), ("b", "mill"), ("c", "Birch")]
    assert (key_named(known, "mill"), key_named(known, "BIRCH"), key_named(known, "Elm")) == ("b", "c", None)
    with pytest.raises(RecordError, match="2 yards have this name"):
        key_named(known, "MILL")
