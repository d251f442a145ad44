"""A trial teaches by its living colonies, and its deaths beside them; no death is counted twice."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.belief.carried import carried
from breadline.belief.survival_learnt import NOT_APART, Deaths, in_all
from breadline.jobs.belief_book import BeliefBook, _lived
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import trial_from_text
from breadline.jobs.trial_lived import lived_of
from breadline.jobs.trial_model import _seen
from breadline.jobs.trial_taught import taught_by
from breadline.knowledge.shelf import load
from breadline.trial.colonies import Became
from breadline.trial.design import Unit
from jobs.travelled import finished, text


def ends(made, became):
    """Every colony at eight frames, fed at ten; of each arm the first so many lost in the way named."""
    arm = {one.tag: one.arm for one in made.design.started}
    left = {0: [became] * 4, 1: [became] * 6}
    rows = []
    for n, one in enumerate(made.ended):
        lost = left[arm[one.tag]].pop() if left[arm[one.tag]] else None
        frames = None if lost in (Became.DEAD, Became.MERGED) else (10.0 if arm[one.tag] else 8.0) + n % 2
        rows.append(replace(one, became=lost or Became.GRADED, outcome=frames, guessed=None,
                            merged_into="2-5-3" if lost is Became.MERGED else ""))  # fmt: skip
    return tuple(rows)


def judged(made):
    return checked(trial_from_text(text(made), "trial.json"))


def test_without_a_loss_both_are_the_same():
    made = finished(3)
    alive = tuple(replace(one, became=Became.GRADED, outcome=one.outcome or 7.0) for one in made.ended)
    one = judged(replace(made, ended=alive))
    lived = lived_of(one)
    assert (lived.log_ratio, lived.se) == (one.ratio.estimate, one.ratio.se)
    assert lived.deaths == (Deaths(18, 0, 6, 0),) * 3, "a set a yard"


def test_the_dead_are_in_one_of_the_two_and_never_in_both():
    """By hand: 6 of 54 fed and 4 of 18 check colonies dead; the living have 10.5 and 8.5 frames about."""
    made = finished(3)
    plain = replace(made, design=replace(made.design, started=tuple(
        replace(one, block="all", yard="home", baseline=None) for one in made.design.started)))  # fmt: skip
    one = judged(replace(plain, ended=ends(plain, Became.DEAD)))
    lived = lived_of(one)
    assert lived.deaths == (Deaths(54, 6, 18, 4),)
    came = one.answer.came
    alive = [came.ends.outcome[(came.ends.arm == arm) & ~came.nothing].mean() for arm in (0, 1)]
    assert lived.log_ratio == pytest.approx(np.log(alive[1] / alive[0]))
    # with the dead as 0 the same trial holds the deaths as well: (48/54) over (14/18) on top of it
    both = lived.log_ratio + np.log((48 / 54) / (14 / 18))
    assert one.ratio.estimate == pytest.approx(both)


def test_lost_is_what_the_verdict_counts_as_nothing_and_sold_is_neither():
    made = finished(3)
    sold = lived_of(judged(replace(made, ended=ends(made, Became.SOLD)))).deaths
    assert in_all(sold) == Deaths(48, 0, 14, 0)
    tiny = tuple(replace(e, outcome=0.5, became=Became.GRADED) if e.became is Became.DEAD else e
                 for e in ends(made, Became.DEAD))  # fmt: skip
    assert in_all(lived_of(judged(replace(made, ended=tiny))).deaths) == Deaths(54, 6, 18, 4)


def whole_yards(dead):
    """Five fed and five check yards of twenty, alive at 8, 9 and 10 frames; of each so many ``dead``."""
    made = finished(3, yards=10, sets=5)
    yards = list(dict.fromkeys(one.yard for one in made.design.started))
    arm = {yard: k % 2 for k, yard in enumerate(yards)}
    started = tuple(replace(one, arm=arm[one.yard], block="", baseline=None) for one in made.design.started)
    rows = []
    for n, one in enumerate(made.ended):
        lost = n % 20 < dead[arm[started[n].yard]]
        rows.append(replace(one, became=Became.DEAD if lost else Became.GRADED, guessed=None,
                            outcome=None if lost else 8.0 + n // 40 % 3))  # fmt: skip
    design = replace(made.design, unit=Unit.YARD, started=started)
    return judged(replace(made, design=design, ended=tuple(rows)))


def test_whole_yards_keep_their_dead_in_the_ratio_and_lay_nothing_on_losses():
    """By hand: a tenth of the fed and half of the check dead, the living alike: ln(0.9 / 0.5) = 0.59."""
    one = whole_yards({0: 10, 1: 2})
    taught = taught_by(one)
    assert taught.lived is None
    assert taught.result.log_ratio == pytest.approx(np.log(0.9 / 0.5))
    assert carried("dearth", [taught.result], load().reader()).survival is NOT_APART
    alive = taught_by(whole_yards({0: 0, 1: 0}))
    assert (alive.lived.log_ratio, in_all(alive.lived.deaths)) == (alive.log_ratio, Deaths(100, 0, 100, 0))


def test_the_season_model_is_held_against_those_that_lived_and_says_what_it_leaves_out():
    """By hand: whole yards whose living are alike, ln(1) = 0; of the colony trial the living part."""
    one = whole_yards({0: 10, 1: 2})
    seen, left_out = _seen(one, one.ratio)
    assert seen.estimate == pytest.approx(0.0)
    assert "10 of 100 fed and 50 of 100 check colonies were lost and are left out of it" in left_out[0]
    made = finished(3)
    one = judged(replace(made, ended=ends(made, Became.DEAD)))
    seen, left_out = _seen(one, one.ratio)
    assert (seen.estimate, seen.se, left_out) == (lived_of(one).log_ratio, lived_of(one).se, ())
    alive = whole_yards({0: 0, 1: 0})
    assert _seen(alive, alive.ratio) == (alive.ratio, ())


def test_beside_whole_yards_with_deaths_another_trial_keeps_its_dead_too(tmp_path):
    """Nothing is laid on losses then, so the living alone would lose that fewer fed colonies died."""
    book = BeliefBook(tmp_path / "book.sqlite", date(2026, 12, 1))
    book.open_operation("Sorrel Bend Bees (invented)")
    made = finished(3)
    apart = taught_by(judged(replace(made, ended=ends(made, Became.DEAD))))
    assert "fed colonies that lived had" in book.learn(apart).moved
    both = book.learn(replace(taught_by(whole_yards({0: 10, 1: 2})), season="autumn 2027"))
    assert [one.log_ratio for one in both.results] == pytest.approx([apart.log_ratio, np.log(0.9 / 0.5)])
    assert "that lived" not in both.moved
    assert [one.taught.lived for one in book.known().lessons] == [None, None]


def test_lessons_of_older_books_are_still_read():
    """One set of deaths over all yards; and of whole yards the living alone, whose dead go back in."""
    of = {"fed": 54, "fed_lost": 6, "check": 18, "check_lost": 4}
    assert _lived({"log_ratio": 0.2, "se": 0.1, "deaths": of}).deaths == (Deaths(54, 6, 18, 4),)
    assert _lived({"log_ratio": 0.02, "se": 0.1, "deaths": dict.fromkeys(of, 0)}) is None


def test_a_book_keeps_both_and_an_older_lesson_is_learnt_again(tmp_path):
    made = finished(3)
    one = judged(replace(made, ended=ends(made, Became.DEAD)))
    book = BeliefBook(tmp_path / "book.sqlite", date(2026, 12, 1))
    book.open_operation("Sorrel Bend Bees (invented)")
    taught = taught_by(one)
    old = book.learn(replace(taught, lived=None))
    assert float(old.survival.at(np.array(1.0))) == 0.0, "its dead are in the bees: nothing more on losses"
    now = book.learn(taught)
    (lesson,) = book.known().lessons
    assert lesson.taught == taught
    assert now.results[0].log_ratio == taught.lived.log_ratio != taught.log_ratio
    assert float(now.survival.at(np.array(0.0))) > 0.4, "fewer fed colonies died than is believed of a dearth"
    assert book.known().beliefs["dearth"].survival == now.survival
    assert "lost" in now.sentence
