"""What a batch contains and costs once it is measured out, in words."""

from __future__ import annotations

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content
from breadline.ration.analysis import Analysis
from breadline.ration.bases import AS_FED, DRY
from breadline.ration.batch import Batch
from breadline.ration.cost import recipe_cost
from breadline.ration.measures import weight_said
from breadline.ration.plain_words import PER, price
from breadline.ration.plain_words import money as money  # as pages know it

_UNSEEN = 0.05  # protein moved by less is told as not moved [percentage points]


def protein_rounding(batch: Batch) -> str:
    """How far measuring out moves protein, and what to do where that is too far."""
    moved = abs(batch.protein_moved)
    before, after = _tenths(batch.before.protein_as_fed), _tenths(batch.after.protein_as_fed)
    if moved < _UNSEEN:
        return f"Protein as fed stays at the {before} % of the recipe."
    turn = "more" if batch.protein_moved > 0 else "less"
    said = f"Protein as fed is {after} %; the recipe as written has {before} %"
    if not batch.moved_too_far:
        return f"{said}, so {moved:.1f} points {turn}."
    return f"{said}. That is {moved:.1f} points {turn}, more than the half point allowed. {_instead(batch)}"


def _instead(batch: Batch) -> str:
    system = batch.mixing.system
    weights = [
        f"{weight_said(line.scale.grams, system, line.scale.step)} {line.ingredient.name}"
        for line in batch.lines if line.measured.vessel != "scale"
    ]  # fmt: skip
    return f"Weigh instead: {', '.join(weights)}." if weights else "Mix a larger batch to come closer."


def protein_by_bucket(batch: Batch) -> str:
    """What protein may come to if buckets weigh as their range allows; empty where they make no odds."""
    low, high = round(batch.protein_between.low), round(batch.protein_between.high)
    certain = batch.after.protein_as_fed
    if (low, high) == (round(certain.low), round(certain.high)):
        return ""
    return f"If buckets weigh as little or as much as they may, {low} to {high} %."


def protein_said(batch: Batch) -> str:
    """Protein as fed and of dry matter, with its basis: "17 to 18 % as fed, 19 to 20 % of dry matter …"."""
    mix = batch.after
    return f"{_whole(mix.protein(AS_FED))} % as fed, {_dry(mix)} (crude protein, {AS_FED.factor})"


def pollen_said(batch: Batch) -> str:
    """Real pollen: "none", or its share of the mix."""
    share = batch.after.pollen_share * 100
    if share == 0:
        return "none"
    return f"{share:.0f} % of the mix as fed" if share >= 1 else "less than 1 % of the mix"


def cost_said(batch: Batch) -> str:
    """Cost of a pound or a kilogram at the user's prices, with their years; else what is missing.

    Errors
    ------
    RecipeError
        If prices are in more than one money, or one is not above 0.
    """
    cost = recipe_cost(batch.recipe, batch.after)
    if cost is None:
        return "no prices given"
    if cost.unpriced:
        return f"not known: no price for {', '.join(cost.unpriced)}"
    per_kg = cost.feed.middle / (1 - batch.mixing.lost)
    system = batch.mixing.system
    years = " to ".join(str(year) for year in dict.fromkeys((cost.years[0], cost.years[-1])))
    free = f"; {' and '.join(cost.free)} counted as free" if cost.free else ""
    whole = money(per_kg * batch.finished_g / 1000.0, cost.money)
    return (
        f"{price(per_kg, cost.money, system)} a {PER[system]}, {whole} in all, at your {years} prices{free}"
    )


def _tenths(content: Content) -> str:
    low, high = f"{content.low:.1f}", f"{content.high:.1f}"
    return low if low == high else f"{low} to {high}"


def _whole(content: Content) -> str:
    low, high = round(content.low), round(content.high)
    return f"about {low}" if low == high else f"{low} to {high}"


def _dry(mix: Analysis) -> str:
    try:
        return f"{_whole(mix.protein(DRY))} % of dry matter"
    except RecipeError:  # water only
        return "no dry matter"
