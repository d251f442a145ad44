"""All of a book taken out: as CSV, XLSX or JSON, and its yards as GeoJSON. Leaving is as easy as arriving."""

from __future__ import annotations

import csv
import io
import re
import shutil
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.jobs.export_geojson import geojson_text
from breadline.jobs.export_json import Progress, count_of, write_json
from breadline.jobs.export_rows import Cell, Sheet, kept_files, sheets
from breadline.jobs.export_xlsx import write_xlsx
from breadline.language import noted, say
from breadline.records.address import BookAt, absolute
from breadline.records.copies import refuse_what_stands
from breadline.records.engine import is_there, only_reading
from breadline.records.log_file import LogEnd, log_end

Form = Literal["csv", "xlsx", "json", "geojson"]
FORMS: dict[Form, str] = {
    "csv": noted("a file for each table (CSV), and the weather files as they came"),
    "xlsx": noted("a workbook with a sheet for each table (XLSX)"),
    "json": noted("everything in one document (JSON), from which the same book can be made again"),
    "geojson": noted("the yards on a map (GeoJSON)"),
}
# what spreadsheet programs take for the beginning of a formula, also behind a tab or a line's end
FORMULA = ("=", "+", "-", "@", "\t", "\r")
GUARD = "'"
NUMBER = re.compile(r"[+-]\d{1,15}(\.\d{1,15})?", re.ASCII)


@dataclass(frozen=True)
class TakenOut:
    """What was taken out, and where it lies."""

    book: str
    target: Path
    form: Form
    records: int
    files: tuple[str, ...]
    log: LogEnd  # how the log of a book's file ended


def taken_out(
    at: BookAt, target: Path, form: Form, now: datetime, progress: Progress = lambda done, total: None
) -> TakenOut:
    """Take all of a book out into a new file, or a new folder for CSV (a ``.zip`` where it is named so).

    Errors
    ------
    RecordError
        If there is no book, something lies at the target already, or the disk refuses.
    """
    if not is_there(at):
        raise RecordError(
            str(at), say("there is no such book"), say("a book of records"), say("Check the path")
        )
    refuse_what_stands(target)
    unfinished = target.with_name(f"{target.name}.unfinished")
    refuse_what_stands(unfinished)
    log = log_end(at) if isinstance(at, Path) else LogEnd()
    try:
        with only_reading(at, log) as session:
            records, files = _written(session, unfinished, target, form, now, progress)
        unfinished.rename(target)
    except OSError as fault:
        raise RecordError(
            str(target),
            say("it could not be written ({strerror})", strerror=fault.strerror),
            say("a disk with free space"),
            say("Free some space or name a file on another disk"),
        ) from fault
    finally:
        if unfinished.is_dir():
            shutil.rmtree(unfinished)
        unfinished.unlink(missing_ok=True)
    return TakenOut(absolute(at), target, form, records, files, log)


def taken_out_document(done: TakenOut) -> dict[str, Any]:
    """The same as one JSON object."""
    return {
        "shape": "breadline.export/1", "book": done.book, "to": str(done.target.resolve()), "as": done.form,
        "records": done.records, "files": list(done.files),
        "log_damaged": done.log.damaged, "log_unfinished": done.log.unfinished,
    }  # fmt: skip


def guarded(cell: Cell) -> Cell:
    """A text that a spreadsheet program would take for a formula, with an apostrophe before it.

    An apostrophe that stood there gets another, so that reading takes away one and finds the text. A bare
    number such as -122.07 is what it says to such a program, and stays.
    """
    if isinstance(cell, str) and cell.startswith((*FORMULA, GUARD)) and not NUMBER.fullmatch(cell):
        return GUARD + cell
    return cell


def unguarded(text: str) -> str:
    """A text as it was before :func:`guarded`."""
    if text.startswith(GUARD) and text[1:2] and text[1:].startswith((*FORMULA, GUARD)):
        return text[1:]
    return text


def csv_of(sheet: Sheet, told: Callable[[], None] = lambda: None) -> Iterator[str]:
    """A table as RFC 4180 has it: commas, quotes doubled, lines ended by CR LF; a text is never a formula."""
    line = io.StringIO(newline="")
    writer = csv.writer(line, lineterminator="\r\n")
    writer.writerow([guarded(head) for head in sheet.heads])
    for row in sheet.rows:
        writer.writerow([_truth(guarded(cell)) for cell in row])
        told()
        if line.tell() > 1 << 20:
            yield line.getvalue()
            line.seek(0)
            line.truncate()
    yield line.getvalue()


def _truth(cell: Cell) -> Cell:
    return {True: "yes", False: "no"}[cell] if isinstance(cell, bool) else cell


def _written(
    session: Session, place: Path, target: Path, form: Form, now: datetime, progress: Progress
) -> tuple[int, tuple[str, ...]]:
    connection = session.connection()
    total = count_of(connection)
    if form == "json":
        with place.open("w", encoding="utf-8", newline="\n") as out:
            return write_json(connection, out, now, progress).records, (target.name,)
    if form == "geojson":
        text = geojson_text(session)
        place.write_text(text, encoding="utf-8")
        return text.count('"type": "Feature",'), (target.name,)
    if form == "xlsx":
        with place.open("wb") as packed:
            write_xlsx(packed, sheets(connection), lambda n: progress(min(n, total), total))
        return total, (target.name,)
    return _csv_files(session, place, target.suffix.lower() == ".zip", progress)


def _csv_files(
    session: Session, place: Path, zipped: bool, progress: Progress
) -> tuple[int, tuple[str, ...]]:
    """A file for each table, in a folder or packed into one."""
    connection, names, done = session.connection(), [], 0
    total = count_of(connection)

    def told() -> None:
        nonlocal done
        done += 1
        if done % 1000 == 0:
            progress(done, total)

    with _Folder(place, zipped) as folder:
        for sheet in sheets(connection):
            names.append(f"{sheet.name}.csv")
            folder.put(names[-1], (part.encode() for part in csv_of(sheet, told)))
        for file in kept_files(connection):
            names.append(f"weather/{file.name}")
            folder.put(names[-1], [file.content])
    return total, tuple(names)


class _Folder:
    """A new folder, or a new packed file that unpacks to one."""

    def __init__(self, place: Path, zipped: bool) -> None:
        self._place = place
        self._packed = zipfile.ZipFile(place, "w", zipfile.ZIP_DEFLATED) if zipped else None
        if not zipped:
            place.mkdir()

    def __enter__(self) -> _Folder:
        return self

    def __exit__(self, *_: object) -> None:
        if self._packed is not None:
            self._packed.close()

    def put(self, name: str, parts: Iterator[bytes] | list[bytes]) -> None:
        """A file in it."""
        if self._packed is not None:
            with self._packed.open(name, "w", force_zip64=True) as packed:
                for part in parts:
                    packed.write(part)
            return
        path = self._place / name
        path.parent.mkdir(exist_ok=True)
        with path.open("wb") as out:
            for part in parts:
                out.write(part)
