"""What is drawn for one purpose leaves the draws of the others as they were."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.season import Asked, season_answer
from breadline.jobs.yard_file import read_yard
from breadline.need import forecast
from breadline.need.parameters import Parameters
from breadline.need.season import Block, Colony, Course, Drivers, lived
from breadline.need.streams import Streams
from breadline.need.yard import Count
from breadline.weather.read import read_weather
from breadline.weather.table import WeatherFile

YARD = read_yard(FIRST_YARD / "yard.toml")
FEW = Asked(draws=20)
PLACE = ("flight_h", "pollen", "quality", "nectar", "path", "rho", "trend", "turn")


class Seen:
    """What the season model was started with."""

    def __init__(self) -> None:
        self.start: Colony
        self.drivers: Drivers
        self.par: Parameters

    def lived(self, ensemble: Block, wanted: tuple[str, ...]) -> Course:
        self.start, self.drivers, self.par = ensemble.start, ensemble.drivers, ensemble.par
        return lived(ensemble, wanted)


def seen(monkeypatch: pytest.MonkeyPatch, count: Count, weather: WeatherFile, asked: Asked = FEW) -> Seen:
    watched = Seen()
    monkeypatch.setattr(forecast, "lived", watched.lived)
    season_answer(replace(YARD, count=count), weather, asked=asked)
    return watched


def same(one: object, other: object, names: tuple[str, ...]) -> list[str]:
    return [n for n in names if np.array_equal(getattr(one, n), getattr(other, n))]


def all_of(kind: type) -> tuple[str, ...]:
    return tuple(f.name for f in fields(kind))


@pytest.mark.parametrize(
    "other",
    [
        replace(YARD.count, frames_of_brood=3.0),
        replace(YARD.count, bread=200.0, bread_unit="g"),
        replace(YARD.count, frame_means="full", frames_of_bees=7.0),
        replace(YARD.count, colonies_looked_in=2),
    ],
    ids=["brood", "bread in grams", "another frame", "fewer hives"],
)
def test_another_count_meets_the_same_parameters_weather_and_bloom(
    monkeypatch: pytest.MonkeyPatch, four_years: WeatherFile, other: Count
) -> None:
    one, two = seen(monkeypatch, YARD.count, four_years), seen(monkeypatch, other, four_years)
    assert same(one.par, two.par, all_of(Parameters)) == list(all_of(Parameters))
    assert same(one.drivers, two.drivers, PLACE) == list(PLACE)
    assert same(one.start, two.start, all_of(Colony)) != list(all_of(Colony)), "the count itself differs"


def test_more_brood_leaves_bread_as_it_was_drawn_and_grams_leave_the_bees(
    monkeypatch: pytest.MonkeyPatch, four_years: WeatherFile
) -> None:
    one = seen(monkeypatch, YARD.count, four_years)
    brood = seen(monkeypatch, replace(YARD.count, frames_of_brood=3.0), four_years)
    assert np.array_equal(one.start.store, brood.start.store)
    assert np.allclose(brood.start.sealed, 3.0 * one.start.sealed)
    grams = seen(monkeypatch, replace(YARD.count, bread=200.0, bread_unit="g"), four_years)
    assert same(one.start, grams.start, ("hive", "field", "reserve", "sealed")) == [
        "hive", "field", "reserve", "sealed",
    ]  # fmt: skip


def test_other_weather_meets_the_same_parameters(
    monkeypatch: pytest.MonkeyPatch, four_years: WeatherFile
) -> None:
    whole = read_weather(FIRST_YARD / "weather.csv", latitude=YARD.place.latitude, today=YARD.today)
    few, many = seen(monkeypatch, YARD.count, four_years), seen(monkeypatch, YARD.count, whole)
    assert np.array_equal(few.par.Lmax[: FEW.draws], many.par.Lmax[: FEW.draws])


def test_another_seed_moves_every_stream() -> None:
    one, two = (Streams.of(np.random.default_rng(seed)) for seed in (1, 2))
    first = [getattr(s, n).standard_normal() for s in (one, two) for n in all_of(Streams)]
    assert len(set(first)) == 2 * len(all_of(Streams))
