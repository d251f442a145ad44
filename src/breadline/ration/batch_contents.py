"""What a batch contains and costs once it is measured out, in words."""

from __future__ import annotations

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content
from breadline.language import say, say_as
from breadline.ration.analysis import Analysis
from breadline.ration.bases import AS_FED, DRY
from breadline.ration.batch import Batch
from breadline.ration.cost import recipe_cost
from breadline.ration.measures import weight_said
from breadline.ration.plain_words import PER, listed, price
from breadline.ration.plain_words import money as money  # as pages know it

_UNSEEN = 0.05  # protein moved by less is told as not moved [percentage points]


def protein_rounding(batch: Batch) -> str:
    """How far measuring out moves protein, and what to do where that is too far."""
    moved = abs(batch.protein_moved)
    before, after = _tenths(batch.before.protein_as_fed), _tenths(batch.after.protein_as_fed)
    if moved < _UNSEEN:
        return say("Protein as fed stays at the {before} % of the recipe.", before=before)
    told = {"after": after, "before": before, "moved": moved}
    if not batch.moved_too_far:
        return (
            say(
                "Protein as fed is {after} %; the recipe as written has {before} %, so {moved:.1f} "
                "points more.",
                **told,
            )
            if batch.protein_moved > 0
            else say(
                "Protein as fed is {after} %; the recipe as written has {before} %, so {moved:.1f} "
                "points less.",
                **told,
            )
        )
    first = say("Protein as fed is {after} %; the recipe as written has {before} %.", **told)
    far = (
        say("That is {moved:.1f} points more, more than the half point allowed.", **told)
        if batch.protein_moved > 0
        else say("That is {moved:.1f} points less, more than the half point allowed.", **told)
    )
    return f"{first} {far} {_instead(batch)}"


def _instead(batch: Batch) -> str:
    system = batch.mixing.system
    weights = [
        f"{weight_said(line.scale.grams, system, line.scale.step)} {line.ingredient.name}"
        for line in batch.lines if line.measured.vessel != "scale"
    ]  # fmt: skip
    return (
        say("Weigh instead: {weights}.", weights=", ".join(weights))
        if weights
        else say("Mix a larger batch to come closer.")
    )


def protein_by_bucket(batch: Batch) -> str:
    """What protein may come to if buckets weigh as their range allows; empty where they make no odds."""
    low, high = round(batch.protein_between.low), round(batch.protein_between.high)
    certain = batch.after.protein_as_fed
    if (low, high) == (round(certain.low), round(certain.high)):
        return ""
    return say("If buckets weigh as little or as much as they may, {low} to {high} %.", low=low, high=high)


def protein_said(batch: Batch) -> str:
    """Protein as fed and of dry matter, with its basis: "17 to 18 % as fed, 19 to 20 % of dry matter …"."""
    mix = batch.after
    return say(
        "{whole} % as fed, {dry} (crude protein, {factor})",
        whole=_whole(mix.protein(AS_FED)),
        dry=_dry(mix),
        factor=AS_FED.factor,
    )


def pollen_said(batch: Batch) -> str:
    """Real pollen: "none", or its share of the mix."""
    share = batch.after.pollen_share * 100
    if share == 0:
        return say_as("pollen", "none")
    return (
        say("{share:.0f} % of the mix as fed", share=share) if share >= 1 else say("less than 1 % of the mix")
    )


def cost_said(batch: Batch) -> str:
    """Cost of a pound or a kilogram at the user's prices, with their years; else what is missing.

    Errors
    ------
    RecipeError
        If prices are in more than one money, or one is not above 0.
    """
    cost = recipe_cost(batch.recipe, batch.after)
    if cost is None:
        return say("no prices given")
    if cost.unpriced:
        return say("not known: no price for {unpriced}", unpriced=", ".join(cost.unpriced))
    per_kg = cost.feed.middle / (1 - batch.mixing.lost)
    system = batch.mixing.system
    years = say(" to ").join(str(year) for year in dict.fromkeys((cost.years[0], cost.years[-1])))
    free = say("; {free} counted as free", free=listed(cost.free)) if cost.free else ""
    whole = money(per_kg * batch.finished_g / 1000.0, cost.money)
    return say(
        "{price} a {unit}, {whole} in all, at your {years} prices{free}",
        price=price(per_kg, cost.money, system),
        unit=say(PER[system]),
        whole=whole,
        years=years,
        free=free,
    )


def _tenths(content: Content) -> str:
    low, high = f"{content.low:.1f}", f"{content.high:.1f}"
    return low if low == high else say("{low} to {high}", low=low, high=high)


def _whole(content: Content) -> str:
    low, high = round(content.low), round(content.high)
    return say("about {low}", low=low) if low == high else say("{low} to {high}", low=low, high=high)


def _dry(mix: Analysis) -> str:
    try:
        return say("{whole} % of dry matter", whole=_whole(mix.protein(DRY)))
    except RecipeError:  # water only
        return say("no dry matter")
