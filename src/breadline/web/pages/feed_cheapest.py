"""The cheapest mix: prices and targets to change, the mix that follows at once, and why it is that one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, cast

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import BreadlineError, InputToMend, RecipeError
from breadline.jobs.cheapest_search import Search, Searches
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.ration import remarks_on
from breadline.jobs.ration_terms import offered, system_of
from breadline.jobs.recipe_book import Version
from breadline.jobs.recipe_refusals import refuse_request
from breadline.jobs.recipe_written import GRAMS, Amount, RecipeFile
from breadline.knowledge.shelf import Reader
from breadline.ration.analysis import analyse
from breadline.ration.batch_contents import money
from breadline.ration.measures import System, weight_said
from breadline.ration.remark import Remark
from breadline.ration.solved_words import conflict_sentences, ends_sentences
from breadline.ration.solver import Conflict, Solved
from breadline.web import feed_words, mix_words
from breadline.web.feed_desks import desk_of, ingredient_choices, path_of
from breadline.web.pages.feed_recipe import with_feed_prices, with_own
from breadline.web.recipe_form import Tables, Typed, fields_of, read_typed, said_where, tables_of, trouble_of
from breadline.web.targets_form import (
    BASES,
    choices,
    many,
    shown_field,
    targets_sent,
    targets_shown,
    with_own_targets,
)
from breadline.web.views import page

router = APIRouter()
SECTIONS = ("money", "year", "price", "target", "solve")
NEW_PRICES, NEW_TARGETS = 1, 1
TOLD = {"kept": "Prices and targets are kept with the recipe."}


@dataclass(frozen=True)
class PriceRow:
    """One line of prices: its number, the ingredient, whether it may go in, by whole bags only."""

    n: int
    key: str
    offered: bool
    whole: bool


@router.get("/feed/cheapest/{name:path}")
def cheapest_mix(request: Request, name: str, told: str = "", search: str = "") -> HTMLResponse:
    """The page of one recipe's prices and targets, with the mix they ask for."""
    desk = desk_of(request)
    kept = desk.version(name)
    going = _searches(request).of(search)
    file = going.file if going else kept.file
    typed = _typed(desk, file)
    try:
        found = going or _searches(request).begin(file, desk.quotes(), desk.shelf)
        shown = answer(desk, found)
    except InputToMend as error:
        return _shown(desk, kept, typed, {"search": None}, error=error)
    return _shown(desk, kept, typed, shown, told=TOLD.get(told, ""))


@router.post("/feed/cheapest/{name:path}")
async def solve(request: Request, name: str) -> Response:
    """What the form asks for: a piece of the page for the script, the whole page without it."""
    sent = many((await request.form()).multi_items())
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
        found = await run_in_threadpool(_searches(request).begin, file, {}, desk.shelf)
        if sent.get("do") == "recipe":
            return _keep_mix(desk, kept, file, found, sent.get("as", ""))
        shown = answer(desk, found)
    except InputToMend as error:
        field = shown_field(typed.field(error)) or _price_field(desk, sent, error)
        if piece:
            return page(
                "cheapest_answer.html", "/feed", status=422, **_trouble(error), path=path_of(name), piece=True
            )
        return _shown(desk, kept, sent, {"search": None}, error=error, field=field)
    if piece:
        return page("cheapest_answer.html", "/feed", **shown, path=path_of(name), piece=True)
    return _shown(desk, kept, sent, shown)


@router.get("/feed/search/{key}")
def look(request: Request, key: str) -> Response:
    """How a search stands; a piece of the page."""
    return _piece(request, _searches(request).of(key))


@router.post("/feed/search/{key}/stop")
def stop(request: Request, key: str) -> Response:
    """Stay with the best mix so far."""
    search = _searches(request).of(key)
    if search is not None:
        search.stop()
    if request.headers.get("hx-request") != "true" and search is not None:
        return RedirectResponse(f"/feed/cheapest/{path_of(search.file.name)}?search={key}", 303)
    return _piece(request, search)


def _piece(request: Request, search: Search | None) -> Response:
    desk = desk_of(request)
    if search is None:
        gone = RecipeError("search", "it is forgotten", "a newer one", "Change a price to begin another")
        return page("cheapest_answer.html", "/feed", status=422, **_trouble(gone), path="", piece=True)
    shown = answer(desk, search)
    return page("cheapest_answer.html", "/feed", **shown, path=path_of(search.file.name), piece=True)


def _searches(request: Request) -> Searches:
    return cast(Searches, request.app.state.searches)


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
    added = [one["of"] for one in tables.get("price", []) if one["of"] not in listed and "price" in one]
    solve["ingredients"] = [*solve.get("ingredients", []), *added]
    if not solve["ingredients"]:
        raise RecipeError("what may go in", "nothing is ticked", "at least one ingredient", "Tick one")
    solve["whole_bags"] = [key for key in solve.get("whole_bags", []) if key in solve["ingredients"]]
    with_feed_prices(tables, base)
    with_own(desk, tables)
    return read_typed(tables, kept.file.name)


def _price_field(desk: FeedDesk, sent: Mapping[str, str], error: BreadlineError) -> str:
    """The field of a price that the solver misses, by the name of its ingredient."""
    if not error.where.startswith("price of "):
        return ""
    names = dict(ingredient_choices([RecipeFile(""), *(kept.file for kept in desk.recipes())]))
    fields = [key.replace("-of", "-price") for key, of in sent.items()
              if key.startswith("price-") and key.endswith("-of")
              and names.get(of) == error.where.removeprefix("price of ")]  # fmt: skip
    return fields[0] if fields else ""


def _keep_targets(desk: FeedDesk, kept: Version, file: RecipeFile) -> Response:
    desk.keep(file, "prices and targets changed")
    return RedirectResponse(f"/feed/cheapest/{path_of(kept.file.name)}?told=kept", 303)


def _keep_mix(desk: FeedDesk, kept: Version, file: RecipeFile, search: Search, name: str) -> Response:
    """The mix as a recipe of its own, with the prices and targets it came from."""
    found = search.found.nearest if isinstance(search.found, Conflict) else search.found
    if found is None:
        raise RecipeError(kept.file.name, "there is no mix to keep", "a mix", "Give way on a target first")
    name = name.strip() or f"{kept.file.name}, cheapest"
    refuse_request(name, file.country, "as")
    if any(name.casefold() == other.file.name.casefold() for other in desk.recipes()):
        raise RecipeError("as", f'there is a recipe called "{name}"', "a new name", "Call it otherwise")
    unit = system_of(file)
    amounts = tuple(
        Amount(p.ingredient.key, _rounded(p.grams / GRAMS[unit]), unit) for p in found.recipe.parts
        if found.shares.get(p.ingredient.key, 0.0) > 0
    )  # fmt: skip
    note = f"The cheapest mix by the targets of {kept.file.name}"
    made = replace(file, name=name, amounts=amounts, note=note)
    desk.keep(made, "from the cheapest mix")
    return RedirectResponse(f"/feed/recipe/{path_of(name)}?told=saved", 303)


def _rounded(amount: float) -> float:
    return float(f"{amount:.4g}")


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
    first = max((int(k.split("-")[1]) for k in fields if k.startswith("price-")), default=-1) + 1
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
    of = {
        int(k.split("-")[1]): v
        for k, v in typed.items()
        if k.startswith("price-") and k.endswith("-of") and v
    }
    return [PriceRow(n, key, key in ticked, key in whole) for n, key in sorted(of.items())]


def _shown(
    desk: FeedDesk, kept: Version, typed: Mapping[str, str], shown: Mapping[str, Any], *, told: str = "",
    error: BreadlineError | None = None, field: str = "",
) -> HTMLResponse:  # fmt: skip
    rows = _price_rows(typed)
    names = dict(ingredient_choices([*(k.file for k in desk.recipes()), kept.file]))
    first_new = max((row.n for row in rows), default=-1) + 1
    targets = [int(k.split("-")[1]) for k in typed if k.startswith("target-") and typed[k]]
    on_offer = {row.key: names.get(row.key, row.key) for row in rows}
    new = [pair for pair in names.items() if pair[0] not in on_offer]
    answered = dict(shown) if error is None else _trouble(error)
    name, listed = kept.file.name, "|".join(row.key for row in rows)
    return page(
        "cheapest.html", "/feed", desk.operation_name, status=422 if error else 200, name=name,
        path=path_of(name), typed=typed, rows=rows, names=names, told=told, error=error, field=field,
        where=said_where(error) if error else "", piece=False, listed=listed, new=new,
        new_rows=range(first_new, first_new + NEW_PRICES), bases=BASES,
        whats=with_own_targets(choices(on_offer), typed, names),
        target_rows=range(max(targets, default=-1) + 1 + NEW_TARGETS), **answered,
    )  # fmt: skip


def _trouble(error: BreadlineError) -> dict[str, Any]:
    return {"trouble": trouble_of(error), "search": None, "now": "To be mended"}


def answer(desk: FeedDesk, search: Search) -> dict[str, Any]:
    """What is said of a search as it stands."""
    if search.trouble is not None:
        return _trouble(search.trouble)
    unit = system_of(search.file)
    shown: dict[str, Any] = {"trouble": None, "search": search, "per": feed_words.PER[unit], "progress": ""}
    if not search.done:
        shown["progress"] = progress_words(search, unit)
    found = search.found
    if isinstance(found, Conflict):
        return shown | _conflict(found, unit, open=not (found.proven or search.sought))
    shown["now"] = f"{mix_words.per(found.cost_per_kg, found, unit)} a {feed_words.PER[unit]}"
    remarks = _remarks(desk, search.file, found)
    stands = search.stands
    return shown | {
        "conflict": (), "headline": mix_words.headline(found, unit),
        "parts": mix_words.part_lines(found, unit),
        "batch": _batch(found, unit), "sure": mix_words.search_words(found) if search.sought else "",
        "no": feed_words.refusal_sentence(remarks), "refused": [r for r in remarks if r.level == "refuse"],
        "cautions": [r for r in remarks if r.level == "caution"], "stands": stands is not None,
        "holds": mix_words.hold_lines(found, stands, unit) if stands else [],
        "idle": mix_words.idle_words(found, stands) if stands else "",
        "ranges": mix_words.range_lines(found, stands, unit) if stands else [],
        "ends": ends_sentences(found, search.both, unit) if search.both else (),
        "next_best": mix_words.next_words(found, stands, unit) if stands else "",
    }  # fmt: skip


def progress_words(search: Search, unit: System) -> str:
    """How far a search has come."""
    if search.sought:
        return "Working out what holds the cost up."
    told, limit = search.told, f"of at most {search.limit:.0f} s"
    if told is None:
        return f"Searching on, {search.seconds:.0f} s {limit}."
    best = mix_words.per(told.cost, search.found, unit)
    gap = (
        f"one up to {100 * told.gap:.1f} % cheaper may still exist"
        if told.gap < 1
        else "nothing is proven yet"
    )
    so_far = f"the best so far costs {best} a {feed_words.PER[unit]}, and {gap}"
    return f"Searching on, {search.seconds:.0f} s {limit}: {so_far}."


def _conflict(found: Conflict, unit: System, *, open: bool) -> dict[str, Any]:
    """What is at odds; nothing yet where the search for a first mix still goes on."""
    if open:
        return {
            "conflict": ("No mix is found yet, and none is ruled out.",),
            "now": "No mix yet",
            "parts": [],
        }
    near = found.nearest
    return {
        "conflict": conflict_sentences(found, unit), "now": "No mix has all of this",
        "parts": mix_words.part_lines(near, unit) if near else [],
    }  # fmt: skip


def _batch(found: Solved, unit: System) -> str:
    if found.batch_kg is None or found.batch_cost is None:
        return ""
    of = found.problem.money
    weight, cost = weight_said(1000 * found.batch_kg, unit), money(found.batch_cost, of)
    return f"A batch of {weight} costs {cost}."


def _remarks(desk: FeedDesk, file: RecipeFile, found: Solved) -> Sequence[Remark]:
    """What the rules say of the mix that was found."""
    recipe = replace(found.recipe, name=file.name)
    return remarks_on(file, recipe, analyse(recipe), Reader(desk.shelf))
