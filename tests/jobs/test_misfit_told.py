"""A yard that the season model does not fit gets no date: page, list, terminal, JSON and picture alike."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.cli.yards import _short
from breadline.jobs.book import Book
from breadline.jobs.season import Asked, SeasonAnswer, season_answer
from breadline.jobs.season_chart import season_svg
from breadline.jobs.season_told import season_document, season_lines
from breadline.jobs.yard_file import read_yard
from breadline.need.words import MONTHS
from breadline.need.yard import Given, Goal
from breadline.weather.read import read_weather
from breadline.web.app import create_app
from web.conftest import HERE

EXAMPLES = Path(__file__).parents[2] / "examples"
WEATHER = EXAMPLES / "first-yard" / "weather.csv"
YARD = read_yard(EXAMPLES / "fitted-yard" / "yard.toml")
*EARLIER, LAST = YARD.inspections
LOST = replace(
    YARD,
    inspections=(*EARLIER, replace(LAST, frames_of_bees=1.0)),
    forage=replace(YARD.forage, coming_in="little"),
)
DATE = re.compile(rf"\d{{1,2}} ({'|'.join(MONTHS)})")
NO_DATE = "Short from: can't tell, because the season model does not fit this yard's counts"


@pytest.fixture(scope="module")
def lost() -> SeasonAnswer:
    weather = read_weather(WEATHER, latitude=YARD.place.latitude, today=YARD.today)
    return season_answer(LOST, weather, asked=Asked(draws=50))


def test_the_terminal_says_the_misfit_first_and_no_date(lost: SeasonAnswer) -> None:
    lines = [text for _, text in season_lines(lost) if text]
    assert lines[1].startswith("Can't tell: the season model does not fit this yard's counts.")
    assert lines[2] == NO_DATE
    assert not any(text.startswith(("Short about", "By about")) for text in lines)
    assert not DATE.search(lines[1])
    assert lines[3] == "How long the bread lasts can't be told either."
    assert not any("if no pollen came in" in text for text in lines), "nor among the reasons"


def test_json_has_no_date_and_no_chance(lost: SeasonAnswer) -> None:
    told = json.loads(json.dumps(season_document(lost)))
    assert told["fitted"]["fits"] is False
    assert told["outlook"]["short_from"] is None
    assert told["outlook"]["chance_short"] is None
    assert told["outlook"]["bread_lasts_days"] is None
    assert told["outlook"]["spells"] == []


def test_where_bread_is_gone_today_feed_is_still_advised_without_a_date(lost: SeasonAnswer) -> None:
    weather = read_weather(WEATHER, latitude=YARD.place.latitude, today=YARD.today)
    bare = replace(
        LOST,
        inspections=(*EARLIER, replace(LAST, frames_of_bees=1.0, bread=0.0)),
        forage=replace(LOST.forage, coming_in="none"),
    )
    told = season_answer(bare, weather, asked=Asked(draws=50))
    lines = [text for _, text in season_lines(told) if text]
    assert told.advice.answer == "feed"
    assert "no pollen coming in" in told.advice.sentence
    assert lines[2] == NO_DATE


def test_the_picture_shows_no_missing_bread(lost: SeasonAnswer) -> None:
    for alone in (True, False):
        drawn = season_svg(lost, alone=alone)
        assert "bread missing" not in drawn
        assert "from the comb" not in drawn
        assert "none in the comb" not in drawn
        assert "at the lowest" not in drawn
        assert "Bread left today: can't tell" in drawn.replace("&#39;", "'").replace("&#x27;", "'")
    assert "cannot tell when bread is short" in season_svg(lost, alone=True)


def test_a_goal_and_rounds_of_a_season_before_are_not_drawn(lost: SeasonAnswer) -> None:
    past, ahead = (lost.outlook.start + timedelta(days=days) for days in (-200, 40))
    for on, drawn in ((past, False), (ahead, True)):
        of = replace(lost.yard, goal=Goal("frames", on, 8.0), given=(Given(on, 227.0),))
        text = season_svg(replace(lost, yard=of))
        assert ("goal: 8" in text) is drawn
        assert ("Rounds" in text) is drawn


def test_page_and_list_say_it_too(tmp_path: Path) -> None:
    path = tmp_path / "own.sqlite"
    key = Book(path, YARD.today).add_yard(LOST, WEATHER)
    client = TestClient(create_app(path, lambda book: Book(book, YARD.today)), base_url=HERE)
    shown = client.get(f"/yards/{key}").text.replace("&#39;", "'")
    assert f"{NO_DATE}." in shown
    assert "The dates hold" not in shown
    assert "When it is short" not in shown
    assert "Striped" not in shown
    assert "the bands are widened, and no shortage is told." in shown
    (line,) = Book(path, YARD.today).yards()
    assert _short(line) == "can't tell"
    assert "can&#39;t tell" in client.get("/").text
