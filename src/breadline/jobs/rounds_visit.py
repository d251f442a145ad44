"""What the next visit finds of a piece: the likely reasons, what to do, and the piece that follows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

from breadline.errors import YardError
from breadline.jobs.first_here import first_here
from breadline.jobs.season import FigureUsed, figures_document, figures_used
from breadline.jobs.typed_fields import Typed
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say
from breadline.measures import units_of
from breadline.need.starting_count import frame_size
from breadline.need.words import counted, day_and_year, warmth
from breadline.need.yard import PollenSeen, Yard
from breadline.plan.appetite import shipped_appetite
from breadline.plan.beetles import Beetles, Limit, Lying, Place, beetles_known, limit
from breadline.plan.cuts import GRAMS_A_POUND, Patty, cut_words, usual_patty
from breadline.plan.leftovers import Maggots, Next, Visit, next_portion
from breadline.plan.portions import Portion, Round

SHAPE = "breadline.visit/1"
USUAL_DAYS = 14  # to the next visit, where nobody said [d]
USUAL_FRAME = "one_layer"  # what a frame of bees means, where the count does not say
Line = tuple[str, str]


@dataclass(frozen=True)
class Found:
    """What was found, and what the next piece goes by beside it."""

    visit: Visit
    next_days: int = USUAL_DAYS  # to the next visit [d]
    beetles_about: bool | None = None  # in the district
    patty_g: float | None = None  # None where the usual one is cut [g]


@dataclass(frozen=True)
class VisitTold:
    """What is advised after a visit, and what it goes by."""

    yard: Yard
    found: Found
    next: Next
    piece: Portion | None  # None where none is given, or nobody counted bees
    patty: Patty
    limit: Limit
    beetles: Beetles
    outside_c: float  # that the limit goes by [°C]
    first: str = ""  # what comes before any feed there, by the facts of the yard
    figures: tuple[FigureUsed, ...] = ()  # behind what is told

    @property
    def sentence(self) -> str:
        """What to lay on next, in a sentence."""
        look = say("look again in {many}", many=counted(self.next.days, "day"))
        if self.next.feeding_stops:
            return say("No new piece on this hive for now; {look}.", look=look)
        cut = self.next.cut if self.piece is None else self.piece.cut
        if not cut:
            if self.piece is None:
                return say("No piece this round; {look}.", look=look)
            return say("No piece this round: {why}; {look}.", why=self.piece.why, look=look)
        return say("Next piece: {piece}; {look}.", piece=cut_words(cut, self.patty), look=look)

    @property
    def notes(self) -> tuple[str, ...]:
        """What it goes by."""
        said = [self.limit.sentence]
        if self.found.visit.outside_c is None and self.beetles != "none":
            at = warmth(self.outside_c, self.yard.place.country)
            said.append(
                say("Nobody said how warm it was; reckoned for {at} on the mean of day and night.", at=at)
            )
        if self.piece is None and not self.next.feeding_stops:
            said.append(say("No bees were counted: the piece goes by what was left alone."))
        return tuple(said)


def visit_answer(yard: Yard, found: Found, shelf: Shelf | None = None) -> VisitTold:
    """The next piece of a colony by what its last one came to.

    Errors
    ------
    YardError, FigureError
        For a leftover or days that cannot be, or bees too few to have eaten so much.
    """
    shelf = shelf or load()
    reader = shelf.reader()
    visit, units = found.visit, units_of(yard.place.country)
    patty = usual_patty(units, reader) if found.patty_g is None else Patty(found.patty_g, units)
    beetles = beetles_known(
        True if visit.maggots != "none" else yard.health.beetles_seen, found.beetles_about
    )
    # How warm it is may not be known: then as on days just short of hot, so that no heat is made up.
    warm = reader.typical("beetle.heat_c") - 1.0
    outside = warm if visit.outside_c is None else visit.outside_c
    lying = Lying(beetles, outside, visit.place or "above_brood", rim=bool(visit.rim))
    holds = limit(lying, reader)
    means = (yard.count.frame_means or USUAL_FRAME).removeprefix("frame_of_bees.")
    a_frame = reader.typical(f"frame_of_bees.{means}") * frame_size(yard.count, reader)
    of = Round(holds, found.next_days, beetles, patty, shipped_appetite(reader), a_frame)
    advised, piece = next_portion(visit, of, reader)
    told = VisitTold(yard, found, advised, piece, patty, holds, beetles, outside, first_here(yard, reader))
    return replace(told, figures=figures_used(shelf, reader.used))


def found_of(typed: Mapping[str, str], country: str | None) -> Found:
    """What was typed on the page or as options.

    Errors: YardError that names the field.
    """
    of, degrees = Typed(typed), "°F" if units_of(country) == "lb" else "°C"
    left = of.needed_number("left", 0, 100, say("% of the piece"))
    if 0 < left < 1:
        raise YardError(
            "left",
            say("{left:g} % of it", left=left),
            say("per cent"),
            say("If you mean a share, enter {left:g}", left=100 * left),
        )
    days = int(of.needed_number("days", 1, 60, say("days since it was laid on")))
    visit = Visit(
        cut=of.needed_number("piece", 0.25, 6, say("patties; a quarter is 0.25")),
        left=left / 100.0,
        days=days,
        maggots=cast(Maggots, of.word("maggots", ("none", "few", "many")) or "none"),
        frames_of_bees=of.number("frames", 0, 60, say("frames of bees")),
        hard=of.truth("hard"),
        place=cast(Place | None, of.word("place", ("above_brood", "beside_brood", "under_lid"))),
        outside_c=of.air("outside", degrees),
        pollen=cast(PollenSeen | None, of.word("pollen", ("none", "little", "plenty"))),
        rim=of.truth("rim"),
    )
    pounds, grams = of.number("patty_lb", 0.1, 6.6, "lb"), of.number("patty_g", 50, 3000, "g")
    return Found(
        visit,
        of.whole("next", 1, 60, "days") or USUAL_DAYS,
        of.truth("beetles_about"),
        GRAMS_A_POUND * pounds if pounds is not None else grams,
    )


def visit_lines(told: VisitTold) -> Iterator[Line]:
    """For a terminal."""
    yield "bold", f"{told.yard.name}, {day_and_year(told.yard.today)}"
    if told.first:
        yield "bold", told.first
    yield "bold", told.sentence
    yield from _part(say("Do"), told.next.do)
    yield from _part(say("Likely reasons"), told.next.reasons)
    yield "", ""
    yield from (("dim", note) for note in told.notes)


def _part(head: str, lines: tuple[str, ...]) -> Iterator[Line]:
    if lines:
        yield "", ""
        yield "bold", head
        yield from (("", f" - {line}{'' if line.endswith('?') else '.'}") for line in lines)


def visit_document(told: VisitTold) -> dict[str, Any]:
    """For other programs."""
    piece, visit = told.piece, told.found.visit
    return {
        "shape": SHAPE,
        "yard": told.yard.name,
        "today": told.yard.today.isoformat(),
        "found": {"piece": visit.cut, "left": visit.left, "days": visit.days, "maggots": visit.maggots,
                  "frames_of_bees": visit.frames_of_bees},
        "first_before_feed": told.first,
        "sentence": told.sentence,
        "next": {
            "piece": told.next.cut if piece is None else piece.cut,
            "grams": None if piece is None else round(piece.grams, 1),
            "days": told.next.days,
            "gone_in_time": None if piece is None else round(piece.gone_in_time, 2),
            "stops": told.next.feeding_stops,
        },
        "do": list(told.next.do),
        "reasons": list(told.next.reasons),
        "notes": list(told.notes),
        "figures": figures_document(told.figures),
    }  # fmt: skip
