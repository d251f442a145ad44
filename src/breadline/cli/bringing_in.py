"""``breadline import``: a sheet into a book, or a whole book from its export."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from breadline.cli.keeping import progress
from breadline.cli.printed import say, shown, told
from breadline.errors import RecordError
from breadline.jobs.bring_in import LookedOver, NotReady, brought_in, looked_over
from breadline.jobs.bring_in_told import (
    brought_document,
    look,
    looked_document,
    matched,
    mend_sheet,
    option_of,
    some,
)
from breadline.jobs.sheet_read import SheetAsked
from breadline.language import say as worded
from breadline.language import say_as
from breadline.records.address import absolute, book_at
from breadline.records.copies import refuse_what_stands


@dataclass(frozen=True)
class Asking:
    """What was typed."""

    book: str
    file: Path
    asked: SheetAsked
    look: bool
    mend: Path | None
    as_json: bool


def pairs(typed: list[str] | None, option: str) -> dict[str, str]:
    """ "Head=field" as a head and its field."""
    found = {}
    for text in typed or []:
        left, sign, right = text.rpartition("=")
        if not sign:
            raise RecordError(
                option, worded("“{text}” has no equals sign", text=text), worded("such as bread=frames")
            )
        found[left] = right
    return found


def run(asking: Asking) -> int:
    """Bring in, or say what is asked and what is to be mended; 2 where something is."""
    if not asking.file.is_file():
        raise RecordError(
            str(asking.file),
            worded("there is no such file"),
            worded("a CSV or XLSX file"),
            worded("Check the path"),
        )
    if asking.mend is not None:
        refuse_what_stands(asking.mend)
    if asking.file.suffix.lower() == ".json":
        return _whole_book(asking)
    content, at, today = asking.file.read_bytes(), book_at(asking.book), date.today()
    with progress(worded("Reading the sheet …")) as step:
        if asking.look:
            return _looked(looked_over(at, asking.file.name, content, asking.asked, today, step), asking)
        try:
            done = brought_in(at, asking.file.name, content, asking.asked, today, step)
        except NotReady as wanted:
            return _looked(wanted.seen, asking)
    if asking.as_json:
        shown(brought_document(done))
    else:
        say(done.sentence)
    return 0


def _looked(seen: LookedOver, asking: Asking) -> int:
    if asking.mend is not None and seen.faults:
        asking.mend.write_bytes(mend_sheet(seen))
    if asking.as_json:
        shown(looked_document(seen))
        return 0 if seen.ready else 2
    told([("bold", seen.sentence), *(("dim", line) for line in seen.told.said)])
    for head, such, _, name in matched(seen):
        line = (
            worded("“{head}” is the {name}", head=head, name=say_as("column", name))
            if name
            else worded("“{head}” is left out", head=head)
        )
        told([("", f"  {line}" + (worded(", such as “{such}”", such=such) if such else ""))])
    for one in seen.questions:
        told([("bold", one.text)])
        told([("", f"- {option_of(one)}{' ' if not option_of(one).endswith('=') else ''}{answer}: {words}")
              for answer, words in one.choices])  # fmt: skip
    told([("", f"- {line}") for line in some(seen.faults)])
    if seen.faults and asking.mend is None:
        say(
            worded("--mend FILE.csv writes the sheet again with a column that says what to mend in each row.")
        )
    elif seen.faults:
        say(worded("{mend} holds the rows with what to mend.", mend=asking.mend))
    heads, rows = look(seen)
    if rows:
        told([("bold", worded("The first rows as they would be written down:"))])
        told(
            [("", "  " + "; ".join(f"{h} {c}" for h, c in zip(heads, row, strict=True) if c)) for row in rows]
        )
    return 0 if seen.ready else 2


def _whole_book(asking: Asking) -> int:
    from breadline.jobs.export_json import book_from_json

    if asking.asked != SheetAsked(new_colonies=asking.asked.new_colonies, same_feed=asking.asked.same_feed):
        raise RecordError(
            str(asking.file), worded("a whole book needs no columns and units said"), worded("the file alone")
        )
    at = book_at(asking.book)
    with progress(worded("Making the book and reading it back …")):
        done = book_from_json(asking.file, at)
    if asking.as_json:
        shown({
            "shape": "breadline.import_book/1", "file": str(asking.file), "book": absolute(at),
            "records": done.records, "tables": dict(done.tables), "sha256": done.sha256,
        })  # fmt: skip
    else:
        say(
            worded(
                "{book} was made from {file} and read back: {records:,} records, the same.",
                book=asking.book,
                file=asking.file,
                records=done.records,
            )
        )
    return 0
