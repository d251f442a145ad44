"""The season model's own checks, passed and failed, in everything a person is shown of one yard."""

from __future__ import annotations

import html
from dataclasses import replace
from datetime import date
from functools import lru_cache

import pytest

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.foretelling import shown
from breadline.jobs.season import Asked, SeasonAnswer, season_answer
from breadline.jobs.season_told import season_document, season_lines
from breadline.jobs.yard_file import read_yard
from breadline.need.yard import Yard
from breadline.weather.read import read_weather
from breadline.web.pages.season import season_page
from tests.need.invented_checks import shelf_of

FEW = Asked(draws=60)
GAIN = "In published trials colonies fed through a real pollen dearth"


def first_yard() -> Yard:
    """Short of bread within days of 20 January, weeks before pollen comes in."""
    return read_yard(FIRST_YARD / "yard.toml")


@lru_cache(maxsize=8)
def answer(winter: bool, dearth: bool, today: date | None = None) -> SeasonAnswer:
    yard = first_yard()
    weather = read_weather(FIRST_YARD / "weather.csv", latitude=yard.place.latitude, today=yard.today)
    if today is not None:
        yard = replace(yard, today=today, count=replace(yard.count, on=today), goal=None)
    return season_answer(yard, weather, shelf_of(winter, dearth), FEW)


def terminal(told: SeasonAnswer) -> str:
    return "\n".join(line for _, line in season_lines(told))


def web(told: SeasonAnswer) -> str:
    return html.unescape(bytes(season_page("Made up", told).body).decode()).replace("\u00a0", " ")


@pytest.mark.parametrize("said", [terminal, web])
def test_frames_stop_before_a_dearth_where_its_check_failed_and_both_say_why(said) -> None:
    told = answer(False, False)
    assert told.outlook is not None
    assert told.outlook.frames_end is not None
    assert told.yard.today < told.outlook.frames_until < told.outlook.spells[0].end
    text = said(told)
    assert "Bees and frames are foretold only until" in text
    assert "a pollen dearth begins" in text
    assert "too few colonies on syrup alone" in text
    assert text.count(GAIN) == 1


@pytest.mark.parametrize("said", [terminal, web])
def test_frames_go_on_through_it_where_its_check_was_passed(said) -> None:
    told = answer(False, True)
    assert told.outlook is not None
    assert told.outlook.frames_end is None
    assert len(told.outlook.adults.middle) == len(told.outlook.dates)
    text = said(told)
    assert "foretold only until" not in text
    assert GAIN not in text


def test_the_check_moves_nothing_but_the_end_of_the_frames() -> None:
    cut, whole = answer(False, False).outlook, answer(False, True).outlook
    assert cut is not None
    assert whole is not None
    days = len(cut.adults.middle)
    assert (cut.adults.middle == whole.adults.middle[:days]).all()
    assert (cut.brood.high == whole.brood.high[:days]).all()
    assert cut.short_from == whole.short_from, "from when bread is short does not hang on it"
    assert cut.spells == whole.spells


def test_the_picture_and_its_table_show_no_frames_after_it() -> None:
    page = web(answer(False, False))
    assert "none foretold after" in page
    assert "not foretold" in page
    assert "where they stop," in page, "for those who do not see the picture"
    assert "not foretold" not in web(answer(False, True))


def test_programs_are_told_where_frames_stop_and_why() -> None:
    cut, whole = (season_document(answer(False, dearth))["outlook"] for dearth in (False, True))
    assert cut["frames_end"] < cut["end"]
    assert "a pollen dearth begins" in cut["frames_end_because"]
    assert cut["beyond_frames_end"][0].startswith(GAIN)
    assert len(cut["adults"]["middle"]) == len(cut["brood_cells"]["low"]) < len(cut["dates"])
    assert whole["frames_end"] == whole["end"]
    assert whole["frames_end_because"] == ""
    assert whole["beyond_frames_end"] == []


def test_what_is_kept_to_be_held_against_later_counts_stops_with_the_frames() -> None:
    told, shelf = answer(False, False), shelf_of(False, False)
    assert told.outlook is not None
    kept = shown(told, shelf)
    assert kept is not None
    assert kept.columns()["last"] == told.outlook.frames_until
    over = replace(told.outlook.frames_end, on=date(2026, 1, 19))  # type: ignore[type-var]
    assert shown(replace(told, outlook=replace(told.outlook, frames_end=over)), shelf) is None


@pytest.mark.parametrize("said", [terminal, web])
def test_an_outlook_crosses_winter_only_where_its_check_was_passed(said) -> None:
    autumn = date(2025, 9, 20)
    across, before = answer(True, True, autumn), answer(False, True, autumn)
    assert across.outlook is not None
    assert before.outlook is not None
    assert across.outlook.dates[-1] > date(2026, 3, 1)
    assert before.outlook.dates[-1] < date(2025, 12, 1)
    assert "across winter" not in said(across)
    text = said(before)
    assert "No bees or frames are foretold across winter" in text
    assert "too few bees reared in winter" in text
    assert GAIN in text


def test_midwinter_has_an_outlook_only_where_its_check_was_passed() -> None:
    midwinter = date(2025, 12, 10)
    assert answer(True, True, midwinter).outlook is not None
    without = answer(False, True, midwinter)
    assert without.outlook is None
    assert "winter" in without.no_outlook
