"""A tally sheet keyed in on the laptop: checked whole, shown, and written down as a phone's entries are."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.jobs.book import key_of
from breadline.jobs.check_hives import CheckRow, check_rows
from breadline.jobs.field_paper import FieldPaper
from breadline.jobs.field_record import SHAPE, batch_of
from breadline.jobs.field_why import why_said
from breadline.jobs.field_words import reading_words, said_words
from breadline.jobs.keyed_rows import Keyed, Wrong, blanked, day_of, each_once, noon_of, record_of
from breadline.language import say
from breadline.records import field, field_days
from breadline.records.engine import looking, writing
from breadline.records.field import Answered
from breadline.records.field_given_way import PAPER
from breadline.records.field_line import answer_of
from breadline.records.field_sent import Sent
from breadline.records.field_tables import FieldEntry
from breadline.records.ids import new_id
from breadline.records.whys import told_by
from breadline.sheets.works import Ask, Work, asks, work_of

THERE = {"there": "duplicate", "waits": "conflict"}  # what is not written again, and as what it is counted
TURNS = 16  # keys kept for each row: it can be mended so often
Document = dict[str, Any]


@dataclass(frozen=True)
class Understood:
    """One hive as it will be written down; ``becomes`` is new, mends, there, waits, alike, question or back.

    Alike is what a phone entered word for word: it is kept beside that entry, and counts once. What waits
    was keyed in before and is a question since.
    """

    tag: str
    says: str
    becomes: str
    record: Document
    asks: str = ""  # where a check hive was fed
    why: str = ""  # of a question


def fresh_form() -> str:
    """The key of a form: those of its records follow it."""
    return str(UUID(int=new_id().int >> 16 << 16))


def _first_key(form: str) -> int:
    """The key of a form as a number; the record of row n is ``n * TURNS`` after it."""
    try:
        key = UUID(form)
    except ValueError:
        key = None
    if key is None or key.version != 7 or key.int & 0xFFFF:
        raise RecordError(
            "sheet", say("its key is none of ours"), say("a page of this program"), say("Open it again")
        )
    return key.int


class KeyingBook(FieldPaper):
    """A book into which sheets are keyed."""

    def asked(self, work: Work) -> tuple[Ask, ...]:
        """The columns of a sheet."""
        return asks(work, self.pieces())

    def understood(self, yard_id: str, keyed: Keyed) -> tuple[list[Understood], list[Wrong]]:
        """What a sheet says, hive by hive, or all that is to be mended in it; nothing is written."""
        wrong: list[Wrong] = []
        work, first = work_of(keyed.work), _first_key(keyed.form)
        on = day_of(keyed.on, self.today, datetime.now(UTC), wrong)
        if keyed.means not in dict(self.meanings()):
            said = say("It is not said what a frame of bees is. Open the page again, or choose it.")
            wrong.append(Wrong("means", said))
        known = {one.tag.casefold() for one in self.hives(yard_id)[1]}
        told = [
            record_of(n, row, known, self.asked(work), keyed, wrong)
            for n, row in enumerate(keyed.rows)
            if not blanked(row)
        ]
        each_once(keyed, wrong)
        emptied = [n for n, row in enumerate(keyed.rows) if blanked(row)]
        gone = self._emptied(first, emptied) if not wrong and on is not None else []
        if not told and not gone and not wrong:
            wrong.append(Wrong("frames-0", say("Nothing is keyed in yet.")))
        if wrong or on is None:
            return [], wrong
        at = noon_of(on).isoformat()
        for record in told:
            record |= {"work": work, "yard": yard_id, "at": at}
        check = check_rows(self, yard_id, on) if work == "round" else {}
        placed = [
            replace(one, asks=_fed_check(one.record, check)) for one in self._placed(yard_id, on, first, told)
        ]
        return self._foretold(keyed, [*placed, *gone])

    def _foretold(self, keyed: Keyed, rows: list[Understood]) -> tuple[list[Understood], list[Wrong]]:
        """Rows with what the book would answer to them now: it is asked in earnest, and none of it stays."""
        body, now = _body([one for one in rows if one.becomes not in THERE]), datetime.now(UTC)
        sent = [one for one in batch_of(body, now, own=PAPER).records if isinstance(one, Sent)]
        with writing(self._engine) as session:
            step = session.begin_nested()
            answers = {str(one.id): one for one in field.take_all(session, sent, now)}
            step.rollback()
        refused = [
            (one.tag, answers[key].why) for one in rows if _is(answers, key := one.record["id"], "refused")
        ]
        worded = self.worded()

        def told(one: Understood) -> Understood:
            if not _is(answers, one.record["id"], "conflict"):
                return one
            why = answers[one.record["id"]].why
            said = worded(why_said(str(why), told_by(why), reading_words))
            return replace(one, becomes="question", why=said)

        return ([], _wrongs(keyed, refused)) if refused else ([told(one) for one in rows], [])

    def _emptied(self, first: int, rows: list[int]) -> list[Understood]:
        """Rows that were blanked after they were written down: what was written is taken back."""
        found = []
        worded = self.worded()
        with looking(self._engine) as session:
            for n in rows:
                turn, before = _newest(session, first + n * TURNS)
                answer = None if before is None else answer_of(session, before.id)
                if before is not None and before.withdraws:
                    found.append(Understood(before.tag, say("taken back"), "there", {"id": str(before.id)}))
                if before is None or answer is None or answer.answer not in ("stored", "conflict"):
                    continue
                told = {part: before.told[part] for part in ("work", "yard", "tag", "at")}
                told |= {"id": str(UUID(int=first + n * TURNS + turn)), "withdraws": str(before.id)}
                told |= {"because": "its row of the sheet was blanked", "by": before.by}
                says = worded(said_words(before.told))
                found.append(Understood(before.tag, says, "back", told))
        return found

    def write(self, yard_id: str, keyed: Keyed) -> tuple[Document, list[Wrong]]:
        """Write a sheet down, once however often it is sent: the answer to each record.

        Errors
        ------
        RecordError
            If there is no such yard or work.
        """
        rows, wrong = self.understood(yard_id, keyed)
        if wrong:
            return {}, wrong
        body = _body([one for one in rows if one.becomes not in THERE])
        answer = self.take(body, datetime.now(UTC), own=PAPER)
        answer["answers"] += [
            {"id": one.record["id"], "answer": THERE[one.becomes], "why": ""}
            for one in rows
            if one.becomes in THERE
        ]
        counts = {"back": "back", "alike": "duplicate"}  # as what is stored of them is counted
        becomes = {one.record["id"]: counts.get(one.becomes, "stored") for one in rows}
        for one in answer["answers"]:
            if one["answer"] == "stored":
                one["answer"] = becomes[one["id"]]
        tags = {one.record["id"]: one.tag for one in rows}
        refused = [(tags[one["id"]], one["why"]) for one in answer["answers"] if one["answer"] == "refused"]
        return answer, _wrongs(keyed, refused)

    def _placed(self, yard_id: str, on: date, first: int, told: list[Document]) -> list[Understood]:
        """Each record with its key, and with what becomes of it beside what is in the book."""
        worded = self.worded()
        with looking(self._engine) as session:
            day = field_days.entries(session, key_of(yard_id), on)
            found = []
            for record in told:
                place = first + record.pop("row") * TURNS
                turn, before = _newest(session, place)
                if before is not None and (before.withdraws or not _stands(session, before)):
                    before = None  # taken back, or set aside by a person: the row is told anew
                found.append(_becomes(record, before, turn, place, day))
            return [replace(one, says=worded(one.says)) for one in found]


def _body(rows: list[Understood]) -> bytes:
    """Rows as a phone would send them."""
    told = {"shape": SHAPE, "phone": PAPER, "records": [one.record for one in rows]}
    return json.dumps(told).encode()


def _is(answers: Mapping[str, Answered], key: str, answer: str) -> bool:
    return key in answers and answers[key].answer == answer


def _wrongs(keyed: Keyed, refused: list[tuple[str, str]]) -> list[Wrong]:
    """What the book refuses, tag and why, at the rows of the sheet."""
    places = {row.tag.strip().casefold(): n for n, row in enumerate(keyed.rows) if not row.blank}
    return [Wrong(f"frames-{places.get(tag.casefold(), 0)}", _refused(tag, why)) for tag, why in refused]


def _refused(tag: str, why: str) -> str:
    """Why a hive was not written down, with its name once and one full stop."""
    why = why.removeprefix(f"hive {tag}: ").rstrip(".")
    return say("Hive {tags}: {one}.", tags=tag, one=why)


def _fed_check(record: Document, check: Mapping[str, CheckRow]) -> str:
    """What is asked where feed was laid on a hive of a check group; empty where none was."""
    seen = record.get("seen", {})
    put = seen.get("put_on", {})
    given = float(put.get("value") or put.get("word") or 0.0)
    row = check.get(record["tag"].casefold(), check.get("*"))
    frames = seen.get("frames_of_bees", {}).get("value")
    if row is None or not given or (frames is not None and frames < row.rescue_below):
        return ""
    return say("check hive, gets {gets}: was it fed?", gets=row.gets)


def _newest(session: Session, place: int) -> tuple[int, FieldEntry | None]:
    """The next turn of a row, and what it was last written down as."""
    turn, before = 0, None
    while turn < TURNS - 1 and (row := session.get(FieldEntry, UUID(int=place + turn))):
        turn, before = turn + 1, row
    return turn, before


def _stands(session: Session, entry: FieldEntry) -> bool:
    """Whether it was not taken back, on a page of the laptop."""
    now = answer_of(session, entry.id)
    return now is None or now.answer != "withdrawn"


def _becomes(
    record: Document, before: FieldEntry | None, turn: int, place: int, day: list[tuple[FieldEntry, str]]
) -> Understood:
    """Its key: the next of its row, unless it was written down just so."""
    says = said_words(record)
    waiting = {entry.id for entry, answer in day if answer == "conflict"}
    if before is not None and _same(before.told, record):
        becomes = "waits" if before.id in waiting else "there"
        return Understood(record["tag"], says, becomes, record | {"id": str(before.id)})
    record = record | {"id": str(UUID(int=place + turn))}
    if before is not None:
        return Understood(record["tag"], says, "mends", record | {"mends": str(before.id)})
    alike = [(one, answer) for one, answer in day if _same(one.told, record)]
    if any(answer == "stored" for one, answer in alike if one.phone == PAPER):
        return Understood(record["tag"], says, "there", record)
    if any(answer == "conflict" for one, answer in alike if one.phone == PAPER):
        return Understood(record["tag"], says, "waits", record)
    return Understood(
        record["tag"], says, "alike" if any(answer == "stored" for _, answer in alike) else "new", record
    )


def _same(told: Document, record: Document) -> bool:
    """Whether two entries say the same of a hive."""
    parts = ("tag", "work", "at", "seen", "standing", "spoken")
    mine, other = ([one.get(part) or None for part in parts if part != "at"] for one in (record, told))
    return mine == other and str(told.get("at"))[:10] == str(record.get("at"))[:10]
