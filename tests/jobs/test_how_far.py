"""Whoever waits for a verdict is told how far it is, and can leave it at every step. All invented."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from breadline.going_on import NobodyWaits, watched
from breadline.jobs.verdict import Prices, Told, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_content
from breadline.jobs.verdict_rows import COLONIES_READ
from breadline.verdict.permutation import EVERY_WAY, REPEATED
from breadline.verdict.sensitivity import OTHER_WAYS

TABLE = (Path(__file__).parents[2] / "examples" / "first-verdict" / "colonies.csv").read_bytes()


def asked(watch):
    told = VerdictAsked(Prices(16.0, 18.0, None, None, "$", 2026), Told("lot", False))
    with watched(watch):
        return verdict_of_content("last-year.csv", TABLE, told, date(2026, 8, 20))


@pytest.fixture(scope="module")
def steps():
    seen = []
    asked(lambda *step: seen.append(step) or True)
    return seen


def test_a_verdict_tells_how_far_it_is(steps):
    said = {far for _, of, far in steps if of}
    assert COLONIES_READ in said
    assert said & {EVERY_WAY, REPEATED}
    assert OTHER_WAYS in said
    assert all(0 <= done < of for done, of, _ in steps if of)
    read = [(done, of) for done, of, far in steps if far == COLONIES_READ and of]
    assert read[:120] == [(n, 120) for n in range(120)], "the colonies of the table, one after another"


def test_a_verdict_that_is_left_ends_wherever_it_is(steps):
    first = {}
    for at, (_, _, far) in enumerate(steps):
        first.setdefault(far, at)
    for at in {*first.values(), len(steps) // 2, len(steps) - 1}:
        left = []

        def watch(*step, at=at, left=left):
            left.append(step)
            return len(left) <= at

        with pytest.raises(NobodyWaits):
            asked(watch)
        assert len(left) == at + 1, "nothing goes on after it"
