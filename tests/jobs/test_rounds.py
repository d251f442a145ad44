"""Rounds from files: the answer for the invented example, what it says first, and its paper."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from math import ceil

import pytest

from breadline.errors import FigureError, PlanError, YardError
from breadline.jobs import rounds_words as words
from breadline.jobs.rounds import Way, day_of, rounds_answer, rounds_from_files
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.rounds_full import plan_lines
from breadline.jobs.rounds_needs import needs_words
from breadline.jobs.rounds_paper import Printing, files_of, label_file, makers_of, papers
from breadline.jobs.rounds_stop import Left, entrance, stop_answer
from breadline.jobs.rounds_told import rounds_document, rounds_lines
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.jobs.yard_file import read_yard
from breadline.need.yard import Bloom
from breadline.plan.classes import MEMBERS
from breadline.plan.cuts import QUARTERS
from breadline.plan.stop import Signs
from breadline.sheets.labels import box_labels
from breadline.sheets.truck_sheet import truck_sheet_data
from breadline.weather.read import read_weather
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
WEATHER = tree.ROOT / "examples" / "first-yard" / "weather.csv"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")
FEW = Way(draws=40)
POUND = 453.59237
TODAY = Printing(YARD.today)


@pytest.fixture(scope="module")
def weather():
    return read_weather(WEATHER, latitude=YARD.place.latitude, today=YARD.today)


@pytest.fixture(scope="module")
def told():
    return rounds_from_files(FOLDER / "yard.toml", WEATHER, way=FEW)


def asked(old: str, new: str):
    assert old in TEXT
    return plan_from_text(TEXT.replace(old, new, 1), YARD.today)


def test_break_even_stands_before_any_chance_and_doing_nothing_first(told):
    lines = [line for _, line in rounds_lines(told)]
    said = "\n".join(lines)
    assert said.index("pays if") < said.index("in 100")
    plans = [line for line in lines if re.match(r" \d+\. ", line)]
    assert plans[0].startswith(" 0. Do nothing")
    assert told.plans[0].plan.kind == "nothing"
    assert told.plans[1].plan.kind == "last_year"


def test_the_break_even_is_the_plans_cost_over_the_fee(told):
    best = told.plans[told.best_at]
    points = ceil(100 * best.cost.total / 190.0 - 1e-9)
    assert f"pays if {points} more in a hundred colonies make grade" in told.answer.break_even


def test_an_answer_keeps_no_season_beyond_those_that_words_and_sheets_need(told):
    found, of = told.answer.found, told.answer.question.ensemble
    assert (found.last.money.size, found.fresh.money.size) == (0, 0)
    assert found.best.plan in found.last.plans
    assert of.members == of.few(MEMBERS).size <= MEMBERS


def test_every_plan_on_the_list_is_worth_a_look(told):
    fed = [one for one in told.plans if one.plan.kind == "search"]
    assert all(not one.struck for one in fed)
    for one in fed:
        assert not any(o.money > one.money and o.chance > one.chance + 0.02 for o in fed)


def test_the_same_seed_gives_the_same_answer_in_parts_or_whole(told):
    again = rounds_from_files(FOLDER / "yard.toml", WEATHER, way=replace(FEW, parts=3))
    assert rounds_document([again]) == rounds_document([told])
    assert rounds_from_files(FOLDER / "yard.toml", WEATHER, way=replace(FEW, seed=5)) is not None


def test_a_start_before_hives_can_be_opened_is_refused(weather):
    cold = replace(weather, table=replace(weather.table, tmax_c=weather.table.tmax_c - 25.0,
                                          tmin_c=weather.table.tmin_c - 25.0))  # fmt: skip
    with pytest.raises(PlanError, match="hives cannot be opened"):
        rounds_answer(YARD, cold, asked("[rounds]", "[rounds]\nstart = 2026-01-27"), way=FEW)


def test_a_light_yard_has_plans_where_sugar_goes_on_with_the_rounds(weather):
    light = replace(YARD, health=replace(YARD.health, honey="light"))
    syrup = TEXT[TEXT.index("[syrup]") : TEXT.index("[rounds]")]
    without_stores = "\n".join(line for line in TEXT.splitlines() if not line.startswith("honey_lb"))
    with_sugar = rounds_answer(light, weather, plan_from_text(without_stores, YARD.today), way=FEW)
    none = plan_from_text(without_stores.replace(syrup, ""), YARD.today)
    without = rounds_answer(light, weather, none, way=FEW)
    assert not without.answer.found.best.plan.pieces
    against = {one.struck for one in without.answer.found.struck if "too late" not in one.struck}
    assert against
    assert all("out of stores" in why for why in against)
    assert words.best_words(without).startswith("Sugar first: stores run out on the way, fed or not")
    fair = [one for one in with_sugar.answer.found.finalists if one.plan.kind == "search"]
    assert fair, "those that begin before the stores are spent"
    assert without.answer.found.nothing.starved > 0.5 > with_sugar.answer.found.nothing.starved
    assert any("starve unfed" in text for text in without.notes)
    bare = plan_from_text(without_stores.replace("[rounds]", "[rounds]\nhoney_lb = 2"), YARD.today)
    beside = rounds_answer(light, weather, bare, way=FEW)
    assert any("who is light gets sugar today" in text for text in beside.notes)
    found = replace(beside.answer.found, best=beside.answer.found.nothing)
    idle = replace(beside, answer=replace(beside.answer, found=found))
    assert words.best_words(idle).startswith("Sugar now: stores run out before a later round would bring it")
    hungry = replace(found, nothing=replace(found.nothing, starved=0.6), struck=())
    hungry = replace(idle, answer=replace(idle.answer, found=hungry))
    assert words.best_words(hungry).startswith("Sugar first: unfed, 60 in 100 colonies run out of stores")


def test_an_impossible_appetite_is_refused(weather):
    with pytest.raises(FigureError, match=r"rounds.toml, line \d+, \[rounds\], appetite_mg: .*not possible"):
        rounds_answer(YARD, weather, asked("[rounds]", "[rounds]\nappetite_mg = 400"), way=FEW)


def test_a_plan_over_supers_is_told_not_refused(weather):
    over = rounds_answer(YARD, weather, asked("[rounds]", "[rounds]\nsupers_from = 2026-01-25"), way=FEW)
    assert any("Supers for harvest" in text for text in over.answer.warnings)
    lines = [text for _, text in rounds_lines(over)]
    at = lines.index(words.best_words(over))
    assert lines[at + 1] == words.supers_words(over, over.answer.found.best)
    assert sum(lines[at + 1] in line for line in lines) == 1, "said once, beside the plan"


def test_why_the_list_of_yards_may_say_otherwise_stands_beside_a_plan_too(weather):
    paid = rounds_answer(YARD, weather, asked("fee = 190 ", "fee = 900 "), way=FEW)
    assert paid.answer.found.best.plan.pieces
    assert paid.answer.why[-1].startswith("The list of yards asks whether bread runs short")
    idle = rounds_answer(YARD, weather, asked("fee = 190 ", "fee = 1 "), way=FEW)
    assert not idle.answer.found.best.plan.pieces
    assert idle.answer.why[-1].startswith("The list of yards asks whether bread runs short")


def test_mites_come_before_any_round(weather):
    ill = replace(YARD, health=replace(YARD.health, mites_per_100=6.0))
    told = rounds_answer(ill, weather, plan_from_text(TEXT, YARD.today), way=FEW)
    lines = [line for _, line in rounds_lines(told)]
    first = next(n for n, line in enumerate(lines) if "ites first" in line)
    assert first < next(n for n, line in enumerate(lines) if "pays if" in line)
    assert words.decision(told).startswith("No round now.")


def test_colonies_too_small_for_any_piece_are_told_so(weather):
    small = replace(YARD, count=replace(YARD.count, frames_of_bees=1.0),
                    health=replace(YARD.health, beetles_seen=True))  # fmt: skip
    with pytest.raises(PlanError, match="none for colonies of 1 frame"):
        rounds_answer(small, weather, plan_from_text(TEXT, YARD.today), way=FEW)


def test_own_pieces_larger_than_they_clear_are_not_tried(weather):
    own = rounds_answer(YARD, weather, asked("[rounds]", "[rounds]\npieces = [0.5, 6]"), way=FEW)
    assert own.allowed.pieces == (0.5,)
    assert any("Not tried" in text for text in own.allowed.said)
    with pytest.raises(PlanError, match="more than they clear"):
        rounds_answer(YARD, weather, asked("[rounds]", "[rounds]\npieces = [6]"), way=FEW)


def test_paper_has_every_round_and_what_it_loads_is_what_is_ordered(told):
    at = told.plans[told.best_at]
    of = papers([yard_paper(told, at)], TODAY)
    made = files_of(of, datetime(2026, 1, 20, tzinfo=UTC), "plan")
    assert sum(name.startswith("truck-") for name in made) == at.plan.rounds
    assert made["order-list.pdf"].startswith(b"%PDF")
    assert made["rounds.ics"].startswith(b"BEGIN:VCALENDAR")
    ordered = sum(need.patties for need in of.order.rounds)
    assert ordered == sum(load.patties for load in of.loads)
    assert of.order.items[0].grams == pytest.approx(ordered * POUND)


def test_doing_nothing_has_no_paper(told):
    with pytest.raises(PlanError, match="nothing to print"):
        papers([yard_paper(told, told.plans[0])], TODAY)


def test_one_plan_in_full_names_the_day_of_each_round(told):
    at = told.taken(1)
    said = "\n".join(line for _, line in plan_lines(told, at))
    assert "10 February 2026" in said
    assert "24 February 2026" in said
    with pytest.raises(PlanError, match="no number 99"):
        told.taken(99)


def test_stopping_saves_what_the_rounds_left_would_cost():
    plan = plan_from_text(TEXT, YARD.today)
    signs = Signs(entrance(YARD, 200, 90, None, 2), hives_with_arc=6, hives_looked_in=6)
    found = stop_answer(YARD, signs, Left(2, 1.0, plan))
    a_round = 1.45 + 2 / 60 * 20 + (24 * 0.70 + 50 / 60 * 20) / 40
    assert found.stop.decision == "stop"
    assert found.stop.saving is not None
    assert found.stop.saving.money == pytest.approx(2 * 40 * a_round)


def test_of_several_feeds_the_one_that_is_given_is_named_and_priced():
    plan = plan_from_text(TEXT, YARD.today)
    dear = replace(plan.feeds[0], name="Dear patty", price=replace(plan.feeds[0].price, amount=20.0))
    both = replace(plan, feeds=(*plan.feeds, dear))
    signs = Signs(entrance(YARD, 200, 90, None, 2), hives_with_arc=6, hives_looked_in=6)
    saved = [stop_answer(YARD, signs, Left(2, 1.0, both, feed.name)).stop.saving.money for feed in both.feeds]
    more_a_kg = 20.0 - plan.feeds[0].price.amount
    assert saved[1] - saved[0] == pytest.approx(2 * 40 * more_a_kg * POUND / 1000)
    for name in ("", "Not this one"):
        with pytest.raises(PlanError, match="Dear patty"):
            stop_answer(YARD, signs, Left(2, 1.0, both, name))


def test_a_piece_is_told_in_the_patty_of_the_feed_it_is_cut_from(told):
    first, question = told.plan.feeds[0], told.answer.question
    at = told.taken(1)
    prices = replace(question.prices, feeds=question.prices.feeds * 2)
    answer = replace(told.answer, question=replace(question, prices=prices))
    for grams, each in ((2 * POUND, "½ patty (1 lb)"), (1.37 * POUND, "1 lb (by weight)")):
        other = replace(
            told, answer=answer, plan=replace(told.plan, feeds=(first, replace(first, patty_g=grams)))
        )
        of_it = replace(at, plan=replace(at.plan, feed=1))
        assert each in words.plan_name(other, of_it)
        of_own = int(re.search(r"([\d,]+) patt", needs_words(other, of_it))[1].replace(",", ""))
        listed = papers([yard_paper(other, of_it)], TODAY).order
        needed = sum(visit.patties * visit.patty.mass_g for visit in yard_paper(other, of_it).visits) * 1.05
        assert of_own == listed.patties, "as many as the order list has"
        assert needed / grams <= of_own + 1e-6 < needed / grams + 1, "as it is bought, rounded up"


def test_a_plan_of_last_year_that_is_struck_out_says_so_in_the_list(told):
    at = told.taken(1)
    assert "struck out" not in words.plan_line(told, at)
    assert words.plan_line(told, replace(at, struck="bare of stores")).endswith("struck out, see below.")


def test_any_plan_of_the_list_that_feeds_under_supers_is_told(told):
    """Also where the best is another one, or to do nothing."""
    fed = told.taken(1)
    last = day_of(told, fed.plan.pieces[-1].day)
    found = replace(told.answer.found, best=told.answer.found.nothing)
    on = replace(told, answer=replace(told.answer, found=found),
                 yard=replace(told.yard, forage=replace(told.yard.forage, supers_from=last)))  # fmt: skip
    assert words.supers_words(on, fed).startswith("Supers for harvest are on from")
    assert any("upers for harvest" in text for text in words.cautions(on))
    off = replace(
        on, yard=replace(on.yard, forage=replace(on.yard.forage, supers_from=last + timedelta(days=1)))
    )
    assert not words.supers_words(off, fed)


def test_a_count_that_cannot_be_is_refused():
    with pytest.raises(YardError, match="250 with pollen of 200"):
        entrance(YARD, 200, 250, None, 1)
    with pytest.raises(PlanError, match="no plan"):
        stop_answer(YARD, Signs(pollen="none"), Left(2))


def test_the_season_is_run_again_on_the_count(weather):
    none = stop_answer(YARD, Signs(entrance(YARD, 200, 0, None, 1)), Left(), weather)
    plenty = stop_answer(YARD, Signs(entrance(YARD, 200, 150, None, 1)), Left(), weather)
    assert none.signs.short_if_stopped is not None
    assert plenty.signs.short_if_stopped is not None
    assert plenty.signs.short_if_stopped <= none.signs.short_if_stopped


def test_moving_is_one_more_plan(weather):
    move = '[move]\non = 2026-02-01\nlatitude = 33.9\nregion = "georgia-piedmont"\nload_cost = 1200\n'
    text = f"{TEXT}\n{move}load_colonies = 400\n"
    told = rounds_answer(YARD, weather, plan_from_text(text, YARD.today), way=FEW)
    assert told.plans[-1].plan.kind == "move"
    assert told.plans[-1].cost.travel == pytest.approx(1200 / 40)
    assert any("Move to the bloom of Georgia Piedmont, 1 Feb" in line for _, line in rounds_lines(told))
    of = papers([yard_paper(told, told.plans[-1])], TODAY)
    (calendar,) = makers_of(of, datetime.now(UTC), "move").items()
    assert calendar[0] == "rounds.ics"
    assert b"DTSTART;VALUE=DATE:20260201" in calendar[1]()
    with_fed = papers([yard_paper(told, told.plans[-1]), yard_paper(told, told.answer.found.best)], TODAY)
    assert with_fed.loads
    assert b"Move: Copper Ford" in files_of(with_fed, datetime.now(UTC), "both")["rounds.ics"]
    with pytest.raises(PlanError, match="not ahead of today"):
        plan_from_text(text.replace("2026-02-01", "2026-01-01"), YARD.today)


def southern(path):
    """The example's made-up weather, half a year later."""
    lines = WEATHER.read_text("utf-8").splitlines()
    moved = [
        f"{date.fromisoformat(line[:10]) - timedelta(days=184)}{line[10:]}" if line[:1].isdecimal() else line
        for line in lines
    ]
    path.write_text("\n".join(moved) + "\n", "utf-8")
    return path


def test_a_southern_yard_in_metric_units_is_told_in_grams(tmp_path):
    today, place = date(2026, 7, 20), replace(YARD.place, country="NZ", latitude=-33.9, region=None)
    bloom = (Bloom("willow", (8, 10), (9, 10), 0.5, 0.2), Bloom("clover", (9, 20), (12, 30), 0.9, 0.8))
    south = replace(
        YARD, place=place, today=today, bloom=bloom, count=replace(YARD.count, on=date(2026, 7, 18)),
        health=replace(YARD.health, mites_on=date(2026, 7, 1)),
        forage=replace(YARD.forage, first_reliable_pollen=date(2026, 8, 20)),
    )  # fmt: skip
    text = TEXT.replace("on = 2026-03-25", "on = 2026-09-25").replace("US$", "NZ$")
    text = text.replace("patty_lb = 1\n", "").replace('per = "lb"', 'per = "kg"')
    past = read_weather(southern(tmp_path / "south.csv"), latitude=-33.9, today=today)
    told = rounds_answer(south, past, plan_from_text(text, today), way=FEW)
    said = "\n".join(line for _, line in rounds_lines(told))
    assert " lb" not in said
    assert re.search(r"\(\d+ g\)", said)
    assert "NZ$" in said


def test_two_hives_of_which_the_search_would_feed_none_still_have_their_sheets(told):
    least = min((one for one in told.answer.found.finalists if one.plan.pieces), key=lambda one: one.money)
    spread = replace(told.answer.question.spread, colonies=2)
    answer = replace(told.answer, question=replace(told.answer.question, spread=spread))
    yard, plan = replace(told.yard, colonies=2), replace(told.plan, hives=())
    two = replace(told, yard=yard, plan=plan, answer=answer, who={})
    of = papers([yard_paper(two, least)], TODAY)
    assert [load.visits[0].fed for load in of.loads] == [2] * len(of.loads)
    assert "labels-round-1.pdf" in makers_of(of, datetime.now(UTC), "two")


def test_pieces_that_do_not_come_out_of_a_patty_are_told_loaded_and_ordered_by_weight(told):
    first, whole = told.plan.feeds[0], 1.5 * POUND  # pieces of a pound: one, and half a pound is left
    question = told.answer.question
    prices = replace(question.prices, feeds=(*question.prices.feeds, *question.prices.feeds))
    answer = replace(told.answer, question=replace(question, prices=prices))
    feeds = (first, replace(first, patty_g=whole))
    other = replace(told, answer=answer, plan=replace(told.plan, feeds=feeds))
    at = replace(told.taken(1), plan=replace(told.taken(1).plan, feed=1))
    assert "of 1 lb (by weight)" in words.plan_name(other, at)
    of, as_first = papers([yard_paper(other, at)], TODAY), papers([yard_paper(told, told.taken(1))], TODAY)
    for load, first_load in zip(of.loads, as_first.loads, strict=True):
        grams = sum(visit.patties for visit in first_load.visits) * POUND
        assert grams <= load.for_hives * whole < grams + whole, "whole ones as they are sold"
        sheet = truck_sheet_data(load, of.paper)
        assert sheet["load"][0]["noun"] == "patties of 1½ lb"
        assert "Patties" not in sheet["heads"]
        assert sheet["yards"][0]["patties"] == f"{ceil(grams / POUND - 1e-6)} lb", "never less"
        (how,) = [line["text"] for line in sheet["lines"] if line["head"] == "Cut"]
        assert "a patty of 1½ lb makes" in how
        assert "1 of 1 lb with ½ lb left" in how.replace(" piece", "")
        boxes = box_labels(load, 8)
        assert not [label.gets for label in boxes if "patt" in label.gets]
        assert label_file(of, load.round).startswith(b"%PDF")
    assert of.order.patty_g == (whole,)
    loaded, ordered = sum(load.patties for load in of.loads) * whole, of.order.items[0].grams
    assert ordered % whole == pytest.approx(0.0, abs=0.1) or ordered % whole == pytest.approx(whole, abs=0.1)
    needed = sum(visit.patties for load in as_first.loads for visit in load.visits) * POUND
    assert needed < ordered <= loaded + 0.1, "what a round leaves of a patty goes on the next"


def test_every_feed_is_tried_in_cuts_of_its_own_patty(weather):
    block = '[[feed]]\nname = "Block"\nprice = 1.3\nper = "lb"\npatty_lb = 2\n\n[work]'
    told = rounds_answer(YARD, weather, asked("[work]", block), way=Way(draws=20))
    first, second = told.allowed.of_feeds
    assert max(second.grams) == pytest.approx(max(first.grams)), "as much as the colony clears, of either"
    tried = [one.plan for one in told.answer.found.finalists if one.plan.kind == "search"]
    assert {plan.feed for plan in tried} == {0, 1}
    for plan in tried:
        cuts = {round(piece.grams / ((1, 2)[plan.feed] * POUND), 6) for piece in plan.pieces}
        assert cuts <= set(QUARTERS)
    said = " ".join(line for _, line in rounds_lines(told))
    assert "Block ¼ patty (½ lb) or ½ patty (1 lb)" in said
    assert "by weight" not in said
