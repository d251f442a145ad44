"""All that the analysis of a recipe says, in the order in which it is read."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.knowledge.amino_pattern import AminoPattern
from breadline.knowledge.shelf import Reader
from breadline.ration.amino import AminoScore, amino_score
from breadline.ration.analysis import Analysis, analyse
from breadline.ration.analysis_words import amino_sentence, cost_sentence, sentences, useful_sentence
from breadline.ration.cost import Cost, recipe_cost
from breadline.ration.inhibitor import InhibitorRisk, inhibitor_risk
from breadline.ration.keeping import Keeping, keeping
from breadline.ration.measures import System
from breadline.ration.recipe import Recipe
from breadline.ration.worth import Shift, worth_shift


@dataclass(frozen=True)
class Told:
    """An analysis with what follows; ``amino`` is ``None`` without protein, ``cost`` without prices."""

    analysis: Analysis
    amino: AminoScore | None
    inhibitor: InhibitorRisk
    keeping: Keeping
    worth: Shift
    cost: Cost | None
    inhibitor_sentence: str

    def groups(self, system: System) -> tuple[tuple[str, ...], ...]:
        """Protein, cost, contents, amino acids, inhibitor, keeping, and last what all this does not say."""
        first, *rest = sentences(self.analysis)
        amino = () if self.amino is None else (amino_sentence(self.amino), useful_sentence(self.amino))
        cost = () if self.cost is None else (cost_sentence(self.cost, system),)
        return (
            (first, *cost), (*rest,), (*amino, self.inhibitor_sentence), (self.keeping.sentence,),
            (self.worth.sentence,),
        )  # fmt: skip

    def sentences(self, system: System) -> tuple[str, ...]:
        """All of it in that order."""
        return tuple(sentence for group in self.groups(system) for sentence in group)


def told_of(recipe: Recipe, pattern: AminoPattern, reader: Reader) -> Told:
    """The whole analysis of a recipe with its amino acids against ``pattern``.

    Errors
    ------
    RecipeError
        If the recipe or its prices cannot be.
    """
    analysis = analyse(recipe)
    amino = amino_score(analysis, pattern, "N × 6.25") if analysis.crude_protein.high > 0 else None
    risk = inhibitor_risk(analysis)
    return Told(
        analysis, amino, risk, keeping(analysis, reader), worth_shift(analysis, reader),
        recipe_cost(recipe, analysis), risk.sentence(reader),
    )  # fmt: skip
