"""What the next visit finds, the likely reasons, and the piece that follows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.strength import bees_on_frames
from breadline.need.words import counted, warmth
from breadline.need.yard import PollenSeen
from breadline.plan.appetite import learned, seen_to_eat
from breadline.plan.beetles import Place
from breadline.plan.cuts import larger, smaller
from breadline.plan.portions import Portion, Round, portion

Maggots = Literal["none", "few", "many"]


@dataclass(frozen=True)
class Visit:
    """What was found of one colony's piece; ``None`` where it was not looked at."""

    cut: float  # the piece that was laid on [patties]
    left: float  # what is left of it [share]
    days: int  # since it was laid on
    maggots: Maggots
    frames_of_bees: float | None = None  # [frames]
    hard: bool | None = None  # harder than thick peanut butter
    place: Place | None = None
    outside_c: float | None = None  # mean air temperature since then [°C]
    pollen: PollenSeen | None = None
    rim: bool | None = None

    def __post_init__(self) -> None:
        if not 0.0 <= self.left <= 1.0:
            raise YardError(
                "leftover",
                say("{left:g} of the piece", left=self.left),
                say("0 to 1"),
                say("Give 0.5 where half of it is left"),
            )
        if self.cut < 0.0 or self.days < 1:
            raise YardError(
                "visit",
                say("a piece of {cut:g} after {days} days", cut=self.cut, days=self.days),
                say("a piece and 1 day on"),
            )


@dataclass(frozen=True)
class Next:
    """What is advised after a visit."""

    cut: float  # the next piece; 0 = none for now [patties]
    days: int  # to the next look
    reasons: tuple[str, ...]  # the likely ones, best supported first
    do: tuple[str, ...]  # in the order to do it
    feeding_stops: bool  # nothing more on this colony until something has changed


def after_visit(visit: Visit, days_of_limit: int, reader: Reader) -> Next:
    """The next piece by what was found, with the likely reasons and what to do now.

    Sources: [texas_supplier] for maggots, hard patties, weak hives, cold and place.
    """
    reasons = why_left(visit, reader)
    if visit.maggots == "many":
        return _many_maggots(visit, reasons, days_of_limit, reader)
    if visit.pollen == "plenty":
        return Next(0.0, days_of_limit, reasons, (*_take_out(visit), say("Stop: pollen is coming in")), True)
    do = (*_few_maggots(visit), *_mend(visit, reader))
    days = min(visit.days, days_of_limit)
    if visit.left < reader.typical("portion.eaten_up_share"):
        cut = _eaten_up(visit, days_of_limit, reader)
        return Next(cut, days, reasons, (*do, say("Eaten: lay on the next piece")), False)
    if visit.left >= reader.typical("portion.ignored_share"):
        return _not_taken(visit, reasons, do, days)
    cut = smaller(visit.cut)
    told = say("Leftovers out; a smaller piece") if cut else say("Leftovers out; no piece this round")
    return Next(cut, days, reasons, (*do, told), False)


def _many_maggots(visit: Visit, reasons: tuple[str, ...], limit: int, reader: Reader) -> Next:
    hours = reader.typical("ladder.freeze_hours")
    do = (
        say("Take the piece and every leftover out of this hive"),
        say(
            "Freeze it for {hours:g} hours before it goes back, to this hive only, or throw it away",
            hours=hours,
        ),
        say("No new piece until no maggots are seen; look for slime, the queen and how many bees there are"),
        say("Never feed a slurry where beetles are"),
    )
    return Next(0.0, min(limit, 7), reasons, do, True)


def _few_maggots(visit: Visit) -> tuple[str, ...]:
    if visit.maggots == "none":
        return ()
    return (
        say("Scrape the maggots off away from the hive"),
        say("Turn or move the piece so that bees reach every side of it"),
    )


def _take_out(visit: Visit) -> tuple[str, ...]:
    return (say("Leftovers out"),) if visit.left > 0.0 else ()


def _eaten_up(visit: Visit, limit: int, reader: Reader) -> float:
    """One cut more only where nothing at all was left and no maggot was seen."""
    if visit.left > 0.0 or visit.maggots != "none" or visit.days > limit or _weak(visit, reader):
        return smaller(visit.cut) if visit.maggots == "few" else visit.cut
    return larger(visit.cut, reader.typical("portion.most_patties"))


def _not_taken(visit: Visit, reasons: tuple[str, ...], do: tuple[str, ...], days: int) -> Next:
    mended = visit.hard or visit.place in ("beside_brood", "under_lid")
    if mended:
        return Next(
            smaller(visit.cut), days, reasons, (*do, say("Try once more with a smaller piece")), False
        )
    told = say("Leftovers out; nothing more on this hive until the reason is known")
    return Next(0.0, days, reasons, (*do, told), True)


def _mend(visit: Visit, reader: Reader) -> tuple[str, ...]:
    if visit.left < reader.typical("portion.eaten_up_share"):
        return ()
    do = []
    if visit.hard:
        do.append(say("Throw the hard piece away; give a fresh, soft one under its paper"))
    if visit.place in ("beside_brood", "under_lid"):
        do.append(say("Lay it straight above the brood, touching the bees"))
    return tuple(do)


def next_portion(visit: Visit, of: Round, reader: Reader) -> tuple[Next, Portion | None]:
    """What is advised after a visit, and the piece for the next round ``of`` that comes with it.

    The piece is planned with the appetite that this visit showed, for the bees counted now,
    and is never more than the advice. None where no piece is given or nobody counted bees.

    Errors: FigureError if so few bees cannot have eaten so much; YardError as in ``portion``.
    """
    told = after_visit(visit, of.limit.days, reader)
    if not told.cut or visit.frames_of_bees is None:
        return told, None
    appetite = of.appetite
    bees = bees_on_frames(visit.frames_of_bees, of.bees_a_frame)
    if visit.cut and bees:
        given = visit.cut * of.patty.mass_g
        seen = seen_to_eat(given, visit.left * given, visit.days, bees, reader)
        appetite = learned(of.appetite, seen, reader) or of.appetite
    piece = portion(visit.frames_of_bees, replace(of, appetite=appetite), reader)
    if not piece.cut:
        return _without_a_piece(told, visit), piece
    if piece.cut <= told.cut:
        return told, piece
    grams = told.cut * of.patty.mass_g
    gone = appetite.clears(grams, bees, piece.days)
    return told, replace(
        piece, cut=told.cut, grams=grams, gone_in_time=gone, why=say("what the last visit found")
    )


def _without_a_piece(told: Next, visit: Visit) -> Next:
    """The advice where the bees there are clear no piece in time: what it says last, of the piece, falls."""
    none = (say("Leftovers out; no piece this round"),) if visit.left > 0.0 else ()
    return replace(told, do=(*told.do[:-1], *none))


def why_left(visit: Visit, reader: Reader) -> tuple[str, ...]:
    """The likely reasons for leftovers or maggots; empty where it was eaten up and clean.

    Reasons that the visit shows come first; the ones nobody looked at follow as questions.
    """
    eaten = visit.left < reader.typical("portion.eaten_up_share")
    if eaten and visit.maggots == "none":
        return ()
    known: list[str] = []
    asked: list[str] = []
    for holds, told, question in _REASONS:
        found = holds(visit, reader)
        if found:
            known.append(told(visit, reader))
        elif found is None:
            asked.append(say(question))
    if not known and not asked:
        known.append(say("The piece was more than these bees eat in that time"))
    return (*known, *asked)


def _weak(visit: Visit, reader: Reader) -> bool | None:
    least = reader.typical("ladder.cluster_frames")
    return None if visit.frames_of_bees is None else visit.frames_of_bees < least


def _cold(visit: Visit, reader: Reader) -> bool | None:
    return None if visit.outside_c is None else visit.outside_c < reader.typical("ladder.slip_in_c")


def _long(visit: Visit, reader: Reader) -> bool | None:
    return visit.maggots != "none" and visit.days > reader.typical("ladder.beetle_days")


Holds = Callable[[Visit, Reader], bool | None]
Told = Callable[[Visit, Reader], str]
_REASONS: tuple[tuple[Holds, Told, str], ...] = (
    (
        lambda v, _: None if v.pollen is None else v.pollen != "none",
        lambda v, _: (
            say("Plenty of natural pollen is coming in")
            if v.pollen == "plenty"
            else say("A little natural pollen is coming in")
        ),
        noted("Is natural pollen coming in?"),
    ),
    (lambda v, _: v.hard, lambda *_: say("The piece is hard or dry"), noted("Is it hard or dry?")),
    (
        lambda v, _: None if v.place is None else v.place != "above_brood",
        lambda *_: say("It lies too far from the brood"),
        noted("Does it lie straight above the brood?"),
    ),
    (
        _weak,
        lambda *_: say("The colony is weak: look for the reason (queen, mites, disease)"),
        noted("How many frames of bees are there?"),
    ),
    (
        _cold,
        lambda v, _: say("It was cold, {warmth} on the mean", warmth=warmth(v.outside_c or 0.0)),
        noted("How cold was it?"),
    ),
    (
        _long,
        lambda v, _: say("It lay for {many}: long enough for maggots to grow", many=counted(v.days, "day")),
        "",
    ),
    (
        lambda v, _: v.maggots != "none" and v.rim is False,
        lambda *_: say("Without a rim bees can't get at all of it, and maggots live where they can't"),
        "",
    ),
)
