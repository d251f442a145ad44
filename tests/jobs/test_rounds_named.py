"""A kept plan's name in the units of whoever reads it. All invented."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_named import kept_name
from breadline.jobs.yard_file import read_yard
from breadline.language import speaking
from breadline.measures import Measures, measuring
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    made = RoundsBook(tmp_path_factory.mktemp("named") / "book.sqlite", YARD.today)
    made.open_operation("Sorrel Bend Bees (invented)")
    made.add_yard(YARD, FIRST_YARD / "weather.csv")
    return made


@pytest.fixture(scope="module")
def told(book):
    return book.rounds(book.first_yard(), TEXT, Way(draws=20))


def plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_a_name_tells_its_amounts_in_the_reader_s_units(book, told):
    """A patty of a pound is 453.6 g, in tens 450."""
    key = book.first_yard()
    last_year = book.keep_plan(key, told, told.taken(1))
    assert plain(last_year.sentence) == "As last year: 2 rounds of 1 patty (1 lb)"
    with measuring(Measures(units="g")):
        assert plain(book.plan(key).sentence) == "As last year: 2 rounds of 1 patty (450 g)"
        with speaking("es"):
            said = plain(book.plan(key).sentence)
            assert "450 g" in said
            assert "lb" not in said
    with measuring(Measures(units="lb")):
        assert book.plan(key).sentence == last_year.sentence


def test_every_plan_of_the_list_is_named_so(book, told):
    key = book.first_yard()
    for n, one in enumerate(told.plans):
        kept = book.keep_plan(key, told, told.taken(n))
        with measuring(Measures(units="g")):
            again = plain(book.plan(key).sentence)
        assert (again == plain(kept.sentence)) == (not one.plan.pieces), kept.sentence
        assert "lb)" not in again


def test_what_its_figures_do_not_give_stays_as_it_was_kept(book, told):
    row = SimpleNamespace(sentence="Two of ½ lb", break_even="", paper=None, threshold=None,
                          foretold={"rounds": [{"on": "2026-02-10", "grams": 226.8}]})  # fmt: skip
    with measuring(Measures(units="g")):
        assert kept_name(row) == "Two of ½ lb", "an older book kept no sheets"
        kept = book.keep_plan(book.first_yard(), told, told.taken(1))
        row.paper, row.foretold = kept.paper, kept.foretold | {"said": {}}
        assert kept_name(row) == "Two of ½ lb", "its figures do not give that name"
