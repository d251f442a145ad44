"""The likely gain, told with its range and never as sure."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.belief.gain import LikelyGain, likely_gain
from breadline.knowledge.shelf import load


def test_the_gain_is_a_ratio_of_fed_to_unfed() -> None:
    reader = load().reader()
    gain = likely_gain("dearth", reader)
    assert gain.typical == pytest.approx(np.exp(reader.typical("belief.dearth_gain")))
    assert gain.low < 1 < gain.high, "no trial rules out that it did nothing"
    assert "belief.dearth_gain" in reader.used


def test_it_is_said_with_its_range() -> None:
    said = likely_gain("dearth", load().reader()).sentence
    assert "25 % more bees than unfed ones in the middle case" in said
    assert "from 10 % fewer to 73 % more" in said


def test_where_pollen_comes_in_the_middle_case_is_nothing() -> None:
    said = likely_gain("pollen", load().reader()).sentence
    assert "as many bees as unfed ones in the middle case" in said


def test_a_middle_case_of_fewer_bees_is_said_so() -> None:
    """As a user's edit of the shelf can make it: never told as "as many"."""
    said = LikelyGain("pollen", 0.7, 0.9, 1.1).sentence
    assert "had 10 % fewer bees than unfed ones in the middle case" in said
    assert "from 30 % fewer to 10 % more" in said


def test_a_dearth_promises_more_than_a_flow() -> None:
    reader = load().reader()
    dearth, poor, flow = (likely_gain(s, reader).typical for s in ("dearth", "poor_weather", "pollen"))
    assert dearth > poor > flow
