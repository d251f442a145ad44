"""Feeding over a season: what it may and may not do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from breadline.knowledge.shelf import load
from breadline.need.forecast import forecast
from breadline.need.season import run
from breadline.need.streams import Streams
from tests.need.colonies import colony, drawn, place, with_feed
from tests.need.fit_yards import FIRST, YARD, weather

PAR, CONST = drawn(200, seed=3)


def lived(start, here, worth: float):  # type: ignore[no-untyped-def]
    return run(start, here, PAR, CONST, np.full(PAR.draws, worth), "reference")


def test_feeding_broken_off_in_a_dearth_loses_brood() -> None:
    """Two portions in March, then nothing: by the end of April less brood than without any feed."""
    start = colony(PAR, CONST, adults=18_500, brood=8_000, bread_g=600)
    poor = place(PAR, start="2027-03-02", days=60, latitude=43.0, pollen=0.2, flight_h=1.5)
    unfed = lived(start, poor, 1.0)
    broken_off = lived(start, with_feed(poor, every=6, grams=450, until=11), 1.0)
    late_april = 50
    assert np.median(broken_off.brood[15]) > np.median(unfed.brood[15]), "at first it helps"
    assert np.median(broken_off.brood[late_april]) < 0.9 * np.median(unfed.brood[late_april])
    assert (broken_off.brood[late_april] < unfed.brood[late_april]).mean() > 0.6


def test_feed_nobody_wrote_down_is_said_where_nothing_is_fitted() -> None:
    """A single count, fed since: the outlook has none of that feed in it, and may not keep quiet about it."""
    for fed in (False, True):
        yard = replace(YARD, today=FIRST, fed_without_record=fed)
        out = forecast(yard, weather(2), load().reader(), Streams.of(np.random.default_rng(1)), 20)
        assert any("nobody wrote down what" in note for note in out.notes) == fed


def test_feeding_kept_up_in_a_dearth_keeps_brood() -> None:
    start = colony(PAR, CONST, adults=12_000, brood=6_000, bread_g=100)
    dearth = place(PAR, start="2027-07-15", days=60, pollen=0.0, flight_h=7.0)
    unfed, fed = lived(start, dearth, 0.6), lived(start, with_feed(dearth, every=7, grams=450), 0.6)
    assert np.median(fed.brood[40]) > 2 * np.median(unfed.brood[40])
