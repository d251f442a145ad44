"""Any book that is taken out as JSON and made again from it is the same book, byte by byte."""

from __future__ import annotations

import json
import tempfile
from datetime import UTC, date, datetime
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from breadline.jobs.export import taken_out
from breadline.jobs.export_json import book_from_json
from breadline.jobs.field_record import batch_of
from breadline.need.yard import Yard
from breadline.records import colonies, field, readings, yards
from breadline.records.engine import looking, open_book, shut_book, writing
from breadline.records.field_sent import Sent
from breadline.records.ids import new_id
from records.test_round_trip import DAY, NUMBER, TEXT, inspected_yard

NOW = datetime(2026, 5, 3, 9, tzinfo=UTC)
LINE = TEXT.filter(str.strip)
SEEN = st.one_of(
    st.builds(readings.Seen, st.sampled_from(["frames_of_bees", "weight", "put_on"]), NUMBER, note=TEXT),
    st.builds(readings.Seen, st.just("note"), note=TEXT),
    st.builds(readings.Seen, st.just("queen_status"), word=st.sampled_from(["seen", "eggs", "neither"])),
)
VISITS = st.lists(st.tuples(DAY, TEXT, st.lists(st.tuples(SEEN, st.booleans()), max_size=4)), max_size=4)
ENTRIES = st.lists(st.tuples(LINE, st.floats(0.0, 60.0), TEXT, st.booleans()), max_size=5)


def entered(yard: str, tag: str, frames: float, line: str, back: bool) -> list[Sent]:
    """An entry of a phone, and its taking back."""
    told = {"id": str(new_id()), "work": "look", "yard": yard, "tag": tag, "at": NOW.isoformat()}
    seen = {"seen": {"frames_of_bees": {"value": frames, "unit": "frames"}}, "spoken": line, "new": True}
    gone = [told | {"id": str(new_id()), "withdraws": told["id"], "because": line}] if back else []
    body = {"shape": "breadline.field/1", "phone": "one", "now": NOW.isoformat()}
    read = batch_of(json.dumps(body | {"records": [told | seen, *gone]}).encode(), NOW).records
    return [one for one in read if isinstance(one, Sent)]


@settings(
    max_examples=4, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(inspected_yard(), st.lists(LINE, max_size=3, unique_by=str.casefold), VISITS, ENTRIES)
def test_any_book_comes_back_as_it_was(yard: Yard, tags, visits, entries) -> None:
    with tempfile.TemporaryDirectory() as name:
        old, new = Path(name) / "old.db", Path(name) / "new.db"
        book = open_book(old)
        with writing(book) as session:
            key = yards.add_yard(session, yard)
            hives = [colonies.place_colony(session, key, tag, tag, n) for n, tag in enumerate(tags, 1)]
            for on, note, seen in visits:
                visit = readings.add_visit(session, key, readings.Look(on, note=note))
                for n, (one, withdrawn) in enumerate(seen):
                    hive = hives[n % len(hives)] if hives else None
                    row = readings.add(session, visit.id, one, hive)
                    if withdrawn:
                        readings.withdraw(session, row.id, note)
            sent = [one for told in entries for one in entered(str(key), *told)]
            answers = {one.answer for one in field.take_all(session, sent, NOW)}
            known = yards.yard_as_known(session, key, date(2300, 1, 1))
        shut_book(book)
        assert answers <= {"stored", "conflict"}
        done = taken_out(old, Path(name) / "all.json", "json", NOW)
        assert book_from_json(Path(name) / "all.json", new).records == done.records
        taken_out(new, Path(name) / "again.json", "json", NOW)
        assert (Path(name) / "again.json").read_bytes() == (Path(name) / "all.json").read_bytes()
        book = open_book(new)
        with looking(book) as session:
            assert yards.yard_as_known(session, key, date(2300, 1, 1)) == known
        shut_book(book)
