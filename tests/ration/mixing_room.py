"""An invented recipe, bucket and mixer for the tests of batches. The densities are invented too."""

from __future__ import annotations

from dataclasses import replace

from breadline.knowledge.ingredient import Content, Ingredient, Price
from breadline.ration.batch_lines import Mixing
from breadline.ration.measures import LB_G
from breadline.ration.measuring import Bucket

from .made_up import SOY, ingredient, recipe


def poured(kind: Ingredient, low: float, high: float, name: str = "") -> Ingredient:
    return replace(kind, bulk_g_per_ml=Content(low, high), name=name or kind.name)


SYRUP = poured(ingredient("syrup", traits=("syrup",), water=33.3, sugars=66.7, ash=0.0, fat=0.0), 1.3, 1.35,
               "Syrup 2:1, warm")  # fmt: skip
FINE_SUGAR = poured(ingredient("fine_sugar", traits=("sugar",), water=0.0, sugars=99.8, fat=0.0), 0.85, 0.95,
                    "Sugar, fine")  # fmt: skip
SOY_FLOUR = poured(SOY, 0.50, 0.60, "Soy flour, low fat")
YEAST = poured(ingredient("yeast", (40.0, 46.0), traits=("yeast", "powder"), water=6.0, fat=4.0), 0.55, 0.65,
               "Brewer’s yeast, dried")  # fmt: skip
OIL = poured(ingredient("canola_oil", traits=("oil",), water=0.0, fat=100.0), 0.915, 0.92, "Canola oil")
PARTS = ((SOY_FLOUR, 60.0), (YEAST, 44.0), (FINE_SUGAR, 83.0), (SYRUP, 100.0), (OIL, 8.0))
DRY_FALL = recipe(*PARTS, name="Dry-fall mix")
PAIL = Bucket(16.3, "filled to 2 inches under the rim", "5-gallon pail")
CREW = Mixing(300 * LB_G, LB_G, "lb", bucket=PAIL)


def priced(kind: str, per_kg: float, bag_kg: float | None = None) -> dict[str, Price]:
    return {kind: Price(per_kg, "US$", 2026, bag_kg)}
