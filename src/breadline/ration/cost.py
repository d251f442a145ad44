"""What a feed costs: by the kilogram as fed and dry, and by the kilogram of protein."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content, Price
from breadline.language import say
from breadline.ration.analysis import Analysis
from breadline.ration.recipe import Recipe


@dataclass(frozen=True)
class Cost:
    """Money for a kilogram; a range where contents are ranges. [money/kg]

    Per protein it is ``None`` where there may be no protein at all. A label guarantees the least protein,
    so the dear end is what a kilogram of it costs at most.
    """

    money: str
    years: tuple[int, ...]  # of the prices, old to new
    feed: Content  # as fed
    dry_matter: Content
    protein: Content | None  # crude, N × 6.25
    own_protein: Content | None = None  # on each ingredient's own factor
    unpriced: tuple[str, ...] = ()  # ingredients without a price, counted as free
    free: tuple[str, ...] = ()  # water without a price, which is free


def cost_of(price: Price, protein_as_fed: Content, water: Content) -> Cost:
    """Of a bought feed; crude protein and water in % of mass as fed.

    A kilogram of protein costs the same on either basis: only the way there differs.

    Errors
    ------
    RecipeError
        If the price is not above 0.
    """
    _check(price, say("the feed"))
    feed = Content(price.per_kg, price.per_kg)
    dry = Content(_per(feed.low, 100.0 - water.low), _per(feed.high, 100.0 - water.high))
    return Cost(price.money, (price.year,), feed, dry, _by_part(feed, protein_as_fed))


def recipe_cost(recipe: Recipe, analysis: Analysis) -> Cost | None:
    """Of a recipe, from the prices it carries; ``None`` where it carries none. Water from the tap is free.

    Errors
    ------
    RecipeError
        If prices are in more than one money, or one is not above 0.
    """
    kinds = analysis.ingredients
    priced = {key: recipe.prices[key] for key in kinds if key in recipe.prices}
    if not priced:
        return None
    for key, price in priced.items():
        _check(price, kinds[key].name)
    moneys = sorted({price.money for price in priced.values()})
    if len(moneys) > 1:
        raise RecipeError(
            recipe.name,
            say("its prices are in {moneys}", moneys=" and ".join(moneys)),
            say("one money"),
            say("Turn them into one"),
        )
    feed = sum(analysis.shares[key] * price.per_kg for key, price in priced.items())
    without = [kind for key, kind in kinds.items() if key not in priced]
    unpriced = tuple(kind.name for kind in without if "water" not in kind.traits)
    free = tuple(kind.name for kind in without if "water" in kind.traits)
    each = Content(feed, feed)
    dry = analysis.dry_matter
    return Cost(
        moneys[0], tuple(sorted({price.year for price in priced.values()})), each,
        Content(_per(feed, dry.high), _per(feed, dry.low)),
        _by_part(each, analysis.crude_protein), _by_part(each, analysis.own_protein), unpriced, free,
    )  # fmt: skip


def _by_part(feed: Content, part: Content) -> Content | None:
    if part.low <= 0:
        return None
    return Content(_per(feed.low, part.high), _per(feed.high, part.low))


def _per(money: float, grams: float) -> float:
    """Money a kilogram of a part that has ``grams`` in 100 g."""
    return float("inf") if grams <= 0 else 100.0 * money / grams


def _check(price: Price, where: str) -> None:
    if not 0 < price.per_kg < float("inf"):
        raise RecipeError(
            f"{where}, price",
            say("{per_kg:g} {money} per kg is no price", per_kg=price.per_kg, money=price.money),
            say("a number above 0"),
            say("Enter what you were asked, per kilogram"),
        )
