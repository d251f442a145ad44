"""Trials in a real SQLite file: draws, the lock, ends and their corrections. All invented."""

from __future__ import annotations

from dataclasses import replace
from uuid import UUID

import pytest
from sqlalchemy import Engine

from breadline.errors import RecordError
from breadline.records import trials
from breadline.records.append_only import history
from breadline.records.engine import looking, writing
from breadline.trial.colonies import Also, Became, Ended
from records.conftest import ENDED, STARTED


def test_a_draw_comes_back_in_its_order_and_its_lock_has_its_colonies(book: Engine) -> None:
    with writing(book) as session:
        drawn = trials.keep_draw(session, "Autumn", {"seed": 7}, STARTED)
        trials.keep_lock(session, drawn, {"seed": 7, "locked_at": "2026-08-21"}, "a" * 64)
    with looking(book) as session:
        (row,) = trials.trials(session)
        assert (row.name, row.seal, row.told["locked_at"]) == ("Autumn", "a" * 64, "2026-08-21")
        assert trials.colonies_of(session, row) == STARTED
        assert trials.trial_of(session, drawn.id).id == row.id


def test_every_draw_before_the_lock_is_kept_and_none_after_it(book: Engine) -> None:
    with writing(book) as session:
        first = trials.keep_draw(session, "Autumn", {"seed": 7}, STARTED)
        second = trials.keep_draw(session, "Autumn", {"seed": 8}, STARTED[::-1], first)
        assert trials.colonies_of(session, second) == STARTED[::-1]
        assert trials.colonies_of(session, first) == STARTED
        locked = trials.keep_lock(session, second, {"seed": 8}, "b" * 64)
        assert [row.told["seed"] for row in history(session, locked)] == [7, 8, 8]
        with pytest.raises(RecordError, match="its draw is locked"):
            trials.keep_draw(session, "Autumn", {"seed": 9}, STARTED, locked)
        with pytest.raises(RecordError, match="locked already"):
            trials.keep_lock(session, locked, {}, "c" * 64)
        with pytest.raises(RecordError, match="corrected or withdrawn"):
            trials.keep_lock(session, first, {}, "c" * 64)


def test_an_end_is_kept_once_and_corrected_by_a_later_word(book: Engine) -> None:
    with writing(book) as session:
        drawn = trials.keep_draw(session, "Autumn", {"seed": 7}, STARTED)
        trials.keep_end(session, drawn, ENDED)
        trials.keep_end(session, drawn, ENDED)
        assert trials.ends_of(session, drawn) == (ENDED,)
        trials.keep_end(session, drawn, replace(ENDED, outcome=5.5), "read 5½ as 6½")
        locked = trials.keep_lock(session, drawn, {"seed": 7}, "a" * 64)
        assert [end.outcome for end in trials.ends_of(session, locked)] == [5.5]
        with pytest.raises(RecordError, match="Nowhere 22 was not drawn"):
            trials.keep_end(session, drawn, Ended("Nowhere 22", Became.DEAD))
        with pytest.raises(RecordError, match="nan is not a number"):
            trials.keep_end(session, drawn, replace(ENDED, outcome=float("nan")))


def test_what_else_was_read_is_kept_and_a_correction_of_it_too(book: Engine) -> None:
    read = replace(ENDED, also=Also(brood=4.5, weight=31.2))
    with writing(book) as session:
        drawn = trials.keep_draw(session, "Winter feed", {"draws": 1}, STARTED)
        trials.keep_end(session, drawn, ENDED)
        trials.keep_end(session, drawn, read, "brood was left out")
    with looking(book) as session:
        (found,) = trials.ends_of(session, trials.trials(session)[0])
    assert found == read


def test_a_trial_that_is_not_there_is_refused(book: Engine) -> None:
    with looking(book) as session, pytest.raises(RecordError, match="there is no trial"):
        trials.trial_of(session, UUID(int=1))
