"""A recipe file in the terms of the ration: mix, targets, the solver's problem, the mixing room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import cast

from breadline.errors import RecipeError
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_refusals import listed_pollen, pollen_of
from breadline.jobs.recipe_written import GRAMS, Aim, BoughtFeed, Quote, RecipeFile
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Content, Price
from breadline.language import say
from breadline.measures import measures, units_of
from breadline.ration.bases import Basis, Factor
from breadline.ration.batch_lines import Mixing
from breadline.ration.label import BoughtFeed as Labelled
from breadline.ration.label import guaranteed
from breadline.ration.measures import System
from breadline.ration.measuring import Bucket
from breadline.ration.problem import Making, Problem
from breadline.ration.recipe import Recipe
from breadline.ration.rules import Circumstances
from breadline.ration.targets import Target, in_protein, nutrient, protein, ratio, real_pollen, share

FACTORS: Mapping[str, Factor] = {"N x 6.25": "N × 6.25", "own factor": "own factor"}
GUARANTEES = {"protein": "protein_min_pct", "fat": "fat_min_pct", "fibre": "fibre_max_pct",
              "water": "water_max_pct", "ash": "ash_max_pct"}  # fmt: skip
SEARCH_S = 10.0  # longest search among whole things where the file says nothing [s]
ROOM = 1.1  # where no mixer is named, nothing keeps a bucket from being filled up [1]
A_PIECE: Mapping[System, float] = {"lb": GRAMS["lb"], "kg": 500.0}  # where no patty is named [g]


def system_of(file: RecipeFile) -> System:
    """Pounds or kilograms: as mixed, else as most parts are written, else by the country."""
    if file.mixing is not None:
        return file.mixing.unit
    written = [one.unit for one in file.amounts]
    pounds = sum(unit in ("lb", "oz") for unit in written)
    kilos = sum(unit in ("kg", "g") for unit in written)
    if pounds != kilos:
        return "lb" if pounds > kilos else "kg"
    return "lb" if units_of(file.country or None) == "lb" else "kg"


def told_in(file: RecipeFile) -> System:
    """What its answer is told in: pounds or kilograms as the reader chose, else as ``system_of``."""
    chosen = measures().units
    return system_of(file) if chosen is None else "lb" if chosen == "lb" else "kg"


def recipe_of(file: RecipeFile, quotes: Mapping[str, Quote] | None = None) -> Recipe:
    """The mix of a file; where it has no price of its own, one of ``quotes`` serves."""
    made = file.recipe(all_ingredients(file))
    there = prices_of(file, quotes)
    return replace(made, prices={one.ingredient.key: there[one.ingredient.key] for one in made.parts
                                 if one.ingredient.key in there})  # fmt: skip


def prices_of(file: RecipeFile, quotes: Mapping[str, Quote] | None = None) -> dict[str, Price]:
    """Prices by what they are of: the file's, then ``quotes`` in the same money."""
    own = {quote.of: quote for quote in file.quotes}
    money = next((quote.money for quote in own.values()), "")
    there = {of: quote for of, quote in (quotes or {}).items() if not money or quote.money == money}
    return {of: quote.as_price for of, quote in (there | own).items()}


def offered(file: RecipeFile) -> tuple[str, ...]:
    """What the solver may use: what is named for it, else the recipe's own parts."""
    return file.solving.ingredients or tuple(one.ingredient for one in file.amounts)


def problem_of(file: RecipeFile, quotes: Mapping[str, Quote] | None = None) -> Problem:
    """What the solver is asked by a file.

    Errors
    ------
    RecipeError
        As of ``Problem`` and ``Target``.
    """
    known, solving = all_ingredients(file), file.solving
    making = Making(
        _batch_kg(file),
        1.0 if solving.fill_least_pct is None else solving.fill_least_pct / 100.0,
        frozenset(solving.whole_bags), solving.at_most_ingredients, solving.at_least_if_used_pct,
        solving.seconds or SEARCH_S,
    )  # fmt: skip
    return Problem(
        tuple(known[key] for key in offered(file)), prices_of(file, quotes), targets_of(file), making,
        solving.counted,
    )  # fmt: skip


def _batch_kg(file: RecipeFile) -> float | None:
    """The batch as mixed; else what the recipe weighs, where bags need not be counted into a mixer. [kg]"""
    if file.mixing is not None and file.mixing.batch_g is not None:
        return file.mixing.batch_g / 1000.0
    if file.in_shares or not file.amounts or file.solving.whole_bags:
        return None
    return sum(one.grams for one in file.amounts) / 1000.0


def targets_of(file: RecipeFile) -> tuple[Target, ...]:
    """The targets of a file, in its order."""
    return tuple(target_of(aim) for aim in file.aims)


def target_of(aim: Aim) -> Target:
    """A target as the solver takes it."""
    least, most, basis = aim.at_least, aim.at_most, aim.basis or "as fed"
    factor = FACTORS[aim.protein_on or "N x 6.25"]
    if aim.to == "protein":
        return replace(in_protein(aim.of, factor, least or 0.0), least=least, most=most)
    if aim.to:
        return ratio(aim.of, aim.to, least, most)
    if aim.of == "protein":
        return protein(Basis(basis, factor), least, most)
    if aim.of == "pollen":
        return real_pollen(least, most)
    if aim.of in NUTRIENTS or aim.of in AMINO_ACIDS:
        return nutrient(aim.of, basis, least, most)
    return share(aim.of, least, most)


def circumstances_of(file: RecipeFile) -> Circumstances:
    """What the file says beside the mix."""
    known = file.known
    return Circumstances(
        pollen_of(file), known.honey_own, known.hmf_mg_per_kg, known.syrup_c, known.inhibitor_pct,
        known.inhibitor_syrup_pct, known.weeks_without_pollen, known.for_sale,
    )  # fmt: skip


def mixing_of(file: RecipeFile) -> Mixing:
    """How the mixing room measures, in the reader's units; the recipe's own weight without batch and mixer.

    Errors
    ------
    RecipeError
        If a bucket is named and not how far it is filled, or a recipe in shares has no batch.
    """
    mixing, system, piece = file.mixing, told_in(file), A_PIECE[system_of(file)]
    if file.in_shares and (mixing is None or mixing.batch_g is None):
        raise RecipeError(
            f"{file.name}, [mixing], batch",
            say("is left out, and the recipe is in shares"),
            say("how much is mixed"),
            say('Add [mixing] with batch = 140 and unit = "kg", or what the mixer holds'),
        )
    whole = sum(one.grams for one in file.amounts)
    bulk = {one.ingredient: Content(one.bulk_kg_per_l, one.bulk_kg_per_l)
            for one in file.amounts if one.bulk_kg_per_l}  # fmt: skip
    if mixing is None:
        return Mixing(whole * ROOM, piece, system, whole, None, bulk)
    lost = (mixing.lost_pct or 0.0) / 100.0
    holds = mixing.mixer_holds and mixing.mixer_holds * GRAMS[mixing.unit]
    own = None if holds else whole * (1.0 - lost)  # as written: weighed out just so
    batch = own if mixing.batch is None else mixing.batch * GRAMS[mixing.unit]
    bucket = None if mixing.bucket_l is None else Bucket(mixing.bucket_l, _level(file))
    return Mixing(
        holds or ROOM * (batch or whole) / (1.0 - lost), mixing.patty_g or piece, system, batch,
        bucket, bulk, lost=lost, keep_buckets=bool(mixing.keep_buckets),
    )  # fmt: skip


def _level(file: RecipeFile) -> str:
    level = file.mixing.bucket_level if file.mixing is not None else ""
    if not level:
        raise RecipeError(
            f"{file.name}, [mixing], bucket_level",
            say("is left out"),
            say('such as "filled to 2 in. under the rim"'),
            say("A bucket filled to the rim weighs a good deal more: say how far you fill yours"),
        )
    return level


def bought_of(feed: BoughtFeed, quote: Quote | None = None) -> Labelled:
    """A bought feed as its label is read: least of protein and fat, most of the rest."""
    stated = {line: cast(float | None, getattr(feed, field)) for line, field in GUARANTEES.items()}
    percents = {line: value for line, value in stated.items() if value is not None}
    label = replace(guaranteed("bought_feed", feed.name, feed.basis, percents), note=feed.note)
    return Labelled(label, None if quote is None else quote.as_price, feed.pollen_pct, listed_pollen(feed))
