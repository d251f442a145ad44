"""A bought feed from the guaranteed analysis on its label: what can be said from it, and what cannot."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content, Price
from breadline.ration.bases import AS_FED, DRY, Basis, fed_from_dry
from breadline.ration.cost import Cost, cost_of

UNSAID = (
    "which amino acids it has, so how much of its protein a bee can use",
    "its sugar, and so how it keeps",
    "its salt, ash and minerals",
    "its fatty acids, ω6 and ω3",
    "whether its soy was toasted",
)


@dataclass(frozen=True)
class Label:
    """What a label guarantees, in per cent of mass; ``None`` where it is silent. [%]

    ``basis`` is what its protein is per cent of; ``pollen_pct`` is of the feed as fed. Without a statement
    on pollen it is not known whether there is any.
    """

    name: str
    protein_pct: float  # crude protein at least
    basis: Basis
    moisture_pct: float | None = None  # at most
    fat_pct: float | None = None  # at least
    fibre_pct: float | None = None  # at most
    ash_pct: float | None = None  # at most
    pollen_pct: float | None = None  # as stated
    price: Price | None = None


@dataclass(frozen=True)
class LabelReading:
    """What follows from a label.

    Parameters
    ----------
    water, fat
        From the guarantees, or all that is possible. [g/100 g as fed]
    protein_as_fed, protein_dry
        The guaranteed least of crude protein on either basis, a range where moisture leaves it open. [%]
    pollen_share
        Real pollen as stated, or ``None`` where the label is silent. [share]
    cost
        By weight and by protein; ``None`` without a price.
    unsaid
        What the label cannot tell.
    """

    label: Label
    water: Content
    fat: Content
    protein_as_fed: Content
    protein_dry: Content
    pollen_share: float | None
    cost: Cost | None
    unsaid: tuple[str, ...]

    @property
    def name(self) -> str:
        """The feed's own name, as its user wrote it."""
        return self.label.name


def read_label(label: Label) -> LabelReading:
    """What can be said of a bought feed.

    Errors
    ------
    RecipeError
        If a percentage is impossible, or together they are more than the feed.
    """
    _check(label)
    water = Content(0.0, 100.0 - _solids(label)) if label.moisture_pct is None else _up_to(label.moisture_pct)
    fed, dry = _both(label, water)
    fat_least = label.fat_pct or 0.0
    fat = Content(fat_least, max(fat_least, 100.0 - fed.low))
    pollen = None if label.pollen_pct is None else label.pollen_pct / 100.0
    cost = None if label.price is None else cost_of(label.price, fed, dry, water)
    return LabelReading(label, water, fat, fed, dry, pollen, cost, _unsaid(label))


def _both(label: Label, water: Content) -> tuple[Content, Content]:
    """The guaranteed least as fed and of dry matter, for every water there may be."""
    if label.basis.of == AS_FED.of:
        fed = Content(label.protein_pct, label.protein_pct)
        ends = [min(100.0, 100.0 * fed.low / max(100.0 - w, fed.low, 1e-9)) for w in (water.low, water.high)]
        return fed, Content(min(ends), max(ends))
    dry = Content(label.protein_pct, label.protein_pct)
    return Content(fed_from_dry(dry.low, water.high), fed_from_dry(dry.low, water.low)), dry


def _solids(label: Label) -> float:
    """Grams in 100 that cannot be water."""
    protein = label.protein_pct if label.basis.of == AS_FED.of else 0.0
    return protein + (label.fat_pct or 0.0)


def _up_to(per_cent: float) -> Content:
    return Content(0.0, per_cent)


def _unsaid(label: Label) -> tuple[str, ...]:
    silent = list(UNSAID)
    if label.ash_pct is not None:
        silent[2] = "its salt and minerals one by one"
    if label.moisture_pct is None:
        silent.insert(0, "its water, so what its protein is on the other basis")
    if label.pollen_pct is None:
        silent.append("whether there is real pollen in it")
    return tuple(silent)


def _check(label: Label) -> None:
    stated = {
        "protein": label.protein_pct, "moisture": label.moisture_pct, "fat": label.fat_pct,
        "fibre": label.fibre_pct, "ash": label.ash_pct, "pollen": label.pollen_pct,
    }  # fmt: skip
    for what, per_cent in stated.items():
        if per_cent is not None and not 0 <= per_cent <= 100:
            raise RecipeError(
                f"{label.name}, {what}", f"{per_cent:g} % is not possible", "0 to 100 %",
                "Copy the percentage from the label",
            )  # fmt: skip
    if label.basis.of not in (AS_FED.of, DRY.of) or label.basis.factor != "N × 6.25":
        raise RecipeError(
            f"{label.name}, protein", f"a label does not state it {label.basis.words}, {label.basis.factor}",
            "as fed or dry matter, on N × 6.25", "State what the label means; feed labels are as fed",
        )  # fmt: skip
    if (whole := _solids(label)) > 100:
        raise RecipeError(label.name, f"its guarantees add up to {whole:g} %", "at most 100 %", "Check them")
