"""A trial teaches by its living colonies, and its deaths beside them; no death is counted twice."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.belief.survival_learnt import Deaths
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import trial_from_text
from breadline.jobs.trial_lived import lived_of
from breadline.jobs.trial_taught import taught_by
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
    assert lived.deaths == Deaths(54, 0, 18, 0)


def test_the_dead_are_in_one_of_the_two_and_never_in_both():
    """By hand: 6 of 54 fed and 4 of 18 check colonies dead; the living have 10.5 and 8.5 frames about."""
    made = finished(3)
    plain = replace(made, design=replace(made.design, started=tuple(
        replace(one, block="all", yard="home", baseline=None) for one in made.design.started)))  # fmt: skip
    one = judged(replace(plain, ended=ends(plain, Became.DEAD)))
    lived = lived_of(one)
    assert lived.deaths == Deaths(54, 6, 18, 4)
    came = one.answer.came
    alive = [came.ends.outcome[(came.ends.arm == arm) & ~came.nothing].mean() for arm in (0, 1)]
    assert lived.log_ratio == pytest.approx(np.log(alive[1] / alive[0]))
    # with the dead as 0 the same trial holds the deaths as well: (48/54) over (14/18) on top of it
    both = lived.log_ratio + np.log((48 / 54) / (14 / 18))
    assert one.ratio.estimate == pytest.approx(both)


def test_lost_is_what_the_verdict_counts_as_nothing_and_sold_is_neither():
    made = finished(3)
    assert lived_of(judged(replace(made, ended=ends(made, Became.SOLD)))).deaths == Deaths(48, 0, 14, 0)
    tiny = tuple(replace(e, outcome=0.5, became=Became.GRADED) if e.became is Became.DEAD else e
                 for e in ends(made, Became.DEAD))  # fmt: skip
    assert lived_of(judged(replace(made, ended=tiny))).deaths == Deaths(54, 6, 18, 4)


def test_whole_yards_teach_nothing_of_survival():
    made = finished(3, yards=8)
    arm = {yard: int(k % 2) for k, yard in enumerate(dict.fromkeys(o.yard for o in made.design.started))}
    started = tuple(replace(one, arm=arm[one.yard], block="") for one in made.design.started)
    ended = tuple(replace(one, guessed=None) for one in made.ended)
    one = judged(replace(made, design=replace(made.design, unit=Unit.YARD, started=started), ended=ended))
    assert lived_of(one).deaths == Deaths(0, 0, 0, 0)


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
