"""What was put on a hive, told alone and beside all else that was seen of the hives. All invented."""

from __future__ import annotations

from datetime import date
from uuid import uuid4

from hypothesis import given
from hypothesis import strategies as st

from breadline.records.colony_average import averaged, fed_on_average
from breadline.records.tables import Reading, Visit

HIVES = [uuid4() for _ in range(4)]
KINDS = st.sampled_from(["put_on", "frames_of_bees", "bread", "queen_status"])
ROWS = st.lists(
    st.tuples(st.sampled_from(HIVES), KINDS, st.sampled_from([None, 0.0, 3.5, 226.8])), max_size=14
)


@given(ROWS)
def test_feed_alone_is_what_the_average_of_all_says_of_it(
    rows: list[tuple[object, str, float | None]],
) -> None:
    visit = Visit(id=uuid4(), on=date(2026, 5, 3), note="entered on a phone")
    seen = [Reading(id=uuid4(), colony_id=hive, kind=kind, value=value, word=None, unit="g")
            for hive, kind, value in rows]  # fmt: skip
    whole, alone = averaged(visit, seen).get("feed_given"), fed_on_average(visit, seen)
    assert (whole is None) == (alone is None)
    if whole is not None and alone is not None:
        assert (whole.value, whole.on, whole.unit) == (alone.value, alone.on, alone.unit)
