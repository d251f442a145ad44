"""Ingredients: the table with the source of each row, and one's own from their labels."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import get_args

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import BreadlineError, InputToMend, RecipeError
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_written import Quote, RecipeFile
from breadline.knowledge.data import sources
from breadline.knowledge.figure import READ_WORDS
from breadline.knowledge.ingredient import NUTRIENTS, Content, Ingredient, Trait
from breadline.knowledge.ingredients import ingredients
from breadline.language import noted, say
from breadline.ration.analysis_words import roughly
from breadline.web import feed_words
from breadline.web.feed_choices import OF_AN_INGREDIENT, content, content_in, said
from breadline.web.feed_desks import desk_of, path_of
from breadline.web.recipe_form import Tables, Typed, read_typed, said_where, tables_of
from breadline.web.recipe_units import in_pounds, in_units
from breadline.web.sent_form import SentForm
from breadline.web.targets_form import many
from breadline.web.views import page

router = APIRouter()
SECTIONS = ("ingredient", "price", "money", "year")
SHOWN = ("water", "fat", "sugars", "ash", "sodium")
_KEY = re.compile(r"\[([a-z0-9_]+)\]")
FACTORS = (
    ("6.25", noted("N × 6.25, as on feed labels")),
    ("5.71", noted("5.71, soy in food tables")),
    ("6.38", noted("6.38, milk")),
    ("5.7", noted("5.70, wheat")),
)


@dataclass(frozen=True)
class IngredientRow:
    """One ingredient in words."""

    key: str
    name: str
    crude: str
    own: str
    contents: tuple[str, ...]
    source: str
    cited: str
    read: str
    memory: bool
    note: str
    price: str
    where: str


@router.get("/feed/ingredients")
def table(request: Request, told: str = "", find: str = "") -> HTMLResponse:
    """The table, and the form for one's own."""
    typed = {"year": str(request.app.state.today().year), "ingredient-0-protein_factor": "6.25"}
    desk = desk_of(request)
    return _shown(desk, in_units(typed, desk.unit), told="Added." if told else "", find=find)


@router.post("/feed/ingredients")
def add(request: Request, form: SentForm) -> Response:
    """One from its label; what was typed stays where it is refused."""
    sent = many(form.multi_items())
    desk = desk_of(request)
    key = key_of(sent.get("ingredient-0-name", ""))
    typed = Typed(sent | {"ingredient-0-key": key, "price-0-of": key})
    try:
        file = _with_it(desk, typed, sent, key)
    except InputToMend as error:
        field = typed.field(error).replace("ingredient-0-key", "ingredient-0-name")
        return _shown(desk, sent, error=error, field=field)
    desk.keep(file, noted("an ingredient added from its label"))
    return RedirectResponse("/feed/ingredients?told=added#own", 303)


def _with_it(desk: FeedDesk, typed: Typed, sent: Mapping[str, str], key: str) -> RecipeFile:
    """The recipe that it goes into, with the ingredient and its price.

    Errors
    ------
    RecipeError
        Names the field.
    """
    if not key:
        raise RecipeError(
            "ingredient-0-name", say("it has no name"), say("the name on the bag"), say("Write it")
        )
    into = next((kept.file for kept in desk.recipes() if kept.file.name == sent.get("into")), None)
    if any(key == one.key for one in desk.own_ingredients()) or key in ingredients():
        raise RecipeError(
            "ingredient-0-name",
            say("an ingredient is called so already"),
            say("a name of its own"),
            say("Call it otherwise"),
        )
    made = typed.tables({}, SECTIONS)
    own = made.get("ingredient", [{}])[0]
    own.setdefault("traits", [])
    base: Tables = tables_of(into) if into else _begun(str(own.get("name", "")), key)
    money = sorted({price["money"] for price in base.get("price", []) if "money" in price})
    for price in made.get("price", []):
        price |= {"money": made.get("money", ""), "year": made.get("year", "")}
        if money and price["money"] and price["money"] not in money:
            raise RecipeError(
                "money",
                say("the recipe’s prices are in {money}", money=money[0]),
                say("one money"),
                say("Turn it into that"),
            )
        base["price"] = [*base.get("price", []), {k: v for k, v in price.items() if v != ""}]
    base["ingredient"] = [*base.get("ingredient", []), own]
    try:
        return read_typed(base, str(base["name"]))
    except InputToMend as error:
        raise _moved(error, base) from None


def _moved(error: InputToMend, base: Tables) -> InputToMend:
    """The error with the lines of the form in place of those of the recipe."""
    where = error.where
    for name in ("ingredient", "price"):
        where = where.replace(f"[[{name}]] {len(base.get(name, []))}", f"[[{name}]] 1")
    return type(error)(where, error.what, error.expected, error.do)


def _begun(name: str, key: str) -> Tables:
    return {
        "name": say("Mix with {name}", name=name),
        "part": [{"ingredient": key, "amount": 1, "unit": "kg"}],
    }


def key_of(name: str) -> str:
    """The key of an ingredient from its name: "Our yeast, dried" as our_yeast_dried."""
    plain = re.sub(r"[^a-z0-9]+", "_", name.casefold()).strip("_")[:40]
    return plain if not plain[:1].isdigit() else f"our_{plain}"


def _shown(
    desk: FeedDesk, typed: Mapping[str, str], *, told: str = "", find: str = "",
    error: BreadlineError | None = None, field: str = "",
) -> HTMLResponse:  # fmt: skip
    recipes = [kept.file for kept in desk.recipes()]
    quotes, cited = desk.quotes(), sources()
    shipped = [_row(kind, quotes, cited, desk) for kind in ingredients().values()]
    own = {}
    for file in recipes:
        kinds = all_ingredients(file)
        for one in file.own:
            own[one.key] = _row(kinds[one.key], quotes, cited, desk, file.name)
    words = find.casefold().split()
    rows = [r for r in shipped if all(w in f"{r.name} {r.source} {r.note}".casefold() for w in words)]
    return page(
        "ingredients.html", "/feed", desk.operation_name, status=422 if error else 200,
        rows=sorted(rows, key=lambda r: r.name.casefold()), told=told, find=find, error=error, field=field,
        cites=_cites(rows, cited),
        own=sorted(own.values(), key=lambda r: r.name.casefold()), typed=typed, label=_label(),
        pounds=in_pounds(typed),
        where=said_where(error, field, typed) if error else "", factors=said(FACTORS), traits=get_args(Trait),
        ticked=typed.get("ingredient-0-traits", "").split("|"), recipes=[(f.name, f.name) for f in recipes],
        sentence=_sentence(shipped, len(own)), heads=[content(name) for name in SHOWN],
        bases=said(OF_AN_INGREDIENT),
    )  # fmt: skip


def _label() -> list[tuple[str, str]]:
    """Contents as a label has them: field, and words with their unit."""
    return [
        (f"{name}_{'pct' if unit == 'g' else 'mg'}", content_in(name, unit))
        for name, unit in NUTRIENTS.items()
    ]


def _cites(rows: list[IngredientRow], cited: Mapping[str, str]) -> list[tuple[str, str]]:
    """Every source that a row or its note names, written out."""
    keys = {row.source for row in rows} | {key for row in rows for key in _KEY.findall(row.note)}
    return [(key, cited[key]) for key in sorted(keys) if key in cited]


def _sentence(rows: list[IngredientRow], own: int) -> str:
    memory = sum(row.memory for row in rows)
    if own:
        return say(
            "{n} ingredients with their sources, and {own} of your own; {memory} of them from "
            "memory, not checked.",
            n=len(rows),
            own=own,
            memory=memory,
        )
    return say(
        "{n} ingredients with their sources; {memory} of them from memory, not checked.",
        n=len(rows),
        memory=memory,
    )


def _row(
    kind: Ingredient, quotes: Mapping[str, Quote], cited: Mapping[str, str], desk: FeedDesk, where: str = ""
) -> IngredientRow:
    quote = quotes.get(kind.key)
    price = ""
    if quote is not None:
        each = quote.as_price.per_kg
        cost = feed_words.per_unit(Content(each, each), desk.unit, quote.money)
        price = say("{price} a {unit}, {year}", price=cost, unit=desk.unit, year=quote.year)
    own = (
        say("{protein} on {factor:g}", protein=_said(kind.protein, "g"), factor=kind.nitrogen_factor)
        if kind.nitrogen_factor != 6.25
        else ""
    )
    return IngredientRow(
        kind.key, kind.name, _said(kind.crude_protein, "g"), own,
        tuple(_said(kind.content(name), NUTRIENTS[name]) for name in SHOWN),
        say("its label") if where else kind.source, cited.get(kind.source, ""), say(READ_WORDS[kind.read]),
        kind.read == "memory", say(kind.note) if kind.note and not where else kind.note, price,
        path_of(where) if where else "",
    )  # fmt: skip


def _said(content: Content | None, unit: str) -> str:
    return say("not said") if content is None else f"{roughly(content)}{' mg' if unit == 'mg' else ' %'}"
