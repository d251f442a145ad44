"""Bloom that nobody can fly to is no pollen; three situations, by what most seasons give."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.belief.gain import SITUATIONS
from breadline.errors import OurFault
from breadline.knowledge.shelf import load
from breadline.plan.situation import pollen_in_reach, situation_of
from plan.reference_yards import reference

ALL = slice(None)


@pytest.mark.parametrize("situation", SITUATIONS)
def test_the_reference_run_of_each_situation_is_that_situation(situation):
    reader = load().reader()
    assert situation_of(reference(situation, draws=4).drivers, ALL, reader) == situation


def test_full_bloom_in_cold_rain_is_a_dearth_to_the_bees():
    drivers = reference("pollen", draws=4).drivers
    grounded = replace(drivers, flight_h=np.zeros_like(drivers.flight_h))
    assert situation_of(grounded, ALL, load().reader()) == "dearth"


def test_most_seasons_decide_not_the_best_one():
    drivers = reference("dearth", draws=4).drivers
    pollen = drivers.pollen.copy()
    pollen[:, 0] = 1.0
    assert situation_of(replace(drivers, pollen=pollen), ALL, load().reader()) == "dearth"


def test_only_the_days_of_feeding_count():
    drivers = reference("dearth", draws=4).drivers
    pollen = drivers.pollen.copy()
    pollen[42:] = 1.0
    later = replace(drivers, pollen=pollen)
    assert situation_of(later, slice(0, 42), load().reader()) == "dearth"
    assert situation_of(later, slice(42, 84), load().reader()) == "pollen"


def test_a_long_day_gives_no_more_than_its_bloom():
    assert pollen_in_reach(np.array([0.5, 0.5]), np.array([2.0, 12.0])) == pytest.approx([0.25, 0.5])


def test_a_stretch_without_a_day_is_our_fault():
    with pytest.raises(OurFault, match="no day"):
        situation_of(reference("dearth", draws=2).drivers, slice(5, 5), load().reader())
