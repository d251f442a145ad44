"""What a recipe file says, as it was written: amounts in their units, labels, prices, targets, papers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from breadline.knowledge.ingredient import Content, Ingredient, Price
from breadline.ration.measures import GRAMS as GRAMS  # as the other files of recipes know them
from breadline.ration.pollen_gate import Origin, Rays
from breadline.ration.recipe import Part, Recipe

Unit = Literal["g", "kg", "lb", "oz", "buckets", "%"]
Basis = Literal["as fed", "dry matter"]
AimUnit = Literal["%", "mg/100 g", "to 1", "g/100 g of protein"]
ProteinOn = Literal["N x 6.25", "own factor"]


@dataclass(frozen=True)
class Amount:
    """One line of the mix as it was written."""

    ingredient: str
    amount: float  # in ``unit`` [unit]
    unit: Unit
    bucket_l: float | None = None  # what one bucket holds, filled as you fill it [L]
    bulk_kg_per_l: float | None = None  # weight of a litre of it, loosely filled [kg/L]

    @property
    def grams(self) -> float:
        """Its weight; a share in per cent as grams of a kilogram. [g]"""
        if self.unit == "%":
            return self.amount * 10.0
        if self.unit == "buckets":
            return self.amount * (self.bucket_l or 0.0) * (self.bulk_kg_per_l or 0.0) * 1000.0
        return self.amount * GRAMS[self.unit]


@dataclass(frozen=True)
class Label:
    """What a label states of an ingredient; what it leaves out is not nought."""

    basis: Basis
    protein: Content | None = None  # [% on ``basis``]
    protein_factor: float | None = None  # protein to nitrogen [g/g]
    nutrients: Mapping[str, Content] = field(default_factory=dict)  # on ``basis``, units as in NUTRIENTS
    amino_acids: Mapping[str, float] = field(default_factory=dict)  # on ``basis`` [g/100 g]
    traits: tuple[str, ...] = ()
    bulk_kg_per_l: float | None = None  # [kg/L]


@dataclass(frozen=True)
class OwnIngredient:
    """An ingredient by its label."""

    key: str
    name: str
    label: Label
    note: str = ""


@dataclass(frozen=True)
class BoughtFeed:
    """A feed bought ready, by its guaranteed analysis: minima of protein and fat, maxima of the rest."""

    name: str
    basis: Basis
    protein_min_pct: float  # crude protein, N x 6.25 [%]
    fat_min_pct: float | None = None  # [%]
    fibre_max_pct: float | None = None  # [%]
    water_max_pct: float | None = None  # [%]
    ash_max_pct: float | None = None  # [%]
    pollen_pct: float | None = None  # real pollen, of the feed as fed [%]
    ingredients: tuple[str, ...] = ()  # as listed on the label
    note: str = ""
    rays: Rays | None = None  # its pollen irradiated with
    dose_kgy: float | None = None  # by certificate [kGy]
    certificate: str = ""  # which one: of whom, its number


@dataclass(frozen=True)
class Quote:
    """A price as it was asked for."""

    of: str  # key of an ingredient, or name of a bought feed
    price: float  # [money/per]
    per: Literal["kg", "lb", "t", "bag"]
    money: str
    year: int
    bag: float | None = None  # [bag_unit]
    bag_unit: Literal["kg", "lb"] | None = None

    @property
    def bag_kg(self) -> float | None:
        """What a bag weighs. [kg]"""
        return None if self.bag is None or self.bag_unit is None else self.bag * GRAMS[self.bag_unit] / 1000

    @property
    def as_price(self) -> Price:
        """The same, per kilogram."""
        kilos = (self.bag_kg or 0.0) if self.per == "bag" else GRAMS[self.per] / 1000
        return Price(self.price / kilos, self.money, self.year, self.bag_kg)


@dataclass(frozen=True)
class Aim:
    """A target as it was written: of what, from where to where, on which basis."""

    of: str  # protein, a nutrient, an amino acid, pollen, or the key of an ingredient
    at_least: float | None = None  # [unit]
    at_most: float | None = None  # [unit]
    unit: AimUnit = "%"
    basis: Basis | None = None
    protein_on: ProteinOn | None = None
    to: str = ""  # the denominator of a ratio


@dataclass(frozen=True)
class Solving:
    """What the solver may use and how."""

    ingredients: tuple[str, ...] = ()  # those of the recipe where none is named
    at_most_ingredients: int | None = None
    at_least_if_used_pct: float | None = None  # of a full batch, of what goes in at all [%]
    whole_bags: tuple[str, ...] = ()  # what goes in by the unopened bag only
    fill_least_pct: float | None = None  # of the mixer, that a batch fills at least [%]
    counted: Literal["safe", "middle"] = "safe"  # the bad end of each content, or half-way
    seconds: float | None = None  # how long a search among whole things may take [s]


@dataclass(frozen=True)
class Mixing:
    """The batch: how much, in what, cut into what."""

    unit: Literal["kg", "lb"]
    batch: float | None = None  # [unit]
    mixer_holds: float | None = None  # [unit]
    patty: float | None = None  # [patty_unit]
    patty_unit: Literal["g", "lb"] | None = None
    bucket_l: float | None = None  # filled as you fill it [L]
    bucket_level: str = ""  # how far that is, such as "filled to 2 inches under the rim"
    lost_pct: float | None = None  # what sticks to mixer and press [%]
    keep_buckets: bool | None = None  # even where they move protein by more than half a point

    @property
    def batch_g(self) -> float | None:
        """The batch, or a full mixer where none is named. [g]"""
        holds = self.batch if self.batch is not None else self.mixer_holds
        return None if holds is None else holds * GRAMS[self.unit]

    @property
    def patty_g(self) -> float | None:
        """One patty. [g]"""
        return None if self.patty is None or self.patty_unit is None else self.patty * GRAMS[self.patty_unit]


@dataclass(frozen=True)
class PollenPapers:
    """Where the real pollen is from, and with what papers."""

    origin: Origin
    free_of_foulbrood: bool = False  # own hives, looked through
    rays: Rays | None = None
    dose_kgy: float | None = None  # by certificate [kGy]
    certificate: str = ""  # which one: of whom, its number
    frozen: bool = False


@dataclass(frozen=True)
class Known:
    """What else is known of the feed; ``None`` is "don't know"."""

    honey_own: bool | None = None  # from own hives, known to be free of disease
    hmf_mg_per_kg: float | None = None  # measured in the syrup [mg/kg]
    syrup_c: float | None = None  # how warm it was kept or made [°C]
    inhibitor_pct: float | None = None  # trypsin inhibitor in the feed [% of mass]
    inhibitor_syrup_pct: float | None = None  # in a syrup [% of volume]
    weeks_without_pollen: float | None = None  # how long it is to be fed [weeks]
    for_sale: bool = False


@dataclass(frozen=True)
class RecipeFile:
    """All that a recipe file says."""

    name: str
    amounts: tuple[Amount, ...] = ()
    note: str = ""
    country: str = ""
    own: tuple[OwnIngredient, ...] = ()
    feeds: tuple[BoughtFeed, ...] = ()
    quotes: tuple[Quote, ...] = ()
    aims: tuple[Aim, ...] = ()
    solving: Solving = field(default_factory=Solving)
    mixing: Mixing | None = None
    pollen: PollenPapers | None = None
    known: Known = field(default_factory=Known)

    @property
    def in_shares(self) -> bool:
        """Whether its parts are shares and so weigh nothing by themselves."""
        return any(one.unit == "%" for one in self.amounts)

    def recipe(self, known: Mapping[str, Ingredient]) -> Recipe:
        """The mix by ingredients that are known, the file's own among them."""
        parts = tuple(Part(known[one.ingredient], one.grams) for one in self.amounts)
        prices = {quote.of: quote.as_price for quote in self.quotes}
        return Recipe(self.name, parts, prices, self.note)
