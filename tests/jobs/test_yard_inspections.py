"""Inspections in a yard file: read, written, and refused where they cannot be meant."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from breadline.errors import YardError
from breadline.jobs.book import Book
from breadline.jobs.fit_told import fit_document
from breadline.jobs.season import Asked, season_answer, season_from_files
from breadline.jobs.season_told import season_document, season_lines
from breadline.jobs.yard_file import INSPECTION, read_yard, yard_from_dict, yard_to_toml
from breadline.weather.read import read_weather
from breadline.web.pages.season import under

EXAMPLES = Path(__file__).parents[2] / "examples"
FITTED = EXAMPLES / "fitted-yard" / "yard.toml"
WEATHER = EXAMPLES / "first-yard" / "weather.csv"
BASE = """
name = "Made up"
colonies = 12
today = 2027-05-01
[place]
latitude = 40.0
[count]
on = 2027-03-20
frames_of_bees = 6
frame_means = "one_layer"
frames_of_brood = 2
bread = {frames = 0.5}
"""


def yard(text: str):
    return yard_from_dict(tomllib.loads(BASE + text), "yard.toml")


def refused(text: str) -> str:
    with pytest.raises(YardError) as raised:
        yard(text)
    return str(raised.value)


def test_an_inspection_keeps_what_was_written() -> None:
    (one,) = yard(
        """
        [[inspection]]
        on = 2027-04-10
        reader = "A"
        colonies_looked_in = 4
        frames_of_bees = 7.5
        frame_means = "full"
        frames_of_brood = 4
        bread = {cells = 900}
        boxes = ["medium", "medium"]
        """
    ).inspections
    assert (one.on, one.reader, one.colonies_looked_in) == (date(2027, 4, 10), "A", 4)
    assert (one.frames_of_bees, one.frame_means, one.frames_of_brood) == (7.5, "full", 4)
    assert (one.bread, one.bread_unit, one.boxes) == (900, "cells", ("medium", "medium"))


def test_what_was_not_looked_at_is_not_known_and_not_zero() -> None:
    (one,) = yard("[[inspection]]\non = 2027-04-10\nframes_of_brood = 4").inspections
    assert one.frames_of_bees is None
    assert one.bread is None
    assert one.boxes == ()


def test_hives_one_by_one_say_how_many_were_looked_in() -> None:
    (one,) = yard("[[inspection]]\non = 2027-04-10\nframes_each = [7, 8.5, 6]").inspections
    assert one.frames_each == (7, 8.5, 6)
    assert one.colonies_looked_in == 3


def test_a_yard_with_inspections_is_read_back_as_it_was_written() -> None:
    read = read_yard(FITTED)
    assert len(read.inspections) == 3
    assert yard_from_dict(tomllib.loads(yard_to_toml(read)), "again") == read
    fed = yard("[[inspection]]\non = 2027-04-10\nframes_of_bees = 7\nbread = {frames = 0.25}")
    assert yard_from_dict(tomllib.loads(yard_to_toml(fed)), "again") == fed


def test_fed_without_a_record_is_a_fact_of_its_own() -> None:
    with_fact = yard_from_dict(tomllib.loads("fed_without_record = true\n" + BASE), "yard.toml")
    assert with_fact.fed_without_record
    assert yard_from_dict(tomllib.loads(yard_to_toml(with_fact)), "again") == with_fact
    assert not yard("").fed_without_record


def test_an_inspection_that_cannot_be_meant_says_what_and_where() -> None:
    assert "[[inspection]] 1, on: is missing" in refused("[[inspection]]\nframes_of_bees = 7")
    assert "after today" in refused("[[inspection]]\non = 2027-06-10\nframes_of_bees = 7")
    early = refused("[[inspection]]\non = 2027-03-10\nframes_of_bees = 7")
    assert "[[inspection]] 1, on: 2027-03-10 lies before the count of 2027-03-20" in early
    assert "what was counted" in refused("[[inspection]]\non = 2027-04-10")
    both = refused("[[inspection]]\non = 2027-04-10\nframes_of_bees = 7\nframes_each = [7, 7]")
    assert "frames_of_bees is there too" in both
    assert "is no list of numbers" in refused("[[inspection]]\non = 2027-04-10\nframes_each = 7")
    assert '"7,5" is text' in refused('[[inspection]]\non = 2027-04-10\nframes_each = ["7,5"]')
    assert "Did you mean" in refused("[[inspection]]\non = 2027-04-10\nframes_of_bee = 7")
    full = refused('[[inspection]]\non = 2027-04-10\nframes_of_bees = 14\nboxes = ["deep"]')
    assert "more than 1 box of 10 frames hold" in full
    few = refused("[[inspection]]\non = 2027-04-10\nframes_each = [7, 8]\ncolonies_looked_in = 5")
    assert "2 hives are listed, 5 were looked in" in few
    same = yard("[[inspection]]\non = 2027-04-10\nframes_each = [7, 8]\ncolonies_looked_in = 2")
    assert same.inspections[0].colonies_looked_in == 2
    assert "two brackets" in refused("[inspection]\non = 2027-04-10\nframes_of_bees = 7")


@pytest.mark.parametrize("second", ["[inspection]", "[[inspection]]"])
def test_a_list_with_one_bracket_among_several_says_so(tmp_path: Path, second: str) -> None:
    path = tmp_path / "yard.toml"
    path.write_text(BASE + f"[inspection]\non = 2027-04-10\n{second}\non = 2027-04-20\n")
    with pytest.raises(YardError, match=r"Write \[\[inspection\]\] with two brackets, each time"):
        read_yard(path)


def test_counts_that_no_figures_explain_get_no_date_in_the_answer() -> None:
    example = read_yard(FITTED)
    looks = [replace(one, frames_each=(), frames_of_bees=bees)
             for one, bees in zip(example.inspections, (6.0, 7.0, 1.0), strict=True)]  # fmt: skip
    weather = read_weather(WEATHER, latitude=example.place.latitude, today=example.today)

    def told(**forage: object):
        seen = replace(example.forage, **forage)  # type: ignore[arg-type]
        yard = replace(example, inspections=tuple(looks), forage=seen)
        return season_answer(yard, weather, asked=Asked(draws=20))

    lost = told(coming_in="little")
    assert lost.fitted is not None
    assert not lost.fitted.fits
    assert lost.advice.state == "cannot_tell"
    assert lost.advice.sentence.startswith("Can't tell: the season model does not fit this yard's counts.")
    assert "short from" not in lost.advice.sentence
    arcs = told(coming_in="plenty", fresh_arcs=True).advice
    assert arcs.sentence.startswith("No need: pollen is plenty"), "what is seen needs no model"


def test_bread_of_spring_is_no_bread_of_december() -> None:
    example = read_yard(FITTED)
    on = date(2025, 12, 8)
    late = replace(example.inspections[-1], on=on, bread=None)
    yard = replace(example, today=date(2025, 12, 10), inspections=(*example.inspections, late), goal=None)
    weather = read_weather(WEATHER, latitude=yard.place.latitude, today=yard.today)
    with pytest.raises(YardError, match="last counted on 18 April 2025, 236 days back"):
        season_answer(yard, weather)
    counted = replace(yard, inspections=(*example.inspections, replace(late, bread=0.75)))
    told = season_answer(counted, weather)
    assert told.outlook is None
    assert "nothing was fitted to it" in told.no_outlook


def test_the_example_is_fitted_and_told() -> None:
    told = season_from_files(FITTED, EXAMPLES / "first-yard" / "weather.csv", asked=Asked(draws=20))
    assert told.fitted is not None
    assert told.outlook is not None
    assert told.outlook.start == date(2025, 4, 18)
    assert told.yard.count.on == date(2025, 2, 10), "the yard is told as it was written"
    lines = [text for _, text in season_lines(told)]
    assert "What your inspections say" in lines
    document = season_document(told)["fitted"]
    assert document == fit_document(told.fitted)
    assert len(document["dates"]) == len(document["after"]["adults"]["middle"])
    assert {f["what"] for f in document["foretold"]} == {"bees", "brood", "bread"}
    assert season_document(told)["yard"]["inspections"][0]["reader"] == "first reader"


def test_a_book_keeps_the_inspections_and_answers_with_the_fit(tmp_path: Path) -> None:
    yard = read_yard(FITTED)
    book = Book(tmp_path / "own.sqlite", yard.today)
    key = book.add_yard(yard, EXAMPLES / "first-yard" / "weather.csv")
    told = book.season(key)
    assert told.fitted is not None
    assert [one.on for one in told.yard.inspections] == [one.on for one in yard.inspections]
    assert told.yard.inspections[0].frames_each == yard.inspections[0].frames_each
    assert "Looked in 6 hives on 18 April" in under(told)


def test_a_yard_without_inspections_has_no_fit() -> None:
    told = season_from_files(
        EXAMPLES / "first-yard" / "yard.toml", EXAMPLES / "first-yard" / "weather.csv", asked=Asked(draws=5)
    )
    assert told.fitted is None
    assert season_document(told)["fitted"] is None


def test_the_guide_names_every_key_of_an_inspection() -> None:
    page = (EXAMPLES.parent / "docs" / "guide" / "yard-file.md").read_text(encoding="utf-8")
    assert not [key for key in INSPECTION if f"`{key}`" not in page]
