"""Other looks beside an answer: which would give another, and none reads as a line it is not. Invented."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from breadline.pictures.colonies_chart import colonies_sentence
from breadline.pictures.colonies_shown import colonies_shown
from breadline.plan.money import Amount
from breadline.trial.classes import LEVEL, AnswerClass, Lines
from breadline.trial.colonies import Became
from breadline.trial.design import Outcome
from breadline.trial.value_path import PerUnit
from breadline.verdict.amounts import FRAMES, span
from breadline.verdict.sensitivity import Look
from breadline.verdict.words import spoken
from breadline.verdict.words_asked import clause, clause_of
from breadline.verdict.words_difference import needed_said
from breadline.verdict.worth import Worth
from tests.verdict.finished_trials import became, judged, trial, whole_yards

ANOTHER = "This look would give another answer: "


def by_line(one, break_even, margin=0.5):
    return replace(one, design=replace(one.design, lines=Lines(break_even, margin)))


def test_a_model_of_all_colonies_that_would_answer_otherwise_than_whole_yards_says_so():
    one = by_line(whole_yards(gain=2.0, yards=6), 0.5)
    found = judged(one)
    (look,) = found.beside
    assert look.look is Look.YARDS_MODEL
    assert found.given is AnswerClass.TOO_FEW  # three and three yards fall in 20 ways, 1 in 20 at least
    (line,) = [
        text for text in spoken(found, one.design, None).sure if text.startswith("All colonies in one")
    ]
    assert look.given is not found.given
    assert line.endswith(f"{ANOTHER}{clause(look.given, one.design)}.")


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("break_even", [0.1, 0.75, 1.4])
def test_another_answer_is_said_of_just_those_looks_whose_class_is_another(seed, break_even):
    one = by_line(became(trial(seed=seed), ["T0", "T2", "T5"], Became.DEAD), break_even)
    found = judged(one)
    looks = [line for line in spoken(found, one.design, None).sure if ": " in line]
    for look in found.beside:
        said = {
            Look.SURVIVORS: "Survivors only", Look.NO_BASELINE: "Without the strength",
            Look.LEAST_YARD: f"Without {look.of}, which carries",
            Look.MOST_YARD: f"Without {look.of}, which pulls",
        }[look.look]  # fmt: skip
        (line,) = [text for text in looks if text.startswith(said)]
        other = clause(look.given, one.design)
        assert line.endswith(f"{ANOTHER}{other}.") == (other != clause_of(found, one.design))


@pytest.mark.parametrize("beside", ["survivors", "baseline", "elsewhere", "bounds"])
@pytest.mark.parametrize("off", [-0.004, 0.004, -0.02])
def test_no_end_of_another_look_reads_as_the_line_that_it_is_not(beside, off):
    one = became(trial(yards=6, a_yard=20, gain=1.5), ["T0", "T3"], Became.DEAD)
    one = became(one, ["T7"], Became.SOLD)

    def ends_of(found):
        return {
            "survivors": lambda: found.beside[0].contrast, "baseline": lambda: found.beside[1].contrast,
            "elsewhere": lambda: found.elsewhere.contrast, "bounds": lambda: found.bounds,
        }[beside]().interval(LEVEL)  # fmt: skip

    line = ends_of(judged(one))[0] + off
    one = by_line(one, line)
    found = judged(one)
    assert ends_of(found)[0] == pytest.approx(line - off)
    said = spoken(found, one.design, None)
    needs = needed_said(found, one.design, FRAMES).split()[0]
    assert f"needs about {needs}" in said.range_said
    head = {
        "survivors": "Survivors only", "baseline": "Without the strength", "elsewhere": "In another yard",
        "bounds": "Whatever became",
    }[beside]  # fmt: skip
    (text,) = [one for one in said.sure if one.startswith(head)]
    low = re.findall(r"from (.*?) to ", text)[-1]
    assert low != needs
    assert low.endswith(needs) or float(low) != float(needs)
    if low.startswith("just"):
        assert low.startswith("just below" if off > 0 else "just above")
    else:
        assert (float(low) < float(needs)) == (off > 0)


@pytest.mark.parametrize("sold", [1, 8])
def test_ends_that_nobody_knows_have_their_bounds_in_a_comparison_that_is_not_fair_as_well(sold):
    """Of 20 and 20: by hand, the groups' difference with every sold one at 0 or at the most."""
    one = trial(yards=1, a_yard=40)
    started = tuple(replace(s, baseline=None) for s in one.design.started)
    one = replace(one, design=replace(one.design, started=started))
    one = became(one, [f"T{2 * k}" for k in range(sold)], Became.SOLD)  # check colonies
    found = judged(one)
    assert (found.given is AnswerClass.NOT_FAIR) == (sold > 2)
    (line,) = [text for text in spoken(found, one.design, None).sure if text.startswith("Whatever became of")]
    of = {s.tag: s.arm for s in one.design.started}
    ends = {
        arm: [e.outcome for e in one.ended if of[e.tag] == arm and e.outcome is not None] for arm in (0, 1)
    }
    fed, most = sum(ends[1]) / 20, max(ends[0] + ends[1])
    worst, best = (fed - (sum(ends[0]) + sold * value) / 20 for value in (most, 0.0))
    assert (found.bounds.worst.estimate, found.bounds.best.estimate) == pytest.approx((worst, best))
    assert f"Whatever became of the {sold} whose end nobody knows, the difference " in line
    assert f" from {span(worst, best)} frames" in line
    assert line.endswith("the comparison is not fair, so that is no answer.") == (sold > 2)
    assert ("its range" in line) == (sold <= 2), "no range where the comparison is not fair"


def three_fed():
    one = trial(yards=4, a_yard=18)
    started = tuple(replace(s, arm=int(s.tag[1:]) % 3, block="") for s in one.design.started)
    design = replace(one.design, started=started, arms=("check", "Fed B", "Fed A"), primary=2)
    return became(replace(one, design=design), ["T0", "T2", "T4", "T5"], Became.DEAD)


def test_of_several_fed_groups_the_one_that_is_compared_goes_by_its_name():
    one = three_fed()
    found = replace(judged(one), given=AnswerClass.STRONGER_PAY_UNSURE, weakened="")
    worth = Worth(Amount(16, "$", 2027), PerUnit(Outcome.FRAMES, Amount(18, "$", 2027)))
    said = spoken(found, one.design, worth)
    assert said.sentence.startswith("Fed A colonies ended ahead")
    assert said.money.startswith("Left over for each colony of Fed A, after $16 (2027)")
    (line,) = [text for text in said.sure if text.startswith("Dead or gone")]
    assert line.startswith("Dead or gone: 2 of 24 Fed A and 1 of 24 check;")
    shown = colonies_shown(found, one.design, worth, FRAMES, "the end")
    assert "Fed A less check" in colonies_sentence(shown)
