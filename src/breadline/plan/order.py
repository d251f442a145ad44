"""What to order for a plan: patties or what they are mixed from, bags, syrup, money with its year."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import ceil, fsum

from breadline.errors import PlanError
from breadline.knowledge.ingredient import Price
from breadline.language import say
from breadline.measures import Units
from breadline.plan.money import Amount
from breadline.plan.paper import Load
from breadline.ration.measures import GALLON_L


@dataclass(frozen=True)
class Part:
    """One ingredient of a feed mixed at home, for each kilogram of finished patty."""

    name: str
    kg_per_kg: float  # as mixed, losses included [kg/kg]
    price: Price | None = None


@dataclass(frozen=True)
class FeedToOrder:
    """The feed of a plan: bought ready, or mixed from ``parts``."""

    name: str
    price: Price | None = None  # of the ready feed; its bag is the box it comes in
    parts: tuple[Part, ...] = ()


@dataclass(frozen=True)
class SyrupToOrder:
    """The syrup beside it: bought ready, or sugar for it."""

    name: str
    per_l: Amount | None = None  # of the ready syrup [money/L]
    sugar_kg_per_l: float | None = None  # where it is made at home [kg/L]
    sugar: Price | None = None


@dataclass(frozen=True)
class RoundNeed:
    """What one round takes, with its spare."""

    round: int
    first: date
    last: date
    yards: int
    fed: int  # colonies
    for_hives: int  # [patties]
    spare: int  # [patties]
    feed_g: float  # spare included [g]
    syrup_l: float  # spare included, up to the whole gallon or litre [L]
    dry_sugar_g: float  # spare included [g]
    sugar_patty_g: float = 0.0  # patties of sugar alone, spare included [g]
    without_feed: int = 0  # check hives that get none of the feed

    @property
    def patties(self) -> int:
        """All patties of the round."""
        return self.for_hives + self.spare


@dataclass(frozen=True)
class Item:
    """One line to order: a mass, or a volume for syrup bought ready."""

    name: str
    ready: bool = False  # feed bought ready
    grams: float | None = None  # [g]
    litres: float | None = None  # [L]
    packs: int | None = None  # whole bags; boxes of feed bought ready
    pack_g: float | None = None  # [g]
    cost: float | None = None  # of what is bought, whole bags; None without a price [money]
    money: str = ""
    year: int | None = None
    each: float | None = None  # for a bag, a kilogram or a litre [money]
    beside: bool = False  # syrup or sugar, beside the feed


@dataclass(frozen=True)
class Order:
    """The whole order of a plan."""

    feed: str
    rounds: tuple[RoundNeed, ...]
    items: tuple[Item, ...]
    patty_g: tuple[float, ...]  # the patties that pieces are cut from [g]
    patties: int = 0  # of all rounds: what one leaves goes on the next
    feed_g: float = 0.0  # the same [g]

    @property
    def cost(self) -> float | None:
        """All of it; None where a price is missing or the money differs [money]."""
        costs = [item.cost for item in self.items if item.cost is not None]
        if len(costs) < len(self.items) or len({item.money for item in self.items}) != 1:
            return None
        return fsum(costs)

    @property
    def years(self) -> tuple[int, ...]:
        """Of which years the prices are."""
        return tuple(sorted({item.year for item in self.items if item.year is not None}))


def order(
    loads: Sequence[Load], feed: FeedToOrder | Sequence[FeedToOrder], syrup: SyrupToOrder | None = None
) -> Order:
    """Feed, bags and syrup for all rounds, spare included; whole bags are worked over the whole plan.

    Of several feeds each is told by the loads that are named after it.

    Errors: PlanError if syrup is in the plan and none is named.
    """
    rounds = tuple(_need(loads, number) for number in sorted({load.round for load in loads}))
    feeds = (feed,) if isinstance(feed, FeedToOrder) else tuple(feed)
    syrup_l = fsum(r.syrup_l for r in rounds)
    items, patties, feed_g = [], 0, 0.0
    for one in feeds:
        of = [load for load in loads if len(feeds) == 1 or load.feed == one.name]
        taken = {
            g: _all_rounds([load for load in of if load.patty.whole_g == g]) for g in sorted(_whole_g(of))
        }
        grams = fsum(g * many for g, many in taken.items())
        items += _of_feed(one, grams)
        patties, feed_g = patties + sum(taken.values()), feed_g + grams
    sugar: list[Item] = []
    if syrup_l:
        if syrup is None:
            raise PlanError(
                "order", say("the plan has syrup in it and none is named"), say("which syrup, and its price")
            )
        sugar.append(_of_syrup(syrup, syrup_l))
    if dry_g := fsum(r.dry_sugar_g for r in rounds):
        sugar.append(_by_mass(say("Dry sugar"), dry_g, syrup.sugar if syrup else None))
    if alone_g := fsum(r.sugar_patty_g for r in rounds):
        sugar.append(_by_mass(say("Patties of sugar alone, for check hives"), alone_g, None))
    return Order(
        say(" and ").join(one.name for one in feeds),
        rounds,
        (*items, *(replace(one, beside=True) for one in sugar)),
        tuple(sorted(_whole_g(loads))),
        patties,
        feed_g,
    )


def _whole_g(loads: Sequence[Load]) -> set[float]:
    """The patties that the loads take, as they are bought [g]."""
    return {load.patty.whole_g for load in loads}


def _all_rounds(loads: Sequence[Load]) -> int:
    """Whole patties of one kind for all rounds: each has its loads, and what it leaves goes on the next.

    One truck of a round takes along what the rounds before left of a patty; every other one opens its own.
    """
    used, most = 0.0, 0.0
    for number in sorted({load.round for load in loads}):
        there = [load for load in loads if load.round == number]
        taken = [load.given * (1.0 + load.spare) for load in there]
        opened = max(load.patties - one for load, one in zip(there, taken, strict=True))
        most = max(most, used + sum(load.patties for load in there) - opened)
        used += fsum(taken)
    return ceil(most - 1e-6)


def _of_feed(feed: FeedToOrder, grams: float) -> list[Item]:
    """What so much feed takes [g]: its parts, else the feed itself."""
    if not grams:
        return []
    if not feed.parts:
        return [replace(_by_mass(feed.name, grams, feed.price), ready=True)]
    return [_by_mass(part.name, part.kg_per_kg * grams, part.price) for part in feed.parts]


def _need(loads: Sequence[Load], number: int) -> RoundNeed:
    there = [load for load in loads if load.round == number]
    days = [load.on for load in there]
    visits = [visit for load in there for visit in load.visits]
    return RoundNeed(
        round=number,
        first=min(days),
        last=max(days),
        yards=len({visit.yard for visit in visits}),
        fed=sum(visit.fed for visit in visits),
        for_hives=sum(load.for_hives for load in there),
        spare=sum(load.spare_patties for load in there),
        feed_g=fsum(load.patties * load.patty.whole_g for load in there),
        dry_sugar_g=fsum(load.dry_sugar_g for load in there),
        sugar_patty_g=fsum(load.sugar_pieces[1] for load in there),
        without_feed=sum(visit.without_feed for visit in visits),
        syrup_l=_whole(fsum(load.syrup_l + load.syrup_spare_l for load in there), there[0].patty.units),
    )


def _whole(litres: float, units: Units) -> float:
    """Up to the whole gallon or litre: syrup is not ordered by the cup [L]."""
    unit = GALLON_L if units == "lb" else 1.0
    return ceil(litres / unit - 1e-6) * unit


def _by_mass(name: str, grams: float, price: Price | None) -> Item:
    if price is None:
        return Item(name, grams=grams)
    if price.bag_kg is None:
        return Item(name, grams=grams, cost=grams / 1000 * price.per_kg, money=price.money, year=price.year,
                    each=price.per_kg)  # fmt: skip
    bag_g = price.bag_kg * 1000
    packs, each = ceil(grams / bag_g - 1e-9), price.per_kg * price.bag_kg
    return Item(
        name,
        grams=grams,
        packs=packs,
        pack_g=bag_g,
        cost=packs * each,
        money=price.money,
        year=price.year,
        each=each,
    )


def _of_syrup(syrup: SyrupToOrder, litres: float) -> Item:
    if syrup.sugar_kg_per_l is not None:
        return _by_mass(
            say("Sugar for {name}", name=syrup.name), litres * syrup.sugar_kg_per_l * 1000, syrup.sugar
        )
    asked = syrup.per_l
    if asked is None:
        return Item(syrup.name, litres=litres)
    asked.checked(say("price of {name}", name=syrup.name))
    return Item(
        syrup.name, litres=litres, cost=litres * asked.amount,
        money=asked.money, year=asked.year, each=asked.amount,
    )  # fmt: skip
