"""On which side of the first reading the second person's lies, in words."""

from __future__ import annotations

import pytest

from breadline.jobs.verdict_reporting import twice_said
from breadline.language import speaking
from breadline.verdict.amounts import FRAMES
from breadline.verdict.grading import TwoReadings


@pytest.mark.parametrize(
    ("apart", "said"),
    [
        (0.25, "the second person's 0.3 frame above the first's."),
        (-0.12, "the second person's 0.1 frame below the first's."),
        (-0.04, "the second person's are as high as the first's on average."),
        (0.0, "the second person's are as high as the first's on average."),
    ],
)
def test_a_second_reading_lies_above_or_below_without_a_sign(apart, said):
    told = twice_said(TwoReadings(4, 0.5, apart), FRAMES.finely)
    assert told == f"4 graded twice; one reading is off by 0.5 frame, {said}"


def test_in_spanish_too():
    with speaking("es"):
        below, above = (twice_said(TwoReadings(4, 0.5, apart), FRAMES) for apart in (-0.1, 0.1))
    assert "por debajo" in below
    assert "por encima" in above
    assert "−" not in below
