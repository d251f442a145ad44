"""The target of a plan file: what the colonies are wanted for, by when, and what it pays."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from breadline.errors import PlanError
from breadline.jobs.recipe_fields import Spot
from breadline.jobs.rounds_fields import Money, PlanTable
from breadline.language import say
from breadline.plan.money import Amount
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Paid, Splits, Target, WinterBees

Made = Callable[[PlanTable, Money], Target]
PAID = ("hive_by_hive", "sample_average")


def target_of(data: Any, spot: Spot, money: Money) -> Target:
    """The target of the table ``[target]``.

    Errors
    ------
    PlanError
        If it is missing, of no known kind, or lacks its date, line or price.
    """
    if not isinstance(data, dict) or not data:
        raise PlanError(
            f"{spot.file}, [target]",
            say("the table is missing"),
            say("kind, on, and what it pays"),
            say("kind is one of {kinds}", kinds=", ".join(KINDS)),
        )
    kind = PlanTable({"kind": data.get("kind", "")}, spot, ("kind",)).needed_word(
        "kind", tuple(KINDS), say("Say what the colonies are wanted for")
    )
    made, known = KINDS[kind]
    return made(PlanTable(data, spot, ("kind", *known)), money)


def _on(table: PlanTable, key: str = "on") -> Any:
    return table.needed(key, table.day(key), say("a date such as 2027-02-10"))


def _line(table: PlanTable, key: str) -> float:
    value = table.above(key, 40, "frames", say("If you typed bees, divide by what a frame means to you"))
    return cast(float, table.needed(key, value, say("frames, such as 8")))


def _pays(table: PlanTable, money: Money, key: str, unit: str) -> Amount:
    return cast(
        Amount, table.needed(key, money.amount(table, key, unit), say("what it pays, {unit}", unit=unit))
    )


def _frames(table: PlanTable, money: Money) -> Target:
    return Frames(
        on=_on(table),
        grade=_line(table, "grade"),
        fee=_pays(table, money, "fee", say("a colony")),
        paid=cast(
            Paid,
            table.needed_word(
                "paid", PAID, say("Look into the contract: by the hive, or by a sample's average")
            ),
        ),
        premium=money.amount(table, "premium", say("a frame above the line")),
        premium_to=table.above("premium_to", 40, "frames"),
        below=money.amount(table, "below", say("a colony under the line"), nought=True),
    )


def _splits(table: PlanTable, money: Money) -> Target:
    return Splits(
        on=_on(table),
        brood=_line(table, "brood"),
        bees=_line(table, "bees"),
        value=_pays(table, money, "value", say("a split")),
        most=table.whole("most", 1, 5, say("splits a colony")) or 2,
        nurses=table.above("nurses", 40, "frames"),
    )


def _honey(table: PlanTable, money: Money) -> Target:
    usual = table.needed(
        "usual_lb", table.mass_g("usual", 200_000.0), say("the usual crop of a colony: usual_lb or usual_kg")
    )
    price = table.needed("price", money.rate(table, "price"), say("what honey sells for, with per"))
    return HoneyFlow(_on(table), _on(table, "until"), usual / 1000.0, price)


def _winter(table: PlanTable, money: Money) -> Target:
    return WinterBees(
        _on(table), _line(table, "grade"), _pays(table, money, "value", say("a colony that winters"))
    )


def _alive(table: PlanTable, money: Money) -> Target:
    return KeepAlive(_on(table), _line(table, "grade"), _pays(table, money, "value", say("a colony")))


KINDS: dict[str, tuple[Made, tuple[str, ...]]] = {
    "frames": (_frames, ("on", "grade", "fee", "fee_year", "paid", "premium", "premium_year", "premium_to",
                         "below", "below_year")),
    "splits": (_splits, ("on", "brood", "bees", "nurses", "value", "value_year", "most")),
    "honey_flow": (_honey, ("on", "until", "usual_lb", "usual_kg", "price", "price_year", "per")),
    "winter_bees": (_winter, ("on", "grade", "value", "value_year")),
    "keep_alive": (_alive, ("on", "grade", "value", "value_year")),
}  # fmt: skip
