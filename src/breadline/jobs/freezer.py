"""The freezer of a book: frames of pollen that went in, what lies there, what is taken out first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from typing import Any

import numpy as np

from breadline.errors import BreadlineError, YardError
from breadline.jobs.book import Book
from breadline.jobs.season import FigureUsed, figures_document, figures_used
from breadline.jobs.sheet_fields import GRAMS
from breadline.jobs.typed_fields import Typed
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.measures import units_of
from breadline.need.outlook import Range
from breadline.need.words import counted, day_and_year, frames_of, warmth
from breadline.plan.freezing import PEST_WORDS, ROWS, Pest, freezer_hours
from breadline.plan.frozen_frames import SPORES, Freezer, Lot, Taken, days_worth, take, worth_words
from breadline.records import stocks, yards
from breadline.records.engine import looking, writing

SHAPE = "breadline.freezer/1"
SEED = 20260325  # of the days that frames are worth
MONTH = 28  # days ahead over which the need is taken [d]
PESTS: tuple[Pest, ...] = ("wax_moth", "hive_beetle")
NAMED = 6  # yards that are named where one is not known
LEAST_NEED_G = 0.1  # below it frames would last without end [g/day]
MOST_NEED_G = 500.0  # of a colony and day; beyond it a unit was mistaken [g/day]
LEAST_NEED_OZ, MOST_NEED_OZ = 0.01, 18.0  # the same for who reads pounds [oz/day]
Line = tuple[str, str]


@dataclass(frozen=True)
class Cold:
    """How long a frame has to lie in a freezer, or why it is not cold enough."""

    at_c: float | None  # [°C]
    hours: float | None  # cooling of the comb included [h]
    sentence: str


@dataclass(frozen=True)
class FreezerTold:
    """What lies in the freezer, and what it is worth."""

    today: date
    freezer: Freezer
    need_g: float | None  # of one colony and day [g/day]
    need_of: str  # whose need that is, in words
    worth: Range | None  # days of all usable frames to one colony [d]
    cold: Cold
    sick: frozenset[str] = frozenset()  # yards where disease was found
    figures: tuple[FigureUsed, ...] = ()  # behind what is told

    @property
    def doubted(self) -> str:
        """Which usable frames come from a yard where disease was found; empty where none does."""
        lots = [lot for lot in self.freezer.lots if lot.usable and lot.yard in self.sick]
        if not lots:
            return ""
        return say(
            "Disease was found at {yards}, and {frames} from there are written down as free of it: give them "
            "to no colony unless your apiary inspector cleared the yard before they were taken.",
            yards=", ".join(sorted({lot.yard for lot in lots})),
            frames=frames_of(sum(lot.frames for lot in lots), "pollen", parts=4),
        )

    @property
    def sentence(self) -> str:
        """What can be used, in a sentence."""
        usable = self.freezer.frames
        if not usable:
            if self.freezer.set_aside:
                return say("In the freezer: nothing that may be used.")
            return say("In the freezer: nothing yet.")
        said = say("In the freezer: {frames} that may be used.", frames=frames_of(usable, "pollen", parts=4))
        return (
            said if self.worth is None else f"{said} {worth_words(usable, self.worth)[:-1]}, {self.need_of}."
        )

    @property
    def aside(self) -> str:
        """What is set aside; empty where nothing is."""
        frames = sum(lot.frames for lot in self.freezer.set_aside)
        if not frames:
            return ""
        return say(
            "Set aside: {frames} from yards not known to be free of disease. Keep "
            "them apart, ask your apiary inspector, and give them to no colony.",
            frames=frames_of(frames, "pollen", parts=4),
        )


class FreezerBook(Book):
    """A book as the freezer uses it."""

    def told(self, need: Mapping[str, str]) -> FreezerTold:
        """What lies there; ``need`` holds "need_g" or "need_oz" as typed, else "yard", the key of a yard.

        Errors: YardError for a need or a freezer that cannot be.
        """
        of, shelf = Typed(need), self._shelf()
        reader = shelf.reader()
        freezer = Freezer(tuple(lot for _, lot in self._lots()))
        a_day, whose = self._need(of)
        worth = None
        if a_day is not None and freezer.frames:
            rng = np.random.default_rng(SEED)
            worth = days_worth(freezer.frames, np.array([a_day]), reader, rng)
        with looking(self._engine) as session:
            sick = stocks.sick_yards(session)
        cold = self._cold(of, reader)
        used = figures_used(shelf, reader.used)
        return FreezerTold(self.today, freezer, a_day, whose, worth, cold, sick, used)

    def put(self, typed: Mapping[str, str]) -> None:
        """Write down frames that went in: "frames", "yard", "disease_free", "on".

        Errors: YardError, RecordError that name the field.
        """
        of = Typed(typed)
        frames = of.needed_number("frames", 0.25, 9999, say("frames of bread"))
        if not of.text("yard"):
            raise YardError("yard", say("is missing"), say("the yard they come from"),
                            say("Frames of an unknown yard go into no freezer"))  # fmt: skip
        on = of.day("on", self.today) or self.today
        yard = self._known(of)
        lot = stocks.Put(yard, on, frames, of.truth("disease_free"), of.text("note"))
        with writing(self._engine) as session:
            stocks.put_in(session, lot)

    def _known(self, of: Typed) -> str:
        """The yard frames come from, as the book writes it; any other where it lies outside the book."""
        typed, names = of.text("yard"), [name for _, name in self.yard_keys()]
        by_fold = {name.casefold(): name for name in names}
        if not names or typed.casefold() in by_fold or of.truth("elsewhere"):
            return by_fold.get(typed.casefold(), typed)
        near = get_close_matches(typed.casefold(), by_fold, n=3, cutoff=0.5)
        raise YardError(
            "yard",
            say('"{name}" is no yard of the book', name=typed),
            ", ".join([by_fold[one] for one in near] or names[:NAMED]),
            say("Where it lies outside the book, say so (--elsewhere)"),
        )

    def take(self, typed: Mapping[str, str]) -> Taken:
        """Take out so many frames, the oldest usable first, and write it down.

        Errors: YardError where fewer may be used than are asked for.
        """
        of, reader = Typed(typed), self._shelf().reader()
        wanted = of.needed_number("take", 0.25, 9999, say("frames of bread"))
        lots = self._lots()
        found = take(Freezer(tuple(lot for _, lot in lots)), wanted, self.today, reader)
        if found.missing:
            there = Freezer(tuple(lot for _, lot in lots)).frames
            raise YardError(
                "take",
                say("{wanted:g} frames of {there:g} that may be used", wanted=wanted, there=there),
                say("no more than lie there"),
            )
        usable = [key for key, lot in lots if lot.usable]
        with writing(self._engine) as session:
            each = [(key, lot.frames) for key, lot in zip(usable, found.lots, strict=False)]
            stocks.take_out(session, each, self.today, of.text("to_yard"))
        return found

    def disease(self, typed: Mapping[str, str]) -> int:
        """Set aside what lies there from a yard where disease was found; how many lots.

        Errors: YardError, RecordError that name the field.
        """
        of = Typed(typed)
        if not of.text("sick_yard"):
            raise YardError("sick_yard", say("is missing"), say("the yard where disease was found"))
        with writing(self._engine) as session:
            return stocks.disease_found(session, of.text("sick_yard"), of.text("why") or "disease found")

    def given_words(self, yard: str) -> tuple[str, ...]:
        """Where frames from a yard with disease went before it was found, a sentence each."""
        with looking(self._engine) as session:
            given = stocks.given_away(session, yard)
        said = []
        for one in given:
            what = {
                "frames": frames_of(one.frames, "pollen", parts=4),
                "yard": yard,
                "day": day_and_year(one.on),
            }
            if one.to_yard:
                text = say(
                    "{frames} from {yard} went to {to} on {day}: ask your apiary inspector about "
                    "those hives.",
                    to=one.to_yard,
                    **what,
                )
            else:
                text = say(
                    "{frames} from {yard} went out on {day}, to which yard was not written down: find those "
                    "hives, and ask your apiary inspector about them.",
                    **what,
                )
            said.append(text)
        return tuple(said)

    def yard_keys(self) -> tuple[tuple[str, str], ...]:
        """Key and name of the book's yards."""
        with looking(self._engine) as session:
            return tuple((str(row.id), row.name) for row in yards.yards(session))

    @property
    def country(self) -> str | None:
        """Of the book's first yard."""
        with looking(self._engine) as session:
            listed = yards.yards(session)
            return yards.fact(session, listed[0].id).country if listed else None

    def _lots(self) -> list[tuple[Any, Lot]]:
        """Key and lot of what lies there, the oldest first."""
        with looking(self._engine) as session:
            return [(one.id, Lot(one.yard, one.taken_on, one.frames, one.disease_free, one.disease_found))
                    for one in stocks.lying(session)]  # fmt: skip

    def _need(self, of: Typed) -> tuple[float | None, str]:
        """What one colony needs in a day, and whose need that is. [g/day]"""
        if (
            ounces := of.number(
                "need_oz",
                LEAST_NEED_OZ,
                MOST_NEED_OZ,
                say("oz a colony and day"),
                say("If you typed it for the yard, divide by its colonies"),
            )
        ) is not None:
            return ounces * GRAMS["oz"], say("at {n:g} oz a day", n=ounces)
        typed = of.number("need_g", LEAST_NEED_G, MOST_NEED_G, say("g a colony and day"),
                          say("If you typed it for the yard, divide by its colonies"))  # fmt: skip
        if typed is not None:
            return typed, say("at {n:g} g a day", n=typed)
        if not of.text("yard"):
            return None, ""
        try:
            outlook = self.season(of.text("yard")).outlook
        except BreadlineError:  # no need can be told; the frames can be counted all the same
            return None, ""
        if outlook is None:
            return None, ""
        ahead = max(0, (self.today - outlook.start).days)
        need = float(np.mean(outlook.need_g.middle[ahead : ahead + MONTH]))
        if need < LEAST_NEED_G:
            return None, ""
        return (
            need,
            say("by what one needs at {name} in the next four weeks", name=self._name(of.text("yard"))),
        )

    def _name(self, yard_id: str) -> str:
        return dict(self.yard_keys())[yard_id]

    def _cold(self, of: Typed, reader: Reader) -> Cold:
        country = self.country
        degrees = "°F" if units_of(country) == "lb" else "°C"
        at = of.measured("freezer", "temperature", degrees)
        if at is None:
            return Cold(None, None, _table(reader, country))
        try:
            hours = freezer_hours(PESTS, at, reader)
        except YardError as error:
            raise YardError("freezer", error.what, error.expected, error.do) from None
        said = say(" and ").join(say(PEST_WORDS[pest]) for pest in PESTS)
        text = say(
            "At {warmth}: {hours:g} hours against {said}, the cooling of the comb included.",
            warmth=warmth(at, country),
            hours=hours,
            said=said,
        )
        return Cold(at, hours, text)


def _table(reader: Reader, country: str | None) -> str:
    """The published rows in one sentence."""
    said = []
    for pest in PESTS:
        rows = [f"{warmth(at, country)} {_hours(reader.typical(key))}" for at, key in ROWS[pest]]
        said.append(f"{say(PEST_WORDS[pest])}: {', '.join(rows)}")
    return say("Hours once the comb is that cold: {said}.", said="; ".join(said))


def _hours(hours: float) -> str:
    return counted(int(hours), "hour") if hours == int(hours) else say("{hours:g} hours", hours=hours)


def taken_words(taken: Taken) -> tuple[str, ...]:
    """What to take, the oldest first, and what to mind."""
    lots = [
        say(
            "Take {frames} from {yard}, of {day}.",
            frames=frames_of(lot.frames, "pollen", parts=4),
            yard=lot.yard,
            day=day_and_year(lot.taken_on),
        )
        for lot in taken.lots
    ]
    return (*lots, *(remark if remark.endswith(".") else f"{remark}." for remark in taken.remarks))


def freezer_lines(told: FreezerTold, said: Sequence[str] = ()) -> Iterator[Line]:
    """For a terminal."""
    yield "bold", told.sentence
    yield from (("", f" - {text}") for text in said)
    yield "", ""
    for lot in told.freezer.lots:
        frames = frames_of(lot.frames, "pollen", parts=4)
        yield "", f" - {lot.yard}, {day_and_year(lot.taken_on)}: {frames}, {lot.health}"
    if told.aside:
        yield "bold", told.aside
    if told.doubted:
        yield "bold", told.doubted
    yield "", told.cold.sentence
    yield "", say(SPORES)


def freezer_document(
    told: FreezerTold, taken: Taken | None = None, given: Sequence[str] = ()
) -> dict[str, Any]:
    """For other programs."""
    worth = told.worth
    days = None if worth is None else [round(d, 1) for d in (worth.low, worth.middle, worth.high)]
    return {
        "shape": SHAPE,
        "today": told.today.isoformat(),
        "sentence": told.sentence,
        "usable_frames": round(told.freezer.frames, 2),
        "lots": [_lot(lot) for lot in told.freezer.lots],
        "set_aside": told.aside, "doubted": told.doubted,
        "given_before": list(given),
        "need_g_day": None if told.need_g is None else round(told.need_g, 1),
        "days_to_one_colony": days,
        "freezing": {"at_c": told.cold.at_c, "hours": told.cold.hours, "sentence": told.cold.sentence},
        "taken": None if taken is None else [_lot(lot) for lot in taken.lots],
        "remarks": [] if taken is None else list(taken.remarks),
        "foulbrood": say(SPORES),
        "figures": figures_document(told.figures),
    }  # fmt: skip


def _lot(lot: Lot) -> dict[str, Any]:
    return {"yard": lot.yard, "on": lot.taken_on.isoformat(), "frames": round(lot.frames, 2),
            "disease_free": lot.disease_free, "disease_found": lot.disease_found}  # fmt: skip
