"""Keys after RFC 9562, and times that carry their zone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from threading import Thread
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import Engine, create_engine, text
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.records.append_only import Base
from breadline.records.ids import Keys, laid_out, made_ms, new_id
from breadline.records.tables import Operation

# RFC 9562, appendix A.6 (quoted: the same example in the tests of several public UUID libraries)
EXAMPLE = UUID("017F22E2-79B0-7CC3-98C4-DC0C0C07398F")
EXAMPLE_MOMENT = datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC)
EXAMPLE_RAND_A, EXAMPLE_RAND_B = 0xCC3, 0x18C4DC0C0C07398F


def test_the_example_of_the_standard() -> None:
    ms = int(EXAMPLE_MOMENT.timestamp() * 1000)
    assert laid_out(ms, EXAMPLE_RAND_A, EXAMPLE_RAND_B) == EXAMPLE
    assert made_ms(EXAMPLE) == ms


@given(st.integers(0, 2**48 - 1), st.integers(0, 2**12 - 1), st.integers(0, 2**62 - 1))
def test_version_variant_and_time_stand_where_the_standard_says(ms: int, a: int, b: int) -> None:
    key = laid_out(ms, a, b)
    assert (key.version, key.variant) == (7, "specified in RFC 4122")
    assert made_ms(key) == ms


@pytest.mark.parametrize("fields", [(-1, 0, 0), (1 << 48, 0, 0), (0, 1 << 12, 0), (0, 0, 1 << 62)])
def test_fields_that_do_not_fit_are_refused(fields: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="does not fit"):
        laid_out(*fields)


@given(st.lists(st.integers(0, 50), min_size=2, max_size=200))
def test_keys_keep_their_order_whatever_the_clock_does(ticks: list[int]) -> None:
    clock = iter(ticks)
    keys = Keys(lambda: 1_700_000_000_000 + next(clock))
    made = [keys.next() for _ in ticks]
    assert made == sorted(made)
    assert len(set(made)) == len(made)
    assert all(key.version == 7 for key in made)


def test_a_full_counter_borrows_the_next_millisecond() -> None:
    keys = Keys(lambda: 1000)
    first = keys.next()
    keys._counter = (1 << 42) - 1
    then = keys.next()
    assert (made_ms(first), made_ms(then)) == (1000, 1001)
    assert then > first


def test_threads_never_share_a_key() -> None:
    made: list[UUID] = []
    threads = [Thread(target=lambda: made.extend([new_id() for _ in range(2000)])) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(set(made)) == 8000


def test_a_key_carries_this_moment() -> None:
    now = datetime.now(UTC).timestamp() * 1000
    assert abs(made_ms(new_id()) - now) < 5000


def test_a_naive_time_is_refused(book: Engine) -> None:
    with Session(book) as session:
        session.add(Operation(name="a", made_at=datetime(2026, 3, 1, 9, 30)))
        with pytest.raises(RecordError, match="no time zone"):
            session.flush()


def test_a_naive_time_is_refused_by_any_engine() -> None:
    engine = create_engine("sqlite://")
    Base.metadata.create_all(engine)
    with Session(engine) as session:
        session.add(Operation(name="a", made_at=datetime(2026, 3, 1, 9, 30)))
        with pytest.raises(RecordError, match="no time zone"):
            session.flush()
    engine.dispose()


def test_a_time_is_kept_as_utc_and_read_back_aware(book: Engine) -> None:
    there = datetime(2026, 3, 1, 9, 30, tzinfo=timezone(timedelta(hours=5, minutes=30)))
    with Session(book) as session:
        session.add(Operation(name="a", made_at=there))
        session.commit()
        session.expire_all()
        back = session.query(Operation).one().made_at
        raw = session.execute(text("SELECT made_at FROM operation")).scalar_one()
    assert back == there
    assert back.utcoffset() == timedelta(0)
    if isinstance(raw, datetime):  # a server gives moments back, in whatever zone it likes
        assert raw == datetime(2026, 3, 1, 4, tzinfo=UTC)
    else:
        assert raw.startswith("2026-03-01 04:00:00")
