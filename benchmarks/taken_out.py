"""How much memory and processor taking a whole book out takes, for a book and one several times as long.

    uv run python benchmarks/taken_out.py --rows 100000 350000

A row of a sheet is three readings, so these are 300,000 and 1,050,000 readings. Each export runs in a process
of its own; beside its highest memory stands that of a process that only opened the book. What is written
row by row takes as much for the longer book as for the shorter one.
"""

from __future__ import annotations

import argparse
import multiprocessing
import resource
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import records
from breadline.jobs.bring_in import brought_in
from breadline.jobs.export import FORMS, taken_out
from breadline.records.engine import open_book

AT_ONCE = 100_000  # rows of one sheet


def filled(folder: Path, count: int) -> Path:
    """A book with the readings of so many made-up rows."""
    path = records.fresh(folder, f"{count}.db")
    told = records.rows(count)
    for part in range(0, count, AT_ONCE):
        sheet = records.csv_bytes(told[part : part + AT_ONCE])
        brought_in(path, f"part {part}.csv", sheet, records.ASKED, records.TODAY)
    return path


def highest(path: Path, form: str, out: Path) -> tuple[float, float, int]:
    """The highest memory of this process [MB], its processor [s], and the records taken out."""
    start, written = time.process_time(), 0
    if form == "nothing":
        open_book(path).dispose()
    else:
        written = taken_out(path, out, form, datetime.now(UTC)).records  # type: ignore[arg-type]
    return _most_memory(), time.process_time() - start, written


def _most_memory() -> float:
    """The highest memory of this process [MB]; Linux counts in ``ru_maxrss`` what began this one too."""
    status = Path("/proc/self/status")
    if status.exists():
        told = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
        return int(told.split()[1]) * 1024 / 1e6
    unit = 1 if sys.platform == "darwin" else 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6


def main() -> None:
    """Print the highest memory of each form for each book."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, nargs="+", default=[100_000, 350_000])
    apart = multiprocessing.get_context("spawn")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for count in parser.parse_args().rows:
            path = filled(folder, count)
            print(f"{3 * count:,} readings", flush=True)
            for form in ("nothing", *FORMS):
                with apart.Pool(1) as one:
                    most, took, written = one.apply(highest, (path, form, folder / f"{count}.{form}"))
                said = f", processor {took:.1f} s, {written:,} records" if written else ""
                print(f"  taken out as {form}: at most {most:.0f} MB{said}", flush=True)


if __name__ == "__main__":
    main()
