"""How long the pages of a large book take, as its readings grow, beside the same questions in bare sqlite3.

    uv run python benchmarks/record_pages.py

10,000 colonies in 100 yards and 10,000, 100,000 and 1,000,000 readings of them, through the whole server
without the network: the list of yards, a yard, the hives of a yard, a colony. Beside each colony stands what
bare `sqlite3` takes for the same rows. The season model itself is not what is timed (see
`benchmarks/season_kernel.py`): one season is worked out, and every yard is given it. Then a phone sends one
record, and the list is asked for again: that is the dearest page of a day. The load average stands beside.
Sync: 1,000 records of five readings into the largest book, sent once, and once again.
"""

from __future__ import annotations

import argparse
import json
import os
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from breadline.jobs import book as books
from breadline.jobs.bring_in import brought_in
from breadline.jobs.field_book import FieldBook
from breadline.jobs.season import SeasonAnswer
from breadline.jobs.sheet_read import SheetAsked
from breadline.records import weather_kept
from breadline.records.engine import looking, open_book, writing
from breadline.records.ids import new_id
from breadline.web.app import create_app

TODAY, HERE = date(2026, 11, 25), "http://127.0.0.1:8000"
YARDS, COLONIES = 100, 10_000
LIMIT = 0.1  # s, at the median
ASKED = SheetAsked(
    units={"frames_of_bees": "full", "bread": "frames", "mites_per_100": "per 100 bees", "put_on": "g"},
    new_colonies=True,
)  # fmt: skip
HEADS = "yard,hive,date,frames of bees,brood,bread,mites,fed"


def filled(path: Path, readings: int) -> int:
    """A book of many colonies, each looked at on some days, five readings a time; how many readings."""
    yards = ["name,lat,lon,hives", *(f"Yard {n},40.1,-88.2,{COLONIES // YARDS}" for n in range(YARDS))]
    brought_in(path, "yards.csv", "\n".join(yards).encode(), SheetAsked(), TODAY)
    told, rows = 0, list[str]()
    looks = max(1, readings // (5 * COLONIES))
    between, newest = (
        3500 // looks,
        TODAY - timedelta(days=5),
    )  # no old count
    for n in range(readings // 5):
        colony, day = n % COLONIES, newest - timedelta(days=between * (looks - 1 - n // COLONIES))
        rows.append(
            f"Yard {colony % YARDS},{colony // YARDS},{day.isoformat()},{colony % 19 / 2},"
            f"{colony % 13 / 2},1,{colony % 40 / 10},{colony % 3 * 200}"
        )
    for part in range(0, len(rows), 100_000):
        sheet = "\n".join([HEADS, *rows[part : part + 100_000]]).encode()
        told += brought_in(path, f"part {part}.csv", sheet, ASKED, TODAY).made["readings"]
    return told


def one_season(folder: Path) -> tuple[SeasonAnswer, weather_kept.Came]:
    """A season that was really worked out, and the weather it was worked out from: those of the demo."""
    from breadline.jobs.demo import make_demo

    demo = make_demo(folder / "demo.db")
    answer = demo.season(demo.first_yard())
    with looking(open_book(folder / "demo.db")) as session:
        kept = weather_kept.newest(session, books.key_of(demo.first_yard()))
        assert kept is not None
        return answer, weather_kept.Came(kept.name, weather_kept.content(kept))


def median(work: Callable[[], object], times: int = 21) -> float:
    """The middle of some times of the processor, which a busy machine draws out less. [s]"""
    took = []
    for _ in range(times):
        start = time.process_time()
        work()
        took.append(time.process_time() - start)
    return statistics.median(took)


def batch(yards: dict[str, str], count: int, tag: int = 0) -> bytes:
    """Records of a phone, each of another hive."""
    now = datetime.combine(TODAY, datetime.min.time(), UTC)
    seen = {
        "frames_of_bees": {"value": 7.0, "unit": "frames", "definition": "full"}, "put_on": {"value": 450},
        "frames_of_brood": {"value": 3}, "patty_left": {"word": "some"}, "queen_status": {"word": "eggs"},
    }  # fmt: skip
    told = [
        {"id": str(new_id()), "work": "round", "yard": yards[f"Yard {n % YARDS}"],
         "tag": str(n // YARDS + tag), "at": now.isoformat(), "seen": seen} for n in range(count)
    ]  # fmt: skip
    body = {"shape": "breadline.field/1", "phone": "x", "now": now.isoformat(), "records": told}
    return json.dumps(body).encode()


def bare_colony(path: Path, colony: str) -> Callable[[], object]:
    """The readings of a colony by bare sqlite3."""
    asked = (
        'SELECT v."on", r.kind, r.value, r.unit, r.word FROM reading r JOIN visit v ON v.id = r.visit_id '
        "WHERE r.colony_id = ? AND r.withdrawn = 0 "
        "AND NOT EXISTS (SELECT 1 FROM reading n WHERE n.replaces = r.id) "
        'ORDER BY v."on" DESC, r.id LIMIT 401'
    )

    def work() -> object:
        with closing(sqlite3.connect(path)) as raw:
            return raw.execute(asked, (colony.replace("-", ""),)).fetchall()

    return work


def pages(path: Path, readings: int) -> dict[str, float]:
    """The middle times of the pages of a book, of the processor. [s]"""
    book, now = FieldBook(path, TODAY), datetime.combine(TODAY, datetime.min.time(), UTC)
    yards = book.keys_by_name()
    colony = str(book.hives(yards["Yard 7"])[1][5].id)
    client = TestClient(create_app(path, today=lambda: TODAY), base_url=HERE)
    asked = {
        "list of yards": "/", "a yard": f"/yards/{yards['Yard 7']}",
        "hives of a yard": f"/field/hives/{yards['Yard 7']}", "a colony": f"/hives/{colony}",
    }  # fmt: skip
    first = timed(lambda: whole(client))
    found = {name: median(lambda at=at: client.get(at).raise_for_status()) for name, at in asked.items()}
    bare = median(bare_colony(path, colony))
    book.take(batch(yards, 1), now)
    after = timed(lambda: whole(client))
    said = ", ".join(f"{name} {took * 1000:.0f} ms" for name, took in found.items())
    print(f"{readings:>9,} readings: {said}")
    print(f"          the list for the first time {first:.1f} s, after a phone sent {after * 1000:.0f} ms; "
          f"a colony by bare sqlite3 {bare * 1000:.1f} ms; load {os.getloadavg()[0]:.1f}",
          flush=True)  # fmt: skip
    return found


def whole(client: TestClient) -> None:
    """The list with all its yards: it shows how far it is while they are worked out."""
    while 'http-equiv="refresh"' in client.get("/").text:
        time.sleep(0.01)


def timed(work: Callable[[], Any]) -> float:
    """How long it takes. [s]"""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main() -> None:
    """Print the times, how they grow, and those of a sync."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--readings", type=int, nargs="*", default=[10_000, 100_000, 1_000_000])
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder, told = Path(name), []
        answer, weather = one_season(folder)
        books.season_answer = lambda yard, *_: replace(answer, yard=replace(yard, inspections=()))  # type: ignore[assignment]
        for readings in wanted.readings:
            path = folder / f"{readings}.db"
            made = filled(path, readings)
            with writing(open_book(path)) as session:
                weather_kept.keep(session, weather)
            told.append(pages(path, made))
        for page in told[0]:
            most = max(one[page] for one in told)
            print(f"{page}: grows {told[-1][page] / told[0][page]:.2f} times; at most {most * 1000:.0f} ms "
                  f"(limit {LIMIT * 1000:.0f} ms)")  # fmt: skip
        book, now = FieldBook(path, TODAY), datetime.combine(TODAY, datetime.min.time(), UTC)
        body = batch(book.keys_by_name(), 1000, 1)
        first, again = timed(lambda: book.take(body, now)), timed(lambda: book.take(body, now))
        print(f"1,000 records of a phone: {first:.1f} s (limit 2 s); the same again {again:.1f} s; "
              f"load {os.getloadavg()[0]:.1f}")  # fmt: skip


if __name__ == "__main__":
    main()
