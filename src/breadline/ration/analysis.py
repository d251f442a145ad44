"""What a recipe contains, as far as its ingredients reported it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Content, Ingredient
from breadline.language import say
from breadline.ration.bases import AS_FED, DRY, Basis, of_a_part
from breadline.ration.blanks import possible_amino_acid, possible_content
from breadline.ration.recipe import Recipe


@dataclass(frozen=True)
class Amount:
    """How much of one thing is in a mix. [its ``unit``, per 100 g as fed]

    ``blank`` names the ingredients that did not report it, and so make the range.
    """

    content: Content
    unit: str  # g or mg, per 100 g as fed
    blank: tuple[str, ...] = ()


@dataclass(frozen=True)
class Ratio:
    """One thing over another; ``high`` is ``None`` where it has no upper limit. [1]

    ``low`` is ``None`` where the denominator is 0, so that there is no ratio.
    """

    low: float | None
    high: float | None
    blank: tuple[str, ...] = ()


@dataclass(frozen=True)
class Analysis:
    """What a mix contains per 100 g as fed.

    Parameters
    ----------
    name, grams, shares
        The recipe's name, its whole weight [g] and the share of each ingredient by key. [share]
    amounts
        By the names of ``NUTRIENTS``, in their units per 100 g as fed.
    crude_protein, own_protein
        As fed, on N × 6.25 and on each ingredient's own factor. [g/100 g]
    amino_acids
        By the names of ``AMINO_ACIDS``. [g/100 g]
    """

    name: str
    grams: float  # [g]
    shares: Mapping[str, float]
    ingredients: Mapping[str, Ingredient]  # by key, in the order of the recipe
    amounts: Mapping[str, Amount]
    crude_protein: Content
    own_protein: Content
    amino_acids: Mapping[str, Amount]

    def amount(self, nutrient: str) -> Content:
        """One of ``NUTRIENTS``, in its unit per 100 g as fed."""
        return self.amounts[nutrient].content

    @property
    def contents(self) -> dict[str, Content]:
        """All of ``NUTRIENTS``, in their units per 100 g as fed."""
        return {name: amount.content for name, amount in self.amounts.items()}

    def protein(self, basis: Basis) -> Content:
        """Protein on a stated basis. [%]

        Errors
        ------
        RecipeError
            If the mix has nothing that the basis could be a per cent of.
        """
        protein = self.crude_protein if basis.factor == "N × 6.25" else self.own_protein
        if basis.of == "as fed":
            return protein
        return of_a_part(protein, self.dry_matter if basis.of == "dry matter" else self.sugar_free_dry_matter)

    @property
    def protein_as_fed(self) -> Content:
        """Crude protein as fed, N × 6.25. [%]"""
        return self.protein(AS_FED)

    @property
    def protein_dry(self) -> Content:
        """Crude protein of dry matter, N × 6.25. [%]"""
        return self.protein(DRY)

    @property
    def dry_matter(self) -> Content:
        """All but water. [g/100 g]"""
        return _less(Content(100.0, 100.0), self.amount("water"))

    @property
    def sugar_free_dry_matter(self) -> Content:
        """All but water and sugars. [g/100 g]"""
        return _less(self.dry_matter, self.amount("sugars"))

    @property
    def omega(self) -> Ratio:
        """Linoleic acid over linolenic acid, ω6:ω3. [1]"""
        return ratio(self.amounts["linoleic"], self.amounts["linolenic"])

    @property
    def sugar_to_water(self) -> Ratio:
        """Sugars over water, by weight. [1]"""
        return ratio(self.amounts["sugars"], self.amounts["water"])

    def share_of(self, trait: str) -> float:
        """Share of the mix as fed, by weight, that bears a trait. [share]"""
        return sum(share for key, share in self.shares.items() if trait in self.ingredients[key].traits)

    @property
    def pollen_share(self) -> float:
        """Real pollen in the mix as fed, by weight. [share]"""
        return self.share_of("pollen")


def analyse(recipe: Recipe) -> Analysis:
    """What a recipe contains; a blank of an ingredient becomes a range from 0 to what is possible.

    Errors
    ------
    RecipeError
        If the recipe is empty, or a weight is no positive number.
    """
    _check(recipe)
    kinds, shares = {part.ingredient.key: part.ingredient for part in recipe.parts}, recipe.shares()

    def mix(contents: Mapping[str, Content]) -> Content:
        low = sum(shares[key] * one.low for key, one in contents.items())
        return Content(low, max(low, sum(shares[key] * one.high for key, one in contents.items())))

    def amount(held: Mapping[str, Content], unit: str, blank: list[str]) -> Amount:
        return Amount(mix(held), unit, tuple(kinds[key].name for key in blank if not held[key].exact))

    amounts, amino = {}, {}
    for nutrient, unit in NUTRIENTS.items():
        blank = [key for key, kind in kinds.items() if kind.content(nutrient) is None]
        held = {key: possible_content(kind, nutrient) for key, kind in kinds.items()}
        amounts[nutrient] = amount(held, unit, blank)
    for acid in AMINO_ACIDS:
        held = {key: possible_amino_acid(kind, acid) for key, kind in kinds.items()}
        amino[acid] = amount(held, "g", [key for key, kind in kinds.items() if kind.amino_acid(acid) is None])
    return Analysis(
        recipe.name, recipe.grams, shares, kinds, amounts,
        mix({key: kind.crude_protein for key, kind in kinds.items()}),
        mix({key: kind.protein for key, kind in kinds.items()}), amino,
    )  # fmt: skip


def ratio(above: Amount, below: Amount) -> Ratio:
    """One amount over another of the same unit; no ratio where the lower one is 0. [1]"""
    blank = tuple(dict.fromkeys(above.blank + below.blank))
    if below.content.high <= 0:
        return Ratio(None, None, blank)
    high = None if below.content.low <= 0 else above.content.high / below.content.low
    return Ratio(above.content.low / below.content.high, high, blank)


def _less(whole: Content, part: Content) -> Content:
    return Content(max(0.0, whole.low - part.high), max(0.0, whole.high - part.low))


def _check(recipe: Recipe) -> None:
    if not recipe.parts:
        raise RecipeError(
            recipe.name, say("there is no ingredient in it"), say("at least one"), say("Add an ingredient")
        )
    for part in recipe.parts:
        if not 0 < part.grams < float("inf"):
            raise RecipeError(
                f"{recipe.name}, {part.ingredient.name}", say("{grams:g} g is no amount", grams=part.grams),
                say("a weight above 0 g"), say("Give a weight, or leave the ingredient out"),
            )  # fmt: skip
