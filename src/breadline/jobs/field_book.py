"""What the phone pages ask of a book: which hives there are, what was entered, and what is open."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Any, cast
from uuid import UUID

from breadline import __version__
from breadline.errors import RecordError
from breadline.jobs.book import Book, key_of
from breadline.jobs.field_given import given_there
from breadline.jobs.field_record import Batch, Unread, batch_of
from breadline.jobs.field_why import in_pieces, in_pounds, why_said
from breadline.jobs.field_words import (
    OnPage,
    alone,
    entered,
    more_there,
    reading_words,
    said_words,
    there_words,
)
from breadline.jobs.rounds_visit import USUAL_FRAME
from breadline.jobs.sheet_fields import frame_words
from breadline.language import noted, say
from breadline.measures import Units, units_of
from breadline.need.words import day_and_year
from breadline.records import colonies, field, field_ends, field_questions, field_word, yard_region, yards
from breadline.records.engine import looking, writing
from breadline.records.field import Answered
from breadline.records.field_line import CLOCK
from breadline.records.field_sent import Sent
from breadline.records.field_stands import StandsThere, Taken
from breadline.sheets.works import Options

ANSWER_SHAPE = "breadline.field_answer/1"
YARDS_SHAPE = "breadline.field_yards/1"
NEW = "new"  # in the place of a hive's key: one that is not listed yet
POUNDS = (("454", "1 lb"), ("227", "½ lb"), ("0", noted("Nothing")))
GRAMS = (("500", "500 g"), ("250", "250 g"), ("0", "Nothing"))
POUND, KILOGRAM = {"unit": "lb", "kg": 0.45359237}, {"unit": "kg", "kg": 1.0}  # how hives are weighed
NOTHING_SHOWN = OnPage()
Document = dict[str, Any]


@dataclass(frozen=True)
class Question:
    """A record that a person has to look at, beside the one it does not agree with."""

    id: str
    yard: str
    tag: str
    on: str
    why: str
    says: str
    against: str
    hives: tuple[tuple[str, str], ...]  # the colonies that it could be of: key, and in words
    takes_back: bool = False
    known: bool = True  # whether the hive that it was entered for is listed, so that nobody need be named
    asks_day: bool = False  # whether a clock leaves it open of which day it is
    reason: str = ""  # what all that wait for one reason share; empty where that is not known
    day: str = ""  # as it is said
    feed_alone: bool = False  # whether keeping what stands leaves the rest of the entry in the book
    who: str = ""  # who entered it and when, and the other one
    other_who: str = ""
    lost: str = ""  # what the other one alone has, and goes with it
    asked: str = ""  # key of the question as it is asked now
    mends: bool = False  # whether the other one is what it is to take the place of, and counts until then


class FieldBook(Book):
    """A book as the phones see it."""

    def take(self, body: bytes, now: datetime | None = None, saved: bool = False, own: str = "") -> Document:
        """Write down what a phone sent, or saved as a file; the answer to each record.

        ``own`` names the page of ours that it comes from, which no phone can. All that is answered
        ``stored`` is in the file when this returns.

        Errors
        ------
        InputToMend
            If it is no batch of a phone; then nothing is written.
        """
        now = now or datetime.now(UTC)
        batch = batch_of(body, now, saved, own)
        with writing(self._engine) as session:
            read = [one for one in batch.records if not isinstance(one, Unread)]
            said = iter(field.take_all(session, read, now))
            answers = [one if isinstance(one, Unread) else next(said) for one in batch.records]
        if saved:  # a phone shows what it sent beside the answer, a file does not
            pairs = enumerate(zip(batch.records, answers, strict=True), start=1)
            answers = [_of_hive(number, one, answer) for number, (one, answer) in pairs]
        return _answered(batch, answers, now)

    def yards_for_phones(self) -> Document:
        """Every yard with its hives in walking order, small enough to lie on a phone."""
        with looking(self._engine) as session:
            listed = [
                {"id": str(row.id), "name": row.name, "hives": _hives(colonies.in_rows(session, row.id))}
                for row in yards.yards(session)
            ]
            asked = field_questions.waiting(session)
        pieces = self.pieces()
        told: Document = {
            "shape": YARDS_SHAPE, "operation": self.operation_name,
            "yards": given_there(self, listed, self.units),
            "definitions": [[key, words] for key, words in self.meanings()], "usual": USUAL_FRAME,
            "pieces": [[grams, say(words)] for grams, words in pieces],
            "weight": POUND if pieces == POUNDS else KILOGRAM,
        }  # fmt: skip
        told["digest"] = hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:16]
        return told | {"asked": asked, "program": __version__, "now": datetime.now(UTC).isoformat()}

    def pieces(self) -> Options:
        """What can be laid on a colony, in grams and in the words of the country."""
        with looking(self._engine) as session:
            countries = {row.country for row in yard_region.facts(session)}
        return POUNDS if all(units_of(country) == "lb" for country in countries) else GRAMS

    @property
    def units(self) -> Units:
        """In which the phone and its sheets weigh."""
        return "lb" if self.pieces() == POUNDS else "g"

    def meanings(self) -> list[tuple[str, str]]:
        """What a frame of bees can mean: key, and words with the bees that this book counts on it."""
        return list(frame_words(self._shelf(), short=True).items())

    def place_hives(self, yard_id: str, rows: list[tuple[str, str]]) -> int:
        """Write the hives of a yard down in walking order, each by tag and place; how many stand there now.

        Errors
        ------
        RecordError
            If there is no such yard, a tag is empty, or one stands there twice.
        """
        key, seen = key_of(yard_id), set()
        for tag, _ in rows:
            if tag.casefold() in seen:
                raise RecordError(
                    f"hive {tag}",
                    say("it stands in the list twice"),
                    say("each tag once"),
                    say("Mend the list"),
                )
            seen.add(tag.casefold())
        with writing(self._engine) as session:
            yards.fact(session, key)
            colonies.place_row(session, key, rows)
            return sum(one.standing == "stands" for one in colonies.in_rows(session, key))

    def hives(self, yard_id: str) -> tuple[str, list[colonies.InRow]]:
        """Name of a yard, and its hives in walking order, with those that are gone."""
        key = key_of(yard_id)
        with looking(self._engine) as session:
            return yards.fact(session, key).name, colonies.in_rows(session, key)

    def hive_counts(self) -> list[tuple[str, str, int]]:
        """Every yard by key and name, with how many hives are listed as standing there."""
        with looking(self._engine) as session:
            listed = yards.yards(session)
            stand = colonies.standing_there(session, [row.id for row in listed])
            return [(str(row.id), row.name, stand[row.id]) for row in listed]

    def hive_ended(self, hive: str, standing: str, into: str, on: date | None = None) -> None:
        """Write down what became of a hive, from a day on, in its running check group too; today without.

        Errors
        ------
        RecordError
            If it cannot have become so, the day lies ahead, or its check group has another end of it:
            nothing is changed then.
        """
        on = self._up_to_today(on or self.today)
        key, other = _key(hive, "hive"), _key(into, "hive") if into else None
        with writing(self._engine) as session:
            before = colonies.row_of(session, key)
            again = colonies.stands_so(session, key, standing, on, other)
            if not again:  # else the form was sent twice
                colonies.ended(session, key, cast(colonies.Standing, standing), on, other)
            field_ends.row_ended(session, before, standing, on, other, again)

    def _up_to_today(self, on: date) -> date:
        if on > self.today:
            raise RecordError(
                "day", say("{on} lies ahead of today, {today}", on=on, today=self.today),
                say("a day up to today"),
            )  # fmt: skip
        return on

    def questions(self) -> tuple[Question, ...]:
        """What waits for a person, oldest first."""
        worded = self.worded()
        with looking(self._engine) as session:
            return tuple(self._question(session, one, worded) for one in field_questions.questions(session))

    def decide(
        self,
        entry_id: str,
        take: bool,
        colony: str,
        because: str,
        on: date | None = None,
        page: OnPage = NOTHING_SHOWN,
    ) -> int:
        """A person's word on a question: take the entry, for which hive or a ``NEW`` one, or set it aside.

        ``on`` is another day than the one that it was written down for. After ``MoreThere`` it is set
        aside whole. How many are asked on: 1 where something else stands in its way now.

        Errors
        ------
        RecordError
            If there is no such question, or another one by now than on the ``page``, no hive to take it
            for, or the day lies ahead or cannot be; ``MoreThere`` where something stands at the hive
            that was not shown: nothing is written then.
        """
        if take and on is not None:
            self._up_to_today(on)
        key, new = _key(entry_id, "question"), colony == NEW
        of = _key(colony, "hive") if colony and not new else None
        with writing(self._engine) as session:
            asked: UUID | None = key
            named = of is not None or new
            if take:
                _as_on_page(session, key, page.asked)
            if take and on is not None:
                asked = field_word.of_day(session, key, on, because, datetime.now(UTC), named)
            if not take and page.shown is None:
                field_word.set_aside(session, key, because)
            elif not take:
                field_word.decide(session, key, False, None, because)
            elif asked is not None and (named or on is None):  # else what stands in its way is asked next
                shown = None if page.shown is None else frozenset(page.shown)
                self._take(session, asked, Taken(of, new, shown), because)
            return field_questions.still_asked(session, [key] if asked is None else [key, asked])

    def _take(self, session: Any, key: UUID, hive: Taken, because: str) -> None:
        try:
            field_word.answer(session, key, True, hive, because)
        except StandsThere as found:
            raise more_there(session, found, self.worded()) from None

    def worded(self) -> Callable[[str], str]:
        """What was laid on and weighed in the words and units of the country, as it was tapped or keyed."""
        pieces = self.pieces()
        return lambda says: (
            in_pounds(in_pieces(says, pieces)) if pieces == POUNDS else in_pieces(says, pieces)
        )

    def decide_all(self, entry_ids: Sequence[str], take: bool, because: str) -> int:
        """One word on several questions: each entry is taken for the hive it was entered for, or set aside.

        Each is named by its key, and behind a dot by that of its question as the page had it.

        How many are asked on, since something else stands in their way now.

        Errors
        ------
        RecordError
            If one of them was answered before, is another question by now, its hive is open, or more would
            give way than was shown; then none is decided.
        """
        with writing(self._engine) as session:
            words = [one.partition(".") for one in entry_ids]
            keys = [_key(one, "question") for one, _, _ in words]
            for key, (_, _, asked) in zip(keys, words, strict=True):
                if take:
                    _as_on_page(session, key, asked)
            shown = {key: field_questions.shown_now(session, key) for key in keys} if take else {}
            for key in keys:
                if take:
                    self._take(session, key, Taken(shown=shown[key]), because)
                else:
                    field_word.set_aside(session, key, because)
            return field_questions.still_asked(session, keys)

    def _question(self, session: Any, one: field_questions.Open, worded: Callable[[str], str]) -> Question:
        entry, against = one.entry, one.against
        rows = colonies.in_rows(session, entry.yard_id)
        apart = _told_apart(rows, entry.tag)  # the hive that it was entered for is offered as that
        hives = tuple((str(row.id), words) for row, words in apart if row.id != entry.colony_id)
        name, asked_by = yards.fact(session, entry.yard_id).name, one.asked_by or {}
        other = said_words(against.told) if against is not None else there_words(asked_by)
        return Question(
            id=str(entry.id), yard=name, tag=entry.tag, on=entry.on.isoformat(), day=day_and_year(entry.on),
            why=worded(why_said(one.why, one.asked_by, reading_words)), reason=asked_by.get("say", ""),
            says=worded(said_words(entry.told)), against=worded(other) if other else "", hives=hives,
            takes_back=entry.withdraws is not None, known=entry.colony_id is not None,
            asks_day=one.why.startswith(CLOCK), feed_alone=one.feed_alone,
            who=entered(entry), other_who="" if against is None else entered(against),
            lost="" if against is None else worded(alone(against, entry)),
            mends=against is not None and one.own, asked=one.key,
        )  # fmt: skip


def _as_on_page(session: Any, key: UUID, asked: str) -> None:
    """Refuse a word on a question that is another one by now than on the page that it was said on."""
    if asked and field_questions.asked_otherwise(session, key, asked):
        raise RecordError(
            "question", say("what it is held against changed since the page was opened"),
            say("your word on it as it is now"), say("Look at it again"),
        )  # fmt: skip


def _told_apart(rows: list[colonies.InRow], tag: str) -> list[tuple[colonies.InRow, str]]:
    """The hives that stand and those that wore this tag, each in words of its own."""
    here = [one for one in rows if one.standing == "stands" or one.tag.casefold() == tag.casefold()]
    found: list[tuple[colonies.InRow, str]] = []
    for one in here:
        alike = [each for each in here if each.tag.casefold() == one.tag.casefold()]
        nth = say("hive {n} of this tag", n=alike.index(one) + 1) if len(alike) > 1 else ""
        gone = "" if one.standing == "stands" else f"{say(one.standing)} {one.since or ''}".strip()
        parts = [one.tag, one.place if nth or gone else "", gone, nth]
        found.append((one, ", ".join(part for part in parts if part)))
    return found


def _key(text: str, what: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        raise RecordError(
            what,
            say("“{text}” is no key", text=text[:60]),
            say("one of the page"),
            say("Open the page again"),
        ) from None


def _hives(rows: list[colonies.InRow]) -> list[Document]:
    return [
        {"tag": one.tag, "place": one.place, "standing": one.standing}
        | ({"into": one.into} if one.into else {})
        for one in rows
    ]


def _of_hive(number: int, one: Sent | Unread, answer: Answered | Unread) -> Answered | Unread:
    """The answer to a record that was refused, with its hive, or where it stands in its file."""
    tag = one.tag.strip()
    taken = isinstance(answer, Answered) and answer.answer != "refused"
    if taken or answer.why.startswith(f"hive {tag}:"):
        return answer
    where = say("hive {tag}", tag=tag) if tag else say("record {n} of the file", n=number)
    return replace(answer, why=say("{part}: {wrong}", part=where, wrong=answer.why))


def _answered(batch: Batch, answers: list[Answered | Unread], now: datetime) -> Document:
    return {
        "shape": ANSWER_SHAPE,
        "now": now.isoformat(),
        "answers": [
            {"id": one.id, "answer": "refused", "why": one.why} if isinstance(one, Unread)
            else {"id": str(one.id), "answer": one.answer, "why": one.why}
            for one in answers
        ],
    }  # fmt: skip
