"""Which situations the season model is trusted in, as the program reads it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from breadline.errors import OurFault
from breadline.knowledge.season_checks import SeasonChecks, checks_from_tables, season_checks
from breadline.knowledge.shelf import Edit, load


def fact(inside: bool = True, **numbers: float) -> dict[str, Any]:
    """An invented fact, met or not."""
    said = {"published": 0.5, "low": 0.4, "high": 0.6, "model_low": 0.3, "model": 0.45, "model_high": 0.6}
    if not inside:
        said |= {"model_low": 0.7, "model": 0.8, "model_high": 0.9}
    return {"key": "invented", "meaning": "invented", "inside": inside, **said, **numbers}


def asked(winter: list[dict[str, Any]], dearth: list[dict[str, Any]]) -> SeasonChecks:
    made = {"on": date(2027, 1, 1), "commit": "abc", "draws": "def"}
    return checks_from_tables({"made": made, "winter": winter, "dearth": dearth})


def test_a_situation_is_trusted_when_every_fact_of_it_is_met() -> None:
    told = asked([fact(), fact(False)], [fact(), fact()])
    assert not told.trusts("winter")
    assert told.trusts("dearth")
    assert len(told.missed("winter")) == 1
    assert told.missed("dearth") == ()


def test_a_situation_that_nobody_asked_about_is_not_trusted() -> None:
    assert not asked([], [fact()]).trusts("winter")


@pytest.mark.parametrize("wrong", [fact(True, low=0.7, high=0.8), fact(False, high=0.75)])
def test_a_fact_whose_word_its_own_numbers_deny_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(OurFault, match=r"season_checks\.toml"):
        asked([wrong], [fact()])


def test_today_winter_fails_and_a_dearth_passes() -> None:
    assert {s: season_checks().trusts(s) for s in ("winter", "dearth")} == {"winter": False, "dearth": True}  # type: ignore[arg-type]


def test_another_result_stays_with_the_shelf_when_figures_are_edited() -> None:
    other = asked([fact()], [fact(False)])
    edit = {"bread.g_per_cell": Edit(0.4, 0.4, 0.4, "weighed by us", date(2026, 1, 1))}
    shelf = load().with_checks(other).with_edits(edit)
    assert shelf.reader().checks is other
    assert load(edit).reader().checks is season_checks()
