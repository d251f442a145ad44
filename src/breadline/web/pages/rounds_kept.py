"""The plan that was chosen for a yard, as its page shows it: what became of it, and its sheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from breadline.jobs.check_hives import left_out
from breadline.jobs.kept_back import Kept
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_done import AS_PLANNED, RoundKept
from breadline.jobs.rounds_yard_paper import YardPaper
from breadline.language import say
from breadline.measures import units_of
from breadline.need.words import day_and_year, short_day
from breadline.plan.cuts import mass_words


def kept_shown(
    kept: PlanKept, book: RoundsBook, changed: str = "", back: Sequence[Kept] = ()
) -> dict[str, Any]:
    """What the page shows of it; ``changed`` says what changed since, ``back`` what check groups keep."""
    today, paper = book.today, kept.sheets
    fed = paper and left_out(paper, back)
    grams, hives = _planned(kept), {one.on: one.fed for one in fed.visits} if fed else {}
    planned = [
        (grams.get(one.on, (one.grams, one.grams)), hives.get(one.on, kept.colonies)) for one in kept.rounds
    ]
    rounds = [
        {
            "n": one.number,
            "on": day_and_year(one.on),
            "given": became(one, of, kept, today),
        }
        for one, of in zip(kept.rounds, planned, strict=True)
    ]
    papers = [("order-list.pdf", say("Order list")), ("rounds.ics", say("Calendar file"))]
    papers += [
        (
            f"labels-round-{one.number}.pdf",
            say("Labels, round {number}", number=one.number),
        )
        for one in kept.rounds
    ]
    trucks = [
        (
            f"truck-{one.number:02d}-round-{one.number}-{one.on.isoformat()}.pdf",
            say("Truck sheet, round {number}", number=one.number),
        )
        for one in kept.rounds
    ]
    papers += _batches(kept, book, paper)
    if kept.foretold.get("kind") == "move":
        trucks, papers = [], [("rounds.ics", say("Calendar file"))]
    elif not kept.rounds:
        trucks, papers = [], []
    return {"plan": kept, "chosen_on": day_and_year(kept.chosen_on), "done": kept.done(today),
            "rounds": rounds, "changed": changed, "past": kept.past(today),
            "as_chosen": paper is not None and bool(papers),
            "threshold": None if kept.threshold is None else f"{100 * kept.threshold:g}",
            "papers": [*trucks, *papers]}  # fmt: skip


def _planned(kept: PlanKept) -> dict[date, tuple[float, float]]:
    """What the sheets of each day give: the mean colony, those that get none with them, and a fed one. [g]"""
    visits = kept.sheets.visits if kept.sheets is not None else ()
    grams = {one.on: (one, one.patties * one.patty.mass_g) for one in visits}
    return {on: (all_g / max(1, one.colonies), all_g / max(1, one.fed)) for on, (one, all_g) in grams.items()}


def became(one: RoundKept, of: tuple[tuple[float, float], int], kept: PlanKept, today: date) -> str:
    """What became of a round; how much was given, and to how many hives, where that is not what was planned.

    ``of`` is that: grams of the mean colony and of a fed one, and how many hives get any. What was told hive
    by hive may leave out those that get none: it is as planned where it is either.
    """
    means, fed = of[0][: 1 if one.hives is None else 2], min(one.fed or of[1], of[1])
    if one.given_on is None or one.given is None:
        if one.on == today:
            return say("today")
        if one.overdue(today):
            return say("overdue: give it, or write down what was given")
        return say("not written down") if one.on < today else say("to come")
    on = short_day(one.given_on, today)
    _, planned = min((abs(one.given - mean), mean) for mean in means)
    if abs(one.given - planned) <= AS_PLANNED * planned:
        if not replace(one, fed=fed).missing:
            return say("given {day}", day=on)
        return say("given {day}: written down for {hives} of {fed} hives", day=on, hives=one.hives, fed=fed)
    units = units_of(kept.sheets.country if kept.sheets is not None else None)
    return say(
        "given {day}: {given} a colony on average, {planned} planned",
        day=on,
        given=mass_words(one.given, units),
        planned=mass_words(planned, units),
    )


def _batches(kept: PlanKept, book: RoundsBook, paper: YardPaper | None) -> list[tuple[str, str]]:
    """Batch sheets of a plan whose feed is mixed by a recipe, as they are named."""
    if kept.belief.get("by", {}).get("kind") != "recipe":
        return []
    days = book.read_back(kept).rounds.mix_days_before if paper is None else (paper.mix_days_before)
    before = timedelta(days=days)
    found = []
    for one in kept.rounds:
        on = max(one.on - before, min(book.today, one.on))
        name = f"batch-{one.number:02d}-round-{one.number}-{on.isoformat()}.pdf"
        found.append((name, say("Batch sheet, round {number}", number=one.number)))
    return found
