"""The table beside the bread chart holds the same figures as the arrays."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.errors import OurFault
from breadline.need.outlook import Band
from breadline.pictures.bread_table import bread_table
from pictures.made_up import made_up_outlook

POUND = 453.59237  # g, the international pound of 1959


def test_one_row_a_week_from_the_first_day() -> None:
    rows = bread_table(made_up_outlook(days=20), "g")
    assert [row["week from"] for row in rows] == ["2026-08-01", "2026-08-08", "2026-08-15"]


@pytest.mark.parametrize(("units", "scale", "places"), [("g", 1.0, 0), ("lb", 1 / POUND, 2)])
def test_pollen_of_a_whole_week_is_its_sum(units: str, scale: float, places: int) -> None:
    outlook = made_up_outlook(days=21)
    for i, row in enumerate(bread_table(outlook, units)):  # type: ignore[arg-type]
        week = slice(7 * i, 7 * i + 7)
        for name, band in (("need", outlook.need_g), ("pollen coming in", outlook.income_g)):
            for part in ("low", "middle", "high"):
                told = row[f"{name} [{units}/week], {part}"]
                assert told == pytest.approx(getattr(band, part)[week].sum() * scale, abs=0.51 * 10**-places)


def test_bread_bees_and_chance_are_those_of_the_week() -> None:
    outlook = made_up_outlook(days=30, fed=True)
    row = bread_table(outlook, "lb")[2]
    assert outlook.adults_fed is not None
    assert row["bread left [days, 60 = or more], high"] == round(outlook.bread_days.high[14])
    assert row["brood, all stages [cells], middle"] == round(outlook.brood.middle[14], -2)
    assert row["frames of bees, without feed [frames], low"] == round(outlook.adults.low[14] / 2000.0, 1)
    assert row["frames of bees, with feed [frames], middle"] == round(
        outlook.adults_fed.middle[14] / 2000.0, 1
    )


def test_chances_are_said_in_steps_of_five_and_from_few_years_as_a_range() -> None:
    """As the sentences beside the table say them: 0.83 is 85 in 100; from 4 years 0.45 may be 20 to 75."""
    outlook = made_up_outlook(days=21)
    outlook = replace(outlook, short=np.repeat([0.02, 0.83, 0.45], 7))
    head = "seasons short on the worst day [in 100]"
    assert [row[head] for row in bread_table(outlook, "lb")] == ["less than 5", "85", "45"]
    few = replace(outlook, short_from=replace(outlook.short_from, few_years=4))
    assert bread_table(few, "lb")[2][head] == "20 to 75"


def test_without_feed_no_column_speaks_of_feed_and_every_column_of_figures_has_a_unit() -> None:
    row = bread_table(made_up_outlook(days=9), "g")[0]
    assert not [name for name in row if "with feed" in name]
    assert [name for name in row if "[" not in name] == ["week from"]


def test_the_table_counts_the_striped_days_and_says_that_the_shortage_runs_on() -> None:
    outlook = made_up_outlook(days=21)
    gone = np.zeros(21)
    gone[[2, 5, 20]] = 0.9  # the days between two spells closer than a week are striped too
    scarce = replace(outlook, short=gone, income_g=Band(*(np.zeros(21) for _ in range(3))))
    rows = bread_table(scarce, "g")
    heading = "bread missing, and still on the last day shown [days]"
    assert [row[heading] for row in rows] == [4, 0, 1]
    gone[20] = 0.1
    assert [row["bread missing [days]"] for row in bread_table(scarce, "g")] == [4, 0, 0]


def test_bread_without_any_need_is_unknown_not_a_number() -> None:
    outlook = made_up_outlook(days=9)
    endless = Band(*(np.full(9, np.inf) for _ in range(3)))
    assert (
        bread_table(replace(outlook, bread_days=endless), "g")[0]["bread left [days, 60 = or more], middle"]
        is None
    )


def test_not_a_number_is_refused() -> None:
    outlook = made_up_outlook(days=9)
    with pytest.raises(OurFault, match="short is not a number"):
        bread_table(replace(outlook, short=np.full(9, np.nan)), "g")
