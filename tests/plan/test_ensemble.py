"""The seasons that plans are tried in are those of the yard's outlook."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from breadline.errors import PlanError
from breadline.jobs.season import Asked, weather_ahead, with_bloom
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.calendars import calendar
from breadline.knowledge.shelf import load
from breadline.need.fit.ahead import fitted_outlook
from breadline.need.fit.fitting import fit
from breadline.need.forecast import DRAWS, forecast
from breadline.need.season_tree import NEVER, Leg, walk
from breadline.need.streams import Streams
from breadline.plan.ensemble import fitted_ensemble, yard_ensemble
from breadline.weather.read import read_weather
from plan.spring_yard import question

EXAMPLES = Path(__file__).parents[2] / "examples"
FEW = 10


def at(name: str):
    yard = read_yard(EXAMPLES / name / "yard.toml")
    yard, _ = with_bloom(yard, calendar(yard.place.region or ""))
    weather = read_weather(EXAMPLES / "first-yard" / "weather.csv", latitude=33.9, today=yard.today)
    return yard, weather


def ended(ensemble):
    """Bees and brood of the unfed yard on the last day."""
    watch = replace(question().watch, today=ensemble.today)
    go = np.ones((ensemble.days, ensemble.block.drivers.flight_h.shape[1]))
    ends = walk(ensemble.block, go, (Leg(0, ensemble.days, way=0),), watch)
    return ends.adults[0] * ensemble.bees_times, ends.brood[0] * ensemble.brood_times


def is_one_of(ranked: float, seen) -> bool:
    """A band of an outlook is the member of a rank, in single precision: the same season to the digit."""
    return float(np.abs(seen / ranked - 1.0).min()) < 1e-6


def streams() -> Streams:
    return Streams.of(np.random.default_rng(3))


def test_the_unfed_yard_of_a_plan_is_that_of_the_outlook():
    yard, file = at("first-yard")
    reader, until = load().reader(), yard.today + timedelta(days=45)
    ahead = weather_ahead(yard, file, yard.today + timedelta(days=190), reader, streams().weather, Asked())
    outlook = forecast(yard, ahead, reader, streams(), FEW)
    ensemble = yard_ensemble(yard, ahead, reader, streams(), until, FEW)
    adults, brood = ended(ensemble)
    day = (until - yard.count.on).days
    for band, seen in ((outlook.adults, adults), (outlook.brood, brood)):
        assert is_one_of(band.middle[day], seen)
        assert is_one_of(band.low[day], seen)
        assert band.middle[day] == pytest.approx(np.median(seen), rel=0.005)
    assert ensemble.members == 15 * FEW
    assert ensemble.few_years == outlook.few_years
    assert (ensemble.on(day), ensemble.day(until)) == (until, day)


def test_a_yard_that_was_fitted_is_planned_from_what_the_fit_left():
    yard, file = at("fitted-yard")
    reader, until = load().reader(), yard.today + timedelta(days=40)
    ahead = weather_ahead(yard, file, yard.today + timedelta(days=190), reader, streams().weather, Asked())
    left = fit(yard, ahead, reader, streams())
    outlook = fitted_outlook(yard, ahead, reader, left, streams(), DRAWS)
    ensemble = fitted_ensemble(yard, ahead, reader, left, streams(), until)
    adults, brood = ended(ensemble)
    day = (until - outlook.start).days
    for band, seen in ((outlook.adults, adults), (outlook.brood, brood)):
        assert is_one_of(band.middle[day], seen)
        assert band.middle[day] == pytest.approx(np.median(seen), rel=0.001)
    assert ensemble.par.draws == ensemble.draw.max() + 1


def test_some_members_are_as_many_of_every_path_and_as_many_draws_as_there_are():
    yard, file = at("first-yard")
    reader, until = load().reader(), yard.today + timedelta(days=20)
    ahead = weather_ahead(yard, file, until, reader, streams().weather, Asked())
    ensemble = yard_ensemble(yard, ahead, reader, streams(), until, FEW)
    few = ensemble.few(45)
    assert few.size == 45
    assert sorted(set(ensemble.block.drivers.path[few].tolist())) == list(range(15))
    assert set(ensemble.draw[few].tolist()) == set(range(FEW)), "not the same three on every path"
    assert ensemble.few(10**6).size == ensemble.members


def test_a_target_of_yesterday_has_no_seasons():
    yard, file = at("first-yard")
    reader = load().reader()
    ahead = weather_ahead(yard, file, yard.today + timedelta(days=9), reader, streams().weather, Asked())
    with pytest.raises(PlanError, match="not ahead of today"):
        yard_ensemble(yard, ahead, reader, streams(), yard.today - timedelta(days=1), FEW)
    assert NEVER > 366
