"""Killed at random moments under load, and eight phones at once, on both databases: nothing is lost or torn.

At length: ``scripts/soak.d/records_killed.py``.
"""

from __future__ import annotations

from sqlalchemy import func, select

from breadline.records.address import BookAt
from breadline.records.engine import checked, looking, open_book, shut_book
from breadline.records.field_tables import FieldEntry
from records.writers import all_or_nothing, kill_again_and_again, phones_at_once


def test_what_was_answered_stored_is_there_after_a_kill(at: BookAt) -> None:
    found = kill_again_and_again(at, kills=2, seed=7)
    assert found.stored > 0
    assert found.there >= found.stored


def test_eight_phones_at_once_lose_nothing_and_store_nothing_twice(at: BookAt) -> None:
    counts = phones_at_once(at, phones=8, posts=2, records=3)
    for each in counts:
        assert each["stored"] == each["duplicate"], "what was sent again is known again"
        assert each["stored"] + each["conflict"] / 2 == 6
        assert each["refused"] == 0
    book = open_book(at)
    with looking(book) as session:
        assert session.scalar(select(func.count()).select_from(FieldEntry)) == 48
    all_or_nothing(book)
    checked(book)
    shut_book(book)
