"""The advice to feed beside a plan that feeds nothing is joined by a sentence. All invented."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from types import SimpleNamespace

import pytest

from breadline.jobs import beside_plan
from breadline.jobs.beside_plan import beside_advice

TODAY = date(2026, 11, 26)


@dataclass(frozen=True)
class Round:
    on: date
    given: date | None = None


def plan(*rounds: Round, past: bool = False, kind: str = "nothing") -> SimpleNamespace:
    return SimpleNamespace(rounds=rounds, past=lambda today: past, foretold={"kind": kind})


def joined(monkeypatch, kept, state="soon") -> str:
    monkeypatch.setattr(beside_plan, "RoundsBook", lambda path, today: SimpleNamespace(plan=lambda key: kept))
    return beside_advice("book.sqlite", TODAY, "key", SimpleNamespace(state=state))


@pytest.mark.parametrize("state", ["soon", "feed"])
def test_a_plan_to_do_nothing_is_joined_to_the_advice_to_feed(monkeypatch, state):
    said = joined(monkeypatch, plan(), state)
    assert "whether bread runs short" in said
    assert said.endswith("it is to do nothing.")


def test_so_is_one_whose_first_round_is_not_near(monkeypatch):
    later = Round(TODAY + timedelta(days=30))
    assert "its first round is on 26 December 2026" in joined(
        monkeypatch, plan(later, kind="rounds")
    ).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(("kept", "state"), [
    (None, "soon"),
    (plan(), "no_need"),
    (plan(past=True), "soon"),
    (plan(kind="move"), "soon"),
    (plan(Round(TODAY + timedelta(days=3)), kind="rounds"), "soon"),
    (plan(Round(TODAY - timedelta(days=9), TODAY), Round(TODAY + timedelta(days=20)), kind="rounds"), "soon"),
])  # fmt: skip
def test_where_both_say_the_same_or_there_is_no_plan_nothing_is_said(monkeypatch, kept, state):
    assert joined(monkeypatch, kept, state) == ""
