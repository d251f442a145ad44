"""Feed: own recipes and bought feeds side by side, by name; recipe files in and out."""

from __future__ import annotations

import re
from collections.abc import Sequence

from fastapi import APIRouter, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import BreadlineError, InputToMend, RecipeError
from breadline.jobs.recipe_file import recipe_from_text, recipe_to_toml
from breadline.knowledge.amino_pattern import pattern
from breadline.language import noted, say, say_counted
from breadline.need.words import day_and_year
from breadline.ration.measures import System
from breadline.web import feed_words, words
from breadline.web.feed_desks import desk_of, path_of
from breadline.web.feed_rows import COLUMNS, Row, rows_of, sorted_rows
from breadline.web.views import page

router = APIRouter()
TOLD = {
    "saved": noted("Saved."),
    "withdrawn": noted("Taken off the list. Its versions and batches stay in the book, below the list."),
}
LONGEST_FILE = 60_000  # bytes; the example is under 3 kB


@router.get("/feed")
def feeds(request: Request, by: str = "name", unit: str = "", told: str = "") -> HTMLResponse:
    """The list, by name or by the column that the user chose."""
    return _listed(request, by, unit, told)


@router.post("/feed/file")
def read_in(request: Request, file: UploadFile) -> Response:
    """A recipe file that somebody sent."""
    raw = file.file.read(LONGEST_FILE + 1)
    name = (file.filename or say("the file"))[:90]
    try:
        recipe = recipe_from_text(_decoded(raw, name), name)
    except InputToMend as error:
        return _listed(request, error=error)
    desk = desk_of(request)
    kept = desk.keep(recipe, noted("read in from a file"), theirs=True)
    told = "read" if kept.number == 1 else "again"
    return RedirectResponse(f"/feed/recipe/{path_of(recipe.name)}?told={told}", 303)


@router.get("/feed/file/{name:path}")
def file_of(request: Request, name: str) -> Response:
    """The recipe as a file to send."""
    kept = desk_of(request).version(name)
    plain = re.sub(r"[^a-z0-9]+", "-", kept.file.name.casefold()).strip("-") or "recipe"
    return Response(
        recipe_to_toml(kept.file), media_type="application/toml; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{plain}.toml"'},
    )  # fmt: skip


@router.post("/feed/withdraw/{name:path}")
def withdraw(request: Request, name: str) -> Response:
    """Off the list."""
    desk_of(request).withdraw(name, noted("taken off the list on its page"))
    return RedirectResponse("/feed?told=withdrawn", 303)


def _decoded(raw: bytes, name: str) -> str:
    if not raw:
        raise RecipeError(
            name, say("no file was chosen, or it is empty"), say("a recipe file (.toml)"), say("Choose one")
        )
    if len(raw) > LONGEST_FILE:
        raise RecipeError(
            name,
            say("it is too long"),
            say("at most {longest_file:,} bytes", longest_file=LONGEST_FILE),
            say("Send one recipe a file"),
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecipeError(
            name, say("the file is not in UTF-8"), say("a text file in UTF-8"),
            say("Save it again with the encoding \"UTF-8\" in your editor"),
        ) from None  # fmt: skip


def _listed(
    request: Request, by: str = "name", unit: str = "", told: str = "", *,
    error: BreadlineError | None = None,
) -> HTMLResponse:  # fmt: skip
    desk = desk_of(request)
    chosen: System = "lb" if unit == "lb" else "kg" if unit == "kg" else desk.unit
    by = by if by in COLUMNS else "name"
    other: System = "kg" if chosen == "lb" else "lb"
    per = say(feed_words.PER[chosen])
    rows = sorted_rows(rows_of(desk, chosen), by)
    off = [(one.name, path_of(one.name), day_and_year(one.on)) for one in desk.off_the_list()]
    heads = (
        ("name", say("Feed")),
        ("fed", say("Crude protein as fed")),
        ("dry", say("of dry matter")),
        ("", say("Runs short first")),
        ("pollen", say("Real pollen")),
        ("cost", say("Cost a {unit}", unit=per)),
        ("protein", say("a {unit} of protein", unit=per)),
        ("", say("Cautions")),
    )
    return page(
        "feed.html",
        "/feed",
        desk.operation_name,
        status=422 if error else 200,
        rows=rows,
        by=by,
        off=off,
        heads=heads,
        sort_words={key: say(head) for key, head in COLUMNS.items()},
        unit=chosen,
        other=other,
        other_words=say(feed_words.PER[other]),
        per=per,
        under=_under(rows),
        sentence=sentence(rows, chosen),
        sorted_by=say(COLUMNS[by]),
        told=say(TOLD[told]) if told in TOLD else "",
        error=error,
        where=error.where if error else "",
        label=say(pattern().label),
    )


def _under(rows: Sequence[Row]) -> str:
    if not rows:
        return say("What your feed contains, what it costs, and the cheapest sound mix.")
    own = sum(row.own for row in rows)
    return f"{words.counted(own, 'own recipe')}, {words.counted(len(rows) - own, 'bought feed')}."


def sentence(rows: Sequence[Row], unit: System) -> str:
    """What the list says: from where to where protein lies, who holds pollen, what is refused."""
    if not rows:
        return say("No feed yet. Put in a recipe, a label, or a file that somebody sent you.")
    shown = [row for row in rows if not row.error and row.by and "fed" in row.by]
    said = []
    if shown:
        low = round(min(row.by["low"] for row in shown if row.by))
        high = round(max(row.by["high"] for row in shown if row.by))
        said.append(_protein(low, high, len(shown) > 1))
        said.append(_pollen(shown))
        said += _costs(shown, unit)
    no = [row.name for row in rows if row.refused]
    if no:
        said.append(
            say_counted(
                "Refused as it stands: {names}.",
                "Refused as they stand: {names}.",
                len(no),
                names=", ".join(no),
            )
        )
    broken = sum(bool(row.error) for row in rows)
    if broken:
        said.append(say("{many} cannot be reckoned yet.", many=words.number_word(broken)))
    return " ".join(said)


def _protein(low: int, high: int, several: bool) -> str:
    if low == high:
        return (
            say("About {n} % crude protein as fed, feed by feed.", n=low)
            if several
            else say("About {n} % crude protein as fed.", n=low)
        )
    told = {"low": low, "high": high}
    if several:
        return say("{low} to {high} % crude protein as fed, feed by feed.", **told)
    return say("{low} to {high} % crude protein as fed.", **told)


def _costs(rows: Sequence[Row], unit: System) -> list[str]:
    """From where to where a pound or a kilogram costs, as far as prices are known."""
    priced = sorted((row for row in rows if row.by and "cost" in row.by), key=lambda row: row.place("cost"))
    if not priced:
        return []
    low, high = priced[0].cost, priced[-1].cost
    told = {"unit": say(feed_words.PER[unit]), "low": low, "high": high}
    if low == high:
        return [say("A {unit} costs {low}.", **told)]
    return [say("A {unit} costs from {low} to {high}.", **told)]


def _pollen(rows: Sequence[Row]) -> str:
    holding = [row.name for row in rows if row.holds_pollen]
    if not holding:
        if len(rows) > 1:
            return say("None is known to hold real pollen.")
        return say("It is not known to hold real pollen.")
    return say("Real pollen is in {names}.", names=say(" and ").join(holding))
