"""Where your data lies: the book, its copies, and everything taken out."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import cast

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse, HTMLResponse, Response
from starlette.background import BackgroundTask

from breadline.errors import InputToMend, RecordError
from breadline.jobs.export import FORMS, Form, taken_out
from breadline.jobs.safe_copy import download_of
from breadline.jobs.whereabouts import whereabouts
from breadline.language import say
from breadline.records.address import BookAt
from breadline.records.log_file import refuse_damaged_log
from breadline.web.opened import book_of
from breadline.web.views import page

router = APIRouter()
HERE = "/settings"


@router.get(HERE)
def settings(request: Request) -> HTMLResponse:
    """Where the book lies, how large it is, when it was copied last, and the buttons."""
    return _shown(request, None)


@router.post(f"{HERE}/copy")
def copy(request: Request) -> Response:
    """A copy of the book, read back record by record, as a download."""
    book = _book(request)
    today = request.app.state.today()
    return _sent(request, f"{_stem(book)}-{today}.db", lambda place: download_of(book, place))


@router.post(f"{HERE}/take-out/{{form}}")
def take_out(request: Request, form: str) -> Response:
    """Everything in one of the open forms, as a download."""
    known: dict[str, Form] = {name: name for name in FORMS}
    if form not in known:
        raise RecordError(
            "form", say("{form} is not known", form=form), ", ".join(FORMS), say("Go back to the page")
        )
    book, now = _book(request), datetime.now(UTC)
    try:
        if isinstance(book, Path):
            refuse_damaged_log(book)  # a download cannot say so
    except InputToMend as error:
        return _shown(request, error)
    ending = "zip" if form == "csv" else form
    name = f"{_stem(book)}-{request.app.state.today()}.{ending}"
    return _sent(request, name, lambda place: taken_out(book, place, known[form], now))


def _sent(request: Request, name: str, write: Callable[[Path], object]) -> Response:
    """A file that is made, sent and then taken away; a refusal is told on the page."""
    folder = Path(tempfile.mkdtemp(prefix="breadline-"))
    try:
        write(folder / name)
    except InputToMend as error:
        shutil.rmtree(folder, ignore_errors=True)
        return _shown(request, error)
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    gone = BackgroundTask(shutil.rmtree, folder, ignore_errors=True)
    return FileResponse(folder / name, filename=name, background=gone)


def _shown(request: Request, error: InputToMend | None) -> HTMLResponse:
    book = _book(request)
    told, file = whereabouts(book), book if isinstance(book, Path) else None
    return page(
        "settings.html", HERE, book_of(request).operation_name, status=422 if error else 200, told=told,
        last=told.last_copy(datetime.now().astimezone()), forms=FORMS, file=file,
        error=None if error is None else error.as_dict(),
    )  # fmt: skip


def _book(request: Request) -> BookAt:
    return cast(BookAt, request.app.state.book_path)


def _stem(book: BookAt) -> str:
    """The name of the book as a file may bear it."""
    name = book.stem if isinstance(book, Path) else str(book).rpartition("/")[2]
    return "".join(c if c.isalnum() or c in "-_" else "-" for c in name) or "book"
