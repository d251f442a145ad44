"""One plan in full: its rounds by day, who gets what, syrup, and what was done of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from breadline.errors import PlanError
from breadline.jobs import rounds_words as words
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds import RoundsAnswer, day_of, syrup_beside, who_gets_it
from breadline.jobs.rounds_aim import aim_words
from breadline.jobs.rounds_cost import cost_words
from breadline.jobs.rounds_cut import piece_patty
from breadline.jobs.rounds_given import visits_given
from breadline.jobs.rounds_told import plan_document, who_document
from breadline.jobs.rounds_who import crew_words, who_words
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.plan.cuts import cut_words
from breadline.plan.ranked import Ranked
from breadline.plan.strength_classes import who_gets
from breadline.plan.syrup import SyrupRound
from breadline.sheets.syrup_words import sugar_said, syrup_each_said, weighed

SHAPE, SHEET = "breadline.plan/1", "breadline.sheets/1"
Line = tuple[str, str]


@dataclass(frozen=True)
class Kept:
    """A plan as it is kept in a book, on a day."""

    plan: PlanKept
    today: date


def plan_lines(told: RoundsAnswer, at: Ranked, kept: Kept | None = None) -> Iterator[Line]:
    """A plan for a terminal."""
    yield "bold", f"{told.yard.name}, {aim_words(told.plan.target)}"
    yield "bold", words.break_even_of(told, at)
    if told.before is not None:
        yield "bold", words.decision(told)
    yield "", words.plan_line(told, at)
    if costs := cost_words(told, at):
        yield "", costs
    if supers := words.supers_words(told, at):
        yield "", supers
    if at.plan.pieces:
        yield "", ""
        beside = syrup_beside(told, at)
        each_round = pieces_by_size(told, at)
        for n, piece in enumerate(at.plan.pieces, 1):
            each = each_round[n - 1]
            sugar = f"; {_sugar(told, beside[n - 1])}" if beside and beside[n - 1].sugar_kg else ""
            yield (
                "",
                say(
                    " {n}. {day}: {each}{sugar}",
                    n=n,
                    day=day_and_year(day_of(told, piece.day)),
                    each=each,
                    sugar=sugar,
                ),
            )
        who = who_gets_it(told, at)
        yield "", ""
        for text in (crew_words(told, at, who), *who_words(told, who)):
            yield "", f" - {text}"
    if kept is not None:
        yield "", ""
        yield (
            "",
            say("Kept in the book. {done}{stops}", done=kept.plan.done(kept.today), stops=_stops(kept.plan)),
        )


def pieces_by_size(told: RoundsAnswer, at: Ranked) -> tuple[str, ...]:
    """What a colony gets in each round: one piece, or by its size."""
    said = []
    try:
        visits = visits_given(told, at, who_gets_it(told, at))
    except PlanError:  # smaller than people cut
        grams = [(piece.grams, piece_patty(told, at.plan.feed, piece.grams)) for piece in at.plan.pieces]
        return tuple(say("{each} a colony", each=cut_words(g / patty.mass_g, patty)) for g, patty in grams)
    for visit in visits:
        if len(visit.steps) == 1:
            said.append(say("{each} a colony", each=cut_words(visit.steps[0].cut, visit.patty)))
        else:
            said.append("; ".join(f"{who}: {gets}" for who, gets in who_gets(visit.steps, visit.patty)))
    return tuple(said)


def _stops(kept: PlanKept) -> str:
    """From which count at the entrance it is stopped; empty where nothing is given."""
    if kept.threshold is None or not kept.rounds:
        return ""
    return say(
        " You stop once {threshold:g} in 100 bees that come in carry pollen.", threshold=100 * kept.threshold
    )


def _sugar(told: RoundsAnswer, sugar: SyrupRound) -> str:
    units = told.allowed.patty.units
    if sugar.dry:
        return say(
            "{sugar_said} of dry sugar, too cold for syrup",
            sugar_said=sugar_said(weighed(1000.0 * sugar.sugar_kg, units), units),
        )
    return say("{syrup_said} of syrup", syrup_said=syrup_each_said(sugar.litres, units))


def plans_document(
    answers: Sequence[RoundsAnswer], take: int | None, kept: Sequence[Kept | None]
) -> dict[str, Any]:
    """The plans for other programs."""
    return {
        "shape": SHAPE,
        "yards": [_yard(one, one.taken(take), row) for one, row in zip(answers, kept, strict=True)],
    }


def _yard(told: RoundsAnswer, at: Ranked, kept: Kept | None) -> dict[str, Any]:
    who = who_gets_it(told, at)
    return {
        "yard": told.yard.name,
        "break_even": words.break_even_of(told, at),
        "first_before_feed": "" if told.before is None else told.before.sentence,
        "plan": plan_document(told, at),
        "who": None if who is None else who_document(told, at, who),
        "syrup": [
            {"on": day_of(told, one.day).isoformat(), "sugar_kg": round(one.sugar_kg, 2),
             "litres": round(one.litres, 2), "dry": one.dry}
            for one in syrup_beside(told, at)
        ],
        "kept": None if kept is None else kept_document(kept),
    }  # fmt: skip


def kept_document(kept: Kept) -> dict[str, Any]:
    """A plan as it is kept, with what was done."""
    plan = kept.plan
    return {
        "id": plan.id,
        "chosen_on": plan.chosen_on.isoformat(),
        "belief": plan.belief,
        "prices": plan.prices,
        "threshold": plan.threshold,
        "changes": plan.changes,
        "done": plan.done(kept.today),
        "rounds": [
            {"number": one.number, "on": one.on.isoformat(), "grams": round(one.grams, 1),
             "given_g": one.given, "given_on": None if one.given_on is None else one.given_on.isoformat(),
             "hives": one.hives, "of_hives": one.fed or None, "in_full": one.in_full,
             "overdue": one.overdue(kept.today)}
            for one in plan.rounds
        ],
        "beside": [{"on": on.isoformat(), "grams": grams} for on, grams in plan.beside],
    }  # fmt: skip


def sheet_document(yards: Sequence[str], files: Sequence[Path], said: Sequence[str] = ()) -> dict[str, Any]:
    """The files that were written; ``said``: what changed since plans were chosen, or why none is begun."""
    return {"shape": SHEET, "yards": list(yards), "files": [str(path) for path in files], "said": list(said)}
