"""A yard written down, changed and looked at by hand, in forms; what was said before stays in the book."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import YardError
from breadline.jobs.book import Book, key_of
from breadline.jobs.look_typed import COMING_IN, look_from, typed_look
from breadline.jobs.typed_fields import all_said
from breadline.jobs.yard_typed import blooms_from, facts_from, typed_facts
from breadline.knowledge import shelf
from breadline.knowledge.calendars import regions
from breadline.language import noted, say, say_as
from breadline.need.words import quarter_frames
from breadline.need.yard import Bloom, Count
from breadline.records import readings, yard_rows, yards
from breadline.records.engine import looking, writing
from breadline.records.tables import Reading, YardFact
from breadline.records.yard_said import add_facts, add_look, bloom_rows, same_facts, say_facts

LOOKS = 8  # shown
READINGS = {
    "frames_of_bees": noted("frames of bees"), "frames_of_brood": noted("frames of brood"),
    "bread": noted("bread"), "honey": noted("honey"), "pollen_seen": noted("pollen coming in"),
    "mites_per_100": noted("mites per 100 bees"), "queens": noted("laying queens"),
    "fresh_arcs": noted("arcs of fresh pollen"), "foulbrood_signs": noted("signs of foulbrood"),
    "beetles_seen": noted("hive beetles"), "maggots_seen": noted("beetle maggots"),
}  # fmt: skip
YES_OR_NO = frozenset({"fresh_arcs", "foulbrood_signs", "beetles_seen", "maggots_seen"})


@dataclass(frozen=True)
class FactsNow:
    """What lasts of a yard as a form shows it; ``stands`` tells this state from any other."""

    name: str
    typed: Mapping[str, str]
    stands: str
    by_warmth: frozenset[str]  # names of blooms that begin by warmth


@dataclass(frozen=True)
class LookSaid:
    """A look as it stands in the book, in words."""

    id: str
    on: date
    says: str


class SaidBook(Book):
    """A book as its yards are typed in."""

    def facts_now(self, yard_id: str) -> FactsNow:
        """The facts of a yard.

        Errors
        ------
        RecordError
            If there is no such yard.
        """
        with looking(self._engine) as session:
            told, bloom, stands = _now(session, yard_id)
            by_warmth = frozenset(one.name for one in bloom if one.degree_days is not None)
            return FactsNow(told.name, typed_facts(told, bloom), stands, by_warmth)

    def new_yard(self, typed: Mapping[str, str]) -> str:
        """Write a new yard down; its key. The same form sent twice makes one yard.

        Errors
        ------
        YardError
            ``where`` is the field; also where another yard has this name.
        """
        told, bloom = facts_from(typed, self.today), blooms_from(typed, ())
        with writing(self._engine) as session:
            for one in yards.yards(session):
                if one.name == told.name:
                    if same_facts(yards.fact(session, one.id), told):
                        return str(one.id)
                    raise _name_taken(told.name)
            return str(add_facts(session, told, bloom))

    def say_facts(self, yard_id: str, typed: Mapping[str, str], stands: str) -> bool:
        """What lasts of a yard as it is said now; whether anything differs from before.

        Errors
        ------
        YardError
            ``where`` is the field; also where somebody else changed the yard since ``stands``.
        """
        key = key_of(yard_id)
        with writing(self._engine) as session:
            now, kept, stands_now = _now(session, yard_id)
            typed = all_said(typed, typed_facts(now, kept))
            told, bloom = facts_from(typed, self.today), blooms_from(typed, kept)
            told.notes = list(now.notes)
            if stands != stands_now and not (same_facts(told, now) and bloom == kept):
                raise YardError("stands", say("the yard was changed since this page was opened: {what}",
                                what=_differs(typed, typed_facts(now, kept))), "",
                                say("Look it over and send it again to put yours in its place"))  # fmt: skip
            if any(one.name == told.name and one.id != key for one in yards.yards(session)):
                raise _name_taken(told.name)
            return say_facts(session, key, told, bloom)

    def look_form(self, yard_id: str) -> tuple[str, dict[str, str]]:
        """Name of a yard, and what the form of a look begins with."""
        with looking(self._engine) as session:
            name = yards.fact(session, key_of(yard_id)).name
            return name, typed_look(self._count(session, yard_id), self.today)

    def say_look(self, yard_id: str, typed: Mapping[str, str]) -> bool:
        """Write a look down; False where the same stands already, as where a form was sent twice.

        Errors
        ------
        YardError
            ``where`` is the field.
        """
        with writing(self._engine) as session:
            looked = look_from(typed, self.today, self._count(session, yard_id))
            return add_look(session, key_of(yard_id), looked.look, looked.seen)

    def looks(self, yard_id: str) -> tuple[LookSaid, ...]:
        """What was told of the yard's average, newest first; hives one by one stand elsewhere."""
        with looking(self._engine) as session:
            found = []
            for visit in reversed(readings.visits(session, key_of(yard_id), self.today)):
                if yard_rows.hive_by_hive(visit):
                    continue
                said = [words for one in readings.of_visit(session, visit.id) if (words := _reading(one))]
                found += [LookSaid(str(visit.id), visit.on, ", ".join(said))] if said else []
                if len(found) == LOOKS:
                    break
            return tuple(found)

    def no_look(self, yard_id: str, look: str, because: str) -> None:
        """Take a look back; it stays in the book with the reason.

        Errors
        ------
        YardError
            Without a reason, or where the yard has no such look that still counts.
        """
        if not because.strip():
            raise YardError("because", say("is missing"), say("why it was wrong"), say("Fill it in"))
        if look not in {one.id for one in self.looks(yard_id)}:
            raise YardError("because", say("that look does not count any more"), say("one of those below"))
        with writing(self._engine) as session:
            readings.withdraw_visit(session, UUID(look), because.strip()[:200])

    def _count(self, session: Session, yard_id: str) -> Count | None:
        return yards.newest_count(session, key_of(yard_id), self.today)


def _reading(one: Reading) -> str:
    """A reading in a few words; "" where it has none of its own here, or is of one hive."""
    name = READINGS.get(one.kind)
    if name is None or one.colony_id is not None:
        return ""
    if one.kind in YES_OR_NO:
        return f"{say(name)}: {say('yes') if one.value else say('no')}"
    unit = f" {say_as('unit', one.unit)}" if one.kind == "bread" and one.unit else ""
    out_of = "" if one.out_of is None else f"/{one.out_of:g}"
    word = dict(COMING_IN).get(one.word or "", one.word) if one.kind == "pollen_seen" else one.word
    value = say(word) if word else "" if one.value is None else f"{_counted(one.value)}{out_of}{unit}"
    return f"{say(name)} {value}".strip()


def _counted(value: float) -> str:
    """A number as it was typed; quarters as they are said: "5½", "¼", "6.3"."""
    return quarter_frames(value) if (4.0 * value).is_integer() else f"{value:.4g}"


def frames_known() -> tuple[tuple[str, str], ...]:
    """The definitions of a frame of bees: key, and bees with what it means."""
    known = shelf.load().below("frame_of_bees")
    return tuple((one.key.split(".", 1)[1], f"{one.span.typical:,.0f}: {say(one.meaning)}") for one in known)


def calendars_known() -> tuple[tuple[str, str], ...]:
    """Starter calendars of bloom: key, and name with country."""
    return tuple((key, f"{say(name)}, {country}") for key, name, country in regions())


def _now(session: Session, yard_id: str) -> tuple[YardFact, tuple[Bloom, ...], str]:
    key = key_of(yard_id)
    told, rows = yards.fact(session, key), bloom_rows(session, key)
    stands = f"{told.id} {max((str(row.id) for row in rows), default='')} {len(rows)}"
    return told, tuple(yard_rows.bloom_from(row) for row in rows), stands


def _differs(typed: Mapping[str, str], now: Mapping[str, str]) -> str:
    """What stands now and is typed otherwise."""
    names = [key for key, value in now.items() if value != typed.get(key, "").strip() and "-" not in key]
    told = [f"{key.replace('_', ' ')} {now[key] or '–'}" for key in names[:6]]
    return ", ".join(told) or say("what blooms")


def _name_taken(name: str) -> YardError:
    return YardError("name", say("there is a yard named {name} already", name=name), say("another name"),
                     say("Change that yard on its own page, or give this one another name"))  # fmt: skip
