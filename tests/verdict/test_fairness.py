"""What makes a comparison unfair, one breach at a time, and what does not."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from breadline.trial.classes import AnswerClass
from breadline.trial.colonies import Became
from breadline.trial.design import Allocation
from breadline.verdict.ends_of import ends_of
from breadline.verdict.fairness import Breach, Conduct, breaches
from breadline.verdict.graded_apart import graded_apart
from breadline.verdict.words import spoken
from breadline.verdict.words_next import LEARN
from tests.verdict.finished_trials import DAY, became, judged, trial, whole_yards


def broken(one) -> list[Breach]:
    return [b.breach for b in breaches(one.design, ends_of(one.design, one.ended), one.conduct)]


def graded(one, day_of=lambda arm: DAY, by=lambda arm: "Ann"):
    arm = {s.tag: s.arm for s in one.design.started}
    rows = tuple(replace(e, graded_on=day_of(arm[e.tag]), grader=by(arm[e.tag])) for e in one.ended)
    return replace(one, ended=rows)


def test_a_drawn_trial_graded_by_one_person_on_one_day_is_fair():
    assert broken(trial()) == []
    assert broken(whole_yards()) == []


def test_chosen_by_hand():
    assert broken(trial(allocation=Allocation.CHOSEN)) == [Breach.NOT_DRAWN]


def test_the_weak_ones_left_unfed_are_seen_where_nobody_says_how_it_was_decided():
    one = trial(allocation=Allocation.UNKNOWN)
    weak = tuple(
        replace(s, baseline=4.0 + 0.1 * k % 1 if s.arm == 0 else 8.0)
        for k, s in enumerate(one.design.started)
    )
    weak_unfed = replace(one, design=replace(one.design, started=weak))
    assert broken(one) == []
    assert broken(weak_unfed) == [Breach.WEAKEST_UNFED]
    by_lot = replace(weak_unfed, design=replace(weak_unfed.design, allocation=Allocation.DRAWN))
    assert broken(by_lot) == []  # lots may fall so


def test_each_group_in_a_yard_of_its_own():
    one = trial(yards=2)
    apart = tuple(replace(s, yard=f"yard {s.arm}") for s in one.design.started)
    assert broken(replace(one, design=replace(one.design, started=apart))) == [Breach.YARDS_ARE_ARMS]


def test_graded_by_different_people_or_on_different_days():
    assert broken(graded(trial(), by=lambda arm: f"grader {arm}")) == [Breach.GRADED_APART]
    assert broken(graded(trial(), day_of=lambda arm: DAY + timedelta(days=9 * arm))) == [Breach.GRADED_APART]
    assert broken(graded(trial(), by=lambda arm: "")) == []


def days_of(one, day_of, by=lambda n, arm: "Ann"):
    """Graded on days by number and group of a colony; check colonies are even, fed ones odd."""
    arm = {s.tag: s.arm for s in one.design.started}
    rows = tuple(
        replace(e, graded_on=DAY + timedelta(days=day_of(int(e.tag[1:]) // 2, arm[e.tag])),
                grader=by(int(e.tag[1:]) // 2, arm[e.tag]))
        for e in one.ended
    )  # fmt: skip
    return replace(one, ended=rows)


@pytest.mark.parametrize(
    ("share", "fair"),
    [(0, False), (1, False), (2, True), (5, True)],
    ids=["none shared", "one in ten", "one in five", "half"],
)
def test_nearly_all_of_one_group_on_one_day_and_of_the_other_on_another(share, fair):
    """Two yards of ten pairs, so many in ten of each group on the other's day.

    By hand, one in ten: 81 of 100 pairs have the unfed one earlier and 1 later, 80 in 100 apart; one in
    five: 64 and 4, 60 in 100 apart. Above 70 it is unfair.
    """
    one = days_of(trial(yards=2, a_yard=20), lambda n, arm: arm if n % 10 >= share else 1 - arm)
    of = graded_apart(one.design, ends_of(one.design, one.ended))
    assert (of.earlier, of.later) == pytest.approx(((1 - share / 10) ** 2, (share / 10) ** 2))
    assert (broken(one) == []) is fair


def test_what_is_turned_round_in_the_next_yard_cancels():
    one = days_of(trial(yards=2, a_yard=20), lambda n, arm: arm if n < 10 else 1 - arm)
    assert broken(one) == []
    each_its_day = days_of(trial(yards=4), lambda n, arm: 3 * (n // 5))
    of = graded_apart(each_its_day.design, ends_of(each_its_day.design, each_its_day.ended))
    assert (of.earlier, of.later, of.people) == (0.0, 0.0, 0.0)


def test_nearly_all_of_one_group_by_one_person_and_of_the_other_by_another():
    """One in ten of each group by the other's grader: 90 against 10, so 80 in 100 apart."""
    one = days_of(trial(yards=2, a_yard=20), lambda n, arm: 0,
                  lambda n, arm: ("Ann", "Bo")[arm if n % 10 else 1 - arm])  # fmt: skip
    (found,) = breaches(one.design, ends_of(one.design, one.ended), one.conduct)
    assert found.breach is Breach.GRADED_APART
    assert "90 of 100" in found.facts
    assert "10 of 100" in found.facts
    half = days_of(trial(yards=2, a_yard=20), lambda n, arm: 0,
                   lambda n, arm: ("Ann", "Bo")[arm if n % 10 > 2 else 1 - arm])  # fmt: skip
    assert broken(half) == []  # three in ten: 40 in 100 apart, said and not refused
    text = " ".join(spoken(judged(half), half.design, None).sure)
    assert "70 of 100" in text
    assert "the people’s" in text


def test_whole_yards_have_days_of_their_own_and_all_of_one_side_first_is_unfair():
    one = whole_yards()  # yards 0, 2, 4, 6 unfed, the others fed
    yard = {s.tag: int(s.yard.split()[1]) for s in one.design.started}

    def on(day_of):
        rows = tuple(replace(e, graded_on=DAY + timedelta(days=day_of(yard[e.tag]))) for e in one.ended)
        return replace(one, ended=rows)

    assert broken(on(lambda k: k)) == []
    assert broken(on(lambda k: k + 10 * (k % 2))) == [Breach.GRADED_APART]
    shared = on(lambda k: min(k, 6) if k % 2 == 0 else 6 + k // 2)  # the last unfed with the first fed
    assert broken(shared) == [Breach.GRADED_APART]


def test_the_day_on_which_a_colony_died_is_no_day_of_grading():
    one = became(trial(), ["T0"], Became.DEAD)
    early = tuple(replace(e, graded_on=DAY - timedelta(days=90)) if e.tag == "T0" else e for e in one.ended)
    assert broken(replace(one, ended=early)) == []


@pytest.mark.parametrize(
    ("conduct", "breach"),
    [
        (Conduct(weakest_unfed=True), Breach.WEAKEST_UNFED),
        (Conduct(differently="check colonies were moved in May"), Breach.TREATED_APART),
        (Conduct(swapped=("T1",)), Breach.SWAPPED),
        (Conduct(frames_as_rows=True), Breach.FRAMES_COUNTED),
    ],
)
def test_what_people_say_of_it(conduct, breach):
    assert broken(replace(trial(), conduct=conduct)) == [breach]


@pytest.mark.parametrize(("unfed", "though"), [(5.0, False), (6.0, True), (7.0, True)])
def test_the_unfed_are_never_called_the_weak_ones_by_averages_that_say_otherwise(unfed, though):
    one = replace(trial(), conduct=Conduct(weakest_unfed=True))
    started = tuple(replace(s, baseline=unfed if s.arm == 0 else 6.0) for s in one.design.started)
    design = replace(one.design, started=started)
    (broke,) = breaches(design, ends_of(design, one.ended), one.conduct)
    assert f"the unfed averaged {unfed:.1f} and the fed 6.0" in broke.facts
    assert ("as was said, though" in broke.facts) is though


@pytest.mark.parametrize(("unknown", "fair"), [(1, True), (2, False), (6, False)])
def test_ends_nobody_knows_above_ten_in_a_hundred_or_ten_points_apart(unknown, fair):
    """20 a group: 1 is 5 in 100 and 5 points apart; 2 is 10 in 100 and 10 points apart."""
    one = became(trial(), [f"T{2 * k}" for k in range(unknown)], Became.NOT_FOUND)
    assert (broken(one) == []) is fair


def test_merged_across_groups():
    one = became(trial(), ["T0"], Became.MERGED, merged_into="T1")
    assert broken(one) == [Breach.MERGED_ACROSS]
    assert broken(became(trial(), ["T0"], Became.MERGED, merged_into="T2")) == []


@pytest.mark.parametrize("breach", Breach)
def test_every_breach_says_what_could_still_be_learnt(breach):
    assert len(LEARN[breach]) > 40


def test_an_unfair_comparison_gives_no_number_and_teaches_a_way_out():
    one = trial(allocation=Allocation.CHOSEN)
    found = judged(one)
    said = spoken(found, one.design, None)
    assert found.given is AnswerClass.NOT_FAIR
    assert said.range_said == said.money == ""
    assert said.sure == ()
    assert "lots decide" in said.next_season


def test_two_people_who_share_every_yard_are_one_way_of_grading_where_yards_were_drawn():
    """Ann has 6 of 10 in the yards of one group and 4 of 10 in the other's: Bob has the rest of both."""
    one = whole_yards()
    arm, count, rows = {s.tag: s.arm for s in one.design.started}, {}, []
    yard = {s.tag: s.yard for s in one.design.started}
    for end in one.ended:
        n = count[yard[end.tag]] = count.get(yard[end.tag], -1) + 1
        rows.append(replace(end, grader="Ann" if n % 10 < (6 if arm[end.tag] == 0 else 4) else "Bob"))
    shared = replace(one, ended=tuple(rows))
    of = graded_apart(shared.design, ends_of(shared.design, shared.ended))
    assert not of.never_same_person
    assert 0.1 < of.people < 0.4
    assert broken(shared) == []


def test_an_order_that_turns_from_yard_to_yard_cancels():
    """Six yards, each graded on two days of its own: the unfed ones first in every second yard."""
    one = trial(yards=6)
    arm, yard = ({s.tag: getattr(s, what) for s in one.design.started} for what in ("arm", "yard"))
    names = sorted(set(yard.values()))
    rows = []
    for end in one.ended:
        n = names.index(yard[end.tag])
        second = (arm[end.tag] > 0) == (n % 2 == 0)
        rows.append(replace(end, graded_on=DAY - timedelta(days=30 - 4 * n - second), grader="Ann"))
    turned = replace(one, ended=tuple(rows))
    of = graded_apart(turned.design, ends_of(turned.design, turned.ended))
    assert of.days == pytest.approx(0.0, abs=0.05)
    assert broken(turned) == []
