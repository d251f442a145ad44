"""The answer of a trial: what is judged, what is said beside it, what weakens it and what changes nothing."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from breadline.errors import TrialError
from breadline.trial.classes import LEVEL, AnswerClass, Lines, class_of_interval
from breadline.trial.colonies import Became
from breadline.trial.design import CheckArm, Unit
from breadline.verdict.ancova import contrast, fit
from breadline.verdict.answer import judged_after_drift
from breadline.verdict.ends_of import ends_of
from breadline.verdict.few_unfed import careful
from breadline.verdict.sensitivity import Look
from breadline.verdict.visits import Visit
from breadline.verdict.words import class_sentence, spoken
from tests.verdict.finished_trials import DAY, became, judged, trial, whole_yards
from tests.verdict.test_ancova import FED_LESS_CHECK


def test_the_primary_is_the_covariance_of_the_locked_contrast():
    one = trial()
    found = judged(one)
    came = ends_of(one.design, one.ended)
    assert found.here.contrast == contrast(fit(came.ends), FED_LESS_CHECK)
    assert found.here.given is class_of_interval(found.here.low, found.here.high, one.design.lines)


@pytest.mark.parametrize(
    ("gain", "spread", "letter"),
    [(3.0, 0.8, "A"), (0.8, 0.5, "B"), (0.35, 0.15, "C"), (0.0, 0.2, "D"), (-2.0, 0.8, "F"), (0.5, 4.0, "G")],
)
def test_each_class_comes_from_its_effect(gain, spread, letter):
    assert judged(trial(gain, spread, a_yard=20)).given.value == letter


def test_rows_in_another_order_and_other_yard_names_change_nothing():
    one = trial()
    turned = replace(one, ended=tuple(reversed(one.ended)))
    assert judged(turned).here == judged(one).here
    names = tuple(replace(s, yard=f"x{s.yard}") for s in one.design.started)
    assert judged(replace(one, design=replace(one.design, started=names))).here == judged(one).here


def test_swapping_the_groups_turns_the_effect_round():
    one = trial()
    other = tuple(replace(s, arm=1 - s.arm) for s in one.design.started)
    turned = judged(replace(one, design=replace(one.design, started=other)))
    assert turned.here.contrast.estimate == pytest.approx(-judged(one).here.contrast.estimate)


def test_a_dead_colony_counts_as_nothing_and_stays_in_the_count():
    one = became(trial(), ["T0", "T3"], Became.DEAD)
    found = judged(one)
    assert [a.started for a in found.arms] == [20, 20]
    assert [a.lost for a in found.arms] == [1, 1]
    zero = replace(one, ended=tuple(replace(e, outcome=0.0) if e.outcome is None else e for e in one.ended))
    assert judged(zero).here == found.here


def test_below_one_frame_counts_as_nothing():
    one = trial()
    weak = replace(one, ended=(replace(one.ended[0], outcome=0.75), *one.ended[1:]))
    dead = became(one, ["T0"], Became.DEAD)
    assert judged(weak).here == judged(dead).here


def test_survivors_alone_stand_beside_it_and_are_called_unfair():
    found = judged(became(trial(), ["T0", "T2", "T4", "T6"], Became.DEAD))
    (beside,) = [b for b in found.beside if b.look is Look.SURVIVORS]
    assert beside.contrast.estimate < found.here.contrast.estimate
    assert "not a fair comparison" in beside.look.value


def test_the_yards_left_out_are_those_that_move_it_most():
    """Against leaving out each yard and fitting the rest anew."""
    one = trial(spread=1.5, yards=6)
    came = ends_of(one.design, one.ended)
    without = {
        name: contrast(fit(came.some(came.yard != k)), FED_LESS_CHECK).estimate
        for k, name in enumerate(came.yards)
    }
    beside = {b.look: b for b in judged(one).beside}
    least, most = beside[Look.LEAST_YARD], beside[Look.MOST_YARD]
    assert (least.of, most.of) == (min(without, key=without.get), max(without, key=without.get))
    assert (least.contrast.estimate, most.contrast.estimate) == (min(without.values()), max(without.values()))


def test_bees_taken_are_put_back_only_beside_it():
    one = trial()
    split = became(one, ["T1", "T3"], Became.SPLIT, taken=2.0)
    found = judged(split)
    assert found.here == judged(one).here
    (beside,) = [b for b in found.beside if b.look is Look.ADDED_BACK]
    assert beside.contrast.estimate == pytest.approx(found.here.contrast.estimate + 0.2, abs=0.05)


def test_ends_nobody_knows_always_have_bounds_that_hold_the_estimate():
    found = judged(became(trial(), ["T0"], Became.SOLD))
    low, high = found.bounds.worst.estimate, found.bounds.best.estimate
    assert low < found.here.contrast.estimate < high
    assert judged(trial()).bounds is None


def test_whole_yards_have_bounds_too():
    found = judged(became(whole_yards(), ["T0", "T7"], Became.SOLD))
    low, high = found.bounds.worst.estimate, found.bounds.best.estimate
    assert low < found.here.contrast.estimate < high


def test_five_yards_give_a_line_for_another_yard_and_four_do_not():
    assert judged(trial(yards=4)).elsewhere is None
    found = judged(trial(yards=6)).elsewhere
    assert found.yards == 6
    assert found.contrast.df < 10


def test_an_effect_that_does_not_differ_between_yards_is_said_in_words():
    found = judged(trial(yards=6, spread=2.0, seed=2))
    assert found.elsewhere.alike
    said = spoken(found, trial(yards=6).design, None)
    assert any("the yards did not differ measurably" in line for line in said.sure)


def test_whole_yards_are_judged_by_yards():
    one = whole_yards()
    found = judged(one)
    assert found.here.contrast.df == 6
    assert found.permutation.arrangements == 70
    assert found.given is AnswerClass.PAID
    assert [b.look for b in found.beside] == [Look.YARDS_MODEL]


def test_few_yards_tell_nothing_however_large_the_effect():
    """Two and three yards fall in 10 ways: chance alone makes the best in 1 of 10."""
    one = whole_yards(yards=5)
    found = judged(one)
    assert found.here.given is AnswerClass.PAID
    assert found.given is AnswerClass.TOO_FEW
    assert found.weakened == "permutation"


def test_where_both_ways_agree_on_a_half_the_headline_says_that_half():
    """The order of weakness has no class between C and B; what both tell is said in words."""
    one = trial(0.4, 0.7, a_yard=20, seed=9)
    found = judged(one)
    assert (found.here.given.value, found.by_permutation.value, found.given.value) == ("C", "B", "G")
    said = spoken(found, one.design, None)
    assert said.sentence == "Fed colonies ended ahead; whether that covered the cost is open."
    assert "were the true difference just 0.8 frame, lots alone would put fed colonies" in said.held_back


def test_drift_weakens_a_class_that_would_not_survive_it():
    lines = Lines(0.9, 0.5)
    one = trial(0.4, 0.7, a_yard=20, seed=1)
    plain = judged(one)
    assert plain.given is AnswerClass.STRONGER_DID_NOT_PAY, plain.here
    row = replace(one, design=replace(one.design, staggered=False))
    found = judged(row)
    assert judged_after_drift(found.here, one.design.lines) is not found.here.given
    assert (found.given, found.weakened) == (AnswerClass.TOO_FEW, "drift")
    assert judged(replace(one, design=replace(one.design, staggered=True))).given is plain.given
    strong = trial(3.0, 0.8, lines=lines, staggered=False)
    assert judged(strong).given is AnswerClass.PAID


def test_three_fed_groups_are_held_together_and_not_ranked_while_chance_could_do_it():
    one = trial(a_yard=12)
    arms = ("check", "patty", "paste", "powder")
    started = tuple(replace(s, arm=k % 4) for k, s in enumerate(one.design.started))
    ended = tuple(
        replace(e, outcome=(e.outcome or 0) + 2.0 * (s.arm == 1))
        for e, s in zip(one.ended, started, strict=True)
    )
    four = replace(one, design=replace(one.design, started=started, arms=arms), ended=ended)
    found = judged(four)
    pairs = {(t.first, t.second) for t in found.others}
    assert pairs == {(0, 2), (0, 3), (1, 2), (1, 3), (2, 3)}
    lines = spoken(found, four.design, None).sure
    powder = next(t for t in found.others if (t.first, t.second) == (2, 3))
    assert powder.told_apart == all(
        "Powder less paste" not in line or "neither" not in line for line in lines
    )


def test_nothing_is_worked_out_where_it_is_not_fair():
    found = judged(replace(trial(), conduct=replace(trial().conduct, differently="the fed ones were moved")))
    assert found.given is AnswerClass.NOT_FAIR
    assert found.here is found.permutation is found.bounds is found.elsewhere is None
    text = " ".join(spoken(found, trial().design, None).broke)
    assert "the fed ones were moved" in text
    assert not any(char.isdigit() for char in spoken(found, trial().design, None).sentence)


def test_all_visits_together_stand_beside_the_last():
    one = trial()
    noise = np.random.default_rng(6).normal(-1.0, 0.7, len(one.ended))
    early = tuple(
        Visit(e.tag, (1.0, DAY), (e.outcome or 0) + off) for e, off in zip(one.ended, noise, strict=True)
    )
    last = tuple(Visit(e.tag, (2.0, DAY), e.outcome) for e in one.ended)
    found = judged(replace(one, visits=(*early, *last)))
    assert found.over_visits.visits == 2
    assert found.over_visits.contrast.estimate == pytest.approx(found.here.contrast.estimate, abs=0.3)
    assert found.here == judged(one).here


def test_six_unfed_and_a_fifth_lost_hold_the_truth_nine_times_in_ten():
    """Where the small group happens to lose less; 2,000 trials a setting stand on the method's page."""
    rng, held, plain_held, runs = np.random.default_rng(5), 0, 0, 250
    for _ in range(runs):
        one = _six_and_many(rng)
        came = ends_of(one.design, one.ended)
        fitted = fit(came.ends)
        plain = contrast(fitted, FED_LESS_CHECK)
        found = careful(fitted, FED_LESS_CHECK, plain, came)
        for counted, tried in enumerate((found, plain)):
            low, high = tried.interval(LEVEL)
            inside = low <= 0.48 <= high
            held, plain_held = held + inside * (counted == 0), plain_held + inside * (counted == 1)
    assert held / runs >= 0.90
    assert plain_held < held


def _six_and_many(rng):
    one = trial(yards=1, a_yard=100)
    fed = np.arange(100) >= 6
    alive = rng.random(100) > 0.2
    frames = np.where(alive, np.maximum(8 + 0.6 * fed + 2.4 * rng.normal(size=100), 1.01), 0.0)
    started = tuple(
        replace(s, arm=int(f), baseline=None) for s, f in zip(one.design.started, fed, strict=True)
    )
    ended = tuple(replace(e, outcome=float(v)) for e, v in zip(one.ended, frames, strict=True))
    return replace(one, design=replace(one.design, started=started), ended=ended)


@pytest.mark.parametrize("dead", [0, 1])
def test_where_every_colony_of_one_group_died_the_other_is_still_compared(dead):
    one = trial(0.0, 0.5)
    tags = [s.tag for s in one.design.started if s.arm == dead]
    found = judged(became(one, tags, Became.DEAD))
    assert found.given is (AnswerClass.PAID if dead == 0 else AnswerClass.WEAKER)
    assert not [b for b in found.beside if b.look is Look.SURVIVORS]


def test_where_every_colony_of_one_of_three_groups_died_nothing_breaks():
    one = trial(1.0, 0.5)
    started = tuple(replace(s, arm=k % 3) for k, s in enumerate(one.design.started))
    design = replace(one.design, started=started, arms=("check", "half", "fed"), primary=2)
    tags = [s.tag for s in started if s.arm == 2]
    found = judged(became(replace(one, design=design), tags, Became.DEAD))
    assert found.given is AnswerClass.WEAKER


def test_a_colony_that_was_not_drawn_and_one_with_two_ends_are_refused():
    one = trial()
    with pytest.raises(TrialError, match="an end without a start"):
        judged(replace(one, ended=(*one.ended, replace(one.ended[0], tag="stranger"))))
    with pytest.raises(TrialError, match="more than one end"):
        judged(replace(one, ended=(*one.ended, one.ended[0])))


def test_open_feed_needs_whole_yards():
    one = trial(open_feed=True)
    assert judged(one).given is AnswerClass.NOT_FAIR
    yards = whole_yards()
    assert (
        judged(replace(yards, design=replace(yards.design, open_feed=True))).given is not AnswerClass.NOT_FAIR
    )
    assert yards.design.unit is Unit.YARD


def test_losses_are_a_thing_to_watch_and_their_test_counts_lots():
    """No days known and one yard: Fisher's exact test of 8 of 20 against 2."""
    one = trial(yards=1, a_yard=40)
    one = became(one, [f"T{2 * k}" for k in range(8)] + ["T1", "T3"], Became.DEAD)
    undated = replace(one, ended=tuple(replace(e, graded_on=None) for e in one.ended))
    found = judged(undated).losses
    assert (found.fed, found.check, found.by_day) == ((2, 20), (8, 20), False)
    assert found.p == pytest.approx(stats.fisher_exact([[2, 18], [8, 12]]).pvalue)
    line = next(
        text for text in spoken(judged(undated), one.design, None).sure if text.startswith("Dead or gone")
    )
    assert "one season promises nothing" in line


NEVER = re.compile(r"\bsignifican|no effect|\bproved?\b|\btreatment\b|\bp ?[=<]|control group", re.I)


@pytest.mark.parametrize("given", AnswerClass)
@pytest.mark.parametrize("check_arm", CheckArm)
def test_no_class_is_said_with_a_statisticians_word_and_half_rate_never_speaks_of_feeding(given, check_arm):
    settled = replace(trial().design, check_arm=check_arm)
    text = class_sentence(given, settled)
    assert not NEVER.search(text)
    assert text.endswith(".")
    if check_arm is CheckArm.HALF:
        assert not text.startswith("Feeding")
        assert "whether feeding" not in text


@pytest.mark.parametrize("gain", [3.0, 0.8, 0.0, -2.0])
def test_no_sentence_of_a_whole_verdict_has_one(gain):
    one = became(trial(gain, yards=6), ["T0", "T5"], Became.DEAD)
    one = became(one, ["T8"], Became.SOLD)
    found = judged(one)
    said = spoken(found, one.design, None)
    every = (said.sentence, said.range_said, said.next_season, *said.done, *said.sure, *said.broke)
    assert not [line for line in every if NEVER.search(line)]


def test_whole_yards_that_do_not_differ_are_said_to_be_alike_in_their_model():
    """Yard means made the same inside each group, so that nothing is left for a variance of yards."""
    one = whole_yards(gain=1.0)
    arm = {s.tag: s.arm for s in one.design.started}
    level = {s.tag: k % 6 for k, s in enumerate(one.design.started)}
    ended = tuple(replace(e, outcome=8.0 + arm[e.tag] + 0.3 * level[e.tag]) for e in one.ended)
    started = tuple(replace(s, baseline=None) for s in one.design.started)
    flat = replace(one, design=replace(one.design, started=started), ended=ended)
    shifted = {k: 0.01 * (k % 2) for k in range(8)}
    yard = {s.tag: int(s.yard.split()[1]) for s in started}
    ended = tuple(replace(e, outcome=e.outcome + shifted[yard[e.tag] // 2]) for e in flat.ended)
    flat = replace(flat, ended=ended)
    (beside,) = [b for b in judged(flat).beside if b.look is Look.YARDS_MODEL]
    assert beside.alike
    assert any("did not differ measurably" in line for line in spoken(judged(flat), flat.design, None).sure)


def test_other_groups_of_whole_yards_have_their_intervals_too():
    one = whole_yards(yards=9)
    thirds = {s.tag: int(s.yard.split()[1]) % 3 for s in one.design.started}
    started = tuple(replace(s, arm=thirds[s.tag]) for s in one.design.started)
    three = replace(one, design=replace(one.design, started=started, arms=("check", "a", "b")))
    found = judged(three)
    assert [(t.first, t.second) for t in found.others] == [(0, 2), (1, 2)]
    own = found.others[0].contrast.interval(LEVEL)
    assert found.others[0].high - found.others[0].low > own[1] - own[0]


@pytest.mark.parametrize(("one", "units"), [(trial(0.4, 3.0), "colonies"), (whole_yards(0.0), "yards")])
def test_too_few_are_of_what_was_compared(one, units):
    said = class_sentence(AnswerClass.TOO_FEW, one.design)
    assert said == f"Can’t tell whether feeding paid: too few {units}, for how much they differ."
