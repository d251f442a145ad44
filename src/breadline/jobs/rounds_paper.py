"""Chosen plans as paper: truck sheets, the order list, labels and the calendar file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial

from breadline.errors import PlanError
from breadline.jobs.ration import batched, sheet_of
from breadline.jobs.ration_terms import mixing_of, recipe_of
from breadline.jobs.rounds_changed import foot_note
from breadline.jobs.rounds_yard_paper import FeedPaper, YardPaper
from breadline.knowledge.ingredient import Price
from breadline.language import noted, say
from breadline.plan.mixing_days import MixingDay, mixing_days
from breadline.plan.money import Amount
from breadline.plan.order import FeedToOrder, Order, Part, order
from breadline.plan.paper import Load
from breadline.plan.truck_days import Drive, truck_days
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

A_BOX = 20  # patties packed in one box, where the box is not known
STOP_SIGNS = noted("Fresh pollen round the brood in most hives, bees in with pollen, settled weather")


@dataclass(frozen=True)
class Printing:
    """How the sheets are printed: on which day and paper, driven how, with which line under them."""

    today: date
    paper: Paper | None = None  # that of the first yard's country where none is named
    drive: Drive | None = None  # that of the first yard's plan where none is named
    note: str = ""  # what changed since the plans were chosen
    changed: tuple[tuple[str, str], ...] = ()  # the same by yard: a truck sheet says it of its own yards

    @property
    def foot(self) -> str:
        """What stands under the order list, which is for all yards."""
        return f"{self.note} {foot_note(self.changed)}".strip()

    def of_truck(self, load: Load) -> str:
        """What stands under a truck sheet."""
        there = {visit.yard for visit in load.visits}
        return f"{self.note} {foot_note([one for one in self.changed if one[0] in there])}".strip()


@dataclass(frozen=True)
class Papers:
    """Everything that is printed of the chosen plans."""

    loads: tuple[Load, ...]
    order: Order
    mixing: tuple[MixingDay, ...]
    yards: tuple[YardPaper, ...]  # that have rounds; all of them where none has
    paper: Paper
    today: date
    moves: tuple[tuple[str, date], ...] = ()  # yards that are moved, with the first morning there
    note: str = ""

    @property
    def country(self) -> str | None:
        """Of the first yard; all yards of an operation are taken to lie in one."""
        return self.yards[0].country

    def feed_named(self, name: str) -> FeedPaper | None:
        """The feed of that name; None where no yard has it."""
        return next((one.feed for one in self.yards if one.feed is not None and one.feed.name == name), None)


def papers(yards: Sequence[YardPaper], how: Printing) -> Papers:
    """Visits of all yards as loads in driving order, the order list and the mixing days.

    Errors
    ------
    PlanError
        If every plan is to do nothing.
    """
    fed = tuple(one for one in yards if one.visits)
    moves = tuple((one.yard, one.moved_on) for one in yards if one.moved_on is not None)
    if not fed and not moves:
        raise PlanError(
            "plan",
            say("is to do nothing"),
            say("a plan with rounds"),
            say("There is nothing to print. Take another plan of the list, at the terminal with --take"),
        )
    if not fed:
        nothing = Order("", (), (), ())
        return Papers((), nothing, (), tuple(yards), how.paper or "a4", how.today, moves, how.foot)
    first = fed[0]
    loads = truck_days([visit for one in fed for visit in one.visits], first.spare, how.drive or first.drive)
    loads = tuple(replace(load, note=how.of_truck(load)) for load in loads)
    feeds: dict[str, FeedPaper] = {}
    for one in fed:
        if one.feed is not None:
            feeds.setdefault(one.feed.name, one.feed)
    syrup = next((one.syrup for one in fed if one.syrup is not None), None)
    ordered = order(loads, [_to_order(feed) for feed in feeds.values()], syrup)
    note = f"{how.foot} {_priced_apart(fed)}".strip()
    usual: Paper = "us-letter" if first.country in ("US", "CA", "MX", None) else "a4"
    mixed = [load for load in loads if (of := feeds.get(load.feed)) is not None and of.by == "recipe"]
    days = mixing_days(mixed, first.mix_days_before, how.today)
    return Papers(loads, ordered, days, fed, how.paper or usual, how.today, moves, note)


def _priced_apart(yards: Sequence[YardPaper]) -> str:
    """That one feed has two prices in the plans of one truck; empty where none has."""
    prices: dict[str, set[Amount]] = {}
    for one in yards:
        if one.feed is not None:
            prices.setdefault(one.feed.name, set()).add(one.feed.price)
    apart = [name for name, found in prices.items() if len(found) > 1]
    if not apart:
        return ""
    return say(
        "The plans have different prices of {feeds}: the first yard's stands here.", feeds=", ".join(apart)
    )


def _to_order(feed: FeedPaper) -> FeedToOrder:
    """The feed as it is ordered: ready, or what it is mixed from."""
    price = Price(feed.price.amount, feed.price.money, feed.price.year, feed.box_kg)
    if feed.recipe is None:
        return FeedToOrder(feed.name, price)
    recipe = recipe_of(feed.recipe, feed.quotes)
    kept = 1.0 - mixing_of(feed.recipe).lost
    shares, prices = recipe.shares(), recipe.prices
    kinds = {part.ingredient.key: part.ingredient for part in recipe.parts}
    parts = tuple(Part(kind.name, shares[key] / kept, prices.get(key))
                  for key, kind in kinds.items() if "water" not in kind.traits)  # fmt: skip
    return FeedToOrder(feed.name, price, parts)


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
        if (feed := of.feed_named(day.feed)) is not None and feed.recipe is not None:
            found[batch_name(n, day)] = partial(batch_file, of, day, feed)
    for number in sorted({load.round for load in of.loads if load.for_hives}):
        found[f"labels-round-{number}.pdf"] = partial(label_file, of, number)
    found["rounds.ics"] = partial(calendar_of, of, stamp, key, changes)
    return found


def truck_name(n: int, load: Load) -> str:
    """Of a truck sheet's file: number, round and day."""
    return f"truck-{n:02d}-round-{load.round}-{load.on.isoformat()}.pdf"


def order_file(of: Papers) -> bytes:
    """The order list (PDF)."""
    return order_list(of.order, of.loads[0].patty.units, of.today, of.paper, of.note)


def batch_name(n: int, day: MixingDay) -> str:
    """Of a batch sheet's file: number, round and day."""
    return f"batch-{n:02d}-round-{day.round}-{day.on.isoformat()}.pdf"


def batch_file(of: Papers, day: MixingDay, feed: FeedPaper) -> bytes:
    """The batch sheet of a mixing day, by the recipe of its feed (PDF).

    Errors: RecipeError, FeedRefused where it cannot be mixed so.
    """
    assert feed.recipe is not None, "a feed without a recipe has no batch sheet"
    made = batched(
        feed.recipe, say("round {round}", round=day.round), day.on, feed.quotes, asked=day.asked_of
    )
    return sheet_of(made, of.paper, day.meant_for, feed.version)


def label_file(of: Papers, number: int) -> bytes:
    """Labels of a round (PDF): of the hives that were graded, and of the boxes of yards that were not all.

    Errors: PlanError if there is no such round.
    """
    loads = [load for load in of.loads if load.round == number]
    if not loads:
        raise PlanError(
            "round",
            say("there is no round {number}", number=number),
            say("1 to {round}", round=of.loads[-1].round),
        )
    hives = {one.yard: one.hives for one in of.yards}
    labels = [
        label for load in loads for visit in load.visits for label in hive_labels(visit, hives[visit.yard])
    ]
    for load in loads:  # a yard whose hives were not all graded has its boxes
        bare = tuple(
            visit for visit in load.visits if len(hives[visit.yard]) < visit.colonies + len(visit.combine)
        )
        if bare:
            labels += box_labels(replace(load, visits=bare), _a_box(of, load))
    sheet = label_sheets()["letter_30" if of.paper == "us-letter" else "a4_21"]
    return labels_printed(labels, sheet, loads[0].on)


def _a_box(of: Papers, load: Load) -> int:
    feed = of.feed_named(load.feed)
    if feed is None or feed.box_kg is None:
        return A_BOX
    return max(1, int(1000.0 * feed.box_kg / load.patty.whole_g + 1e-9))


def calendar_of(of: Papers, stamp: datetime, key: str, changes: int = 0) -> bytes:
    """The calendar file: rounds, mixing days, when to look again, to ask whether to stop, and to move."""
    stops = [(one.yard, one.stop_from, say(STOP_SIGNS)) for one in of.yards if one.stop_from is not None]
    entries = [
        *round_entries(of.loads),
        *look_entries(of.loads),
        *mixing_entries(of.mixing),
        *stop_entries(stops),
        *move_entries(of.moves),
    ]
    names = ", ".join(dict.fromkeys([*(one.yard for one in of.yards), *(yard for yard, _ in of.moves)]))
    return calendar_file(key, say("Rounds: {names}", names=names), entries, stamp, changes)
