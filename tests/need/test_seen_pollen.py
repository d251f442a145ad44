"""What is seen of pollen today, laid over the calendar; expected values by hand."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from breadline.knowledge.shelf import load
from breadline.need.seen_pollen import SeenBloom, seen_bloom
from breadline.need.yard import Forage, PollenSeen
from need.advice_yards import IN_NEED, head, of, told


def bloom(seen: PollenSeen, strength: float) -> SeenBloom:
    return SeenBloom(seen, np.array([strength]), sure_days=5, gone_days=10)


def test_five_days_are_sure_then_it_fades_to_nothing_on_the_tenth() -> None:
    weight = bloom("none", 0.0).weight(14, seen=0)
    assert weight.tolist() == pytest.approx([1] * 5 + [5 / 6, 4 / 6, 3 / 6, 2 / 6, 1 / 6] + [0] * 4)


def test_the_days_since_the_count_are_as_today() -> None:
    weight = bloom("none", 0.0).weight(20, seen=7)
    assert weight[3:12].tolist() == [1.0] * 9
    assert weight[:7].tolist() == pytest.approx(weight[14:7:-1].tolist())


def test_none_seen_is_none_whatever_the_calendar_says() -> None:
    told = bloom("none", 0.0).laid_over(np.full((14, 1), 0.6), 0, 1.0)[:, 0]
    assert told[:5].tolist() == [0.0] * 5
    assert told[7] == pytest.approx(0.3)
    assert told[10:].tolist() == [0.6] * 4


def test_plenty_is_at_least_what_the_calendar_says() -> None:
    poor, rich = np.zeros((14, 1)), np.full((14, 1), 0.9)
    assert bloom("plenty", 0.7).laid_over(poor, 0, 0.5)[0, 0] == pytest.approx(0.35), "shared with neighbours"
    assert bloom("plenty", 0.7).laid_over(rich, 0, 1.0).tolist() == rich.tolist()


def test_a_little_outranks_a_calendar_that_says_more_or_nothing() -> None:
    for calendar in (0.0, 0.9):
        told = bloom("little", 0.15).laid_over(np.full((14, 1), calendar), 0, 1.0)[:, 0]
        assert told[0] == pytest.approx(0.15)
        assert told[13] == calendar


@pytest.mark.parametrize(
    ("forage", "seen"),
    [
        (Forage(), None),
        (Forage(coming_in="none"), "none"),
        (Forage(coming_in="none", outside_c=16.0), "none"),
        (Forage(coming_in="none", outside_c=2.0), None),  # too cold to fetch any: no word on the bloom
        (Forage(coming_in="little", outside_c=9.0), "little"),
    ],
)
def test_only_a_look_on_a_flying_day_tells_of_the_bloom(forage: Forage, seen: str | None) -> None:
    told = seen_bloom(forage, load().reader(), np.random.default_rng(3), 5)
    assert (told.seen if told else None) == seen


def test_a_look_of_days_ago_is_dated_and_after_ten_days_forgotten() -> None:
    look = date(2027, 3, 20)
    yard = of(IN_NEED, forage={"coming_in": "plenty", "fresh_arcs": True, "seen_on": look})
    for days, pollen in ((9, "Plenty coming in, fresh arcs round the brood"), (10, "Not looked at")):
        later = of(yard, today=look + timedelta(days=days), count={"on": look}, health={"mites_on": look})
        assert head(told(later), "Pollen").detail.startswith(pollen)
        assert not [r for r in told(later).reasons if r.head == "Warmth"], "the air of another day"
    seen = seen_bloom(yard.forage, load().reader(), np.random.default_rng(3), 5)
    assert seen is not None
    assert "as seen on 20 March 2027" in seen.note
