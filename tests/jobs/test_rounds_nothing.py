"""Where doing nothing is best: said first, and why."""

from __future__ import annotations

import pytest

from breadline.jobs import rounds_words as words
from breadline.jobs.rounds import Way, rounds_answer
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.rounds_told import rounds_lines
from breadline.jobs.yard_file import read_yard
from breadline.weather.read import read_weather
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def weather():
    path = tree.ROOT / "examples" / "first-yard" / "weather.csv"
    return read_weather(path, latitude=YARD.place.latitude, today=YARD.today)


def answer(weather, old, new):
    assert old in TEXT
    return rounds_answer(
        YARD, weather, plan_from_text(TEXT.replace(old, new, 1), YARD.today), way=Way(draws=20)
    )


def test_a_dear_feed_turns_the_answer_to_doing_nothing(weather):
    dear = answer(weather, "price = 1.45", "price = 40")
    assert dear.plans[dear.best_at].plan.kind == "nothing"
    assert words.decision(dear).startswith("Do nothing")
    assert len(dear.plans) > 1, "a plan of feeding stands beside it"
    assert "get there by that day" not in "\n".join(line for _, line in rounds_lines(dear)), "some do"


def test_a_goal_out_of_reach_is_said_to_be_so_and_not_that_feed_is_worth_nothing(weather):
    far = answer(weather, "grade = 8 ", "grade = 19 ")
    assert far.plans[far.best_at].plan.kind == "nothing"
    assert max(one.chance for one in far.plans) < 0.05
    said = "\n".join(line for _, line in rounds_lines(far))
    assert "Fed or not, fewer than 5 in 100 get there by that day" in said
