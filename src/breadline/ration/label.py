"""A bought feed from the guaranteed analysis on its label: what can be said from it, and what cannot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content, Ingredient, Price
from breadline.knowledge.label import Label, from_label, lines_of
from breadline.knowledge.label_text import Said
from breadline.language import say
from breadline.ration.bases import AS_FED, CRUDE, DRY, Basis, crude_from_own, fed_from_dry
from breadline.ration.blanks import possible_content
from breadline.ration.cost import Cost, cost_of


@dataclass(frozen=True)
class BoughtFeed:
    """A feed somebody sells, as far as its label and its price go.

    ``pollen_pct`` is what the label states of real pollen, of the feed as fed [%]; ``None`` where it is
    silent, so that it is not known whether there is any; ``pollen_listed`` where its list of ingredients
    names real pollen, so that there is some.
    """

    label: Label
    price: Price | None = None
    pollen_pct: float | None = None  # [%]
    pollen_listed: bool = False

    @property
    def name(self) -> str:
        """As its user wrote it."""
        return self.label.name


# How a feed label guarantees each line: protein and fat as a least, the rest as a most.
GUARANTEED = {"protein": "min", "fat": "min", "fibre": "max", "water": "max", "ash": "max"}


def guaranteed(key: str, name: str, basis: str, percents: Mapping[str, float]) -> Label:
    """The label of a usual guaranteed analysis, crude protein on N × 6.25.

    Parameters
    ----------
    percents
        By the names of ``GUARANTEED``. [%]
    basis
        "as fed" or "dry matter".

    Errors
    ------
    RecipeError
        If a name is none that a guaranteed analysis has.
    """
    for line in percents:
        if line not in GUARANTEED:
            raise RecipeError(
                f"label of {name}", say('"{line}" is not guaranteed', line=line), ", ".join(GUARANTEED)
            )
    says: dict[str, str | Said] = {
        line: Said(value, None) if GUARANTEED[line] == "min" else Said(None, value)
        for line, value in percents.items()
    }
    return Label(key, name, says, basis, CRUDE)


@dataclass(frozen=True)
class LabelReading:
    """What follows from a label.

    Parameters
    ----------
    ingredient
        The feed as an ingredient; what the label does not name was not reported.
    basis
        What its protein is per cent of.
    protein_as_fed, protein_dry
        Crude protein as stated, or the least that is guaranteed, on N × 6.25; exact on its own basis, a range
        on the other one where moisture leaves it open. [%]
    at_least
        Whether the label only guarantees a least.
    water
        As guaranteed, or all that is possible. [g/100 g as fed]
    pollen_share
        Real pollen as stated, or ``None`` where the label is silent. [share]
    cost
        By weight and by protein; ``None`` without a price.
    unsaid
        What the label cannot tell.
    """

    feed: BoughtFeed
    ingredient: Ingredient
    basis: Basis
    protein_as_fed: Content
    protein_dry: Content
    at_least: bool
    water: Content
    pollen_share: float | None
    cost: Cost | None
    unsaid: tuple[str, ...]

    @property
    def name(self) -> str:
        """The feed's own name, as its user wrote it."""
        return self.feed.name

    def guaranteed(self, name: str) -> str:
        """Whether the label gives a least of something, a most, or neither: "min", "max" or ""."""
        found = lines_of(self.feed.label).get(name)
        if found is None or found.low == found.high:
            return ""
        return "min" if found.high is None else "max" if not found.low else ""

    @property
    def moisture_said(self) -> bool:
        """Whether the label limits its water."""
        return lines_of(self.feed.label).get("water") is not None


def read_label(feed: BoughtFeed) -> LabelReading:
    """What can be said of a bought feed.

    Errors
    ------
    RecipeError
        If the label cannot be read, guarantees no protein, or a percentage or price is impossible.
    """
    label, moisture = feed.label, lines_of(feed.label).get("water")
    if label.basis == DRY.of and moisture is None:  # nothing is known of its water: all may be water
        label = replace(label, says={**label.says, "water": Said(None, 100.0)})
    kind = from_label(label)
    water = possible_content(kind, "water")
    stated, at_least = _stated(label)
    fed, dry = _both(stated, label.basis, water)
    if feed.pollen_pct is not None and not 0 <= feed.pollen_pct <= 100:
        raise RecipeError(
            f"{feed.name}, pollen",
            say("{pollen_pct:g} % is not possible", pollen_pct=feed.pollen_pct),
            say("0 to 100 %"),
            say("Copy the label"),
        )
    pollen = None if feed.pollen_pct is None else feed.pollen_pct / 100.0
    cost = None if feed.price is None else cost_of(feed.price, fed, water)
    basis = AS_FED if label.basis == AS_FED.of else DRY
    unsaid = _unsaid(kind, moisture is not None, feed)
    return LabelReading(feed, kind, basis, fed, dry, at_least, water, pollen, cost, unsaid)


def _stated(label: Label) -> tuple[float, bool]:
    """Crude protein on N × 6.25 as the label has it, and whether that is only the least."""
    line = lines_of(label).get("protein")
    if line is None or not line.low or label.nitrogen_factor is None:
        raise RecipeError(
            f"label of {label.name}",
            say("guarantees no protein"),
            say("a line such as protein: min 40 %"),
            say("Copy it too"),
        )
    return crude_from_own(line.low, label.nitrogen_factor), line.high is None


def _both(stated: float, basis: str, water: Content) -> tuple[Content, Content]:
    """Protein as fed and of dry matter, for every water there may be."""
    one = Content(stated, stated)
    if basis == AS_FED.of:
        ends = [min(100.0, 100.0 * stated / max(100.0 - w, stated)) for w in (water.low, water.high)]
        return one, Content(min(ends), max(ends))
    return Content(fed_from_dry(stated, water.high), fed_from_dry(stated, water.low)), one


def _unsaid(kind: Ingredient, moisture: bool, feed: BoughtFeed) -> tuple[str, ...]:
    pollen = (
        say("how much real pollen is in it")
        if feed.pollen_listed
        else say("whether there is real pollen in it")
    )
    silent = {
        say("its water, so what its protein is on the other basis"): moisture,
        say("which amino acids it has, so how much of its protein a bee can use"): bool(kind.reported_acids),
        say("its sugar, and so how it keeps"): kind.content("sugars") is not None,
        say("its salt"): kind.content("sodium") is not None,
        say("its ash"): kind.content("ash") is not None,
        say("its fatty acids, ω6 and ω3"): kind.content("linolenic") is not None,
        say("whether its soy was toasted"): not {"soy", "raw soy"} & kind.traits and bool(kind.traits),
        pollen: feed.pollen_pct is not None,
    }
    return tuple(what for what, told in silent.items() if not told)
