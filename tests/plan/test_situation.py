"""Bloom that nobody can fly to is no pollen; three situations, by what most seasons give."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.belief.gain import SITUATIONS
from breadline.errors import OurFault
from breadline.knowledge.shelf import load
from breadline.plan.situation import main_situation, pollen_in_reach, situations_by_day
from plan.reference_yards import reference

SUMMER = date(2026, 8, 1)


def of(drivers, start=SUMMER):
    return situations_by_day(drivers, start, load().reader())


@pytest.mark.parametrize("situation", SITUATIONS)
def test_the_reference_run_of_each_situation_is_that_situation(situation):
    start = date(2026, 2, 25) if situation == "poor_spring" else SUMMER
    assert main_situation(of(reference(situation, draws=4).drivers, start)) == situation


def test_full_bloom_in_cold_rain_is_a_dearth_to_the_bees():
    drivers = reference("pollen", draws=4).drivers
    grounded = replace(drivers, flight_h=np.zeros_like(drivers.flight_h))
    assert main_situation(of(grounded)) == "dearth"


def test_most_seasons_decide_not_the_best_one():
    drivers = reference("dearth", draws=4).drivers
    pollen = drivers.pollen.copy()
    pollen[:, 0] = 1.0
    assert main_situation(of(replace(drivers, pollen=pollen))) == "dearth"


def test_a_day_goes_by_the_weeks_up_to_it():
    drivers = reference("dearth", draws=4).drivers
    pollen = drivers.pollen.copy()
    pollen[42:] = 1.0
    later = of(replace(drivers, pollen=pollen))
    assert main_situation(later[:42]) == "dearth"
    assert main_situation(later[42:84]) == "pollen"


def test_a_long_day_gives_no_more_than_its_bloom():
    assert pollen_in_reach(np.array([0.5, 0.5]), np.array([2.0, 12.0]), 4.0) == pytest.approx([0.25, 0.5])


def test_a_stretch_without_a_day_is_our_fault():
    with pytest.raises(OurFault, match="no day"):
        main_situation(of(reference("dearth", draws=2).drivers)[5:5])
