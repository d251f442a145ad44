"""How many to leave unfed: from a file, or from yards and their plan; in words and as a document."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from breadline.belief.survival_learnt import NOT_APART, SCORES, SurvivalLearnt
from breadline.errors import BreadlineError, RecordError, TrialError
from breadline.jobs.check_group_asked import asked_from_text, from_plan, read_asked
from breadline.jobs.check_group_book import asked_of_book
from breadline.jobs.check_group_offer import offer
from breadline.jobs.check_group_size import noise_of, size_answer
from breadline.jobs.check_group_size_document import size_document
from breadline.jobs.check_group_size_rests import rests_on
from breadline.jobs.check_group_size_told import (
    beside_words,
    break_even_words,
    proposal_words,
    size_lines,
    table_words,
)
from breadline.jobs.counts_known import Counts
from breadline.jobs.rounds_file import read_plan
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.edits import Edit
from breadline.knowledge.shelf import load
from breadline.need.yard import Inspection
from breadline.trial.design import Outcome
from breadline.trial.planner import colony_row, fewest_sets
from breadline.trial.value_path import MakingGrade
from seasons.scenario import scenarios

EXAMPLES = Path(__file__).parents[2] / "examples"
SIZE = EXAMPLES / "first-check-group" / "size.toml"
TEXT = SIZE.read_text("utf-8")
EACH = (4.0, 7.5, 6.5, 9.0, 2.5, 8.0, 7.0, 6.0, 5.5, 8.5, 7.0, 6.5)  # frames of bees, hive by hive
FORBIDDEN = ("treatment", "significant", "control", "no effect", "dose")


@pytest.fixture(scope="module")
def asked():
    return read_asked(SIZE)


@pytest.fixture(scope="module")
def answer(asked):
    return size_answer(asked, sizes=(12, 24, 40))


def said(answer) -> str:
    return "\n".join(text for _, text in size_lines(answer))


def test_the_first_sentence_is_the_number_what_it_costs_and_what_it_is_worth(answer):
    best = answer.proposal.proposed.row.check
    first = next(size_lines(answer))[1]
    assert first == proposal_words(answer)
    assert first.startswith(f"Leave {best} of 400 unfed, ")
    assert "in each of four yards; it costs about US$" in first
    assert "the answer is worth about US$" in first
    assert "next 3 seasons" in first
    assert "counts on a grading before the draw, of all 400 colonies in these yards" in said(answer)
    assert "400 before the draw and" in said(answer)


@pytest.mark.parametrize("end", [0, 1])
def test_the_band_is_what_a_size_tells_if_colonies_differ_as_little_or_as_much(asked, answer, end):
    """The same draw as planned with that spread as one's own figure; baselines are drawn anew, hence 4 %."""
    other = Edit(*[answer.spread.log_sd_ends[end]] * 3, "ours", date(2026, 9, 1))
    noise, _ = noise_of(asked, load({"colony.log_sd": other}).reader())
    yards, rng = [n for _, n in asked.yards], np.random.default_rng(3)
    for one, band in zip(answer.proposal.sizes, answer.told_if, strict=True):
        row = colony_row(one.row.check, one.row.fed_each, yards, noise, answer.questions, rng)
        assert row.from_zero == pytest.approx(band[end], rel=0.04)
        assert band[0] < one.row.from_zero < band[1]
    low, high = answer.told_if[answer.proposal.best]
    assert f"a benefit of {low:.1f} frames is told from nothing" in said(answer)
    assert f"if by 0.48, only {high:.1f} frames" in said(answer)


def test_without_a_grading_before_the_draw_none_is_paid_for(asked, answer):
    bare = size_answer(replace(asked, baseline=False), sizes=(24,))
    with_it = next(one for one in answer.proposal.sizes if one.row.check == 24)
    assert bare.proposal.proposed.cost.grading < with_it.cost.grading
    assert bare.proposal.proposed.row.from_zero > with_it.row.from_zero
    assert "that stand beside it" in said(bare)
    assert "No grading before the draw is counted on." in said(bare)
    counted = size_answer(replace(asked, counted=True), sizes=(24,))
    assert counted.proposal.proposed.row.from_zero == pytest.approx(with_it.row.from_zero, rel=0.02)
    assert "nobody has to grade before the draw" in said(counted)


@pytest.mark.parametrize(("oldest", "pays"), [(date(2026, 8, 10), False), (date(2026, 8, 9), True)])
def test_counts_in_the_book_spare_a_grading_until_they_are_too_old_and_their_age_is_said(asked, oldest, pays):
    """28 days before 7 September is 10 August."""
    counts = Counts(400, (oldest, *[date(2026, 9, 1)] * 399), date(2026, 9, 7), 1.0)
    found = size_answer(replace(asked, counts=counts), sizes=(24,))
    assert found.stakes.before is pays
    assert f"of {oldest.day} August 2026 to 1 September 2026, 6 to {28 + pays} days old" in said(found)
    assert ("Grade each hive again before the draw." in said(found)) is pays
    assert ("nobody has to grade before the draw" in said(found)) is not pays
    assert any(one.key == "check_group.counts_last" for one in found.figures)


def test_a_size_that_most_often_cannot_tell_says_so_beside_it(asked, answer):
    small = size_answer(replace(asked, gain=(0.9, 1.3, 1.9)), sizes=(8,))
    assert "By itself it most often ends in “can't tell”" in said(small)
    assert "most often ends" not in said(size_answer(asked, sizes=(100,)))


def test_every_size_has_its_chances_and_what_was_used_is_told(answer):
    text = said(answer)
    assert "if 0  if b  if 2b" in text
    assert "from the shelf (0.23 to 0.48" in text
    assert "in the same situation only" in text
    assert max(len(row) for row in table_words(answer)[:-1]) <= 80, "a row fits a narrow terminal"
    assert "costs, worth: in US$" in text
    assert not [word for word in FORBIDDEN if word in text.lower()]


def test_a_size_that_is_worth_less_than_it_costs_is_not_proposed(asked):
    sure = size_answer(replace(asked, gain=(1.9, 2.0, 2.1), feeds=True), sizes=(24,))
    assert proposal_words(sure).startswith("No result that a check group could bring is likely to change")
    assert "you would feed all the same" in proposal_words(sure)
    few = size_answer(replace(asked, ahead=8, seasons=1), sizes=(40,))
    assert proposal_words(few).startswith("No check group is worth what it costs here")


def test_half_rate_halves_the_difference_and_says_what_it_answers(asked, answer):
    half = size_answer(asked_from_text(TEXT.replace('"no protein"', '"half rate"')), sizes=(12, 24, 40))
    assert half.questions.lines.break_even == pytest.approx(answer.questions.lines.break_even / 2)
    assert half.questions.believed == pytest.approx(answer.questions.believed / 2)
    assert "never whether feeding pays" in said(half)
    assert "4 times the colonies" in said(half)
    assert "at half the rate" in proposal_words(half)


@pytest.mark.parametrize(
    ("gets", "says"),
    [
        ("half rate", "at half the rate"),
        ("usual practice", "on usual practice"),
        ("sugar patty", "sugar alone"),
    ],
)
def test_where_the_check_group_gets_something_nobody_is_called_unfed(gets, says):
    text = TEXT.replace('"no protein"', f'"{gets}"')
    if gets == "sugar patty":
        text = text.replace("[pays]", "sugar_cost = 4\n[pays]")
    found = size_answer(asked_from_text(text), sizes=(12, 24))
    assert says in proposal_words(found)
    assert table_words(found)[0].split()[0] == "check"
    told = "\n".join((proposal_words(found), *beside_words(found), *table_words(found)))
    assert "unfed" not in told
    more = "a colony more than usual practice pays from"
    assert (more in break_even_words(found)) is ("what feeding costs more than usual practice" in told)
    assert (more in break_even_words(found)) is (gets == "usual practice")


def test_the_table_says_how_many_colonies_half_the_rate_asks_for(answer):
    """About four times; fewer where a smaller difference is also seen more sharply, as here."""
    rows = [one.row for one in answer.proposal.sizes]
    assert all(
        2.0 * row.check < many <= 4.0 * row.check for row, many in zip(rows, answer.as_sharp, strict=True)
    )
    head = next(text for text in said(answer).splitlines() if "from 0" in text)
    assert head.split()[-1] == "half"
    assert "half: colonies at half the rate" in said(answer)
    other = size_answer(asked_from_text(TEXT.replace('"no protein"', '"half rate"')), sizes=(40,))
    assert other.as_sharp[0] < 40
    assert "none: colonies without feed" in said(other)


@pytest.mark.parametrize("gets", ["usual practice", "sugar patty"])
def test_where_the_check_group_gets_no_part_of_the_feed_half_of_it_means_nothing(gets):
    text = TEXT.replace('"no protein"', f'"{gets}"')
    text = text.replace("cost = 16 ", "cost = 16\nsugar_cost = 1\n") if "sugar" in gets else text
    other = size_answer(asked_from_text(text), sizes=(40,))
    head = next(line for line in said(other).splitlines() if "from 0" in line)
    assert head.split()[-1] == "worth"
    assert "half" not in said(other)
    assert size_document(other)["sizes"][0]["as_sharp_at_other_rate"] is None


def test_a_patty_of_sugar_as_check_judges_the_protein_by_what_it_costs_more(answer):
    text = TEXT.replace('"no protein"', '"sugar patty"')
    with pytest.raises(TrialError, match="what one costs a colony is not said"):
        size_answer(asked_from_text(text))
    sugar = size_answer(asked_from_text("sugar_cost = 4\n" + text), sizes=(12, 24))
    assert sugar.stakes.cost == answer.stakes.cost - 4
    assert sugar.questions.lines.break_even == pytest.approx((16 - 4) / 12)  # by hand
    assert " sugar alone, " in proposal_words(sugar)
    assert "The protein feed at US$12 a colony more than sugar alone pays from 1.0 frames" in said(sugar)
    assert "of protein without its sugar nothing else is known" in said(sugar)


def test_feed_in_the_open_draws_yards_and_four_yards_are_too_few(asked):
    with pytest.raises(TrialError, match="6 ways") as refused:
        size_answer(asked_from_text("feed_in_open = true\n" + TEXT))
    assert "3 unfed and 3 fed" in refused.value.do
    many = "".join(f'[[yard]]\nname = "Y{k}"\ncolonies = 30\n' for k in range(8))
    answer = size_answer(asked_from_text("feed_in_open = true\n" + TEXT + many))
    assert "yards unfed" in proposal_words(answer)
    assert "40 in 100 of the variance lies between yards" in said(answer)
    assert [n for n, _ in answer.proposal.refused] == [1]


def test_what_feeding_does_to_losses_is_in_the_belief_where_frames_are_paid(asked, answer):
    """By hand: of 100 unfed 5 die, of fed ones those of the log odds of a severe dearth, 7 frames each."""
    dearth = asked_from_text(TEXT.replace('"poor_spring"', '"dearth"'))
    bees, odds = (load()[key].span for key in ("belief.dearth_gain", "belief.survival_dearth_gain"))

    def a_colony_started(end):
        unfed = 0.95 / 0.05 * np.exp(getattr(odds, end))
        return 7.0 * np.exp(getattr(bees, end)) * unfed / (1.0 + unfed) - 7.0 * 0.95

    found = size_answer(dearth, sizes=(24,))
    assert found.stakes.belief.mean == pytest.approx(a_colony_started("typical"))
    assert found.stakes.belief.sd == pytest.approx(
        (a_colony_started("high") - a_colony_started("low")) / 3.29, rel=1e-3
    )
    assert "losses laid on it" in found.believed_by
    typed = asked_from_text(TEXT.replace('situation = "poor_spring"', "gain_pct = [-10, 20, 60]"))
    assert size_answer(typed, sizes=(24,)).stakes.belief.mean == pytest.approx(7.0 * 0.95 * 0.2)
    none_die = asked_from_text(TEXT.replace("deaths_pct = 5", "deaths_pct = 0"))
    gain = np.exp(load()["belief.poor_spring_gain"].span.typical)
    assert size_answer(none_die, sizes=(24,)).stakes.belief.mean == pytest.approx(7.0 * (gain - 1.0))


def test_what_own_deaths_taught_is_laid_on_in_place_of_the_shelf(asked):
    """By hand, as above, with log odds of 1 learnt; on a result whose dead stand in it as 0 nothing is."""
    learnt = SurvivalLearnt(tuple(np.ones(SCORES.size)), "")
    by_own = size_answer(replace(asked, survival=learnt), sizes=(24,)).stakes.belief
    gain = np.exp(load()["belief.poor_spring_gain"].span.typical)
    odds = 0.95 / 0.05 * np.exp(1.0)
    assert by_own.mean == pytest.approx(7.0 * gain * odds / (1.0 + odds) - 7.0 * 0.95)
    apart = size_answer(replace(asked, survival=NOT_APART), sizes=(24,))
    assert apart.stakes.belief.mean == pytest.approx(7.0 * 0.95 * (gain - 1.0))
    assert "losses laid on it" not in apart.believed_by
    assert "what feeding did to losses is in your own results, their dead as 0" in apart.believed_by


def test_own_grading_is_used_and_named():
    rows = "".join(
        f'[[graded]]\nyard = "{"Home" if k % 2 else "Creek"}"\nbefore = {6 + k % 3}\nafter = {5 + k % 5}\n'
        for k in range(16)
    )
    answer = size_answer(asked_from_text(TEXT + rows), sizes=(24,))
    assert "from the 16 colonies you graded" in said(answer)
    assert "from the 16 colonies you graded twice" in said(answer)


def test_honey_is_told_in_both_units_and_goes_by_the_belief_about_honey():
    text = TEXT.replace("frame = 12", "lb = 2").replace("frames = 7", "lb = 60")
    answer = size_answer(asked_from_text(text), sizes=(24,))
    assert answer.asked.outcome is Outcome.HONEY
    assert answer.questions.lines.break_even == pytest.approx(16 / 2 * 0.45359237)  # 8 lb, by hand
    assert "3.6 kg (8.0 lb)" in said(answer)
    assert "From 0 and from b are in kilograms." in table_words(answer)[-1]
    assert "kilograms" not in table_words(size_answer(asked_from_text(TEXT), sizes=(24,)))[-1]
    assert "belief.honey_starved_gain" in {f.key for f in answer.figures}


def test_a_contract_by_the_line_goes_through_the_share_that_makes_it():
    yard = read_yard(EXAMPLES / "first-rounds" / "yard.toml")
    plan = read_plan(EXAMPLES / "first-rounds" / "rounds.toml", yard.today)
    asked = replace(from_plan([yard], plan, 15.0), situation="poor_spring")
    answer = size_answer(asked, sizes=(6, 10))
    assert isinstance(answer.stakes.path, MakingGrade)
    assert answer.stakes.path.money(answer.questions.lines.break_even) == pytest.approx(15.0)
    assert "of 40 unfed" in proposal_words(answer)
    gain = np.exp(load()["belief.poor_spring_gain"].span.typical)
    assert answer.stakes.belief.mean == pytest.approx(answer.unfed.mean * (gain - 1.0))
    assert "what feeding does to losses is not in it" in said(answer)
    inside = size_answer(replace(asked, survival=NOT_APART), sizes=(6,))
    assert "is not in it" not in inside.believed_by, "own results that hold their dead as 0 have it"
    assert inside.stakes.belief.mean == pytest.approx(answer.stakes.belief.mean)
    assert "from the shelf" in said(answer)  # six hives were graded: too few to go by
    looked_in = replace(yard, inspections=(*yard.inspections, Inspection(yard.today, frames_each=EACH)))
    own = size_answer(replace(from_plan([looked_in], plan, 15.0), situation="poor_spring"), sizes=(6,))
    assert "from the 12 colonies you graded" in said(own)
    with pytest.raises(TrialError, match="cannot pay"):
        size_answer(replace(asked, cost=400.0))


def test_the_document_holds_what_the_words_say(answer):
    told = json.loads(json.dumps(size_document(answer)))
    assert told["shape"] == "breadline.check_group_size/1"
    best = told["sizes"][told["proposed"]]
    assert f"Leave {best['unfed']} of 400" in told["sentence"]
    assert best["net"] == max(one["net"] for one in told["sizes"])
    assert best["paid"]["at_break_even"] == pytest.approx(0.05, abs=0.02)
    assert sum(best["classes_at_believed"].values()) == pytest.approx(1, abs=1e-3)
    assert told["rests_on"] == rests_on(answer)


@pytest.mark.parametrize(
    ("was", "becomes", "names"),
    [
        ("cost = 16", "", "cost"),
        ("cost = 16", 'cost = "sixteen"', "cost"),
        ("[pays]\nframe = 12", "[pays]", "pays"),
        ("frame = 12", "frame = 12\nkg = 3", "pays"),
        ("frame = 12", "frame = 0", "not a price"),
        ("frames = 7", "", "unfed colonies"),
        ("frames = 7", "frames = 7000", "frames"),
        ("deaths_pct = 5", "deaths_pct = 100", "deaths"),
        ("missing_pct = 5", "missing_pct = 100", "missing"),
        ('"no protein"', '"none"', "check_group"),
        ('"poor_spring"', '"wet"', "situation"),
        ('name = "Creek"', 'name = "Home"', "stands there twice"),
        ("colonies = 100", "colonies = 1", "unfed"),
        ('money = "US$"', 'money = ""', "money"),
        ("year = 2026", "", "year"),
        ("minutes = 2 ", "minuts = 2 ", "minuts"),
    ],
)
def test_what_cannot_be_is_refused_and_named(was, becomes, names):
    assert was in TEXT
    with pytest.raises(BreadlineError) as refused:
        size_answer(asked_from_text(TEXT.replace(was, becomes)), sizes=(2, 24))
    assert names in str(refused.value)
    assert refused.value.exit_code == 2


def meant(*rows) -> str:
    return "".join(f'[[meant]]\nyard = "{y}"\nfeed = "{f}"\ncolonies = 40\n' for y, f in rows)


@pytest.mark.parametrize(
    ("rows", "yards"),
    [
        ([("Home", "A"), ("Creek", "B")], True),
        ([("Home", "A"), ("Creek", "")], True),
        ([("Home", "A"), ("Home", ""), ("Creek", "A"), ("Creek", "")], False),
        ([("Home", "A"), ("Creek", "A")], False),
    ],
)
def test_one_feed_a_yard_compares_yards(rows, yards):
    asked = asked_from_text(TEXT + meant(*rows))
    assert (offer(asked, None, load().reader()).answer == "compares yards") == yards


def test_a_larger_difference_takes_fewer_sets():
    noise, mean = noise_of(read_asked(SIZE), load().reader())
    sets = [fewest_sets(gain * mean, noise, np.random.default_rng(1)) for gain in (0.2, 0.5)]
    assert sets[0] > 40 > sets[1] > 6
    with pytest.raises(TrialError):
        fewest_sets(0.0, noise, np.random.default_rng(1))


@pytest.mark.parametrize("text", ["", "money = ", "yard = 3"])
def test_a_file_that_is_none_is_refused(text, tmp_path):
    path = tmp_path / "size.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(BreadlineError):
        read_asked(path)
    with pytest.raises(TrialError, match="can't be read"):
        read_asked(tmp_path / "none.toml")


def test_a_book_without_a_plan_says_so(tmp_path):
    with pytest.raises(RecordError, match="no such book"):
        asked_of_book(tmp_path / "none.sqlite", (), read_yard(EXAMPLES / "first-rounds" / "yard.toml").today)


def test_where_no_size_tells_what_is_believed_the_one_that_comes_nearest_is_named():
    """Of 180 with many dead: three unfed would cost least, and could hardly tell anything."""
    large = next(one for one in scenarios() if one.name.startswith("04")).check_group
    few = asked_from_text(large.replace("colonies = 800", "colonies = 60"))
    found = size_answer(few, sizes=(3, 12, 24))
    told = [one.row.from_zero for one in found.proposal.sizes]
    assert min(told) > found.questions.believed
    assert found.proposal.proposed.row.from_zero == min(told)
    assert "none tells what is believed; the marked one comes nearest" in said(found)
