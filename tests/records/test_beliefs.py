"""What own trials taught, in a real SQLite file. All invented."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sqlalchemy import Engine

from breadline.errors import RecordError
from breadline.records import beliefs
from breadline.records.engine import looking, writing
from records.conftest import LEARNT


def test_what_a_trial_taught_comes_back(book: Engine) -> None:
    with writing(book) as session:
        beliefs.keep_update(session, LEARNT)
        beliefs.keep_update(session, replace(LEARNT, trial="b" * 64, equivalence=None))
    with looking(book) as session:
        first, second = beliefs.updates(session)
        for name in LEARNT.__dataclass_fields__:
            assert getattr(first, name) == getattr(LEARNT, name)
        assert second.equivalence is None


def test_a_trial_teaches_once_and_a_corrected_one_takes_its_place(book: Engine) -> None:
    with writing(book) as session:
        first = beliefs.keep_update(session, LEARNT)
        assert beliefs.keep_update(session, replace(LEARNT, name="said again")).id == first.id
        second = beliefs.keep_update(session, replace(LEARNT, log_ratio=0.08), "two colonies graded again")
        assert second.replaces == first.id
        assert [row.log_ratio for row in beliefs.updates(session)] == [0.08]


def test_what_was_learnt_can_be_taken_back(book: Engine) -> None:
    with writing(book) as session:
        beliefs.keep_update(session, LEARNT)
        beliefs.withdraw_update(session, LEARNT.trial, "the groups were swapped in May")
        assert beliefs.updates(session) == []
        with pytest.raises(RecordError, match="nothing was learnt"):
            beliefs.withdraw_update(session, LEARNT.trial, "again")


def test_no_number_is_refused(book: Engine) -> None:
    with writing(book) as session, pytest.raises(RecordError, match="not a number"):
        beliefs.keep_update(session, replace(LEARNT, se=float("nan")))
