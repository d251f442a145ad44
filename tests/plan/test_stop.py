"""When to stop: scenarios 3 and 6 of the trade, and that more pollen never makes feeding go on."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import YardError
from breadline.plan.entrance_count import EntranceCount
from breadline.plan.stop import Remaining, Signs, decide, saved
from plan.feeding import reader

DAY = date(2027, 2, 10)
LEFT = Remaining(3, 80, 4.5, "$", 226.8)  # made up
MANY, FEW, OPEN = (EntranceCount(DAY, 200, n, hives=4) for n in (100, 10, 55))
ORDER = ["go_on", "count_more", "pause_some", "pause", "stop"]


def told(**signs):
    return decide(Signs(**signs), LEFT, reader())


def test_scenario_6_heavy_pollen_and_arcs_in_every_hive_stop() -> None:
    stop = told(pollen="plenty", hives_with_arc=10, hives_looked_in=10)
    assert stop.decision == "stop"
    assert stop.sentence == "Stop: pollen is coming in. Stopping now saves $1,080: 3 rounds for 80 colonies."


def test_scenario_3_hives_with_an_arc_are_paused_and_steady_maple_stops_it() -> None:
    some = told(count=FEW, hives_with_arc=3, hives_looked_in=10, flying_days_ahead=3)
    assert some.decision == "pause_some"
    assert some.saving is None
    assert "go on with the others" in some.sentence
    assert told(count=MANY, hives_with_arc=9, hives_looked_in=10, flying_days_ahead=6).decision == "stop"


@pytest.mark.parametrize(
    ("signs", "decision"),
    [
        ({"count": MANY, "flying_days_ahead": 6}, "stop"),
        ({"count": MANY, "flying_days_ahead": 2}, "pause"),
        ({"count": MANY}, "pause"),
        ({"count": MANY, "hives_with_arc": 9, "hives_looked_in": 10}, "stop"),
        ({"count": MANY, "hives_with_arc": 9, "hives_looked_in": 10, "flying_days_ahead": 2}, "pause"),
        ({"count": OPEN, "hives_with_arc": 9, "hives_looked_in": 10, "flying_days_ahead": 5}, "stop"),
        ({"count": MANY, "hives_with_arc": 0, "hives_looked_in": 10, "flying_days_ahead": 6}, "pause"),
        ({"count": FEW, "hives_with_arc": 0, "hives_looked_in": 10}, "go_on"),
        ({"count": FEW}, "go_on"),
        ({"count": OPEN}, "count_more"),
        ({}, "count_more"),
        ({"pollen": "none"}, "go_on"),
    ],
)
def test_the_decision_by_its_signs(signs, decision: str) -> None:
    assert told(**signs).decision == decision


def test_the_keeper_s_threshold_decides() -> None:
    assert told(count=FEW, flying_days_ahead=6, threshold=0.01).decision == "stop"
    assert told(count=MANY, flying_days_ahead=6, threshold=0.9).decision == "go_on"


def test_the_model_run_again_is_told_and_keeps_the_feed_at_hand() -> None:
    stop = told(count=MANY, flying_days_ahead=6, short_if_stopped=0.4)
    assert stop.decision == "stop"
    assert stop.sentence.startswith(
        "Stop for now: pollen is coming in. It may not last, 40 in 100 seasons run"
    )
    assert "keep the feed at hand and look again within the week" in stop.sentence
    assert stop.sentence.endswith("Up to $1,080 is saved: 3 rounds for 80 colonies.")
    assert any("40 in 100" in reason for reason in stop.reasons)
    calm = told(count=MANY, flying_days_ahead=6, short_if_stopped=0.02)
    assert calm.sentence.startswith("Stop: pollen is coming in. Stopping now saves")


def test_the_count_is_said_with_its_range() -> None:
    first = told(count=MANY).reasons[0]
    assert first.startswith("100 of 200 bees carried pollen, 50 in 100 (43 to 57")
    one = told(count=EntranceCount(DAY, 40, 20)).reasons
    assert any("Fewer than 100" in reason for reason in one)
    assert any("one hive only" in reason for reason in one)
    assert any("More than" in reason for reason in told(count=MANY, before=FEW).reasons)


def test_an_open_count_says_how_many_to_count() -> None:
    assert "count up to about" in told(count=EntranceCount(DAY, 60, 18)).sentence
    assert "threshold" in told(count=EntranceCount(DAY, 200, 50)).sentence


def test_the_last_round_saves_nothing() -> None:
    stop = decide(Signs(count=MANY, flying_days_ahead=6), replace(LEFT, rounds=0), reader())
    assert "saves nothing" in stop.sentence


@given(rounds=st.integers(0, 10), colonies=st.integers(0, 5000), cost=st.floats(0, 50))
def test_the_saving_is_rounds_times_colonies_times_cost(rounds: int, colonies: int, cost: float) -> None:
    left = Remaining(rounds, colonies, cost, "$", 200.0)
    saving = decide(Signs(pollen="plenty", hives_with_arc=1, hives_looked_in=1), left, reader()).saving
    assert saving is not None
    assert saving.money == pytest.approx(rounds * colonies * cost)
    assert saving.feed_g == pytest.approx(rounds * colonies * 200.0)


@given(
    hits=st.integers(0, 200),
    more=st.integers(0, 200),
    arcs=st.sampled_from([0, 3, 10]),
    ahead=st.integers(0, 7),
    sunnier=st.integers(0, 7),
)
def test_more_pollen_or_settled_weather_never_leads_back_to_feeding(hits, more, arcs, ahead, sunnier) -> None:
    def rank(pollen: int, arc: int, days: int) -> int:
        signs = Signs(EntranceCount(DAY, 200, min(pollen, 200)), None, None, arc, 10, min(days, 7))
        return ORDER.index(decide(signs, LEFT, reader()).decision)

    now = rank(hits, arcs, ahead)
    assert rank(hits + more, arcs, ahead) >= now
    assert rank(hits, 10, ahead) >= now
    assert rank(hits, arcs, ahead + sunnier) >= now


def test_signs_that_cannot_be_are_told() -> None:
    with pytest.raises(YardError, match="looked in"):
        Signs(hives_with_arc=11, hives_looked_in=10)
    with pytest.raises(YardError, match=r"enter a share \(0.25\)"):
        Signs(threshold=25.0)
    with pytest.raises(YardError, match="flying days"):
        Signs(flying_days_ahead=9)
    with pytest.raises(YardError, match="cost of a colony"):
        Remaining(1, 1, -2.0, "$", 0.0)


def test_without_a_plan_no_number_of_rounds_is_told():
    """Nobody said how many are left: neither 0 rounds nor a saving of nothing."""
    none = Remaining(0, 40, 0.0, "$", 0.0, planned=False)
    few = Signs(count=FEW, hives_with_arc=0, hives_looked_in=6, flying_days_ahead=1)
    many = Signs(count=MANY, hives_with_arc=6, hives_looked_in=6, flying_days_ahead=7)
    go_on = decide(few, none, reader())
    assert go_on.sentence == (
        "Go on: no pollen to live on yet. No plan was given, so the rounds left are not known."
    )
    over = decide(few, replace(none, planned=True), reader())
    assert "the plan has no round left" in over.sentence
    stop = decide(many, none, reader())
    assert stop.decision == "stop"
    assert "What that saves is not known: no plan was given." in stop.sentence
    assert stop.saving is not None
    assert not stop.saving.known, "what is not known is no saving of 0"
    assert "saves nothing" in saved(replace(none, planned=True)).sentence
