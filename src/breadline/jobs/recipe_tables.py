"""Each table of a recipe file, read and checked on its own."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import Any, cast, get_args

from breadline.errors import InputToMend, RecipeError
from breadline.jobs.recipe_checks import known_ingredient
from breadline.jobs.recipe_fields import RecipeTable
from breadline.jobs.recipe_ingredients import ingredient_of
from breadline.jobs.recipe_written import (
    Aim,
    AimUnit,
    Amount,
    Basis,
    BoughtFeed,
    Known,
    Label,
    Mixing,
    OwnIngredient,
    PollenPapers,
    ProteinOn,
    Quote,
    Solving,
    Unit,
)
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Content, Ingredient, Trait
from breadline.knowledge.label import FACTORS
from breadline.language import noted, say
from breadline.ration.pollen_gate import Origin, Rays, names_pollen

PART = ("ingredient", "amount", "unit", "bucket_l", "bulk_kg_per_l")
IN_LABEL = {f"{name}_pct" if unit == "g" else f"{name}_mg": name for name, unit in NUTRIENTS.items()}
INGREDIENT = ("key", "name", "note", "basis", "protein_pct", "protein_factor", *IN_LABEL, "amino_acids",
              "traits", "bulk_kg_per_l")  # fmt: skip
FEED = ("name", "note", "basis", "protein_min_pct", "fat_min_pct", "fibre_max_pct", "water_max_pct",
        "ash_max_pct", "pollen_pct", "ingredients", "rays", "dose_kgy", "certificate")  # fmt: skip
PRICE = ("of", "price", "per", "money", "year", "bag", "bag_unit")
TARGET = ("of", "at_least", "at_most", "unit", "basis", "protein_on", "to")
SOLVE = ("ingredients", "at_most_ingredients", "at_least_if_used_pct", "whole_bags", "fill_least_pct",
         "counted", "seconds")  # fmt: skip
MIXING = ("unit", "batch", "mixer_holds", "patty", "patty_unit", "bucket_l",
          "bucket_level", "lost_pct", "keep_buckets")  # fmt: skip
POLLEN = ("origin", "free_of_foulbrood", "rays", "dose_kgy", "certificate", "frozen")
KNOWN = ("honey_own", "hmf_mg_per_kg", "syrup_c", "inhibitor_pct", "inhibitor_syrup_pct",
         "weeks_without_pollen", "for_sale")  # fmt: skip

UNITS = get_args(Unit)
BASES = get_args(Basis)
TRAITS = get_args(Trait)
WHY_BASIS = noted(
    "One feed has two figures: 16 % as fed is 20 % of the dry matter where a fifth of it is water"
)
WHY_UNIT = noted("45 kg and 45 lb are two recipes, so none is taken for granted")
KEY = re.compile(r"[a-z][a-z0-9_]*")
MOST = 1_000_000.0  # of any weight, in its unit


def country(top: RecipeTable) -> str:
    """Two letters, or nothing."""
    code = top.text("country").strip()
    if code and not (len(code) == 2 and code.isascii() and code.isalpha()):
        what = say('"{code}" is no country code', code=code)
        raise top.error("country", what, say('two letters such as "US", "NZ" or "DE"'))
    return code.upper()


def amount(table: RecipeTable, names: Mapping[str, str], mixing: Mixing | None) -> Amount:
    """One line of the mix."""
    key = known_ingredient(
        table, "ingredient", table.needed_text("ingredient", say("the key of an ingredient")), names
    )
    if table.data.get("unit") == "%":
        table.percent("amount")
    value = table.needed_above_nought("amount", MOST, str(table.data.get("unit", "")), say("how much of it"))
    unit = cast(Unit, table.needed_word("unit", UNITS, say(WHY_UNIT)))
    if unit == "buckets":
        return Amount(key, value, unit, _bucket(table, mixing), _bulk(table))
    if "bucket_l" in table:
        raise table.error(
            "bucket_l", say("goes with buckets, and the unit is {unit}", unit=unit), 'unit = "buckets"'
        )
    return Amount(key, value, unit, None, table.above_nought("bulk_kg_per_l", 5, "kg/L"))


def _bucket(table: RecipeTable, mixing: Mixing | None) -> float:
    litres = table.above_nought("bucket_l", 1000, "L")
    litres = litres if litres is not None or mixing is None else mixing.bucket_l
    if litres is None:
        raise table.error(
            "bucket_l", say("is left out"), say("what your bucket holds, in litres"),
            say("Write it here or once under [mixing]; a 5-gallon bucket to the rim is 18.9 litres"),
        )  # fmt: skip
    return litres


def _bulk(table: RecipeTable) -> float:
    bulk = table.above_nought("bulk_kg_per_l", 5, "kg/L")
    if bulk is None:
        raise table.error(
            "bulk_kg_per_l", say("is left out"), say("what a litre of it weighs, as you fill it"),
            say("Weigh one full bucket without the bucket and divide by its litres: powders settle, so the "
                "program takes none for granted"),
        )  # fmt: skip
    return bulk


def own(table: RecipeTable, shipped: Mapping[str, Ingredient]) -> OwnIngredient:
    """An ingredient of one's own, by its label."""
    key = table.needed_text("key", say("a short name of small letters, such as our_yeast"))
    if not KEY.fullmatch(key):
        what = say('"{key}" is no key', key=key)
        raise table.error("key", what, say("small letters, digits and _, such as our_yeast"))
    if key in shipped:
        what = say('"{key}" is in the table of ingredients already', key=key)
        raise table.error("key", what, say("a key of your own"), say("Write our_{key}", key=key))
    protein, factor = table.span("protein_pct", 100, "%"), table.number("protein_factor", *FACTORS, "g/g")
    if protein is not None and factor is None:
        raise table.error(
            "protein_factor", say("is left out"),
            say("grams of protein to a gram of nitrogen, behind protein_pct"),
            say("On a feed label it is 6.25; food tables use 5.71 for soy, 6.38 for milk, 5.7 for wheat"),
        )  # fmt: skip
    name = table.text("name").strip() or key.replace("_", " ")
    traits = _traits(table, f"{key} {name}")
    label = Label(
        _basis(table), protein, factor, _nutrients(table), _amino_acids(table), traits,
        table.above_nought("bulk_kg_per_l", 5, "kg/L"),
    )  # fmt: skip
    found = OwnIngredient(key, name, label, table.text("note"))
    try:
        ingredient_of(found)
    except RecipeError as error:
        raise RecipeError(table.spot.where(), error.what, error.expected, error.do) from None
    return found


def _basis(table: RecipeTable) -> Basis:
    return cast(Basis, table.needed_word("basis", BASES, say(WHY_BASIS)))


def _nutrients(table: RecipeTable) -> dict[str, Content]:
    found: dict[str, Content] = {}
    for key, name in IN_LABEL.items():
        unit = "%" if NUTRIENTS[name] == "g" else "mg/100 g"
        content = table.span(key, 100 if unit == "%" else 100_000, unit)
        if content is not None:
            found[name] = content
    return found


def _amino_acids(table: RecipeTable) -> dict[str, float]:
    if "amino_acids" not in table:
        return {}
    inner = RecipeTable(table.data["amino_acids"], table.spot, AMINO_ACIDS)
    return {key: cast(float, inner.number(key, 0, 100, "g/100 g")) for key in AMINO_ACIDS if key in inner}


def _traits(table: RecipeTable, called: str) -> tuple[str, ...]:
    if "traits" not in table:
        raise table.error(
            "traits", say("is left out"),
            say('what it is, such as ["yeast", "powder"], or []; from {traits}', traits=", ".join(TRAITS)),
            say("The cautions and the rules on pollen go by it"),
        )  # fmt: skip
    traits = table.texts("traits")
    for trait in traits:
        RecipeTable({"traits": trait}, table.spot, ("traits",)).word("traits", TRAITS)
    if names_pollen(called.replace("_", " ")) and "pollen" not in traits:
        raise table.error(
            "traits", say("its name says pollen or bee bread, and \"pollen\" is not among them"),
            say("the name and the traits at one"),
            say("Add \"pollen\" where there is real pollen in it; else call it something else"),
        )  # fmt: skip
    return tuple(dict.fromkeys(traits))


def feed(table: RecipeTable) -> BoughtFeed:
    """A bought feed by its label."""
    protein = table.percent("protein_min_pct")
    if protein is None:
        raise table.error(
            "protein_min_pct", say("is left out"), say("the guaranteed least of crude protein, in %")
        )
    if 0 < protein < 1:
        raise table.error(
            "protein_min_pct",
            say("{protein:g} % is implausible", protein=protein),
            say("per cent, such as 15"),
            say(
                "If you typed a fraction ({protein:g}), enter per cent ({protein2:g})",
                protein=protein,
                protein2=100 * protein,
            ),
        )
    name = table.needed_text("name", say("what you call the feed"))
    rest = {key: table.percent(key) for key in FEED if key.endswith("_pct") and key != "protein_min_pct"}
    return BoughtFeed(
        name,
        _basis(table),
        protein,
        **rest,
        ingredients=table.texts("ingredients"),
        note=table.text("note"),
        rays=_rays(table),
        dose_kgy=table.above_nought("dose_kgy", MOST, "kGy"),
        certificate=table.text("certificate").strip(),
    )


def _rays(table: RecipeTable) -> Rays | None:
    return cast("Rays | None", table.word("rays", get_args(Rays)))


def quote(table: RecipeTable, names: Mapping[str, str], feeds: Collection[str], top: RecipeTable) -> Quote:
    """A price of an ingredient or a bought feed."""
    of = table.needed_text("of", say("the key of an ingredient, or the name of a [[feed]]"))
    of = of if of in feeds else known_ingredient(table, "of", of, names)
    per = table.needed_word("per", ("kg", "lb", "t", "bag"), say("A price means nothing without its weight"))
    money = table.text("money").strip() or top.text("money").strip()
    if not money:
        raise table.error("money", say("is left out"), say('such as money = "US$", here or once at the top'))
    year = table.whole("year", 1980, 2150) or top.whole("year", 1980, 2150)
    if year is None:
        raise table.error(
            "year", say("is left out"), say("the year of the quote, here or once at the top"),
            say("Prices age: say of when"),
        )  # fmt: skip
    price = table.needed_above_nought("price", MOST, f"{money} a {per}", say("what you were asked for"))
    bag = table.above_nought("bag", 10_000, "")
    if per == "bag" and bag is None:
        raise table.error("bag", say("is left out"), say("what a bag weighs, with bag_unit"))
    unit = table.needed_word("bag_unit", ("kg", "lb"), say(WHY_UNIT)) if bag is not None else None
    return Quote(of, price, cast(Any, per), money, year, bag, cast(Any, unit))


def aim(table: RecipeTable, names: Mapping[str, str]) -> Aim:
    """A target."""
    of, to = _measured(table, "of", names), table.text("to").strip()
    if to:
        return _ratio_aim(table, of, _measured(table, "to", names))
    whole = of in ("protein", "pollen") or of in AMINO_ACIDS or of in names or NUTRIENTS.get(of) == "g"
    unit = table.needed_word("unit", ("%",) if whole else ("mg/100 g",), say("The number alone says nothing"))
    ends = [table.percent(k) if unit == "%" else table.number(k, 0, 100_000, unit) for k in ENDS]
    basis = table.word("basis", BASES)
    if of in names or of == "pollen":
        basis = basis or "as fed"
    elif basis is None:
        raise table.error(
            "basis", say("is left out"), say("one of {bases}", bases=", ".join(BASES)), say(WHY_BASIS)
        )
    made = Aim(of, ends[0], ends[1], cast(AimUnit, unit), cast(Basis, basis), _protein_on(table, of))
    return _with_ends(table, made)


ENDS = ("at_least", "at_most")


def _ratio_aim(table: RecipeTable, of: str, to: str) -> Aim:
    if of == to:
        raise table.error("to", say("{of} to {to} is always 1", of=of, to=to), say("two different things"))
    if to == "protein":
        return _in_protein(table, of)
    unit = cast(AimUnit, table.word("unit", ("to 1",)) or "to 1")
    low, high = (table.ratio(key, 1000) for key in ENDS)
    return _with_ends(table, Aim(of, low, high, unit, to=to))


def _in_protein(table: RecipeTable, of: str) -> Aim:
    if of not in AMINO_ACIDS:
        raise table.error(
            "to", say("{of} in the protein is not reckoned", of=of),
            say("one of {amino_acids} there", amino_acids=", ".join(AMINO_ACIDS)),
        )  # fmt: skip
    unit = cast(
        AimUnit, table.needed_word("unit", ("g/100 g of protein",), say("The number alone says nothing"))
    )
    low, high = (table.number(key, 0, 100, unit) for key in ENDS)
    return _with_ends(table, Aim(of, low, high, unit, None, _protein_on(table, "protein"), to="protein"))


def _with_ends(table: RecipeTable, made: Aim) -> Aim:
    if made.at_least is None and made.at_most is None:
        raise table.error("at_least", say("no limit is given"), say("at_least, at_most or both"))
    if made.at_least is not None and made.at_most is not None and made.at_least > made.at_most:
        raise table.error(
            "at_least",
            say("{at_least:g} is above at_most, {at_most:g}", at_least=made.at_least, at_most=made.at_most),
            say("a range from low to high"),
        )
    return made


def _protein_on(table: RecipeTable, of: str) -> Any:
    if of != "protein":
        if "protein_on" in table:
            raise table.error(
                "protein_on", say("goes with protein, not with {of}", of=of), say("a target of protein")
            )
        return None
    return table.needed_word(
        "protein_on",
        get_args(ProteinOn),
        say(
            "Feed labels count nitrogen x 6.25; food tables each ingredient's own factor: "
            "soy differs by 9.5 %"
        ),
    )


def _measured(table: RecipeTable, key: str, names: Mapping[str, str]) -> str:
    of = table.needed_text(key, say("what is limited"))
    if of in ("protein", "pollen") or of in NUTRIENTS or of in AMINO_ACIDS:
        return of
    try:
        return known_ingredient(table, key, of, names)
    except InputToMend as error:
        listed = ", ".join(("protein", "pollen", *NUTRIENTS, *AMINO_ACIDS))
        raise table.error(
            key,
            say('"{of}" cannot be limited', of=of),
            say("one of {names}, or an ingredient", names=listed),
            error.do,
        ) from None


def solving(table: RecipeTable | None, names: Mapping[str, str]) -> Solving:
    """What the solver may use."""
    if table is None:
        return Solving()
    return Solving(
        _listed(table, "ingredients", names),
        table.whole("at_most_ingredients", 1, 100, "ingredients"),
        table.percent("at_least_if_used_pct"),
        _listed(table, "whole_bags", names),
        _fill_least(table),
        cast(Any, table.word("counted", ("safe", "middle")) or "safe"),
        table.above_nought("seconds", 600, "seconds"),
    )


def _fill_least(table: RecipeTable) -> float | None:
    """How full the mixer is at least. [%]"""
    table.above_nought("fill_least_pct", 100, "%")
    return table.percent_between("fill_least_pct", 1.5, 100)


def _listed(table: RecipeTable, key: str, names: Mapping[str, str]) -> tuple[str, ...]:
    listed = tuple(known_ingredient(table, key, one, names) for one in table.texts(key))
    for one in listed:
        if listed.count(one) > 1:
            raise table.error(key, say('"{one}" is there twice', one=one), say("each once"))
    return listed


def mixing(table: RecipeTable | None) -> Mixing | None:
    """The batch and the mixer."""
    if table is None:
        return None
    patty = table.above_nought("patty", 5000, "")
    patty_unit = table.needed_word("patty_unit", ("g", "lb"), say(WHY_UNIT)) if patty is not None else None
    return Mixing(
        cast(Any, table.needed_word("unit", ("kg", "lb"), say(WHY_UNIT))),
        table.above_nought("batch", MOST, ""), table.above_nought("mixer_holds", MOST, ""), patty,
        cast(Any, patty_unit), table.above_nought("bucket_l", 1000, "L"),
        table.text("bucket_level").strip(), table.percent_between("lost_pct", 0.1, 50),
        table.truth("keep_buckets"),
    )  # fmt: skip


def pollen(table: RecipeTable | None) -> PollenPapers | None:
    """Where the real pollen is from."""
    if table is None:
        return None
    origin = table.needed_word("origin", get_args(Origin), say("It decides whether it may be fed"))
    return PollenPapers(
        cast(Origin, origin), bool(table.truth("free_of_foulbrood")),
        _rays(table), table.above_nought("dose_kgy", MOST, "kGy"),
        table.text("certificate").strip(), bool(table.truth("frozen")),
    )  # fmt: skip


def known(table: RecipeTable | None) -> Known:
    """What else is known of the feed; what is left out is not known."""
    if table is None:
        return Known()
    return Known(
        table.truth("honey_own"), table.number("hmf_mg_per_kg", 0, 10_000, "mg/kg"),
        table.number("syrup_c", -20, 120, "°C"), table.percent("inhibitor_pct"),
        table.percent("inhibitor_syrup_pct"), table.number("weeks_without_pollen", 0, 52, "weeks"),
        bool(table.truth("for_sale")),
    )  # fmt: skip
