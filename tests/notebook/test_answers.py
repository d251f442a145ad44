"""Notebook answers agree with the commands, take any data frame, and say what to mend."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from datetime import date, datetime

import numpy as np
import pandas
import pytest

import breadline
from breadline.errors import FigureError, PlanError, RecipeError, TrialError, WeatherError, YardError
from breadline.jobs.verdict import VerdictAsked
from breadline.jobs.verdict_file import verdict_from_file
from breadline.jobs.verdict_told import answered_document
from breadline.jobs.yard_file import yard_from_dict
from breadline.notebook.given import csv_of, tables_of, toml_of
from breadline.notebook.table import Table, table_of
from house import tree

YARD = tree.ROOT / "examples" / "first-yard" / "yard.toml"
WEATHER = tree.ROOT / "examples" / "first-yard" / "weather.csv"
RECIPE = tree.ROOT / "examples" / "first-recipe" / "recipe.toml"
COLONIES = tree.ROOT / "examples" / "first-verdict" / "colonies.csv"
SIZE = tree.ROOT / "examples" / "first-check-group" / "size.toml"
PRICES = breadline.Prices(cost=16, price=18, year=2027)


@pytest.fixture(scope="module")
def season():
    return breadline.season(YARD, WEATHER, draws=2)


def rows() -> list[dict[str, str]]:
    with COLONIES.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_a_season_in_a_notebook_is_that_of_the_command(season):
    out = season.document["outlook"]
    assert season.sentence == str(season) == season.document["advice"]["sentence"]
    assert season.daily.rows == len(out["dates"])
    assert season.daily["bread_g_middle"] == out["bread_g"]["middle"]
    low, high = (np.array(season.daily[f"need_g_day_{end}"]) for end in ("low", "high"))
    assert (low <= high).all()
    assert season.spells["start"] == sorted(season.spells["start"])
    assert all(isinstance(day, date) for day in season.daily["date"])


def test_where_frames_stop_before_the_outlook_the_rest_is_missing_not_nought():
    told = {"dates": ["2026-01-01", "2026-01-02"], "chance_short": None, "adults_fed": None}
    band = {"low": [1.0], "middle": [2.0], "high": [3.0]}
    from breadline.notebook.seasons import BANDS, _daily

    daily = _daily({**dict.fromkeys(BANDS, band), **told})
    assert daily["adults_middle"] == [2.0, None]
    assert daily["chance_short"] == daily["adults_fed_low"] == [None, None]


def test_a_verdict_of_a_data_frame_is_that_of_its_file():
    found = breadline.verdict_of(pandas.read_csv(COLONIES), PRICES, breadline.Told(drawn="lot"))
    asked = VerdictAsked(prices=PRICES, told=breadline.Told(drawn="lot"))
    by_file = answered_document(verdict_from_file(COLONIES, asked, date(2027, 3, 1)))
    assert found.document | {"source": ""} == by_file | {"source": ""}
    low, middle, high = found.difference
    fed, check = (found.arms["mean"][found.arms["name"].index(name)] for name in ("fed", "check"))
    assert low < middle < high
    assert low < fed - check < high  # the raw difference by hand lies in the range


def test_colonies_come_as_any_table():
    frame = pandas.read_csv(COLONIES)
    text = csv_of(frame, "it")
    assert csv_of({name: list(frame[name]) for name in frame}, "it") == text
    assert csv_of({name: frame[name].to_numpy() for name in frame}, "it") == text
    assert csv_of(rows(), "it") == text
    assert text.replace("\n", "") == COLONIES.read_text("utf-8").replace("\n", "")


def test_weather_as_a_data_frame_gives_the_answer_of_its_file(season):
    table = pandas.read_csv(WEATHER, comment="#", parse_dates=["date"])
    for given in (table, table.set_index("date")):
        told = breadline.season(YARD, given, draws=2)
        assert told.sentence == season.sentence
        assert told.daily == season.daily


def test_hours_keep_their_time_and_days_have_none():
    days = csv_of({"date": [datetime(2026, 1, 1), datetime(2026, 1, 2)], "x": [1, np.nan]}, "it")
    assert days == "date,x\n2026-01-01,1\n2026-01-02,\n"
    hours = csv_of({"time": [datetime(2026, 1, 1), datetime(2026, 1, 1, 1)]}, "it")
    assert hours == "time\n2026-01-01 00:00\n2026-01-01 01:00\n"
    assert (
        csv_of({"a": [np.datetime64("2026-01-01"), pandas.NaT, pandas.NA]}, "it") == 'a\n2026-01-01\n""\n""\n'
    )


def test_tables_and_their_text_say_the_same():
    told = {"a": 1, "b": 2.5, "c": 'two "words"\n', "on": date(2026, 1, 2), "yes": True, "list": [1, 2],
            "t": {"x": np.float64(1.5), "n": np.int64(3), "none": None, "u": {"y": "z"}},
            "many": [{"k": "ä.b"}, {"k": "c", "deep": [{"d": 1}]}], "a.dotted key": {"v": 1}}  # fmt: skip
    back = tables_of(told)
    assert back == {**told, "t": {"x": 1.5, "n": 3, "u": {"y": "z"}}}
    assert isinstance(back["t"]["n"], int)
    with pytest.raises(TrialError, match="can't be held"):
        toml_of({"a": object()})


def test_a_table_shows_its_parts_as_columns_and_no_markup_of_its_own():
    frame = table_of([{"a": 1, "cost": {"feed": 2.0}}, {"a": None, "b": "<b>", "list": [1, 2]}])
    assert dict(frame) == {
        "a": [1, None],
        "cost_feed": [2.0, None],
        "b": [None, "<b>"],
        "list": [None, "1, 2"],
    }
    assert frame.records()[1]["list"] == "1, 2"
    assert "<b>" not in frame._repr_html_()
    assert list(pandas.DataFrame(frame).columns) == list(frame)
    assert Table().rows == 0


def test_a_price_for_this_once_moves_the_mix_the_right_way():
    cheap, dear = (breadline.solve(RECIPE, {"soy_flour_defatted": price}) for price in (10.0, 60.0))
    assert cheap.cost_kg < dear.cost_kg
    assert sum(cheap.mix["share_pct"]) == pytest.approx(100, abs=0.01)
    assert cheap.found
    assert breadline.analyse(RECIPE).parts.rows == 6


def test_a_size_row_has_chances_that_close():
    told = breadline.check_group_size(SIZE, [24])
    row = told.sizes.records()[0]
    assert sum(v for name, v in row.items() if name.startswith("would_be_")) == pytest.approx(1, abs=0.002)
    assert row["net"] == pytest.approx(row["answer"] - row["costs_total"], abs=0.02)


@pytest.mark.parametrize(
    ("call", "fault"),
    [
        (lambda: breadline.season(3, WEATHER), YardError),
        (lambda: breadline.season({"name": "x"}, WEATHER), YardError),
        (lambda: breadline.season(YARD, 3), WeatherError),
        (lambda: breadline.season(YARD, {"date": [], "tmin": []}), WeatherError),
        (lambda: breadline.season(YARD, WEATHER, figures={"no.such": {"low": 1}}), FigureError),
        (lambda: breadline.rounds(YARD, WEATHER, 3), PlanError),
        (lambda: breadline.rounds(YARD, WEATHER, {"money": "US$"}), PlanError),
        (lambda: breadline.analyse(3), RecipeError),
        (lambda: breadline.solve(RECIPE, {"nectar": 1}), RecipeError),
        (lambda: breadline.solve(RECIPE, {"canola_oil": 0}), RecipeError),
        (lambda: breadline.check_group_size(3), TrialError),
        (lambda: breadline.verdict_of({"Hive": ["a"], "Group": []}, PRICES), TrialError),
        (lambda: breadline.verdict_of(rows(), PRICES, measure="spoons"), TrialError),
        (lambda: breadline.verdict_of(rows(), PRICES, breadline.Told(drawn="coin")), TrialError),
        (lambda: breadline.verdict_of(rows(), breadline.Prices()), TrialError),
        (lambda: breadline.verdict_of("nowhere.csv", PRICES), TrialError),
        (lambda: breadline.pooled([COLONIES]), TrialError),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_with_what_to_mend(call, fault):
    with pytest.raises(fault) as told:
        call()
    assert told.value.where
    assert told.value.what


def test_only_fed_colonies_are_no_comparison():
    told = breadline.verdict_of([row | {"Group": "fed"} for row in rows()], PRICES)
    assert (told.found, told.difference) == ("", None)
    assert told.sentence


def test_a_yard_as_tables_is_the_yard_of_its_file():
    import tomllib

    tables = tomllib.loads(YARD.read_text("utf-8"))
    assert yard_from_dict(tables_of(tables), "it") == yard_from_dict(tables, "it")


def test_import_breadline_alone_brings_in_nothing_heavy():
    ask = "import sys, json, breadline; print(json.dumps(sorted(sys.modules)))"
    out = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True, timeout=60)
    there = set(json.loads(out.stdout))
    assert not there & {"numpy", "scipy", "pandas", "sqlalchemy", "breadline.notebook"}
