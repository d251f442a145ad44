"""Chosen plans as paper: truck sheets, the order list, labels and the calendar file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial
from math import inf

from breadline.errors import PlanError
from breadline.jobs.ration import batched, sheet_of
from breadline.jobs.ration_terms import mixing_of, recipe_of
from breadline.jobs.rounds import RoundsAnswer, day_of, patty_of, syrup_beside, who_gets_it
from breadline.jobs.rounds_feeds import KnownFeed
from breadline.jobs.rounds_file import FeedAsked
from breadline.jobs.rounds_who import combine_pays
from breadline.jobs.rounds_words import stop_day
from breadline.knowledge.ingredient import Price
from breadline.plan.classes import Band, Classes
from breadline.plan.mixing_days import MixingDay, mixing_days
from breadline.plan.money import Amount
from breadline.plan.order import FeedToOrder, Order, Part, SyrupToOrder, order
from breadline.plan.paper import Load, RoundVisit, usual_spare
from breadline.plan.portions import Step
from breadline.plan.ranked import Ranked
from breadline.plan.truck_days import Drive, round_visits, truck_days
from breadline.sheets.calendar_file import (
    calendar_file,
    look_entries,
    mixing_entries,
    move_entries,
    round_entries,
    stop_entries,
)
from breadline.sheets.labels import box_labels, hive_labels, label_sheets, labels_printed
from breadline.sheets.letterhead import Paper
from breadline.sheets.order_list import order_list
from breadline.sheets.truck_sheet import truck_sheet

ALL = (Band(0.0, inf, "full", 1.0),)
A_BOX = 20  # patties packed in one box, where the box is not known
STOP_SIGNS = "Fresh pollen round the brood in most hives, bees in with pollen, settled weather"


@dataclass(frozen=True)
class Chosen:
    """One yard's answer and the plan that is taken of it."""

    told: RoundsAnswer
    at: Ranked

    @property
    def feed(self) -> FeedAsked:
        """What is fed by the plan."""
        return self.told.plan.feeds[self.at.plan.feed]


@dataclass(frozen=True)
class Papers:
    """Everything that is printed of the chosen plans."""

    loads: tuple[Load, ...]
    order: Order
    mixing: tuple[MixingDay, ...]
    chosen: tuple[Chosen, ...]
    paper: Paper
    moves: tuple[tuple[str, date], ...] = ()  # yards that are moved, with the first morning there

    @property
    def country(self) -> str | None:
        """Of the first yard; all yards of an operation are taken to lie in one."""
        return self.chosen[0].told.yard.place.country


def papers(chosen: Sequence[Chosen], paper: Paper | None = None, drive: Drive | None = None) -> Papers:
    """Visits of all yards as loads in driving order, the order list and the mixing days.

    Paper and driving order are those of the first yard where none are named.

    Errors
    ------
    PlanError
        If every plan is to do nothing, or a piece is smaller than people cut.
    """
    fed = tuple(one for one in chosen if one.at.plan.pieces)
    moves = tuple((one.told.yard.name, one.told.plan.move.on) for one in chosen
                  if one.at.plan.kind == "move" and one.told.plan.move is not None)  # fmt: skip
    if not fed and not moves:
        raise PlanError("plan", "is to do nothing", "a plan with rounds", "There is nothing to print")
    if not fed:
        return Papers((), Order("", (), (), ()), (), tuple(chosen), paper or "a4", moves)
    visits = [visit for one in fed for visit in visits_of(one)]
    plan, told = fed[0].told.plan, fed[0].told
    spare = plan.rounds.spare if plan.rounds.spare is not None else usual_spare(told.reader)
    loads = truck_days(visits, spare, plan.drive if drive is None else drive)
    feeds = {one.feed.name: one.feed for one in fed}
    ordered = order(loads, [_to_order(feed) for feed in feeds.values()], _syrup(told))
    usual: Paper = "us-letter" if told.yard.place.country in ("US", "CA", "MX", None) else "a4"
    bought = {name for name, feed in feeds.items() if feed.known is not None and feed.known.kind == "label"}
    mixed = [load for load in loads if load.feed not in bought]
    days = mixing_days(mixed, plan.rounds.mix_days_before, told.yard.today)
    return Papers(loads, ordered, days, fed, paper or usual, moves)


def _to_order(feed: FeedAsked) -> FeedToOrder:
    """The feed as it is ordered: ready, or what it is mixed from."""
    price = Price(feed.price.amount, feed.price.money, feed.price.year, feed.box_kg)
    known = feed.known
    if known is None or known.file is None:
        return FeedToOrder(feed.name, price)
    recipe = recipe_of(known.file, known.quotes)
    kept = 1.0 - mixing_of(known.file).lost
    shares, prices = recipe.shares(), recipe.prices
    kinds = {part.ingredient.key: part.ingredient for part in recipe.parts}
    parts = tuple(Part(kind.name, shares[key] / kept, prices.get(key))
                  for key, kind in kinds.items() if "water" not in kind.traits)  # fmt: skip
    return FeedToOrder(feed.name, price, parts)


def visits_of(one: Chosen) -> tuple[RoundVisit, ...]:
    """The rounds of a yard, with who gets what, the syrup beside them and what to look at."""
    told, may = one.told, one.told.allowed
    who = who_gets_it(told, one.at)
    combine = () if who is None else who.combine
    yard = RoundVisit(
        yard=told.yard.name,
        round=1,
        on=told.yard.today,
        steps=(Step(0.0, 0.0),),
        counts=(max(0, told.yard.colonies - len(combine)),),
        patty=patty_of(told, one.at),
        days=may.limit.days,
        beetle_rule=may.limit.rule.why,
        look_at=_looks(one),
        rim=may.rim.needed if told.plan.rounds.rim is None else told.plan.rounds.rim,
        combine=combine,
        combine_pays=who is None or combine_pays(told, who),
        place=told.yard.place,
        feed=one.feed.name,
    )
    pieces = [(day_of(told, piece.day), piece.grams) for piece in one.at.plan.pieces]
    visits = round_visits(yard, bands_of(who), pieces)
    if not any(visit.fed for visit in visits):  # few hives, and only a share of them would be fed
        visits = round_visits(yard, ALL, pieces)
    beside = syrup_beside(told, one.at)
    if not beside:
        return visits
    return tuple(
        replace(visit, light=visit.colonies if sugar.sugar_kg else 0, syrup_each_l=sugar.litres,
                dry_sugar_each_g=1000.0 * sugar.sugar_kg if sugar.dry else 0.0)
        for visit, sugar in zip(visits, beside, strict=True)
    )  # fmt: skip


def bands_of(who: Classes | None) -> Sequence[Band]:
    """The classes; a full piece for all where a keeper takes a plan that the search would give to none."""
    return who.bands if who is not None and any(band.gets != "none" for band in who.bands) else ALL


def _looks(one: Chosen) -> tuple[str, ...]:
    rule = (
        ("a fresh arc of pollen: no piece for that hive",)
        if one.at.plan.by_rule
        else ("fresh arcs of pollen",)
    )
    beetles = ("maggots in what is left",) if one.told.allowed.beetles != "none" else ()
    return (*rule, "what is left of the last piece", *beetles)


def _syrup(told: RoundsAnswer) -> SyrupToOrder | None:
    syrup = told.plan.syrup
    if syrup is None:
        return None
    kg = told.plan.syrup_kg_litre
    a_litre = None if kg is None else Amount(syrup.price.amount * kg, syrup.price.money, syrup.price.year)
    return SyrupToOrder(f"syrup, {round(100 * syrup.sugar)} % sugar", a_litre)


def files_of(of: Papers, stamp: datetime, key: str, changes: int = 0) -> dict[str, bytes]:
    """Every file by its name, made; see ``makers_of``."""
    return {name: make() for name, make in makers_of(of, stamp, key, changes).items()}


def makers_of(of: Papers, stamp: datetime, key: str, changes: int = 0) -> dict[str, Callable[[], bytes]]:
    """What makes each file, by its name: truck sheets, order list, batch sheets, labels, the calendar.

    Parameters
    ----------
    of
        The papers.
    stamp
        When they are written, with its zone.
    key, changes
        What tells the plan from others in a calendar, and how often it was changed.
    """
    found: dict[str, Callable[[], bytes]] = {}
    for n, load in enumerate(of.loads, 1):
        found[truck_name(n, load)] = partial(truck_sheet, load, of.paper)
    if of.loads:
        found["order-list.pdf"] = partial(order_file, of)
    for n, day in enumerate(of.mixing, 1):
        if (known := _recipe(of, day)) is not None:
            found[batch_name(n, day)] = partial(batch_file, of, day, known)
    for number in sorted({load.round for load in of.loads if load.for_hives}):
        found[f"labels-round-{number}.pdf"] = partial(label_file, of, number)
    found["rounds.ics"] = partial(calendar_of, of, stamp, key, changes)
    return found


def truck_name(n: int, load: Load) -> str:
    """Of a truck sheet's file: number, round and day."""
    return f"truck-{n:02d}-round-{load.round}-{load.on.isoformat()}.pdf"


def order_file(of: Papers) -> bytes:
    """The order list (PDF)."""
    return order_list(of.order, of.loads[0].patty.units, of.chosen[0].told.yard.today, of.paper)


def batch_name(n: int, day: MixingDay) -> str:
    """Of a batch sheet's file: number, round and day."""
    return f"batch-{n:02d}-round-{day.round}-{day.on.isoformat()}.pdf"


def batch_file(of: Papers, day: MixingDay, known: KnownFeed) -> bytes:
    """The batch sheet of a mixing day, by the recipe of its feed (PDF).

    Errors: RecipeError, FeedRefused where it cannot be mixed so.
    """
    assert known.file is not None, "a feed without a recipe has no batch sheet"
    made = batched(known.file, f"round {day.round}", day.on, known.quotes, asked=day.asked_of)
    return sheet_of(made, of.paper, day.meant_for, known.version)


def _recipe(of: Papers, day: MixingDay) -> KnownFeed | None:
    """The feed of a mixing day, where it follows from a recipe."""
    known = next((one.feed.known for one in of.chosen if one.feed.name == day.feed), None)
    return known if known is not None and known.file is not None else None


def label_file(of: Papers, number: int) -> bytes:
    """Labels of a round (PDF): of the hives that were graded, else of the boxes packed for each yard.

    Errors: PlanError if there is no such round.
    """
    loads = [load for load in of.loads if load.round == number]
    if not loads:
        raise PlanError("round", f"there is no round {number}", f"1 to {of.loads[-1].round}")
    hives = {one.told.yard.name: one.told.plan.hives for one in of.chosen}
    labels = [
        label for load in loads for visit in load.visits for label in hive_labels(visit, hives[visit.yard])
    ]
    if not labels:
        labels = [label for load in loads for label in box_labels(load, _a_box(of, load))]
    sheet = label_sheets()["letter_30" if of.paper == "us-letter" else "a4_21"]
    return labels_printed(labels, sheet, loads[0].on)


def _a_box(of: Papers, load: Load) -> int:
    box = next((one.feed.box_kg for one in of.chosen if one.feed.name == load.feed), None)
    return A_BOX if box is None else max(1, int(1000.0 * box / load.patty.whole_g + 1e-9))


def calendar_of(of: Papers, stamp: datetime, key: str, changes: int = 0) -> bytes:
    """The calendar file: rounds, mixing days, when to look again, to ask whether to stop, and to move."""
    stops = [(one.told.yard.name, on, STOP_SIGNS) for one in of.chosen if (on := stop_from(one)) is not None]
    entries = [
        *round_entries(of.loads),
        *look_entries(of.loads),
        *mixing_entries(of.mixing),
        *stop_entries(stops),
        *move_entries(of.moves),
    ]
    names = ", ".join(
        dict.fromkeys([*(one.told.yard.name for one in of.chosen), *(yard for yard, _ in of.moves)])
    )
    return calendar_file(key, f"Rounds: {names}", entries, stamp, changes)


def stop_from(one: Chosen) -> date | None:
    """From which day it is looked at whether to stop: first reliable pollen while rounds are left."""
    return stop_day(one.told, one.at)
