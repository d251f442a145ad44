"""Per cent of what: as fed, of dry matter, of dry matter without sugar; on which nitrogen factor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content
from breadline.language import noted, say

Of = Literal["as fed", "dry matter", "sugar-free dry matter"]
Factor = Literal["N × 6.25", "own factor"]
_WORDS: dict[Of, str] = {
    "as fed": noted("as fed"), "dry matter": noted("of dry matter"),
    "sugar-free dry matter": noted("of sugar-free dry matter"),
}  # fmt: skip
OWN_FACTOR = noted("own factor")

CRUDE = 6.25  # grams of crude protein that feed papers count to a gram of nitrogen [g/g]


@dataclass(frozen=True)
class Basis:
    """What a percentage of protein is a percentage of. It has no default: it must be stated."""

    of: Of
    factor: Factor

    def __str__(self) -> str:
        return f"{self.words}, {say(self.factor)}"

    @property
    def words(self) -> str:
        """The first half, as it is told."""
        return say(_WORDS[self.of])


AS_FED = Basis("as fed", "N × 6.25")
DRY = Basis("dry matter", "N × 6.25")
AS_FED_OWN = Basis("as fed", "own factor")
DRY_OWN = Basis("dry matter", "own factor")
SUGAR_FREE = Basis("sugar-free dry matter", "N × 6.25")


def dry_from_fed(percent_as_fed: float, water_pct: float) -> float:
    """Per cent of dry matter from per cent as fed and per cent of water. [% of mass]

    Errors
    ------
    RecipeError
        If there is no dry matter, or more protein than dry matter.
    """
    dry = 100.0 - _percent(water_pct, "water")
    if _percent(percent_as_fed, "protein") > dry * (1 + 1e-9):
        raise RecipeError(
            "protein",
            say("{fed:g} % as fed is more than the {dry:g} % of dry matter", fed=percent_as_fed, dry=dry),
            say("no more than 100 % less water"),
            say("Check the two percentages"),
        )
    if dry == 0:
        raise RecipeError(
            "water", say("there is no dry matter in it"), say("less than 100 % water"), say("Check the water")
        )
    return min(100.0, 100.0 * percent_as_fed / dry)


def fed_from_dry(percent_of_dry: float, water_pct: float) -> float:
    """Per cent as fed from per cent of dry matter and per cent of water. [% of mass]"""
    return _percent(percent_of_dry, "protein") * (100.0 - _percent(water_pct, "water")) / 100.0


def crude_from_own(protein: float, nitrogen_factor: float) -> float:
    """Crude protein on N × 6.25 from protein on its own ``nitrogen_factor`` [g/g]. [its own unit of mass]"""
    return protein * CRUDE / _factor(nitrogen_factor)


def own_from_crude(crude_protein: float, nitrogen_factor: float) -> float:
    """Protein on its own ``nitrogen_factor`` [g/g] from crude protein on N × 6.25. [its own unit of mass]"""
    return crude_protein * _factor(nitrogen_factor) / CRUDE


def of_a_part(amount: Content, whole: Content) -> Content:
    """Per cent that ``amount`` is of a part of the mix, both in g/100 g as fed; never above 100. [%]

    Errors
    ------
    RecipeError
        If there is nothing of that part to be a per cent of.
    """
    if whole.high <= 0:
        raise RecipeError(
            "basis",
            say("there is no dry matter to be a per cent of"),
            say("some dry matter"),
            say("Use the as fed basis"),
        )
    low = 100.0 * amount.low / whole.high
    high = 100.0 if whole.low <= 0 else min(100.0, 100.0 * amount.high / whole.low)
    return Content(min(low, high), high)


def _percent(value: float, where: str) -> float:
    if not 0 <= value <= 100:
        raise RecipeError(
            where,
            say("{value:g} % is not possible", value=value),
            say("0 to 100 %"),
            say("Check the percentage"),
        )
    return value


def _factor(nitrogen_factor: float) -> float:
    if not nitrogen_factor > 0:
        raise RecipeError(
            "nitrogen factor",
            say("{nitrogen_factor:g} is not possible", nitrogen_factor=nitrogen_factor),
            say("a number such as 6.25"),
        )
    return nitrogen_factor
