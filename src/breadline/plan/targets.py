"""What the colonies are wanted for, as people have it: a date, a line and what it pays."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from breadline.errors import PlanError
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.plan.money import Amount, one_money

Paid = Literal["hive_by_hive", "sample_average"]
MOST_FRAMES = 40.0  # no colony covers more [frames]
FARTHEST = 366  # days ahead; beyond a year no plan says anything


@dataclass(frozen=True)
class Frames:
    """Frames of bees on a date, paid for by a grower."""

    on: date
    grade: float  # the line [frames]
    fee: Amount  # for a colony at or above the line [money/colony]
    paid: Paid
    premium: Amount | None = None  # for each frame above it [money/frame]
    premium_to: float | None = None  # above this no more is paid [frames]
    below: Amount | None = None  # for a colony under the line [money/colony]


@dataclass(frozen=True)
class Splits:
    """Splits on a date."""

    on: date
    brood: float  # a colony needs for one split, what stays with it included [frames]
    bees: float  # the same, bees [frames]
    value: Amount  # of one split [money/split]
    most: int = 2  # splits a colony; the second asks for twice as much
    nurses: float | None = None  # of the bees, ten days old or younger; None asks for none [frames]


@dataclass(frozen=True)
class HoneyFlow:
    """A flow; the crop goes with the bees in the field."""

    on: date  # its first day
    until: date
    usual_kg: float  # of a colony that was not fed [kg]
    price: Amount  # of honey [money/kg]


@dataclass(frozen=True)
class WinterBees:
    """Colonies large enough to winter, on a date."""

    on: date
    grade: float  # from this size a colony winters [frames]
    value: Amount  # of a colony that does [money/colony]


@dataclass(frozen=True)
class KeepAlive:
    """Colonies still there on a date."""

    on: date
    grade: float  # a colony smaller than this is as good as lost [frames]
    value: Amount  # of a colony [money/colony]


Target = Frames | Splits | HoneyFlow | WinterBees | KeepAlive


def amounts(target: Target) -> tuple[Amount, ...]:
    """Every price in it."""
    found = [getattr(target, name, None) for name in ("fee", "premium", "below", "value", "price")]
    return tuple(one for one in found if isinstance(one, Amount))


def has_a_date(target: Target) -> bool:
    """Whether somebody else set the date: a contract, or splits that are sold."""
    return isinstance(target, Frames | Splits)


def last_day(target: Target) -> date:
    """The day up to which a plan is followed."""
    return target.until if isinstance(target, HoneyFlow) else target.on


def checked(target: Target, today: date) -> Target:
    """The target, if it can be one.

    Errors
    ------
    PlanError
        For a date before today or over a year ahead, a line that no colony reaches, a price of 0.
    """
    on, end = target.on, last_day(target)
    if end <= today or (on <= today and not isinstance(target, HoneyFlow)):
        raise PlanError(
            "target",
            say("{day} is not ahead of today, {day2}", day=day_and_year(on), day2=day_and_year(today)),
            say("a day to come"),
            say("Give the next date; what was done is in the record"),
        )
    if end < on:
        raise PlanError(
            "flow",
            say("ends on {day}, before it begins", day=day_and_year(end)),
            say("an end after its start"),
        )
    if end - today > timedelta(days=FARTHEST):
        raise PlanError(
            "target",
            say("{day} is more than a year ahead", day=day_and_year(on)),
            say("a date within a year"),
        )
    _line(target)
    for name in ("fee", "premium", "value", "price"):
        amount = getattr(target, name, None)
        if amount is not None:
            amount.checked(name)
    if isinstance(target, Frames) and target.below is not None:
        target.below.checked(say("paid below the line"), zero_is_fine=True)
        if target.below.amount >= target.fee.amount:
            raise PlanError(
                "below",
                say("{below} is no less than the fee, {fee}", below=target.below.said, fee=target.fee.said),
                say("less than a colony that makes it earns"),
                say("Leave the line out where one under it earns nothing"),
            )
    one_money(amounts(target))
    return target


def _line(target: Target) -> None:
    if isinstance(target, HoneyFlow):
        if not 0 < target.usual_kg <= 200:
            raise PlanError(
                "usual crop",
                say("{usual_kg:g} kg", usual_kg=target.usual_kg),
                say("above 0, up to 200 kg a colony"),
                say("If you typed pounds, 100 lb is 45 kg"),
            )
        return
    lines = (
        {"brood": target.brood, "bees": target.bees, "nurse bees": target.nurses or target.bees}
        if isinstance(target, Splits)
        else {"grade": target.grade}
    )
    for name, frames in lines.items():
        if not 0 < frames <= MOST_FRAMES:
            raise PlanError(
                name,
                say("{frames:g} frames", frames=frames),
                say("above 0, up to {most_frames:g} frames", most_frames=MOST_FRAMES),
                say("If you typed bees, divide by what a frame means to you"),
            )
    if isinstance(target, Splits) and (target.nurses or 0.0) > target.bees:
        raise PlanError(
            "nurse bees",
            say("{nurses:g} frames of {bees:g} frames of bees", nurses=target.nurses, bees=target.bees),
            say("no more than the bees"),
        )
    if isinstance(target, Splits) and not 1 <= target.most <= 5:
        raise PlanError("splits", say("{most} a colony", most=target.most), say("1 to 5 a colony"))
    top = target.premium_to if isinstance(target, Frames) else None
    if isinstance(target, Frames) and top is not None and top <= target.grade:
        raise PlanError(
            "premium",
            say("ends at {top:g} frames, not above the line", top=top),
            say("more than {grade:g} frames", grade=target.grade),
        )
