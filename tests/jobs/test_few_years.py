"""What an answer from few years of weather says of its chances."""

from __future__ import annotations

from dataclasses import replace

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.season import Asked, season_answer
from breadline.jobs.season_told import season_document, season_lines
from breadline.jobs.yard_file import read_yard
from breadline.weather.read import read_weather
from breadline.weather.table import WeatherFile

YARD = read_yard(FIRST_YARD / "yard.toml")
POOR = replace(YARD, count=replace(YARD.count, bread=0.25))
FEW = Asked(draws=40)


def test_every_chance_from_four_years_is_a_range_and_says_so(four_years: WeatherFile) -> None:
    told = season_answer(POOR, four_years, asked=FEW)
    assert told.outlook is not None
    years = told.outlook.short_from.few_years
    assert years is not None
    assert years < 10
    lines = [line for _, line in season_lines(told) if "seasons" in line]
    (short,) = [line for line in lines if line.startswith("Short from")]
    assert f"from {years} years of weather only" in short
    assert not [line for line in lines if "up to more than" in line or "than 95 in 100" in line]
    document = season_document(told)["outlook"]
    low, high = document["short_from"]["chance_range"]
    assert low < document["short_from"]["chance"] <= high
    assert all(s["chance_range"] for s in document["spells"])


def test_fifteen_years_say_one_chance() -> None:
    whole = read_weather(FIRST_YARD / "weather.csv", latitude=YARD.place.latitude, today=YARD.today)
    told = season_answer(POOR, whole, asked=FEW)
    assert told.outlook is not None
    assert told.outlook.short_from.few_years is None
    assert not [line for _, line in season_lines(told) if "of weather only" in line]
    assert season_document(told)["outlook"]["short_from"]["chance_range"] is None
