"""What comes before any feed at a yard stands first where feed is about to be put out. All invented."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.first_here import first_here
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_dry_feed import dry_feed, dry_feed_document, dry_feed_lines
from breadline.jobs.rounds_visit import found_of, visit_answer, visit_document, visit_lines
from breadline.knowledge.shelf import load
from breadline.web.app import create_app
from jobs.first_rounds import YARD
from web.conftest import HERE, Reading

MITES = replace(YARD, health=replace(YARD.health, mites_per_100=4.2))
SPORES = replace(YARD, health=replace(YARD.health, foulbrood_signs=True))
SEEN = {"piece": "1", "left": "0", "days": "7", "maggots": "none", "frames": "6"}


@pytest.mark.parametrize(("yard", "says"), [(MITES, "Mites first"), (SPORES, "Stop: signs of foulbrood")])
def test_it_is_the_first_thing_said_of_dry_feed_and_of_the_next_piece(yard, says):
    first = first_here(yard, load().reader())
    assert first.startswith(says)
    told = dry_feed(yard, {"around": "60"})
    assert [text for _, text in dry_feed_lines(told)][1] == first
    assert dry_feed_document(told)["first_before_feed"] == first
    assert dry_feed_document(told)["sentences"][0] == first
    visit = visit_answer(yard, found_of(SEEN, yard.place.country))
    assert [text for _, text in visit_lines(visit)][1] == first
    assert visit_document(visit)["first_before_feed"] == first
    assert json.dumps(visit_document(visit))


def test_other_programs_are_told_every_figure_that_the_pages_list():
    visit = visit_answer(YARD, found_of(SEEN, YARD.place.country))
    dry = dry_feed(YARD, {"around": "60"})
    for told, document in ((visit, visit_document(visit)), (dry, dry_feed_document(dry))):
        listed = document["figures"]
        assert [one["key"] for one in listed] == [one.key for one in told.figures] != []
        for one in listed:
            figure = load()[one["key"]]
            assert (one["unit"], one["source"]) == (figure.unit, figure.source)
    edited = replace(visit.figures[0], source="you", read="edited by you: weighed here")
    assert visit_document(replace(visit, figures=(edited,)))["figures"][0]["source"] == "you"


def test_nothing_is_put_before_feed_at_a_yard_where_nothing_comes_first():
    assert first_here(YARD, load().reader()) == ""
    assert dry_feed(YARD, {"around": "60"}).sentences[0].startswith("Put out")


def test_the_pages_say_it_above_the_feed(tmp_path):
    book = RoundsBook(tmp_path / "book.sqlite", YARD.today)
    key = book.add_yard(MITES, FIRST_YARD / "weather.csv")
    app = create_app(book.path, lambda path: Book(path, YARD.today), lambda: YARD.today)
    client = Reading(app, base_url=HERE)
    first = first_here(MITES, load().reader())
    open_air = client.get(f"/rounds/{key}/dry-feed?around=60").text
    assert open_air.index(first) < open_air.index("Put out")
    visit = client.get(f"/rounds/{key}/visit?piece=1&left=0&days=7&maggots=none&frames=6").text
    assert visit.index(first) < visit.index("Next piece")
