"""Every scenario against every step that exists."""

from __future__ import annotations

import re

import pytest

from seasons.scenario import ALL_STEPS, scenarios
from seasons.steps import STEPS, cases, open_lines


@pytest.mark.parametrize(("scenario", "expected"), cases(), ids=lambda x: getattr(x, "step", None) or x.name)
def test_scenario(scenario, expected):
    said = STEPS[expected.step](scenario)
    assert said.answer == expected.answer, said.text
    for pattern in expected.says:
        assert re.search(pattern, said.text, re.IGNORECASE), f"does not say /{pattern}/:\n{said.text}"
    for pattern in expected.must_not_say:
        assert not re.search(pattern, said.text, re.IGNORECASE), f"says /{pattern}/:\n{said.text}"
    for name, (first, last) in expected.on.items():
        on = said.dates[name]
        assert on is not None, f"names no {name}:\n{said.text}"
        assert first <= on <= last, f"{name} {on}:\n{said.text}"
    for name, value in expected.more.items():
        assert said.facts[name] == value, said.text


@pytest.mark.parametrize("scenario", scenarios(), ids=lambda s: s.name)
def test_every_scenario_expects_something_that_can_fail(scenario):
    assert scenario.expectations
    for expected in scenario.expectations:
        assert expected.step in ALL_STEPS
        assert expected.says, f"{scenario.name}, {expected.step}: no text is expected"
        for pattern in (*expected.says, *expected.must_not_say):
            re.compile(pattern)


def test_the_scenarios_of_the_trade_are_all_there():
    numbers = {int(scenario.name[:2]) for scenario in scenarios()}
    assert numbers >= {1, 2, 3, 4, 5, 6, 10, 11, 12, 13, 14, 16}


def test_no_step_of_any_scenario_is_open():
    assert open_lines() == []
