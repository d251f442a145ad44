"""The cheapest mix: prices and targets to change, the mix that follows at once, and why it is that one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import BreadlineError, InputToMend, RecipeError
from breadline.jobs.cheapest_search import MixSearches, Search
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.ration import file_of_mix
from breadline.jobs.ration_terms import offered
from breadline.jobs.recipe_book import Version
from breadline.jobs.recipe_refusals import refuse_request
from breadline.jobs.recipe_written import RecipeFile
from breadline.language import noted, say
from breadline.ration.solver import Conflict
from breadline.web.feed_desks import desk_of, ingredient_choices, path_of
from breadline.web.field_words import in_form_words
from breadline.web.mix_answer import answer, in_trouble
from breadline.web.pages.feed_recipe import with_feed_prices, with_money, with_own
from breadline.web.recipe_form import Tables, Typed, fields_of, read_typed, said_where, tables_of
from breadline.web.sent_form import SentForm, line_numbers
from breadline.web.targets_form import (
    choices,
    many,
    said_bases,
    shown_field,
    targets_sent,
    targets_shown,
    with_own_targets,
)
from breadline.web.views import page

router = APIRouter()
SECTIONS = ("money", "year", "price", "target", "solve")
MIXER = ("batch", "mixer_holds", "unit")  # of the mixing room, what this form asks for
NEW_PRICES, NEW_TARGETS, FIRST_TARGETS = 1, 1, 3
STOPPING_S = 2.0  # that a page without script waits for a stopped search, which it would have to ask for [s]
TOLD = {"kept": noted("Prices and targets are kept with the recipe.")}


@dataclass(frozen=True)
class PriceRow:
    """One line of prices: its number, the ingredient, whether it may go in, by whole bags only."""

    n: int
    key: str
    offered: bool
    whole: bool


@router.get("/feed/cheapest/{name:path}")
def cheapest_mix(
    request: Request, name: str, told: str = "", search: str = "", money: str = ""
) -> HTMLResponse:
    """The page of one recipe's prices and targets, with the mix they ask for.

    ``money`` was typed with the recipe before there was a price to keep it with.

    Asked again, by a reload or on the way back, it begins nothing again: ``MixSearches`` knows a question by
    what it asks, and a search that goes on stops for no look at a page.
    """
    desk = desk_of(request)
    kept = desk.version(name)
    going = _searches(request).by_key(search)
    if going is not None and going.file.name != kept.file.name:
        going = None
    file = going.file if going else kept.file
    paid_in = {"money": money[:12]} if money else {}
    typed = with_money(paid_in | _typed(desk, file), desk, request.app.state.today().year)
    if not file.aims:
        return _shown(desk, kept, typed, {"trouble": None, "search": None, "now": say("No target yet")})
    try:
        found = going or _searches(request).begin(file, desk.quotes(), desk.shelf)
        shown = answer(desk, found)
    except InputToMend as wrong:
        error = in_form_words(wrong)
        field = _solver_field(desk, typed, error)
        return _shown(desk, kept, typed, {"search": None}, error=error, field=field)
    return _shown(desk, kept, typed, shown, told=say(TOLD[told]) if told in TOLD else "")


@router.post("/feed/cheapest/{name:path}")
def solve(request: Request, name: str, form: SentForm) -> Response:
    """What the form asks for: a piece of the page for the script, the whole page without it."""
    sent = many(form.multi_items())
    desk = desk_of(request)
    kept = desk.version(name)
    typed = Typed(targets_sent(sent))
    piece = request.headers.get("hx-request") == "true"
    try:
        file = _read(desk, kept, typed)
        if sent.get("do") == "keep":
            return _keep_targets(desk, kept, file)
        # a price that was cleared is not known: none of the book's stands in for it; in a thread, since it
        # may take half a second, and other pages are answered meanwhile
        keeps, searches = sent.get("do") == "recipe", _searches(request)
        found = searches.begin(file, {}, desk.shelf, by_hand=not keeps)
        if keeps:
            return _keep_mix(desk, kept, file, found, sent.get("as", ""))
        shown = answer(desk, found)
    except InputToMend as wrong:
        error = in_form_words(wrong)
        field = shown_field(typed.field(error)) or _solver_field(desk, sent, error)
        if piece:
            return _as_piece(in_trouble(error, said_where(error, field, sent, _names(desk, kept))), name)
        return _shown(desk, kept, sent, {"search": None}, error=error, field=field)
    if piece:
        return _as_piece(shown, name)
    if not found.done:  # a page that was sent would be sent again by a reload: this one is looked at
        return RedirectResponse(_at(found), 303)
    return _shown(desk, kept, sent, shown)


@router.get("/feed/search/{key}")
def look(request: Request, key: str, mixes: int = -1, sought: str = "") -> Response:
    """How a search stands: what is new since the last look, or, once it has ended, the whole piece.

    Parameters
    ----------
    mixes
        How many mixes the page has seen; the mix is sent again where there are more.
    sought
        Whether the page knows that the search has ended.
    """
    search = _searches(request).by_key(key)
    if search is None or search.trouble is not None:
        return _whole(request, search)
    shown = answer(desk_of(request), search)
    if shown["done"] or shown["sought"] != (sought == "yes"):
        return _whole(request, search)
    path = path_of(search.file.name)
    return page("cheapest_going.html", "/feed", **shown, path=path, new=shown["mixes"] != mixes, piece=True)


@router.post("/feed/search/{key}/stop")
def stop(request: Request, key: str) -> Response:
    """Stay with the best mix so far."""
    search = _searches(request).by_key(key)
    if search is not None:
        search.stop()
    if request.headers.get("hx-request") != "true" and search is not None:
        search.wait(STOPPING_S)
        return RedirectResponse(_at(search), 303)
    return _whole(request, search)


def _at(search: Search) -> str:
    """The address of a search and of what it was asked."""
    return f"/feed/cheapest/{path_of(search.file.name)}?search={search.key}"


def _whole(request: Request, search: Search | None) -> Response:
    """The whole answer of a search, in the place of the one on the page."""
    if search is None:
        gone = RecipeError(
            "search", say("it is forgotten"), say("a newer one"), say("Change a price to begin another")
        )
        made = _as_piece(in_trouble(gone), "")
    else:
        made = _as_piece(answer(desk_of(request), search), search.file.name)
    made.headers.update({"HX-Retarget": "#answer", "HX-Reswap": "innerHTML"})
    return made


def _as_piece(shown: Mapping[str, Any], name: str) -> HTMLResponse:
    """The answer as a piece of the page; also where something is to be mended, as half a number is while it
    is typed: no browser then notes a failure."""
    made = page("cheapest_answer.html", "/feed", **shown, path=path_of(name), piece=True)
    search = shown["search"]
    if search is not None and not search.done and name:
        made.headers["HX-Replace-Url"] = _at(search)  # so that a reload shows this search and its prices
    return made


def _searches(request: Request) -> MixSearches:
    return cast(MixSearches, request.app.state.mix_searches)


def _read(desk: FeedDesk, kept: Version, typed: Typed) -> RecipeFile:
    """The recipe with the prices and targets of the form.

    Errors
    ------
    RecipeError
        Names the field.
    """
    base: Tables = tables_of(kept.file)
    tables = typed.tables(base, SECTIONS)
    solve = tables.setdefault("solve", {})
    listed = [key for key in str(typed.sent.get("listed", "")).split("|") if key]
    priced = [one for one in tables.get("price", []) if "of" in one and "price" in one]
    added = [one["of"] for one in priced if one["of"] not in listed]
    solve["ingredients"] = [*solve.get("ingredients", []), *added]
    if not solve["ingredients"]:
        raise RecipeError(
            "what may go in", say("nothing is ticked"), say("at least one ingredient"), say("Tick one")
        )
    solve["whole_bags"] = [key for key in solve.get("whole_bags", []) if key in solve["ingredients"]]
    _with_mixer(tables, typed)
    with_feed_prices(tables, base)
    with_own(desk, tables)
    return read_typed(tables, kept.file.name)


def _with_mixer(tables: Tables, typed: Typed) -> None:
    """Puts in the batch as this form has it; the rest of the mixing room stays as it is kept."""
    if "mixing-unit" not in typed.sent:
        return
    sent = typed.tables({}, ("mixing",)).get("mixing", {})
    stays = {key: value for key, value in tables.pop("mixing", {}).items() if key not in MIXER}
    if mixing := stays | {key: sent[key] for key in MIXER if key in sent}:
        tables["mixing"] = mixing


def _solver_field(desk: FeedDesk, sent: Mapping[str, str], error: BreadlineError) -> str:
    """The field of what the solver misses: the batch, or a price or bag by the name of its ingredient."""
    if error.where == "batch":
        return "mixing-mixer_holds"
    what, _, name = error.where.rpartition(" of ")
    key = {"price": "price", "whole bags": "bag"}.get(what)
    if key is None:
        return ""
    names = dict(ingredient_choices([RecipeFile(""), *(kept.file for kept in desk.recipes())]))
    fields = [
        field.replace("-of", f"-{key}")
        for field, of in sent.items()
        if field.startswith("price-") and field.endswith("-of") and name in (of, names.get(of))
    ]
    return fields[0] if fields else ""


def _keep_targets(desk: FeedDesk, kept: Version, file: RecipeFile) -> Response:
    desk.keep(file, noted("prices and targets changed"))
    return RedirectResponse(f"/feed/cheapest/{path_of(kept.file.name)}?told=kept", 303)


def _keep_mix(desk: FeedDesk, kept: Version, file: RecipeFile, search: Search, name: str) -> Response:
    """The mix as a recipe of its own, with the prices and targets it came from."""
    if search.found is None:
        raise RecipeError(
            kept.file.name, say("there is no mix to keep"), say("a mix"), say("Give way on a target first")
        )
    made = file_of_mix(file, search.found, name.strip())
    refuse_request(made.name, file.country, "as")
    if any(made.name.casefold() == other.file.name.casefold() for other in desk.recipes()):
        raise RecipeError(
            "as",
            say('there is a recipe called "{name}"', name=made.name),
            say("a new name"),
            say("Call it otherwise"),
        )
    desk.keep(
        made,
        noted("from the nearest mix")
        if isinstance(search.found, Conflict)
        else noted("from the cheapest mix"),
    )
    return RedirectResponse(f"/feed/recipe/{path_of(made.name)}?told=saved", 303)


def _typed(desk: FeedDesk, file: RecipeFile) -> dict[str, str]:
    """What the form shows: the file's own prices, then the book's newest for what is on offer."""
    quotes = {quote.of: quote for quote in file.quotes}
    paid_in = next((q.money for q in quotes.values()), "")
    for key in offered(file):
        book = desk.quotes().get(key)
        if key not in quotes and book is not None and (not paid_in or book.money == paid_in):
            quotes[key] = book
    feeds = {feed.name for feed in file.feeds}
    fields = fields_of(
        tables_of(replace(file, quotes=tuple(q for q in quotes.values() if q.of not in feeds)))
    )
    first = max(line_numbers(fields, "price"), default=-1) + 1
    missing = [key for key in offered(file) if key not in quotes]
    fields |= {f"price-{n}-of": key for n, key in enumerate(missing, first)}
    fields["solve-ingredients"] = "|".join(offered(file))
    if quotes:
        newest = max(q.year for q in quotes.values())
        fields |= {"money": paid_in or next(iter(quotes.values())).money, "year": str(newest)}
    return targets_shown(fields)


def _price_rows(typed: Mapping[str, str]) -> list[PriceRow]:
    ticked = typed.get("solve-ingredients", "").split("|")
    whole = typed.get("solve-whole_bags", "").split("|")
    of = line_numbers(typed, "price", "of")
    return [PriceRow(n, key, key in ticked, key in whole) for n, key in sorted(of.items())]


def _names(desk: FeedDesk, kept: Version) -> dict[str, str]:
    return dict(ingredient_choices([*(k.file for k in desk.recipes()), kept.file]))


def _shown(
    desk: FeedDesk, kept: Version, typed: Mapping[str, str], shown: Mapping[str, Any], *, told: str = "",
    error: BreadlineError | None = None, field: str = "",
) -> HTMLResponse:  # fmt: skip
    rows = _price_rows(typed)
    names = _names(desk, kept)
    first_new = max((row.n for row in rows), default=-1) + 1
    targets = line_numbers(typed, "target")
    on_offer = {row.key: names.get(row.key, row.key) for row in rows}
    new = [pair for pair in names.items() if pair[0] not in on_offer]
    answered = dict(shown) if error is None else in_trouble(error)
    name, listed = kept.file.name, "|".join(row.key for row in rows)
    return page(
        "cheapest.html", "/feed", desk.operation_name, status=422 if error else 200, name=name,
        path=path_of(name), typed=typed, rows=rows, names=names, told=told, error=error, field=field,
        where=said_where(error, field, typed, names) if error else "", piece=False, listed=listed, new=new,
        new_rows=range(first_new, first_new + NEW_PRICES), bases=said_bases(),
        whats=with_own_targets(choices(on_offer), typed, names),
        target_rows=range(max(max(targets, default=-1) + 1 + NEW_TARGETS, FIRST_TARGETS)), **answered,
    )  # fmt: skip
