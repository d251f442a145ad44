"""The feeds of a plan file: a quote, or a recipe or a label that the rest follows from."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.errors import InputToMend, PlanError, RecipeError, RecordError
from breadline.jobs.rounds_feeds import FeedSource, KnownFeed, checked_price, known_label, known_recipe
from breadline.jobs.rounds_fields import Money, PlanTable
from breadline.knowledge.shelf import load
from breadline.language import noted, say
from breadline.plan.money import Amount

FEED = ("name", "recipe", "label", "price", "price_year", "per", "patty_lb", "patty_oz", "patty_g",
        "sugar_pct", "box_lb", "box_kg")  # fmt: skip
UNNAMED = "Protein feed"
LEAST_PROTEIN = "feed.least_protein_pct"
SUGAR_ALONE = noted(
    "sugar without protein, bread or pollen coming in keeps them rearing brood until they use up "
    "their own bodies"
)


@dataclass(frozen=True)
class FeedAsked:
    """A feed with the price that was quoted for it."""

    name: str
    price: Amount  # [money/kg]
    patty_g: float | None  # None where the usual patty is cut [g]
    sugar: float  # dry sugar in it [share]
    box_kg: float | None  # it is sold in [kg]
    known: KnownFeed | None = None  # by a recipe or a label, where one is named


def feeds_of(
    tables: list[PlanTable],
    money: Money,
    where: str,
    source: FeedSource | None,
    syrup: bool = False,
    read_back: bool = False,
) -> tuple[FeedAsked, ...]:
    """The feeds of a plan file, each named once; ``syrup``: whether there is some beside them.

    ``read_back``: a plan that a book keeps is read again, whatever the protein of a feed that was chosen.

    Errors
    ------
    PlanError
        Where there is none, one has no protein in it, a recipe or label cannot be had, or a price is missing;
        with file, line and key.
    """
    if not tables:
        raise PlanError(
            f"{where}, [[feed]]",
            say("no feed is chosen, and syrup alone is no plan: {why}", why=say(SUGAR_ALONE))
            if syrup
            else say("no feed is chosen"),
            say("a recipe or a bought feed, its price"),
            say("Add [[feed]] with name, price and per; mix your own: breadline ration"),
        )
    found = [_feed(table, money, source) for table in tables]
    if not read_back:
        least = (load() if source is None else source.shelf).reader().typical(LEAST_PROTEIN)
        for table, feed in zip(tables, found, strict=True):
            _with_protein(table, feed, least)
    names = [feed.name for feed in found]
    for table, name in zip(tables, names, strict=True):
        if names.count(name) > 1:
            raise table.error("name", say('"{name}" stands there twice', name=name), say("each feed once"))
    return tuple(found)


def _feed(table: PlanTable, money: Money, source: FeedSource | None) -> FeedAsked:
    known = _known(table, source)
    patty, box = table.mass_g("patty", 3000.0), table.mass_g("box", 2e6)
    box_kg, sugar = None if box is None else box / 1000.0, table.share("sugar_pct")
    price = money.rate(table, "price", patty)
    if known is None:
        price = table.needed("price", price, say("what was quoted, with per"))
        return FeedAsked(table.text("name").strip() or UNNAMED, price, patty, sugar or 0.0, box_kg)
    key = known.kind
    if price is None:
        price = checked_price(known, money.money, table.spot.where(key))
    return FeedAsked(
        table.text("name").strip() or known.name,
        price,
        patty or known.piece_g,
        (known.sugar or 0.0) if sugar is None else sugar,
        box_kg or known.box_kg,
        known,
    )


def _with_protein(table: PlanTable, feed: FeedAsked, least: float) -> None:
    """Nothing, where a feed may have so much protein as fed beside its sugar. [%]

    Errors: PlanError where it cannot: it is sugar, whatever it is called.
    """
    if not (why := no_protein_words(feed, least)):
        return
    known = feed.known
    key = "sugar_pct" if known is None or 100.0 * (1.0 - feed.sugar) < least else known.kind
    raise table.error(
        key,
        why,
        say("{least:g} % protein or more (feed.least_protein_pct)", least=least),
        say("Name a protein feed; sugar is given beside it, and its price is asked as that of syrup"),
    )  # fmt: skip


def no_protein_words(feed: FeedAsked, least: float) -> str:
    """That a feed has less than the ``least`` protein, and what that does; empty where it may have it. [%]"""
    beside = 100.0 * (1.0 - feed.sugar)
    most = beside if feed.known is None else min(beside, feed.known.protein.high)
    if most >= least - 1e-9:
        return ""
    return say("{name} is no protein feed: {most:.3g} % of it is protein at most; {why}",
               name=feed.name, most=most, why=say(SUGAR_ALONE))  # fmt: skip


def _known(table: PlanTable, source: FeedSource | None) -> KnownFeed | None:
    recipe, label = table.text("recipe").strip(), table.text("label").strip()
    if not (recipe or label):
        return None
    key = "label" if label else "recipe"
    if source is None:
        raise table.error(
            key, say('"{what}" can\'t be looked up here', what=label or recipe), say("name, price and per")
        )
    if label and recipe and not recipe.endswith(".toml"):
        raise table.error(
            "label", say("recipe is there too"), say("one of them, or the file that the label stands in")
        )
    try:
        return known_label(source, label, recipe) if label else known_recipe(source, recipe)
    except (RecordError, RecipeError) as error:
        raise _here(table, key, error) from None


def _here(table: PlanTable, key: str, error: InputToMend) -> PlanError:
    """The same error at the line of the plan file that names the recipe."""
    return PlanError(table.spot.where(key), f"{error.where}: {error.what}", error.expected, error.do)
