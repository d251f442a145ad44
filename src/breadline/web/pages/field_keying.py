"""Keying in a tally sheet on the laptop, row by row in its order; nothing is written before it was shown."""

from __future__ import annotations

from datetime import date
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from breadline.jobs.keyed_cells import short_keys
from breadline.jobs.keyed_rows import Keyed, Row, Wrong
from breadline.jobs.keying import KeyingBook, Understood, fresh_form
from breadline.jobs.rounds_visit import USUAL_FRAME
from breadline.sheets.tally import sheet_code
from breadline.sheets.works import NAMES, Work, asks, work_of
from breadline.web.opened import place_of
from breadline.web.own_fields import MOST_FIELDS
from breadline.web.views import page

router = APIRouter()
MORE_ROWS = 5  # for hives that are not listed yet
COUNTED = ("stored", "duplicate", "conflict", "back")
CELLS = (*dict.fromkeys(one.key for work in NAMES for one in asks(work, ())), "note")  # of any work
LONGEST_CELL = 300  # letters; a cell that is longer was pasted by mistake


@router.get("/field/keying/{yard_id}")
def blank(request: Request, yard_id: str, work: str = "round", rows: int = 0) -> HTMLResponse:
    """A sheet to key in; its key is made now, and those of its records follow it."""
    book = _book(request)
    listed = [Row(tag, True, {}) for tag, _ in book.standing(yard_id)[1]]
    listed += [Row("", False, {})] * max(MORE_ROWS if not listed else 2, min(rows, 100))
    on = book.today.isoformat()
    keyed = Keyed(fresh_form(), work_of(work), on, "", USUAL_FRAME, tuple(listed))
    told = {key: request.query_params.get(key, "") for key in COUNTED}
    return _shown(book, yard_id, keyed, told=told if any(told.values()) else None)


@router.post("/field/keying/{yard_id}")
async def keyed_in(request: Request, yard_id: str) -> Response:
    """Check it, show it, and write it down at the second button."""
    form = await request.form(max_fields=MOST_FIELDS)
    step = str(form.get("step", "check"))
    return await run_in_threadpool(_answer, _book(request), yard_id, _keyed(form), step)


def _answer(book: KeyingBook, yard_id: str, keyed: Keyed, step: str) -> Response:
    if step == "mend":
        return _shown(book, yard_id, keyed)
    if step == "more":
        more = (Row("", False, {}),) * MORE_ROWS
        return _shown(book, yard_id, _with_rows(keyed, (*keyed.rows, *more)))
    if step != "write":
        understood, wrong = book.understood(yard_id, keyed)
        return _shown(book, yard_id, keyed, wrong, understood)
    answer, wrong = book.write(yard_id, keyed)
    if wrong:
        return _shown(book, yard_id, keyed, wrong)
    counts = [one["answer"] for one in answer["answers"]]
    told = "&".join(f"{key}={counts.count(key)}" for key in COUNTED)
    return RedirectResponse(f"/field/keying/{yard_id}?work={keyed.work}&{told}", 303)


def _shown(
    book: KeyingBook, yard_id: str, keyed: Keyed, wrong: list[Wrong] | None = None,
    understood: list[Understood] | None = None, told: dict[str, str] | None = None,
) -> HTMLResponse:  # fmt: skip
    name, rows = book.standing(yard_id)
    work: Work = work_of(keyed.work)
    columns = [(ask.key, ask.label, short_keys(ask)) for ask in book.asked(work)]
    return page(
        "field_keying.html", "/field/questions", book.operation_name, status=422 if wrong else 200,
        yard=name, yard_id=yard_id, keyed=keyed, columns=columns, work_name=NAMES[work],
        places=dict(rows), code=sheet_code([tag for tag, _ in rows]), means=book.meanings(),
        wrong=wrong or [], faults=_by_field(wrong or []), understood=understood or [], told=told,
        counts=_counts(understood or []), on=date.fromisoformat(keyed.on.strip()) if understood else None,
        longest=LONGEST_CELL, units=book.units,
    )  # fmt: skip


def _by_field(wrong: list[Wrong]) -> dict[str, str]:
    return {one.field: one.said for one in reversed(wrong)}


def _counts(understood: list[Understood]) -> dict[str, Any]:
    """How many hives are new, known, mended, or will be asked about."""
    return {
        word: sum(one.becomes == word for one in understood)
        for word in ("new", "mends", "there", "waits", "alike", "question", "back")
    }


def _keyed(form: FormData) -> Keyed:
    """The sheet as the form holds it; rows as far as their tags go."""
    typed = {key: str(value)[:LONGEST_CELL] for key, value in form.items()}
    rows, n = [], 0
    while f"tag-{n}" in typed:
        cells = {key: typed.get(f"{key}-{n}", "") for key in CELLS}
        rows.append(Row(typed[f"tag-{n}"], f"listed-{n}" in typed, cells, f"new-{n}" in typed))
        n += 1
    first = {key: typed.get(key, "") for key in ("form", "work", "on", "who", "means")}
    return Keyed(**first, rows=tuple(rows))


def _with_rows(keyed: Keyed, rows: tuple[Row, ...]) -> Keyed:
    return Keyed(keyed.form, keyed.work, keyed.on, keyed.who, keyed.means, rows)


def _book(request: Request) -> KeyingBook:
    return KeyingBook(place_of(request), request.app.state.today())
