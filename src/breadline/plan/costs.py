"""What a round costs a colony: feed, labour and travel, from the keeper's own figures."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.errors import PlanError
from breadline.language import say
from breadline.plan.equivalence import FeedWorth
from breadline.plan.money import Amount, one_money


@dataclass(frozen=True)
class Feed:
    """A protein feed that can be bought or mixed."""

    name: str
    price: Amount  # as fed [money/kg]
    worth: FeedWorth  # draw by draw
    patty_g: float  # [g]
    sugar: float = 0.0  # dry sugar in it, spared in the stores; 0 where not known [share]


@dataclass(frozen=True)
class Work:
    """Labour and travel of one round, as the keeper has them."""

    minutes_colony: float  # lid, smoke, drop, lid [min/colony]
    wage: Amount  # [money/h]
    miles: float = 0.0  # there and back [miles]
    mile: Amount | None = None  # [money/mile]
    minutes_drive: float = 0.0  # there and back [min]
    anyway: bool = False  # the yard is visited on those days for other work


@dataclass(frozen=True)
class Syrup:
    """Syrup that makes up for what extra bees eat."""

    price: Amount  # [money/kg]
    sugar: float  # dry sugar in it [share]


@dataclass(frozen=True)
class Prices:
    """Everything that costs money, in one money."""

    feeds: tuple[Feed, ...]
    work: Work
    syrup: Syrup | None = None

    @property
    def money(self) -> str:
        """Whose."""
        return one_money((*(f.price for f in self.feeds), self.work.wage, self.work.mile,
                          self.syrup.price if self.syrup else None))  # fmt: skip

    def checked(self) -> Prices:
        """The same, if they can be.

        Errors: PlanError for no feed, a price without money or year, minutes or miles that cannot be.
        """
        if not self.feeds:
            raise PlanError("feed", say("none is chosen"), say("a recipe or a bought feed, with its price"),
                            say("Choose one under Ration, or enter a quote"))  # fmt: skip
        for feed in self.feeds:
            feed.price.checked(say("price of {name}", name=feed.name))
            if not 0.0 <= feed.sugar <= 1.0:
                raise PlanError(
                    f"sugar of {feed.name}",
                    f"{feed.sugar:g}",
                    say("a share from 0 to 1"),
                    say("If you typed per cent, enter {sugar:g}", sugar=feed.sugar / 100),
                )
        work = self.work
        work.wage.checked("wage", zero_is_fine=True)
        _within(
            say("minutes a colony"),
            work.minutes_colony,
            60.0,
            "minutes",
            say("If you typed seconds, divide by 60"),
        )
        _within(say("miles to the yard"), work.miles, 1000.0, say("miles, there and back"))
        _within(say("minutes to drive"), work.minutes_drive, 1440.0, say("minutes, there and back"))
        if work.mile is not None:
            work.mile.checked(say("price of a mile"), zero_is_fine=True)
        if self.syrup is not None:
            self.syrup.price.checked(say("price of syrup"))
            if not 0.2 <= self.syrup.sugar <= 0.85:
                raise PlanError(
                    "sugar of the syrup",
                    f"{self.syrup.sugar:g}",
                    say("a share from 0.2 to 0.85"),
                    say("1:1 by weight is 0.5, 2:1 is 0.67"),
                )
        assert self.money  # one money, or the error above it
        return self


def labour_a_round(work: Work) -> float:
    """Labour of one round. [money/colony]"""
    return work.minutes_colony / 60.0 * work.wage.amount


def travel_a_round(work: Work, colonies: int) -> float:
    """Miles and hours on the road of one round, shared by the colonies of the yard. [money/colony]"""
    if work.anyway:
        return 0.0
    miles = work.miles * work.mile.amount if work.mile is not None else 0.0
    return (miles + work.minutes_drive / 60.0 * work.wage.amount) / colonies


def _within(what: str, value: float, most: float, unit: str, do: str = "") -> None:
    if not 0.0 <= value <= most:
        raise PlanError(what, f"{value:g}", say("0 to {most:g} {unit}", most=most, unit=unit), do)
