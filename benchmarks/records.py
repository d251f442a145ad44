"""How long 100,000 rows of a spreadsheet take into a book, beside the same statements in bare sqlite3.

    uv run python benchmarks/records.py

40 yards of 250 hives, looked at on ten days: frames of bees, frames of brood and mites, so 300,000 readings.
From the bytes of the file to the last byte on the disk: cells, numbers and days read, held against the book,
row digests, all in one transaction. Then the rows of that book are put by bare `sqlite3` into an empty book
of the same shape, with the same guards, keys and settings, in one transaction: what the database alone takes.
A sheet in which every hundredth row is wrong is looked over too: telling what to mend must not be slower.
Beside each time stands that of the processor, which a busy machine draws out less.
"""

from __future__ import annotations

import argparse
import io
import sqlite3
import tempfile
import time
import zipfile
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from breadline.jobs.bring_in import brought_in, looked_over
from breadline.jobs.export import taken_out
from breadline.jobs.export_rows import Sheet
from breadline.jobs.export_xlsx import write_xlsx
from breadline.jobs.safe_copy import backed_up
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.verified import verified
from breadline.records.engine import open_book

LIMITS = {"csv": 10.0, "xlsx": 30.0}  # s
TODAY = date(2026, 11, 25)
ASKED = SheetAsked(
    units={"frames_of_bees": "full", "mites_per_100": "per 100 bees"}, new_colonies=True
)  # fmt: skip
HEADS = ("yard", "hive", "date", "frames of bees", "brood", "mites")
TABLES = ("brought", "colony", "colony_fact", "visit", "reading")


def rows(count: int) -> list[list[str | float]]:
    """Made-up readings."""
    start = date(2026, 3, 1)
    return [
        [f"Yard {n // 10 % 40}", f"{n // 400}", (start + timedelta(days=7 * (n % 10))).isoformat(),
         n % 19 / 2, n % 13 / 2, n % 40 / 10]
        for n in range(count)
    ]  # fmt: skip


def csv_bytes(told: list[list[str | float]]) -> bytes:
    """The rows as CSV."""
    return "\n".join([",".join(HEADS), *(",".join(map(str, row)) for row in told)]).encode()


def xlsx_bytes(told: list[list[str | float]]) -> bytes:
    """The rows as XLSX."""
    out = io.BytesIO()
    write_xlsx(out, iter([Sheet("Visits", HEADS, iter([list(row) for row in told]))]), lambda _: None)
    assert zipfile.is_zipfile(out)
    return out.getvalue()


def fresh(folder: Path, name: str) -> Path:
    """A book with the yards and nothing else."""
    path = folder / name
    yards = ["name,lat,lon,hives", *(f"Yard {n},45.1,-93.2,250" for n in range(40))]
    brought_in(path, "yards.csv", "\n".join(yards).encode(), SheetAsked(), TODAY)
    return path


def bare(full: Path, empty: Path) -> float:
    """The rows that came in, put into another book by sqlite3 alone. [s]"""
    open_book(empty).dispose()
    with closing(sqlite3.connect(full)) as old, closing(sqlite3.connect(empty, isolation_level=None)) as new:
        for pragma in ("synchronous=FULL", "foreign_keys=ON", "recursive_triggers=ON"):
            new.execute(f"PRAGMA {pragma}").fetchall()
        known = {key for table in TABLES for (key,) in new.execute(f"SELECT id FROM {table}")}
        told = {}
        for table in TABLES:
            names = [row[1] for row in old.execute(f"PRAGMA table_info({table})")]
            found = old.execute(f"SELECT * FROM {table} ORDER BY id").fetchall()
            told[table] = (len(names), [row for row in found if row[names.index("id")] not in known])
        start = time.perf_counter()
        new.execute("BEGIN IMMEDIATE")
        for table, (width, each) in told.items():
            new.executemany(f"INSERT INTO {table} VALUES ({', '.join('?' * width)})", each)
        new.execute("COMMIT")
        return time.perf_counter() - start


def timed(work: Callable[[], object]) -> tuple[float, str]:
    """How long it takes [s], and the same with the processor's share in words."""
    start, mine = time.perf_counter(), time.process_time()
    work()
    took, cpu = time.perf_counter() - start, time.process_time() - mine
    return took, f"{took:.1f} s, processor {cpu:.1f} s"


def main() -> None:
    """Print the times beside those of bare sqlite3."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=100_000)
    wanted = parser.parse_args()
    told = rows(wanted.rows)
    files = {"csv": csv_bytes(told), "xlsx": xlsx_bytes(told)}
    wrong = csv_bytes([["", *row[1:]] if n % 100 == 0 else row for n, row in enumerate(told)])
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        empty = fresh(folder, "empty.db")
        backed_up(empty, folder / "bare.db", TODAY)  # the same yards by the same keys
        for form, content in files.items():
            path = folder / f"{form}.db"
            backed_up(empty, path, TODAY)
            steps: list[int] = []

            def bring(
                at: Path = path, of: bytes = content, kind: str = form, seen: list[int] = steps
            ) -> None:
                brought_in(at, f"visits.{kind}", of, ASKED, TODAY, lambda done, _: seen.append(done))

            took, words = timed(bring)
            print(f"{wanted.rows:,} rows of {form}: {words} (limit {LIMITS[form]:g} s), "
                  f"{len(steps)} steps of progress", flush=True)  # fmt: skip
            if form == "csv":
                alone = bare(path, folder / "bare.db")
                print(f"  the same statements in bare sqlite3: {alone:.1f} s; ratio {took / alone:.1f}")
        again = timed(lambda: brought_in(path, "again.csv", files["csv"], ASKED, TODAY))
        print(f"the same rows again, which adds nothing: {again[1]}", flush=True)
        faults = timed(lambda: looked_over(empty, "wrong.csv", wrong, ASKED, TODAY))
        print(f"looked over with a fault in every hundredth row: {faults[1]}", flush=True)
        for form in ("csv", "xlsx", "json"):
            out = timed(lambda f=form: taken_out(path, folder / f"all.{f}.out", f, datetime.now(UTC)))
            print(f"taken out as {form}: {out[1]}", flush=True)
        copied = timed(lambda: backed_up(path, folder / "copy.db", TODAY))
        print(f"backed up and read back: {copied[1]}")
        print(f"verified: {timed(lambda: verified(path))[1]}")


if __name__ == "__main__":
    main()
