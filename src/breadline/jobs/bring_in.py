"""A sheet brought into a book: looked over against it first, then all of it or nothing, and never twice."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.jobs.sheet_fields import frame_words
from breadline.jobs.sheet_known import Known, faults_against, fed_by_hive, known_of
from breadline.jobs.sheet_places import regions_said
from breadline.jobs.sheet_read import Fault, Question, Row, SheetAsked, Understood, rows_read, understood
from breadline.jobs.sheet_written import written
from breadline.jobs.unswept import unswept
from breadline.knowledge.shelf import load
from breadline.language import say, say_counted
from breadline.need.words import counted
from breadline.records import brought, figure_edits
from breadline.records.address import BookAt
from breadline.records.engine import is_there, looking, open_book, shut_book, writing

Progress = Callable[[int, int], None]
MADE: Mapping[str, Callable[[int], str]] = {
    "yards": lambda n: counted(n, "yard", "yards"),
    "colonies": lambda n: counted(n, "colony", "colonies"),
    "visits": lambda n: counted(n, "visit", "visits"),
    "readings": lambda n: counted(n, "reading", "readings"),
}
SHOWN = 20  # faults in a message


@dataclass(frozen=True)
class LookedOver:
    """A sheet held against the book: what would come in, what is known, what is asked and to be mended."""

    told: Understood
    asked: SheetAsked
    questions: tuple[Question, ...]
    fresh: tuple[Row, ...] = field(repr=False)
    before: int  # rows that came in before
    faults: tuple[Fault, ...]
    new_colonies: tuple[str, ...]
    came_on: date | None  # when this very file came in before
    answered: tuple[Question, ...] = ()  # questions that have their answer, to be changed

    @property
    def ready(self) -> bool:
        """Whether it can be written down as it is."""
        return not self.questions and not self.faults

    @property
    def sentence(self) -> str:
        """What would happen, in one sentence."""
        name = self.told.cells.name
        if self.questions:
            return say_counted(
                "{name}: {n} question has to be answered first.",
                "{name}: {n} questions have to be answered first.",
                len(self.questions), name=name,
            )  # fmt: skip
        if self.faults:
            rows = len({one.line for one in self.faults})
            return say_counted(
                "{name}: {n} row has to be mended; nothing is written down till then.",
                "{name}: {n} rows have to be mended; nothing is written down till then.",
                rows, n=f"{rows:,}", name=name,
            )  # fmt: skip
        if not self.fresh:
            return say(
                "{name}: all {n:,} rows came in before; there is nothing to add.", name=name, n=self.before
            )
        known = " " + say("{n:,} came in before.", n=self.before) if self.before else ""
        new = say(
            "{name}: {rows} of {what} to write down.",
            name=name, rows=counted(len(self.fresh), "row", "rows"), what=say(self.told.holds),
        )  # fmt: skip
        return f"{new}{known}"


class NotReady(RecordError):
    """A sheet of which something is asked or to be mended; ``seen`` says what."""

    def __init__(self, seen: LookedOver) -> None:
        first = [str(one) for one in seen.faults[:SHOWN]] or [one.text for one in seen.questions]
        more = " " + say("… and {n:,} more", n=len(seen.faults) - SHOWN) if len(seen.faults) > SHOWN else ""
        name, _, said = seen.sentence.partition(": ")
        super().__init__(name, f"{said} {' '.join(first)}{more}")
        self.seen = seen


@dataclass(frozen=True)
class BroughtIn:
    """What was written down."""

    name: str
    holds: str
    rows: int
    before: int
    made: Mapping[str, int]  # yards, colonies, visits, readings
    # What of the sheet nobody sees who looks at it, and is taken all the same: said where it is shown.
    hidden: tuple[Callable[[], str], ...] = field(default=(), compare=False)

    @property
    def sentence(self) -> str:
        """The same in one sentence."""
        if not self.rows:
            return say(
                "Nothing was added: all {n:,} rows of {name} came in before.", n=self.before, name=self.name
            )
        parts = ", ".join(MADE[what](count) for what, count in self.made.items() if count)
        known = ""
        if self.before:
            known = " " + say("{n:,} rows came in before and were left as they are.", n=self.before)
        rows = counted(self.rows, "row", "rows")
        told = say(
            "Brought in: {rows} of {name} ({parts}).", rows=rows, name=self.name,
            parts=parts or say("nothing new"),
        )  # fmt: skip
        return " ".join((f"{told}{known}", *(said() for said in self.hidden)))


def looked_over(
    at: BookAt,
    name: str,
    content: bytes,
    asked: SheetAsked,
    today: date,
    progress: Progress = lambda a, b: None,
) -> LookedOver:
    """Hold a sheet against a book; nothing is written.

    Errors
    ------
    RecordError
        If it is no sheet that can be understood.
    """
    with unswept(), _a_book(at) as book:
        told = understood(name, content, asked)
        with looking(open_book(book)) as session:
            return _looked(session, told, asked, today, progress)


@contextmanager
def _a_book(at: BookAt) -> Iterator[BookAt]:
    """The book, or an empty one that goes again where there is none yet: a look leaves nothing behind."""
    if is_there(at):
        yield at
        return
    with TemporaryDirectory(prefix="breadline-") as folder:
        empty = Path(folder) / "book.db"
        yield empty
        shut_book(open_book(empty))


def brought_in(
    at: BookAt,
    name: str,
    content: bytes,
    asked: SheetAsked,
    today: date,
    progress: Progress = lambda a, b: None,
) -> BroughtIn:
    """Write a sheet down, all of it or nothing; rows that came in before are left as they are.

    Errors
    ------
    NotReady
        If a question is not answered or a row has to be mended; then nothing is written.
    RecordError
        If it is no sheet that can be understood.
    """
    if not is_there(at):  # a sheet that cannot come in makes no book
        seen = looked_over(at, name, content, asked, today, progress)
        if not seen.ready:
            raise NotReady(seen)
    with unswept():
        return _brought_in(at, understood(name, content, asked), asked, today, progress)


def _brought_in(
    at: BookAt, told: Understood, asked: SheetAsked, today: date, progress: Progress
) -> BroughtIn:
    name = told.cells.name
    with writing(open_book(at)) as session:
        seen = _looked(session, told, asked, today, progress)
        if not seen.ready:
            raise NotReady(seen)
        made = written(session, told, asked, seen.fresh, known_of(session, told.holds))
        if seen.fresh or seen.came_on is None:
            digests = [row.digest for row in seen.fresh]
            brought.keep_sheet(session, name, told.sha256, told.holds, asked_document(asked, told), digests)
    return BroughtIn(name, told.holds, len(seen.fresh), seen.before, made, told.cells.hidden)


def asked_document(asked: SheetAsked, told: Understood) -> dict[str, Any]:
    """How a sheet was read, so that it can be read so again."""
    return {
        "sheet": told.cells.sheet, "head": told.head, "decimal": asked.decimal, "order": asked.order,
        "columns": {told.heads[place]: key for place, key in told.columns.items()},
        "units": dict(asked.units), "yard": asked.yard, "new_colonies": asked.new_colonies,
        "same_feed": asked.same_feed,
    }  # fmt: skip


def _looked(
    session: Session, told: Understood, asked: SheetAsked, today: date, progress: Progress
) -> LookedOver:
    before = brought.sheet_of(session, told.sha256)
    came_on = None if before is None else before.made_at.date()
    book = known_of(session, told.holds)
    questions = [_in_own_words(one, session) for one in told.questions]
    answered = [_in_own_words(one, session) for one in told.answered]
    (answered if asked.yard else questions).extend(_yard_question(told, book))
    blank = LookedOver(told, asked, tuple(questions), (), 0, (), (), came_on, tuple(answered))
    if questions:
        return blank
    rows, faults = rows_read(told, asked, today, progress)
    known = brought.known_rows(session, told.holds)
    fresh = [row for row in rows if row.digest not in known]
    against, new = faults_against(session, told, asked, fresh, book)
    if new:
        (questions if asked.new_colonies is None else answered).append(_new_question(new))
    twice = fed_by_hive(session, fresh, book) if told.holds == "readings" else []
    if twice:
        (questions if asked.same_feed is None else answered).append(_feed_question(twice))
    if asked.same_feed:
        fresh = [_not_fed(row) if row in twice else row for row in fresh]
    faults = sorted([*faults, *against], key=lambda one: one.line)
    said = regions_said(fresh) if told.holds == "yards" else ()
    return replace(
        blank, told=replace(told, said=(*told.said, *said)),
        questions=tuple(questions), answered=tuple(answered), fresh=tuple(row for row in fresh if row.sound),
        before=len(rows) - len(fresh),
        faults=tuple(faults), new_colonies=tuple(new),
    )  # fmt: skip


def _in_own_words(one: Question, session: Session) -> Question:
    """What a frame of bees can mean, each with the book's own number of bees."""
    if one.key != "unit:frames_of_bees":
        return one
    words = frame_words(load(figure_edits.current_edits(session)))
    return replace(one, choices=tuple((key, words[key]) for key, _ in one.choices))


def _yard_question(told: Understood, book: Known) -> list[Question]:
    if told.holds == "yards" or "yard" in told.columns.values():
        return []
    if not book.yards:
        raise RecordError(
            told.cells.name, say("no column says the yard, and the book has none"), say("a yard"),
            say("Bring the yards in first"),
        )  # fmt: skip
    return [Question("yard", say("No column says the yard. Which one is it?"),
                     tuple((name, name) for name in book.yard_names))]  # fmt: skip


def _new_question(new: list[str]) -> Question:
    some = ", ".join(new[:12]) + (say(" and {n} more", n=len(new) - 12) if len(new) > 12 else "")
    return Question(
        "new-colonies",
        say("The book does not know {hives}: {tags}. Are they new?",
            hives=counted(len(new), "hive", "hives"), tags=some),
        (("yes", say("yes, write them down")), ("no", say("no, the tags were misread"))),
    )  # fmt: skip


def _feed_question(rows: list[Row]) -> Question:
    some = ", ".join(f"{row.line}" for row in rows[:8]) + (" …" if len(rows) > 8 else "")
    some = say("Row {rows}", rows=some) if len(rows) == 1 else say("Rows {rows}", rows=some)
    return Question(
        "same-feed",
        say("{rows}: what a yard was fed on average, and the book has other portions of its hives on that "
            "day. "
            "Is it the same feed?", rows=some),
        (("yes", say("yes, and what is told hive by hive holds")),
         ("no", say("no, they were fed twice: both count"))),
    )  # fmt: skip


def _not_fed(row: Row) -> Row:
    return replace(row, values={key: value for key, value in row.values.items() if key != "put_on"})
