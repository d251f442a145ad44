"""The advice to feed beside a plan that feeds nothing is joined by a sentence. All invented."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace

import pytest

from breadline.jobs import beside_plan
from breadline.jobs.beside_plan import beside_advice, beside_advices
from breadline.jobs.rounds_done import RoundKept

TODAY = date(2026, 11, 26)


def round_on(on: date, given: float | None = None) -> RoundKept:
    return RoundKept(1, on, 450.0, given, on if given else None)


GIVEN = round_on(TODAY - timedelta(days=9), 450.0)


def plan(*rounds: RoundKept, past: bool = False, kind: str = "nothing") -> SimpleNamespace:
    return SimpleNamespace(rounds=rounds, past=lambda today: past, foretold={"kind": kind})


def joined(monkeypatch, kept, state="soon") -> str:
    plans = {} if kept is None else {"key": kept}
    book = SimpleNamespace(plans=lambda keys: {key: plans[key] for key in keys if key in plans})
    monkeypatch.setattr(beside_plan, "RoundsBook", lambda path, today: book)
    return beside_advice("book.sqlite", TODAY, "key", SimpleNamespace(state=state))


@pytest.mark.parametrize("state", ["soon", "feed"])
def test_a_plan_to_do_nothing_is_joined_to_the_advice_to_feed(monkeypatch, state):
    said = joined(monkeypatch, plan(), state)
    assert "whether bread runs short" in said
    assert said.endswith("it is to do nothing.")


def test_so_is_one_whose_first_round_is_not_near(monkeypatch):
    later = round_on(TODAY + timedelta(days=30))
    assert "its first round is on 26 December 2026" in joined(
        monkeypatch, plan(later, kind="rounds")
    ).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(("kept", "state"), [
    (None, "soon"),
    (plan(), "no_need"),
    (plan(past=True), "soon"),
    (plan(kind="move"), "soon"),
    (plan(round_on(TODAY + timedelta(days=3)), kind="rounds"), "soon"),
    (plan(GIVEN, round_on(TODAY + timedelta(days=20)), kind="rounds"), "soon"),
])  # fmt: skip
def test_where_both_say_the_same_or_there_is_no_plan_nothing_is_said(monkeypatch, kept, state):
    assert joined(monkeypatch, kept, state) == ""


def test_for_many_yards_the_book_is_opened_once_and_not_at_all_where_none_asks(monkeypatch):
    opened = []

    def book(path, today):
        opened.append(path)
        return SimpleNamespace(plans=lambda keys: {"a": plan()})

    monkeypatch.setattr(beside_plan, "RoundsBook", book)
    advice = {"a": SimpleNamespace(state="feed"), "b": SimpleNamespace(state="soon"),
              "c": SimpleNamespace(state="no_need")}  # fmt: skip
    said = beside_advices("book.sqlite", TODAY, advice)
    assert said["a"].endswith("it is to do nothing.")
    assert (said["b"], said["c"], opened) == ("", "", ["book.sqlite"])
    assert beside_advices("book.sqlite", TODAY, {"c": advice["c"]}) == {"c": ""}
    assert len(opened) == 1
