"""A recipe in buckets: weights from volume and bulk density, which is asked for and never guessed."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content, Ingredient
from breadline.ration.analysis import Analysis, analysis_of


@dataclass(frozen=True)
class BucketPart:
    """So many buckets of an ingredient.

    ``bulk`` is what the user weighed in, or else ``None``: then the table's range serves, if it has one.
    """

    ingredient: Ingredient
    buckets: float  # full ones, to the mixer's own mark [buckets]
    bucket_ml: float  # up to that mark [mL]
    bulk: Content | None = None  # [g/mL]

    def grams(self) -> Content:
        """What they weigh. [g]

        Errors
        ------
        RecipeError
            If a number is not positive, or nobody knows how much a bucket of it weighs.
        """
        bulk = self.bulk or self.ingredient.bulk_g_per_ml
        if bulk is None:
            raise RecipeError(
                self.ingredient.name, "a bucket of it has no known weight", "its weight for one bucket",
                "Fill the bucket to the mark, weigh it, take off the empty bucket, and enter the weight",
            )  # fmt: skip
        for what, value in (("buckets", self.buckets), ("bucket", self.bucket_ml), ("bulk", bulk.low)):
            if not 0 < value < float("inf"):
                raise RecipeError(
                    f"{self.ingredient.name}, {what}", f"{value:g} is no amount", "a number above 0",
                    "Enter how many full buckets go in, and what one weighs",
                )  # fmt: skip
        volume = self.buckets * self.bucket_ml
        return Content(volume * bulk.low, volume * bulk.high)


def bulk_from_bucket(grams: float, bucket_ml: float) -> Content:
    """Bulk density from one weighed bucket, without the bucket. [g/mL]

    Errors
    ------
    RecipeError
        If either the weight [g] or the volume [mL] is not positive.
    """
    if not (0 < grams < float("inf") and 0 < bucket_ml < float("inf")):
        raise RecipeError("bucket", f"{grams:g} g in {bucket_ml:g} mL is no weight", "two numbers above 0")
    return Content(grams / bucket_ml, grams / bucket_ml)


def analyse_buckets(name: str, parts: tuple[BucketPart, ...]) -> Analysis:
    """What a recipe in buckets contains; where densities are ranges, so is everything else.

    Errors
    ------
    RecipeError
        If there is no part, or one cannot be weighed.
    """
    if not parts:
        raise RecipeError(name, "there is no ingredient in it", "at least one", "Add an ingredient")
    grams: dict[str, Content] = {}
    for part in parts:
        more, had = part.grams(), grams.get(part.ingredient.key, Content(0.0, 0.0))
        grams[part.ingredient.key] = Content(had.low + more.low, had.high + more.high)
    return analysis_of(name, grams, {part.ingredient.key: part.ingredient for part in parts})
