"""Other looks beside an answer: which would give another, and none reads as a line it is not. Invented."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from breadline.trial.classes import LEVEL, AnswerClass, Lines
from breadline.trial.colonies import Became
from breadline.verdict.amounts import FRAMES
from breadline.verdict.sensitivity import Look
from breadline.verdict.words import spoken
from breadline.verdict.words_asked import clause, clause_of
from breadline.verdict.words_difference import needed_said
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
