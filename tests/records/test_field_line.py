"""Mends that are asked about themselves, whatever becomes of what they mend and of them. Invented.

What the book should hold is told by a model that knows nothing of the program: of a hive that one phone
entered, one thing is written down, or none, and one question waits, or none.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from uuid import UUID

import pytest
from sqlalchemy import Engine

from breadline.records import colonies
from breadline.records.append_only import current
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_word import decide, of_day
from breadline.records.ids import new_id
from breadline.records.tables import Reading, Visit
from records.test_field import NOW, place, record, take

__all__ = ["place"]

THAT_DAY, OTHER_DAY = date(2026, 4, 29), date(2026, 5, 1)
AT = "2026-04-29T10:30:00+02:00"
MET = {"ahead": -2 * 86_400.0, "met": (NOW - timedelta(days=20)).isoformat()}  # leaves both days open
SEEDS = 4  # the first here, the others by ./scripts/soak tests
NUMBER, DAY, WHICH = "is it so", "the clock of the phone", "which one holds"


@dataclass
class Asked:
    """What waits for a person: of its day, of its number, or beside what a person had kept."""

    seen: dict
    day_open: bool
    big: bool
    day: date
    number: int  # in the order in which they were sent
    over: Asked | None = None  # what waited before it
    which: bool = False

    @property
    def why(self) -> str:
        """What is asked first."""
        return DAY if self.day_open else NUMBER if self.big else WHICH


@dataclass
class Model:
    """A hive as a phone sees it."""

    placed: Asked | None = None
    beside: list = field(default_factory=list)  # of another visit, by a person's word on the day
    asked: Asked | None = None
    refused: set = field(default_factory=set)  # what a person set aside
    moved: date | None = None
    sent: int = 0
    there: bool = False  # whether the phone has an entry to mend

    def send(self, seen: dict, day_open: bool, big: bool) -> None:
        """An entry, or a mend of the newest one."""
        self.sent, self.there = self.sent + 1, True
        day = self.moved or THAT_DAY
        new = Asked(seen, day_open and self.moved is None, big, day, self.sent, self.asked)
        if new.day_open or big:
            self.asked = new
        else:
            self._place(new)

    def _place(self, new: Asked) -> None:
        """In the place of what is written down of that day; asked where a person kept that since."""
        was = self.placed
        if was is not None and was.day == new.day and self.refused & {*range(was.number, new.number)}:
            self.asked = replace(new, big=False, over=None, which=True)
            return
        self._put(new)

    def _put(self, new: Asked) -> None:
        if self.placed is not None and self.placed.day != new.day:
            self.beside.append(self.placed)
        self.placed, self.asked = new, None

    def yes(self, day: date) -> None:
        """It is of this day, its number is so, it holds."""
        one = self.asked
        assert one is not None
        if one.which:
            self._put(one)
        elif one.day_open:
            one.day, one.day_open = day, False
            self.moved = day if day != THAT_DAY else self.moved
            if not one.big:
                self._place(one)
        else:
            self._place(one)

    def no(self) -> None:
        """It is set aside; what waited before its mend came waits again."""
        assert self.asked is not None
        self.refused.add(self.asked.number)
        self.asked = None if self.asked.which else self.asked.over

    def back(self) -> None:
        """Taken back altogether."""
        self.placed = self.asked = self.moved = None
        self.there = False

    @property
    def holds(self) -> list:
        """What counts, by day."""
        rows = [*self.beside, *([self.placed] if self.placed else [])]
        return sorted((one.day, kind, value) for one in rows for kind, value in one.seen.items())


class Hive:
    """The same of a real book: its own tag, one phone."""

    def __init__(self, book: Engine, place: UUID, tag: str) -> None:
        self.book, self.place, self.tag = book, place, tag
        self.newest: str | None = None
        with writing(book) as session:
            self.colony = colonies.place_colony(session, place, tag, f"pallet {tag}", int(tag[1:]))

    def send(self, seen: dict, day_open: bool) -> str:
        """What was seen, as a mend of the newest entry where there is one; how it was answered."""
        told = record(self.place, self.tag, at=AT, seen={
            kind: {"value": value, "unit": "frames", "definition": "one_layer"}
            for kind, value in seen.items()
        })  # fmt: skip
        told |= ({"clock": MET} if day_open else {}) | ({"mends": self.newest} if self.newest else {})
        self.newest = told["id"]
        return take(self.book, told)[0][0]

    def back(self) -> str:
        """The newest entry, taken back on its phone."""
        told = {"id": str(new_id()), "work": "look", "yard": str(self.place), "tag": self.tag, "at": AT,
                "withdraws": self.newest, "because": "wrong hive"}  # fmt: skip
        self.newest = None
        return take(self.book, told)[0][0]

    def word(self, take_it: bool, day: date = THAT_DAY) -> None:
        """A person's word on what waits of it."""
        with writing(self.book) as session:
            (one,) = self._asked(session)
            if take_it and day != THAT_DAY and one.why.startswith(DAY):
                of_day(session, one.entry.id, day, "on the lid", NOW)
            else:
                decide(session, one.entry.id, take_it, None, "looked again")

    def _asked(self, session) -> list:
        return [one for one in questions(session) if one.entry.tag == self.tag]

    def asked(self) -> list[tuple[str, str | None]]:
        """Why something waits, and beside which numbers."""
        with looking(self.book) as session:
            return [(one.why, None if one.against is None else {
                kind: told["value"] for kind, told in one.against.told["seen"].items()
            }) for one in self._asked(session)]  # fmt: skip

    def holds(self) -> list:
        """What counts, by day; each once, of one entry."""
        with looking(self.book) as session:
            rows = current(Reading).order_by(None).join(Visit, Visit.id == Reading.visit_id)
            rows = rows.where(Reading.colony_id == self.colony)
            told = session.execute(rows.with_only_columns(Visit.on, Reading.kind, Reading.value))
            return sorted(tuple(one) for one in told)


def agree(hive: Hive, model: Model, steps: list) -> None:
    """The book holds what the model does, and asks what it does."""
    assert hive.holds() == model.holds, steps
    asked = hive.asked()
    assert len(asked) == (model.asked is not None), steps
    if model.asked is not None:
        why, beside = asked[0]
        assert model.asked.why in why, steps
        held = model.placed
        same = held is not None and (model.asked.day_open or held.day == model.asked.day)
        assert beside == (held.seen if same and held else None), steps


def seen_now(picks: random.Random, big: bool) -> dict:
    """Bees, brood or both, one of them larger than any hive has where it is ``big``."""
    kinds = picks.choice([("frames_of_bees",), ("frames_of_brood",), ("frames_of_bees", "frames_of_brood")])
    seen = {kind: picks.randrange(2, 40) / 2 for kind in kinds}
    return seen | ({picks.choice(kinds): float(picks.randrange(61, 99))} if big else {})


def step(picks: random.Random, hive: Hive, model: Model, steps: list) -> None:
    """One thing that happens, to the book and to the model."""
    could = ["send"] * 3 + ["back"] * model.there + ["yes", "other", "no"] * (model.asked is not None)
    what = picks.choice(could)
    steps.append(what)
    if what == "send":
        day_open, big = picks.random() < 0.4, picks.random() < 0.4
        seen = seen_now(picks, big)
        steps[-1] = (what, seen, "of two days" if day_open else "")
        model.send(seen, day_open, big)
        answer = hive.send(seen, day_open)
        assert answer == ("conflict" if model.asked is not None else "stored"), (steps, hive.asked())
    elif what == "back":
        model.back()
        assert hive.back() == "stored"
    elif what == "no":
        model.no()
        hive.word(False)
    else:
        day = OTHER_DAY if what == "other" else THAT_DAY
        model.yes(day)
        hive.word(True, day)


@pytest.mark.parametrize(
    "seed", [0, *(pytest.param(seed, marks=pytest.mark.soak) for seed in range(1, SEEDS))]
)
def test_whatever_is_entered_mended_answered_and_taken_back_the_book_holds_what_was_meant(
    book: Engine, place, seed
) -> None:
    picks = random.Random(seed)
    for number in range(12):
        hive, model = Hive(book, place, f"H{10 + number}"), Model()
        steps: list = []
        for _ in range(picks.randrange(3, 10)):
            if model.beside and not model.there:
                break  # what is entered next is another entry of a day that has one, of another visit
            step(picks, hive, model, steps)
            agree(hive, model, steps)


@pytest.mark.parametrize("seen", [{"frames_of_bees": 8.0}, {"frames_of_bees": 75.0}])
@pytest.mark.parametrize("of_two_days", [True, False])
@pytest.mark.parametrize(("take_it", "left"), [(True, [6.0]), (False, None), (None, [])])
def test_what_waits_gives_way_to_a_mend_that_waits_too(
    book: Engine, place, seen, of_two_days, take_it, left
) -> None:
    """An entry of which something is asked, mended before anybody answered: one question is left."""
    hive = Hive(book, place, "H9")
    waits = of_two_days or seen["frames_of_bees"] > 60.0
    hive.send(seen, of_two_days)
    assert hive.send({"frames_of_bees": 6.0}, True) == "conflict"
    ((why, beside),) = hive.asked()
    assert why.startswith(DAY)
    assert beside == (None if waits else seen), "what is written down stands beside it, and counts"
    if take_it is None:
        assert hive.back() == "stored"
    else:
        hive.word(take_it)
    held = [value for _, _, value in hive.holds()]
    assert held == (left if left is not None else [] if waits else [8.0])
    assert len(hive.asked()) == (take_it is False and waits), "the first waits again"


def test_what_a_doubtful_mend_was_to_replace_is_seen_beside_it_and_goes_with_it(book: Engine, place) -> None:
    hive = Hive(book, place, "H9")
    hive.send({"frames_of_bees": 6.0}, False)
    hive.send({"frames_of_bees": 75.0}, False)
    assert hive.asked()[0][1] == {"frames_of_bees": 6.0}
    assert [value for _, _, value in hive.holds()] == [6.0], "it counts as long as nobody has answered"
    hive.back()
    assert (hive.holds(), hive.asked()) == ([], [])


@pytest.mark.parametrize("named", [True, False])
def test_another_phones_entry_does_not_go_unasked_where_a_number_is_so(book: Engine, place, named) -> None:
    hive = Hive(book, place, "H9")
    hive.send({"frames_of_bees": 6.0}, False)
    told = record(place, "H9", at=AT, seen={"frames_of_bees": {"value": 75.0, "unit": "frames"}})
    assert take(book, told, phone="crew 2")[0][0] == "conflict"
    with writing(book) as session:
        (one,) = questions(session)
        decide(session, one.entry.id, True, hive.colony if named else None, "looked again")
    ((why, beside),) = hive.asked()
    assert "on another phone" in why
    assert beside == {"frames_of_bees": 6.0}
    assert [value for _, _, value in hive.holds()] == [6.0]
    hive.word(True)
    assert [value for _, _, value in hive.holds()] == [75.0]


def test_the_day_of_a_doubtful_entry_stays_open_where_what_it_mends_is_taken_back(
    book: Engine, place
) -> None:
    hive = Hive(book, place, "H9")
    hive.send({"frames_of_bees": 6.0}, False)
    first = hive.newest
    hive.send({"frames_of_bees": 7.0}, True)
    newest, hive.newest = hive.newest, first
    hive.back()
    assert hive.holds() == []
    ((why, beside),) = hive.asked()
    assert why.startswith(DAY)
    assert beside is None
    hive.newest = newest
    hive.word(True, OTHER_DAY)
    assert hive.holds() == [(OTHER_DAY, "frames_of_bees", 7.0)]


@pytest.mark.parametrize("value", [7.0, 75.0])
def test_another_phones_taking_back_reaches_what_took_the_place_of_the_entry(
    book: Engine, place, value
) -> None:
    """It named the entry; a person who says yes to it sees the mend beside it, and means that."""
    hive = Hive(book, place, "H9")
    hive.send({"frames_of_bees": 6.0}, False)
    first = hive.newest
    told = {"id": str(new_id()), "work": "look", "yard": str(place), "tag": "H9", "at": AT,
            "withdraws": first, "because": "wrong hive"}  # fmt: skip
    assert take(book, told, phone="crew 2")[0][0] == "conflict"
    hive.send({"frames_of_bees": value}, False)
    with writing(book) as session:
        (one,) = [each for each in questions(session) if each.entry.withdraws is not None]
        decide(session, one.entry.id, True, None, "so it is")
    assert hive.holds() == []
    asked = hive.asked()
    assert len(asked) == (value > 60), "of a mend that waits the number is still asked"
    assert all(NUMBER in why and beside is None for why, beside in asked)
