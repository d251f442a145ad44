"""Several yards on one truck, and plans that cannot be asked. All of it is invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from breadline.errors import PlanError
from breadline.jobs import rounds_paper
from breadline.jobs.rounds import Way, rounds_answer, rounds_from_files
from breadline.jobs.rounds_aim import chance_cell, chance_more, chance_words
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.rounds_needs import order_words
from breadline.jobs.rounds_paper import Printing, papers
from breadline.jobs.rounds_told import _once, all_lines
from breadline.jobs.rounds_words import best_words, plan_line
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.jobs.yard_file import read_yard
from breadline.plan.money import about
from breadline.plan.money import told as money_told
from breadline.weather.read import read_weather
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
WEATHER = tree.ROOT / "examples" / "first-yard" / "weather.csv"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")
TODAY = Printing(YARD.today)
FEW = Way(draws=10)


@pytest.fixture(scope="module")
def weather():
    return read_weather(WEATHER, latitude=YARD.place.latitude, today=YARD.today)


@pytest.fixture(scope="module")
def told():
    return rounds_from_files(FOLDER / "yard.toml", WEATHER, way=FEW)


def test_two_yards_go_on_one_truck(told):
    other = replace(told, yard=replace(told.yard, name="Other"))
    at = told.plans[told.best_at]
    loads = papers([yard_paper(told, at), yard_paper(other, at)], TODAY).loads
    assert [len(load.visits) for load in loads] == [2] * at.plan.rounds


def test_a_truck_sheet_says_what_changed_at_its_own_yards_alone(told):
    at = told.plans[told.best_at]
    first = yard_paper(told, at)
    visits = tuple(replace(visit, yard="Other", on=visit.on + timedelta(days=1)) for visit in first.visits)
    changed = ((first.yard, "The counts changed."), ("Other", "The weather file changed."))
    of = papers([first, replace(first, yard="Other", visits=visits)], replace(TODAY, changed=changed))
    notes = {(load.visits[0].yard, load.note) for load in of.loads}
    assert notes == set(changed)
    assert of.note == f"{first.yard}: the counts changed. Other: the weather file changed."


def test_one_feed_at_two_prices_is_ordered_at_the_first_yard_s_and_says_so(told):
    at = told.plans[told.best_at]
    first = replace(yard_paper(told, at), syrup=None)
    dear = replace(first.feed, price=replace(first.feed.price, amount=2 * first.feed.price.amount))
    of = papers([first, replace(first, yard="Other", feed=dear)], TODAY)
    alone = papers([first], TODAY)
    assert of.order.items[0].each == alone.order.items[0].each
    assert "different prices of Protein patty: the first yard's stands here" in of.note
    assert alone.note == ""


def test_the_boxes_of_a_yard_without_graded_hives_have_labels_beside_the_hives_of_another(told, monkeypatch):
    at = told.plans[told.best_at]
    graded = yard_paper(told, at)
    visits = tuple(replace(visit, yard="Other") for visit in graded.visits)
    two = papers([graded, replace(graded, yard="Other", visits=visits, hives=())], TODAY)
    printed = []
    monkeypatch.setattr(rounds_paper, "labels_printed", lambda labels, *_: printed.extend(labels) or b"")
    rounds_paper.label_file(two, two.loads[0].round)
    heads = [one.head for one in printed]
    assert "Other" in heads
    assert {tag for tag, _ in graded.hives} & set(heads)


@pytest.mark.parametrize(
    ("new", "says"),
    [("[rounds]\nstart = 2026-03-25", "not before the day it is for"),
     ("\n".join(f'[[hive]]\ntag = "{n}"\nframes = 5' for n in range(41)) + "\n[rounds]", "41 of the 40")],
)  # fmt: skip
def test_a_start_too_late_and_more_graded_hives_than_there_are_are_refused(weather, new, says):
    plan = plan_from_text(
        TEXT[: TEXT.index("# hives that were graded")].replace("[rounds]", new, 1), YARD.today
    )
    with pytest.raises(PlanError, match=says):
        rounds_answer(YARD, weather, plan, way=FEW)


@pytest.mark.parametrize(
    ("fed", "unfed", "says"),
    [(0.226, 0.224, "0 more in the same seasons"), (0.43, 0.26, "17 more in the same seasons"),
     (0.40, 0.30, ""), (0.19, 0.23, "4 fewer in the same seasons")],
)  # fmt: skip
def test_steps_of_five_do_not_make_a_difference_that_is_none(told, fed, unfed, says):
    at = replace(told.plans[1], chance=fed)
    found = replace(told.answer.found, nothing=replace(told.answer.found.nothing, chance=unfed))
    of = replace(told, answer=replace(told.answer, found=found))
    assert chance_more(of, at) == says
    for line in (chance_words(of, at), chance_cell(of, at)):  # of list, terminal and several yards together
        assert line.endswith(f" ({says})") if says else "same seasons" not in line


def test_of_several_yards_what_to_do_comes_first_and_what_holds_of_all_once(told):
    idle = replace(told.answer.found, best=told.answer.found.nothing)
    second = replace(told, yard=replace(told.yard, name="Elder Slough"))
    third = replace(second, yard=replace(told.yard, name="Yarrow"), answer=replace(told.answer, found=idle))
    lines = [text for _, text in all_lines([third, told, second])]
    assert lines[0] == "2 of 3 yards are worth feeding; each is told below."
    assert [line.split(",")[0] for line in lines[1:4]] == [" - Copper Ford", " - Elder Slough", " - Yarrow"]
    at = told.plans[told.best_at]
    assert plan_line(told, at) in lines[1]
    assert "Yarrow, 40 colonies: Do nothing" in lines[3]
    both = papers([yard_paper(told, at), yard_paper(second, at)], TODAY).order
    assert lines[4].startswith("To order for all of them, spare included: ")
    assert money_told(both.cost, "US$") in lines[4]
    money = (
        about(2 * told.yard.colonies * at.gain, "US$"),
        about(2 * told.yard.colonies * at.cost.total, "US$"),
    )
    assert lines[5] == "All of them together: expected {} over doing nothing, after {} of cost.".format(
        *money
    )
    once = told.allowed.said[0]
    assert sum(once in line for line in lines) == 1
    assert lines.index("Of all yards") > max(n for n, line in enumerate(lines) if line.startswith("Yarrow"))
    alone = [text for _, text in all_lines([told])]
    assert sum(once in line for line in alone) == 1
    assert alone[0].startswith("Copper Ford: 40 colonies")


def _many(told):
    """Six yards: four that feed, one that does nothing, one whose own facts speak against a round."""
    names = ("Alder", "Birch", "Cedar", "Dogwood")
    fed = [replace(told, yard=replace(told.yard, name=name)) for name in names]
    idle = replace(told.answer.found, best=told.answer.found.nothing)
    none = replace(fed[0], yard=replace(told.yard, name="Elm"), answer=replace(told.answer, found=idle))
    no_need = replace(told.season, state="stop", sentence="Pollen is coming in.")
    stopped = replace(fed[0], yard=replace(told.yard, name="Fern"), season=no_need)
    return [*fed, none, stopped]


def test_many_yards_are_a_few_lines_each_and_say_how_one_is_had_whole(told):
    answers = _many(told)
    lines = [text for _, text in all_lines(answers)]
    assert lines[0] == "4 of 6 yards are worth feeding; each is told below."
    blocks = "\n".join(lines).split("\n\n")
    at = told.plans[told.best_at]
    alder = next(block for block in blocks if block.startswith("Alder, 40 colonies")).splitlines()
    assert len(alder) <= 4
    assert alder[0] == f"Alder, 40 colonies: {best_words(answers[0])}"
    assert alder[1].startswith(f" - US${at.gain:.0f} a colony more than doing nothing (8 seasons in 10: ")
    assert alder[1].endswith(f"costs {money_told(at.cost.total, 'US$')} a colony.")
    assert order_words(told, at) in alder[2]
    assert "Fern, 40 colonies: No round now. Pollen is coming in." in blocks
    heads = [block.split(",")[0] for block in blocks[1:7]]
    assert heads[:4] == ["Alder", "Birch", "Cedar", "Dogwood"]
    assert set(heads[4:]) == {"Elm", "Fern"}
    assert 'What one yard rests on: ask again with --yard "Alder".' in lines
    assert "Plans worth a look" not in lines
    assert len(lines) < 6 * 6 + len(list(_once(told))) + 8


def test_what_holds_of_most_yards_is_not_said_of_all(told):
    other = replace(told.allowed, said=("To be gone within 6 days: beetles are there.",))
    answers = [*_many(told)[:4], replace(told, yard=replace(told.yard, name="Gum"), allowed=other)]
    lines = [text for _, text in all_lines(answers)]
    most = lines.index("Of most of the yards, not of all")
    limit = f" - {told.allowed.said[0]}"
    assert limit in lines[most:]
    assert limit not in lines[lines.index("Of all yards") : most]
    assert "Of most of the yards, not of all" not in [text for _, text in all_lines(_many(told)[:4])]
