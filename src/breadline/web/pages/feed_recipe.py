"""One recipe: what it is in a sentence, its analysis, what speaks against it, and its parts to change."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import BreadlineError, InputToMend, RecipeError
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.ration import analysed
from breadline.jobs.ration_targets import target_lines, targets_head
from breadline.jobs.ration_terms import told_in
from breadline.jobs.recipe_book import Version
from breadline.jobs.recipe_written import RecipeFile
from breadline.jobs.season import figures_used
from breadline.jobs.typed_fields import all_said
from breadline.knowledge.countries import countries
from breadline.knowledge.data import sources
from breadline.knowledge.figure import READ_WORDS
from breadline.knowledge.ingredient import Content
from breadline.knowledge.ingredients import ingredients
from breadline.language import noted, say, say_as
from breadline.ration.amino import AminoScore
from breadline.ration.analysis_told import Told
from breadline.ration.analysis_words import (
    amino_sentence,
    memory_sentence,
    omega_sentence,
    roughly,
    spread_sentence,
    useful_sentence,
)  # fmt: skip
from breadline.ration.bases import AS_FED, AS_FED_OWN, DRY, DRY_OWN
from breadline.web import feed_words
from breadline.web.feed_choices import RAYS, YES_NO, content, said
from breadline.web.feed_desks import desk_of, ingredient_choices, path_of
from breadline.web.recipe_form import Tables, Typed, fields_of, read_typed, said_where, tables_of, trouble_of
from breadline.web.recipe_units import in_pounds, in_units
from breadline.web.sent_form import SentForm, line_numbers
from breadline.web.views import page

router = APIRouter()
_ASKED = re.compile(  # the fields that this page has
    r"(note|country|money|year|mixing-.*|pollen-.*|known-.*|part-\d+-(ingredient|amount|unit|bulk_kg_per_l)"
    r"|price-\d+-(of|price|per|bag|bag_unit|year))$"
)
SECTIONS = ("name", "note", "country", "money", "year", "part", "price", "mixing", "pollen", "known")
UNITS = (("lb", "lb"), ("oz", "oz"), ("kg", "kg"), ("g", "g"), ("buckets", noted("buckets")), ("%", "%"))
STAYS = noted("Look through it before you mix. Your own prices and labels stay as they are.")
TOLD = {
    "saved": noted("Saved."),
    "restored": noted("It is the newest version again. The versions between stay in the book."),
    "back": noted(
        "It is back on the list. Its batches were in the book all along, and your newest prices hold."
    ),
    "read": noted("Read in from the file."),
    "again": noted(
        "You had a recipe of this name: what the file says is now its newest version, and the one "
        "before stays in "
        "the book."
    ),
}
EMPTY_ROWS, FIRST_ROWS = 3, 6
MORE = ("fat", "water", "sugars", "ash", "lactose", "starch", "sodium", "potassium")


@dataclass(frozen=True)
class ContentLine:
    """One line of what a mix contains: name, how much, and what leaves it open."""

    name: str
    value: str
    open: str = ""


@router.get("/feed/new")
def new(request: Request) -> HTMLResponse:
    """An empty recipe."""
    desk = desk_of(request)
    typed = with_money({}, desk, request.app.state.today().year) | {"country": desk.country}
    return _form(request, desk, in_units(typed, desk.unit), None)


@router.get("/feed/recipe/{name:path}")
def recipe(request: Request, name: str, told: str = "", money: str = "") -> HTMLResponse:
    """One recipe of the book; ``money`` was typed before there was a price to keep it with."""
    desk = desk_of(request)
    kept = desk.version(name)
    paid_in = {"money": money[:12]} if money else {}
    typed = with_money(paid_in | _typed_of(kept.file), desk, request.app.state.today().year)
    return _form(request, desk, in_units(typed, desk.unit), kept, told=_told(told))


@router.post("/feed/new")
@router.post("/feed/recipe/{name:path}")
def save(request: Request, form: SentForm, name: str = "") -> Response:
    """A new recipe, or a new version; what was typed stays where it is refused."""
    sent = {key: str(value) for key, value in form.items()}
    desk = desk_of(request)
    kept = desk.version(name) if name else None
    typed = Typed(_all_said(sent, kept))
    try:
        file = _read(desk, typed, kept)
    except InputToMend as error:
        return _form(request, desk, sent, kept, error=error, field=typed.field(error))
    desk.keep(file, noted("changed on its page") if kept else "")
    money = "" if file.quotes else sent.get("money", "").strip()
    told = urlencode({"told": "saved"} | ({"money": money} if money else {}))
    return RedirectResponse(f"/feed/recipe/{path_of(file.name)}?{told}", 303)


@router.post("/feed/look")
def look(request: Request, form: SentForm) -> HTMLResponse:
    """The answer to what the form holds now, without keeping it; a piece of the page."""
    sent = {key: str(value) for key, value in form.items()}
    desk = desk_of(request)
    if not _rows(sent, "part"):
        return page("recipe_answer.html", "/feed", **_no_answer(None))
    kept = next((k for k in desk.recipes() if k.file.name == sent.get("name")), None)
    typed = Typed(_all_said(sent, kept))
    try:
        shown = answer(desk, _read(desk, typed, kept))
    except InputToMend as error:
        names = dict(ingredient_choices([*(k.file for k in desk.recipes()), RecipeFile("")]))
        shown = _no_answer(error, said_where(error, typed.field(error), sent, names))
    return page("recipe_answer.html", "/feed", **shown)


def _all_said(sent: Mapping[str, str], kept: Version | None) -> Mapping[str, str]:
    """What was sent; what the kept version says stays where a page of another version had no field for it."""
    if kept is None:
        return sent
    now = {key: text for key, text in _typed_of(kept.file).items() if _ASKED.match(key)}
    return all_said(sent, in_units(now, "lb" if in_pounds(sent) else "kg"))


def _read(desk: FeedDesk, typed: Typed, kept: Version | None) -> RecipeFile:
    base: Tables = tables_of(kept.file) if kept else {}
    tables = typed.tables(base, SECTIONS)
    with_feed_prices(tables, base)
    with_own(desk, tables)
    return read_typed(tables, say("this recipe"))


def with_feed_prices(tables: Tables, base: Tables) -> None:
    """Keeps the prices of bought feeds in the recipe's file, which no line of these forms shows."""
    feeds = {feed["name"] for feed in base.get("feed", [])}
    kept = [price for price in base.get("price", []) if price["of"] in feeds]
    if kept:
        tables["price"] = [*tables.get("price", []), *kept]


def with_own(desk: FeedDesk, tables: Tables) -> None:
    """Puts in the labels of own ingredients that the tables name and another recipe of the book describes."""
    named = {part.get("ingredient") for part in tables.get("part", [])}
    named |= set(tables.get("solve", {}).get("ingredients", []))
    there = {one["key"] for one in tables.get("ingredient", [])}
    if named <= there | set(ingredients()):
        return
    more = tuple(one for one in desk.own_ingredients() if one.key in named - there)
    lent = tables_of(RecipeFile("", own=more)).get("ingredient", [])
    if lent:
        tables["ingredient"] = [*tables.get("ingredient", []), *lent]


def _typed_of(file: RecipeFile) -> dict[str, str]:
    feeds = {feed.name for feed in file.feeds}
    typed = fields_of(tables_of(replace(file, quotes=tuple(q for q in file.quotes if q.of not in feeds))))
    if file.quotes:
        typed |= {"money": file.quotes[0].money, "year": str(file.quotes[0].year)}
    return typed


def with_money(typed: Mapping[str, str], desk: FeedDesk, year: int) -> dict[str, str]:
    """The book's money and this year, where the recipe has no price yet that says them."""
    moneys = [quote.money for quote in desk.quotes().values()]
    money = max(sorted(set(moneys)), key=moneys.count, default="")
    return {"money": money, "year": str(year)} | dict(typed)


def _form(
    request: Request, desk: FeedDesk, typed: Mapping[str, str], kept: Version | None, *, told: str = "",
    error: BreadlineError | None = None, field: str = "",
) -> HTMLResponse:  # fmt: skip
    file = kept.file if kept else None
    choices = ingredient_choices([*(k.file for k in desk.recipes()), RecipeFile("")])
    names = dict(choices)
    shown = answer(desk, file) if file and not error else _no_answer(error)
    rows, prices = _rows(typed, "part"), _price_rows(typed)
    path = path_of(file.name) if file else ""
    return page(
        "recipe.html",
        "/feed",
        desk.operation_name,
        status=422 if error else 200,
        title=file.name if file else say("A recipe of your own"),
        under=_under(kept),
        kept=kept is not None,
        path=path,
        action=f"/feed/recipe/{path}" if file else "/feed/new",
        typed=_with_prices(typed, prices),
        error=error,
        field=field,
        where=said_where(error, field, typed, names) if error else "",
        told=told,
        part_rows=max(rows + EMPTY_ROWS, FIRST_ROWS),
        price_rows=prices,
        choices=choices,
        names=names,
        units=said(UNITS),
        countries=[(code, say(name)) for code, name in countries()],
        yes_no=said(YES_NO),
        pounds=in_pounds(typed),
        rays=said(RAYS),
        paid_in=_paid_in(file, typed),
        **shown,
    )


def _told(key: str) -> str:
    """What was done, in a sentence or two."""
    if key not in TOLD:
        return ""
    return f"{say(TOLD[key])} {say(STAYS) if key in ('read', 'again') else ''}".strip()


def _paid_in(file: RecipeFile | None, typed: Mapping[str, str]) -> str:
    """Money that no price says yet, to be taken along to the prices of the cheapest mix."""
    money = typed.get("money", "").strip()
    return f"?{urlencode({'money': money})}" if money and file is not None and not file.quotes else ""


def _under(kept: Version | None) -> str:
    if kept is None:
        return say("By weight, by bucket or in per cent. Nothing is kept until you save it.")
    return f"{say('Own recipe, {version}.', version=kept.words)} {kept.file.note}".strip()


def _rows(typed: Mapping[str, str], name: str) -> int:
    return max(line_numbers(typed, name), default=-1) + 1


def _price_rows(typed: Mapping[str, str]) -> list[tuple[int, str]]:
    """A line for each price there is and for each ingredient in the mix that has none."""
    of = line_numbers(typed, "price", "of")
    missing = [
        value for key, value in typed.items()
        if key.startswith("part-") and key.endswith("-ingredient") and value and value not in of.values()
    ]  # fmt: skip
    first = max(of, default=-1) + 1
    return [*sorted(of.items()), *enumerate(dict.fromkeys(missing), first)]


def _with_prices(typed: Mapping[str, str], rows: list[tuple[int, str]]) -> dict[str, str]:
    return dict(typed) | {f"price-{n}-of": key for n, key in rows}


def answer(desk: FeedDesk, file: RecipeFile) -> dict[str, Any]:
    """What the page says of a recipe; where it cannot be reckoned, why."""
    try:
        if not file.amounts:
            raise RecipeError(
                file.name, say("no ingredient is in it yet"), say("at least one"), say("Choose one below")
            )
        found = analysed(file, desk.quotes(), desk.shelf)
    except InputToMend as error:
        return _no_answer(error)
    told, remarks = found.told, found.remarks
    unit = told_in(file)
    refused = [r for r in remarks if r.level == "refuse"]
    return {
        "trouble": None, "begun": False, "no": feed_words.refusal_sentence(remarks), "refused": refused,
        "sentence": feed_words.recipe_sentence(told, unit), "keeping": told.keeping.sentence,
        "remarks": remarks, "lines": content_lines(told), "more": _more(told), "amino": _amino(told.amino),
        "against": _against(told.amino), "targets": target_lines(found),
        "targets_head": targets_head(found) if found.targets else "",
        "worth": told.worth.sentence, "goes_in": _goes_in(file),
        "figures": figures_used(desk.shelf, found.figures),
    }  # fmt: skip


def _goes_in(file: RecipeFile) -> str:
    """The parts on one line, for the printed page."""
    names = dict(ingredient_choices([file]))
    return "; ".join(f"{a.amount:g} {a.unit} {names.get(a.ingredient, a.ingredient)}" for a in file.amounts)


def _no_answer(error: BreadlineError | None, where: str = "") -> dict[str, Any]:
    """Why nothing is said of a recipe; without an error it is only begun."""
    return {"begun": error is None, "trouble": None if error is None else trouble_of(error, where)}


def content_lines(told: Told) -> list[ContentLine]:
    """The analysis as a table."""
    a = told.analysis
    lines = []
    for basis, name in (
        (AS_FED, say("Crude protein as fed, N × 6.25")),
        (DRY, say("of dry matter, N × 6.25")),
        (AS_FED_OWN, say("as fed, each ingredient’s own factor")),
        (DRY_OWN, say("of dry matter, own factor")),
    ):
        value = feed_words.protein_on(told, basis)
        lines.append(ContentLine(name, feed_words.percent(value)))
    if told.amino is not None:
        useful = feed_words.percent(told.amino.useful_protein)
        lines.append(
            ContentLine(say("Protein that a bee could use, by the pattern"), useful, say("advice only"))
        )
    lines.append(ContentLine(say("Real pollen"), _pollen(a.pollen_share)))
    for name in MORE:
        amount = a.amounts[name]
        blank = say("not reported by {names}", names="; ".join(amount.blank)) if amount.blank else ""
        blank = "" if amount.content.exact else blank
        lines.append(ContentLine(content(name), f"{roughly(amount.content)} {amount.unit}", blank))
    return lines


def _pollen(share: float) -> str:
    return say_as("pollen", "none") if share == 0 else f"{roughly(Content(100 * share, 100 * share))} %"


def _more(told: Told) -> list[str]:
    a = told.analysis
    more = (omega_sentence(a.omega), told.inhibitor_sentence, spread_sentence(a), memory_sentence(a))
    return [text for text in more if text]


def _against(score: AminoScore | None) -> list[str]:
    """What speaks against the pattern of amino acids, and who says so."""
    if score is None:
        return []
    pattern, cited = score.pattern, sources()
    read = say(
        "Its ten figures: {cited} {read}.",
        cited=cited[pattern.source],
        read=say(READ_WORDS[pattern.read]).capitalize(),
    )
    return [
        *(say(text) for text in pattern.critique),
        say("After {cited}", cited=cited[pattern.critique_source]),
        read,
    ]


def _amino(score: AminoScore | None) -> list[str]:
    return [] if score is None else [amino_sentence(score), useful_sentence(score)]
