"""A batch for the mixing room: ticked off on the phone, or printed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import cast
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import InputToMend
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.ration import Batched, batched, paper_of, sheet_of
from breadline.jobs.ration_terms import system_of
from breadline.jobs.recipe_book import Version
from breadline.jobs.recipe_written import RecipeFile
from breadline.language import noted, say
from breadline.sheets.batch_cautions import mixing_room_lines
from breadline.sheets.batch_sheet import Heading, Paper, batch_sheet_data
from breadline.web.feed_desks import desk_of, path_of
from breadline.web.field_words import in_form_words
from breadline.web.recipe_form import Typed, fields_of, read_typed, said_where, tables_of, trouble_of
from breadline.web.views import page

router = APIRouter()
SECTIONS = ("mixing",)
PAPERS: tuple[tuple[Paper, str], ...] = (("us-letter", noted("Letter")), ("a4", "A4"))
NOT_YET = noted("The sheet can’t be made out yet.")
FIELDS = ("mixing-batch", "mixing-mixer_holds")


@router.get("/feed/batch/{name:path}")
def batch(request: Request, name: str, kept: str = "") -> HTMLResponse:
    """The sheet on the screen, each bucket a box to tick; another amount is asked for in the address."""
    desk, recipe = _asked(request, name)
    typed = fields_of(tables_of(recipe.file)) | _sent(request)
    try:
        told = _batched(request, desk, recipe, kept)
    except InputToMend as wrong:
        error = in_form_words(wrong)
        field, trouble = Typed(typed).field(error), trouble_of(error)
        return page(
            "batch.html",
            "/feed",
            desk.operation_name,
            status=422,
            name=recipe.file.name,
            path=path_of(recipe.file.name),
            sheet=None,
            error=error,
            field=field,
            where=said_where(error, field, typed),
            first=trouble.first if trouble.refuses else say(NOT_YET),
            elsewhere=field.startswith("mixing-") and field not in FIELDS,
            typed=typed,
            asked="",
            papers=[(key, say(words)) for key, words in PAPERS],
            paper="a4",
            unit=system_of(recipe.file),
            kept="",
            number="",
        )
    paper = paper_of(told.file.country)
    return page(
        "batch.html",
        "/feed",
        desk.operation_name,
        name=recipe.file.name,
        path=path_of(recipe.file.name),
        sheet=batch_sheet_data(told.batch, _heading(told, recipe), paper),
        error=None,
        field="",
        where="",
        typed=typed,
        asked=urlencode(_sent(request)),
        papers=[(key, say(words)) for key, words in PAPERS],
        paper=paper,
        unit=system_of(told.file),
        kept=kept,
        number=told.number,
    )


@router.get("/feed/batch-sheet/{name:path}")
def sheet(request: Request, name: str, paper: str = "", number: str = "") -> Response:
    """The same as a PDF of one page."""
    desk, recipe = _asked(request, name)
    told = _batched(request, desk, recipe, number)
    chosen = next((key for key, _ in PAPERS if key == paper), paper_of(told.file.country))
    made = sheet_of(told, chosen, version=recipe.words)
    return Response(
        made, media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="batch-{told.number}.pdf"'},
    )  # fmt: skip


@router.post("/feed/batch/{name:path}")
def write_down(request: Request, name: str, number: str = "") -> Response:
    """Write the batch down under the number of its sheet: sent twice, it is written down once."""
    desk, recipe = _asked(request, name)
    told = _batched(request, desk, recipe, number)
    desk.keep_batch(told)
    return RedirectResponse(
        f"/feed/batch/{path_of(name)}?{urlencode(_sent(request) | {'kept': told.number})}",
        303,
    )


def _asked(request: Request, name: str) -> tuple[FeedDesk, Version]:
    desk = desk_of(request)
    return desk, desk.version(name)


def _sent(request: Request) -> dict[str, str]:
    return {key: value for key, value in request.query_params.items() if key in FIELDS}


def _batched(request: Request, desk: FeedDesk, recipe: Version, number: str) -> Batched:
    """The batch as asked.

    Errors
    ------
    FeedRefused, RecipeError
        As of ``jobs.ration.batched``.
    """
    today = cast(date, request.app.state.today())
    file = _with_amount(recipe.file, _sent(request))
    return batched(file, number[:30] or desk.next_number(today), today, desk.quotes(), desk.shelf)


def _with_amount(file: RecipeFile, sent: dict[str, str]) -> RecipeFile:
    if not sent:
        return file
    fields = {key: value for key, value in fields_of(tables_of(file)).items() if key.startswith("mixing-")}
    fields = {"mixing-unit": system_of(file)} | fields | sent
    tables = Typed(fields).tables(tables_of(file), SECTIONS)
    return replace(file, mixing=read_typed(tables, file.name).mixing)


def _heading(told: Batched, recipe: Version) -> Heading:
    return Heading(told.number, told.on, recipe.words, "", mixing_room_lines(told.remarks), told.keeping)
