"""What is never added to a feed with Breadline's help: drugs, and anything against mites or pests."""

from __future__ import annotations

from collections.abc import Iterable

from breadline.knowledge.countries import CountryLaw
from breadline.knowledge.drug_words import drug_words, kinds_named
from breadline.knowledge.ingredients import in_english
from breadline.language import say
from breadline.ration.recipe import Recipe
from breadline.ration.remark import Remark, remark


def refusals(texts: Iterable[str], law: CountryLaw) -> tuple[Remark, ...]:
    """What has to be answered to a request, a name or a note in which a drug or the like is named.

    The answer is a referral. It never repeats what was asked for, and never states an amount.

    Parameters
    ----------
    texts
        Whatever the user wrote: names of ingredients, the recipe's name and note, a request.
    law
        The country's rule on drugs, said with the refusal.
    """
    named = {kind for text in texts for kind in kinds_named(text)}
    return tuple(
        remark(kind, law=drug_law(law) if kind == "drug" else "") for kind in drug_words() if kind in named
    )


def refusals_of_recipe(recipe: Recipe, law: CountryLaw) -> tuple[Remark, ...]:
    """The same of a recipe's name, its note, and its ingredients' names, keys and notes."""
    texts = [recipe.name, recipe.note]
    for part in recipe.parts:
        texts += [in_english(part.ingredient), part.ingredient.key, part.ingredient.note]
    return refusals(texts, law)


def drug_law(law: CountryLaw) -> str:
    """A country's rule on drugs for bees in a sentence; says so where none was read."""
    if law.drugs:
        return f"{say(law.name)}: {say(law.drugs)}"
    where = say(law.name) if law.name else say("this country")
    return say(
        "No source on the rule in {where} was read; many countries ask for a veterinarian's prescription.",
        where=where,
    )
