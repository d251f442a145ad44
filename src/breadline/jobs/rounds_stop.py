"""When to stop: bees counted at the entrance, fresh arcs, weather; the season model run again on it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import fsum
from typing import Any

from breadline.errors import CountTooOld, PlanError, YardError
from breadline.jobs.check_hives import left_out
from breadline.jobs.kept_back import Kept
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_done import RoundKept, open_words
from breadline.jobs.rounds_file import FeedAsked, PlanFile
from breadline.jobs.rounds_yard_paper import YardPaper
from breadline.jobs.season import season_answer
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say, say_counted
from breadline.measures import units_of
from breadline.need.words import day_and_year
from breadline.need.yard import Yard
from breadline.plan.costs import labour_a_round, travel_a_round
from breadline.plan.cuts import usual_patty
from breadline.plan.entrance_count import EntranceCount, forage_counted
from breadline.plan.stop import Remaining, Signs, Stop, arcs_seen, decide
from breadline.weather.table import WeatherFile

SHAPE = "breadline.stop/1"
NO_PLAN = "$"  # whose money stands beside a saving of nothing
LEAST_PCT, MOST_PCT = 1.0, 99.0  # a threshold that somebody means [%]


@dataclass(frozen=True)
class Left:
    """What is still to come of the plan."""

    rounds: int = 0
    piece: float = 1.0  # of a colony in each [patties]
    plan: PlanFile | None = None
    feed: str = ""  # which of the plan's feeds is given, where it has several
    over: bool = False  # there is a plan, and its rounds lie behind


@dataclass(frozen=True)
class StopTold:
    """The decision on a yard, and what it goes by."""

    yard: Yard
    signs: Signs
    stop: Stop
    note: str = ""  # why the season model was not run again; empty where it was


def stop_answer(
    yard: Yard,
    signs: Signs,
    left: Left | Remaining,
    weather: WeatherFile | None = None,
    shelf: Shelf | None = None,
) -> StopTold:
    """Whether to stop feeding a yard, by what was seen, and what that saves.

    Where weather is at hand the season model is run again on the new count.

    Errors
    ------
    YardError, PlanError
        For a count that cannot be, rounds left without a plan to say what they cost, or several feeds and
        none named.
    """
    shelf = shelf or load()
    reader = shelf.reader()
    threshold, note = signs.threshold or reader.typical("stop.pollen_share"), ""
    signs = replace(signs, threshold=threshold)
    if weather is None:
        note = say("The season model was not run again: no weather was given.")
    elif signs.count is not None:
        arcs = {"most": True, "none": False}.get(arcs_seen(signs, reader))
        forage = forage_counted(yard.forage, signs.count, threshold, arcs)
        short, note = _run_again(replace(yard, forage=forage), weather, shelf)
        signs = replace(signs, short_if_stopped=short)
    rest = left if isinstance(left, Remaining) else _remaining(yard, left, shelf)
    return StopTold(yard, signs, decide(signs, rest, reader), note)


def _run_again(yard: Yard, weather: WeatherFile, shelf: Shelf) -> tuple[float | None, str]:
    """The chance that it runs short without feed, from the season run again, else why it was not."""
    try:
        answer = season_answer(yard, weather, shelf)
    except CountTooOld as old:  # the entrance and the arcs still say whether to stop
        return None, say(
            "The season model was not run again: the last look into the hives was on {day}. Count again.",
            day=old.day,
        )
    short = None if answer.outlook is None else answer.outlook.short_from
    if short is None:
        return None, answer.no_outlook or say("The season model does not fit this yard; it was left out.")
    return short.chance, ""


def left_of(
    kept: PlanKept, yard: Yard, today: date, asked: Callable[[], PlanFile], back: Sequence[Kept] = ()
) -> Left | Remaining:
    """What is left of a chosen plan from a day on, as its sheets have it, at the price it was chosen under.

    For the colonies of now; a round that was given before its day is none of them, and of one that is
    written down for some hives the others are left. Of one whose day is past nobody knows whether it was
    given: it is named, and not counted. ``asked`` reads the plan file it was chosen from; only a
    plan of an older book needs it. ``back`` are the hives that check groups keep back there.
    """
    rest = [one for one in kept.rounds if one.on >= today and one.share_left(today)]
    ahead = [one for one in rest if one.given is None]
    paper, due = kept.sheets, [one for one in kept.rounds if one.overdue(today) and not kept.past(today)]
    if paper is not None and paper.feed is not None and (rest or due):
        of_then, paper = yard.colonies / max(1, kept.colonies), left_out(paper, back)
        left = _by_sheets(paper, of_then, {one.on for one in ahead})
        left = _with_part(left, paper, [one for one in rest if one.missing])
        return replace(left, note=_not_counted(due), due=open_words(due, today))
    if not ahead:
        return Left(over=True)
    grams = fsum(one.grams for one in ahead) / len(ahead)
    plan = kept.as_chosen(asked())
    patty = plan.feeds[0].patty_g
    return Left(len(ahead), grams / patty if patty else 1.0, plan)


def _by_sheets(paper: YardPaper, of_then: float, days: Collection[date]) -> Remaining:
    """What the rounds of some days give; ``of_then``: the colonies of now by those of then."""
    assert paper.feed is not None
    visits, price = [one for one in paper.visits if one.on in days], paper.feed.price
    grams = of_then * fsum(one.patties * one.patty.mass_g for one in visits)
    fed = of_then * fsum(one.fed for one in visits)
    cost = price.amount * grams / 1000.0 + fed * paper.round_labour + len(visits) * paper.round_travel
    many = round(of_then * max((one.fed for one in visits), default=0))
    times = max(1, len(visits) * many)
    return Remaining(len(visits), many, cost / times, price.money, grams / times)


def _with_part(left: Remaining, paper: YardPaper, part: Sequence[RoundKept]) -> Remaining:
    """The same with the hives that a round given in part still lacks: feed and labour, and no way there."""
    assert paper.feed is not None
    visits = {one.on: one for one in paper.visits}
    said, grams = [], 0.0
    for one in part:
        visit = visits[one.on]
        grams += one.missing * visit.patties * visit.patty.mass_g / max(1, visit.fed)
        said.append(say_counted(
            "{n} hive of which the round of {day} is not written down",
            "{n} hives of which the round of {day} is not written down",
            one.missing, day=day_and_year(one.on),
        ))  # fmt: skip
    labour = sum(one.missing for one in part) * paper.round_labour
    cost = paper.feed.price.amount * grams / 1000.0 + labour
    return replace(left, more=say(" and ").join(said), more_cost=cost, more_g=grams)


def _not_counted(due: Sequence[RoundKept]) -> str:
    """Which rounds whose day is past are not counted, since they may have been given."""
    return " ".join(
        say_counted(
            "{n} hive of the round of {day} is not counted: nothing says whether it was fed.",
            "{n} hives of the round of {day} are not counted: nothing says whether they were fed.",
            one.missing, day=day_and_year(one.on),
        )
        if one.missing
        else say("The round of {day} is not counted: nothing says whether it was given.",
                 day=day_and_year(one.on))
        for one in due
    )  # fmt: skip


def threshold_share(pct: float | None, where: str) -> float | None:
    """A threshold typed in per cent as a share; None where none was typed. [share]

    Errors: YardError where it cannot be meant, such as a share typed for per cent.
    """
    if pct is not None and not LEAST_PCT <= pct <= MOST_PCT:
        do = (
            say("If you typed a share, write {pct:g}", pct=100 * pct)
            if 0.0 < pct < LEAST_PCT
            else say("Mend the number")
        )
        raise YardError(
            where,
            say("{pct:g} % cannot be", pct=pct),
            say("{least_pct:g} to {most_pct:g} % of the bees", least_pct=LEAST_PCT, most_pct=MOST_PCT),
            do,
        )
    return None if pct is None else pct / 100.0


def with_kept(signs: Signs, kept: PlanKept | None) -> Signs:
    """The signs with the threshold of the plan that was chosen, where none was typed."""
    if kept is None or kept.threshold is None or signs.threshold is not None:
        return signs
    of = say("kept with the plan of {day}", day=day_and_year(kept.chosen_on))
    return replace(signs, threshold=kept.threshold, threshold_of=of)


def _remaining(yard: Yard, left: Left, shelf: Shelf) -> Remaining:
    if not left.rounds:
        planned = left.over or left.plan is not None
        return Remaining(0, yard.colonies, 0.0, NO_PLAN, 0.0, planned)
    if left.plan is None:
        raise PlanError("rounds left", say("there is no plan that says what they cost"), say("a plan file"),
                        say("Name it with --plan, or leave the rounds out"))  # fmt: skip
    plan, reader = left.plan, shelf.reader()
    feed = _feed(plan, left.feed)
    grams = left.piece * (feed.patty_g or usual_patty(units_of(yard.place.country), reader).mass_g)
    each = (
        feed.price.amount * grams / 1000.0
        + labour_a_round(plan.work)
        + travel_a_round(plan.work, yard.colonies)
    )
    return Remaining(left.rounds, yard.colonies, each, feed.price.money, grams)


def _feed(plan: PlanFile, name: str) -> FeedAsked:
    """The feed that is given; of several it has to be named, since what is left is priced by it."""
    named = [feed for feed in plan.feeds if feed.name == name or (not name and len(plan.feeds) == 1)]
    if not named:
        what = (
            say('"{name}" is not in the plan', name=name)
            if name
            else say("the plan has {feeds}", feeds=len(plan.feeds))
        )
        raise PlanError("feed", what, ", ".join(feed.name for feed in plan.feeds),
                        say("Name the one that is given with --feed"))  # fmt: skip
    return named[0]


def entrance(yard: Yard, bees_in: int, with_pollen: int, minutes: float | None, hives: int) -> EntranceCount:
    """A count of the yard's day."""
    return EntranceCount(yard.today, bees_in, with_pollen, minutes, hives)


def stop_lines(told: StopTold) -> Iterator[tuple[str, str]]:
    """The decision for a terminal."""
    yield "bold", f"{told.yard.name}, {day_and_year(told.yard.today)}"
    yield "bold", told.stop.sentence
    yield "", ""
    yield from (("", f" - {reason}.") for reason in told.stop.reasons)
    if told.note:
        yield "dim", told.note


def stop_document(told: StopTold) -> dict[str, Any]:
    """The decision for other programs."""
    saving, count = told.stop.saving, told.signs.count
    return {
        "shape": SHAPE,
        "yard": told.yard.name,
        "today": told.yard.today.isoformat(),
        "decision": told.stop.decision,
        "sentence": told.stop.sentence,
        "reasons": list(told.stop.reasons),
        "count": None if count is None else {
            "bees_in": count.bees_in, "with_pollen": count.with_pollen, "share": round(count.share, 4),
            "low": round(count.range[0], 4), "high": round(count.range[1], 4),
        },
        "saving": None if saving is None or not saving.known else {
            "money": round(saving.money, 2), "feed_g": round(saving.feed_g, 1),
        },
        "threshold": told.signs.threshold,
        "threshold_of": told.signs.threshold_of,
        "short_if_stopped": told.signs.short_if_stopped,
        "note": told.note,
    }  # fmt: skip
