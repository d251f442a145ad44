"""Invented finished trials for the tests of the answer."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np

from breadline.trial.classes import Lines
from breadline.trial.colonies import Became, Ended, Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.verdict.answer import Finished, answer
from breadline.verdict.fairness import Conduct

DAY = date(2027, 2, 10)


def design(started, **changed) -> Design:
    plain = Design(
        Outcome.FRAMES, CheckArm.SAME_CARE, Unit.COLONY, Allocation.DRAWN, ("check", "fed"), 1,
        Lines(0.75, 0.5), DAY, tuple(started),
    )  # fmt: skip
    return replace(plain, **changed)


def trial(gain=1.0, spread=1.0, yards=4, a_yard=10, seed=3, **changed) -> Finished:
    """Colonies fed one by one, half of each yard, all alive; frames to the third decimal."""
    rng = np.random.default_rng(seed)
    count = yards * a_yard
    arm, yard = np.arange(count) % 2, np.arange(count) // a_yard
    before = rng.normal(7, 1, count)
    after = 4 + 0.6 * before + gain * arm + 0.5 * yard + spread * rng.normal(size=count)
    started = [Started(f"T{k}", f"yard {yard[k]}", "", int(arm[k]), float(before[k])) for k in range(count)]
    ended = [
        Ended(f"T{k}", Became.GRADED, round(max(float(after[k]), 1.5), 3), DAY, "Ann") for k in range(count)
    ]
    return Finished(design(started, **changed), tuple(ended), Conduct())


def whole_yards(gain=3.0, yards=8, a_yard=6, seed=4) -> Finished:
    """Whole yards fed or not, every second one."""
    one = trial(0.0, 0.6, yards, a_yard, seed)
    by_yard = {s.tag: int(s.yard.split()[1]) % 2 for s in one.design.started}
    started = tuple(replace(s, arm=by_yard[s.tag]) for s in one.design.started)
    ended = tuple(replace(e, outcome=(e.outcome or 0) + gain * by_yard[e.tag]) for e in one.ended)
    return replace(one, design=replace(one.design, started=started, unit=Unit.YARD), ended=ended)


def became(one: Finished, tags: list[str], what: Became, **more) -> Finished:
    """The same with other ends for some colonies."""
    lost = what not in (Became.SPLIT, Became.REQUEENED, Became.ROBBED, Became.RESCUED, Became.RECEIVED)
    changed = {
        e.tag: replace(e, became=what, outcome=None if lost else e.outcome, **more)
        for e in one.ended
        if e.tag in tags
    }
    return replace(one, ended=tuple(changed.get(e.tag, e) for e in one.ended))


def judged(one: Finished, draws=999):
    return answer(one, np.random.default_rng(1), draws)
