"""The trial of each forage situation, played at a yard of one's own."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from breadline.belief.gain import SITUATIONS
from breadline.errors import WeatherError
from breadline.knowledge.shelf import load
from breadline.need.season import run
from breadline.plan.reference import reference_run, reference_span
from plan.reference_yards import reference


@pytest.mark.parametrize("situation", SITUATIONS)
def test_the_next_such_season_comes_on_or_after_the_day(situation):
    reader = load().reader()
    for today in (date(2026, 1, 1), date(2026, 5, 15), date(2026, 12, 31)):
        span = reference_span(situation, 39.0, today, reader)
        assert 0 <= (span.first - today).days < 366
        assert span.days == reader.typical(f"reference.{situation}_days")


def test_the_seasons_of_the_south_lie_half_a_year_off():
    reader = load().reader()
    north, south = (reference_span("dearth", at, date(2026, 1, 1), reader) for at in (39.0, -36.0))
    assert north.first == date(2026, 8, 1)
    assert south.first == date(2026, 1, 30)


def test_feed_is_put_on_in_rounds_and_nothing_comes_in_a_dearth():
    block = reference("dearth", draws=20)
    on = np.flatnonzero(block.drivers.put_on_g)
    assert on.tolist() == [0, 14, 28, 42, 56, 70]
    assert block.drivers.pollen.max() == 0
    assert reference("pollen", draws=20).drivers.pollen.min() > 0.5


def test_a_poor_spring_leaves_fewer_hours_than_the_weather_gives():
    reader = load().reader()
    block = reference("poor_spring", reader=reader, draws=20)
    assert block.drivers.flight_h.max() <= 0.5 * 1.5 * 7.0


def test_south_of_the_equator_the_same_colonies_live_the_same_season():
    """Day length half a year off is not quite that of the north, so the bees agree within some per cent."""
    north, south = (reference("dearth", at, draws=60) for at in (36.0, -36.0))
    ends = [
        np.median(run(b.start, b.drivers, b.par, b.const, b.equivalence).adults[-1]) for b in (north, south)
    ]
    assert ends[1] == pytest.approx(ends[0], rel=0.06)


def test_weather_that_does_not_cover_the_trial_is_refused():
    reader = load().reader()
    span = reference_span("dearth", 39.0, date(2026, 1, 1), reader)
    block = reference("dearth", draws=5)
    with pytest.raises(WeatherError, match="84 days"):
        reference_run(span, 39.0, np.ones((3, 40)), (block.par, block.const), reader)
