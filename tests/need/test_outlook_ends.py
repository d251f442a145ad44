"""No outlook across winter, on either half of the earth."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.errors import YardError
from breadline.knowledge.shelf import load
from breadline.need.forecast import outlook_ends

READER = load().reader()


# The further from the equator, the sooner the last brood: the days between it and midwinter.
GAP = [(34.0, 12, 10), (43.0, 11, 25), (43.0, 12, 10), (57.0, 10, 20), (57.0, 11, 15), (57.0, 12, 10)]


@pytest.mark.parametrize(("latitude", "month", "day"), GAP)
def test_refused_in_the_gap(latitude: float, month: int, day: int) -> None:
    with pytest.raises(YardError, match="winter"):
        outlook_ends(date(2025, month, day), latitude, READER)
    south = date(2026, (month + 5) % 12 + 1, day)
    with pytest.raises(YardError, match="winter"):
        outlook_ends(south, -latitude, READER)


@pytest.mark.parametrize("start", [date(2026, 7, 1), date(2026, 8, 5)])
def test_ends_with_the_last_brood_sooner_in_the_north(start: date) -> None:
    """McLellan 1978: brood almost gone in late September at 56 N."""
    ends = [outlook_ends(start, latitude, READER).on for latitude in (57.0, 50.0, 43.0, 36.0)]
    assert ends == sorted(ends)
    assert date(2026, 9, 20) < ends[0] < date(2026, 10, 7)
    assert (ends[-1] - ends[0]).days > 21, "brood lasts weeks longer in the south"


@pytest.mark.parametrize("latitude", [34.0, 43.0, 57.0])
def test_half_a_year_after_midwinter(latitude: float) -> None:
    ends = outlook_ends(date(2026, 1, 20), latitude, READER)
    assert (ends.on - date(2026, 1, 20)).days == int(READER.typical("outlook.longest_days")) - 1


def test_near_the_equator_brood_never_stops() -> None:
    assert (outlook_ends(date(2026, 9, 1), 8.0, READER).on - date(2026, 9, 1)).days == int(
        READER.typical("outlook.longest_days")
    ) - 1


def test_what_lies_beyond_winter_is_said_from_trials_not_from_the_model() -> None:
    ends = outlook_ends(date(2026, 8, 5), 43.0, READER)
    said = " ".join(ends.beyond)
    assert "No bees or frames are foretold across winter" in said
    assert "from 10 % fewer to 73 % more" in said, "the belief about feeds, with its range"
    assert outlook_ends(date(2026, 1, 20), 43.0, READER).beyond == ()
    with pytest.raises(YardError, match="from 10 % fewer to 73 % more"):
        outlook_ends(date(2026, 11, 15), 43.0, READER)
