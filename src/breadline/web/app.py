"""The web app: pages for the people at this machine, served on this machine only."""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import date
from functools import partial
from pathlib import Path

from fastapi import Depends, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import DEFAULT_EXCLUDED_CONTENT_TYPES, GZipMiddleware

from breadline.errors import BreadlineError, InputToMend, OurFault
from breadline.jobs.beside import Besides
from breadline.jobs.cheapest_search import MixSearches
from breadline.jobs.learning_search import LearningSearches
from breadline.jobs.phones import PhonesBook
from breadline.jobs.rounds_search import PlanSearches
from breadline.jobs.yards_pass import Passes
from breadline.language import say, speaking
from breadline.records.address import BookAt
from breadline.web.guard import SAFE_HEADERS, Guard
from breadline.web.opened import BookShown, OpenBook
from breadline.web.own_fields import OtherVersion, own_fields
from breadline.web.pages import (
    bring_in,
    check_group,
    check_group_size,
    common_questions,
    county,
    evidence,
    evidence_own,
    evidence_together,
    feed,
    feed_batch,
    feed_bought,
    feed_cheapest,
    feed_ingredients,
    feed_recipe,
    feed_versions,
    field,
    field_entries,
    field_keying,
    field_paper,
    figures,
    foretelling,
    hive,
    language,
    phones,
    ready,
    rounds,
    rounds_alike,
    rounds_choose,
    rounds_stock,
    rounds_together,
    season,
    settings,
    straight_answer,
    verdict,
    working,
    yard_forms,
    yards,
)
from breadline.web.sheets_waiting import Waiting
from breadline.web.their_language import InTheirLanguage, wanted
from breadline.web.views import other_version, refused

SCREENS = (
    yards, yard_forms, season, feed, feed_recipe, feed_cheapest, feed_batch, feed_bought, feed_ingredients,
    feed_versions, rounds_stock, rounds_together, rounds_alike, rounds, rounds_choose, check_group_size,
    check_group, foretelling, straight_answer, verdict, evidence, evidence_own, evidence_together, county,
    figures, hive, field, field_entries, field_paper, field_keying, phones, settings, bring_in, ready,
    working, language, common_questions,
)  # fmt: skip
STATIC = Path(__file__).parent / "static"
SENT_AS_THEY_ARE = (*DEFAULT_EXCLUDED_CONTENT_TYPES, "application/*", "font/*", "text/csv", "text/calendar")


def create_app(
    book_path: BookAt, open_book: OpenBook | None = None, today: Callable[[], date] = date.today,
    hosts: Collection[str] = (),
) -> FastAPI:  # fmt: skip
    """The app over one book.

    Parameters
    ----------
    book_path
        The SQLite file of the operation, or its database on a server.
    open_book
        How the book is opened; ``breadline.jobs.book.Book`` unless a test brings its own.
    today
        The day of a straight answer.
    hosts
        Names and addresses of this machine by which paired phones reach it; none where they may not.
    """
    app = FastAPI(title="Breadline", docs_url=None, redoc_url=None, openapi_url=None)
    app.state.book_path = book_path
    app.state.open_book = open_book or _book
    app.state.today = today
    app.state.mix_searches, app.state.plan_searches = MixSearches(), PlanSearches()
    app.state.learnings, app.state.besides = LearningSearches(), Besides()
    app.state.sheets, app.state.yard_passes = Waiting(), Passes()
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    for screen in SCREENS:
        app.include_router(screen.router, dependencies=[Depends(own_fields)])
    app.add_exception_handler(BreadlineError, _mend)
    app.add_exception_handler(OtherVersion, _other_version)
    app.add_exception_handler(HTTPException, _not_there)
    app.add_exception_handler(RequestValidationError, _does_not_fit)
    app.add_exception_handler(Exception, _our_fault)
    knows = partial(_is_paired, book_path) if hosts else None
    app.add_middleware(Guard, hosts=hosts, knows=knows)
    app.add_middleware(InTheirLanguage)
    # a third or less to carry, for about a millisecond; files to keep say how long they are
    app.add_middleware(GZipMiddleware, compresslevel=1, exclude_content_types=SENT_AS_THEY_ARE)
    return app


def _is_paired(path: BookAt, token: str) -> bool:
    return PhonesBook(path).knows(token) is not None


def _book(path: BookAt) -> BookShown:
    from breadline.jobs.book import Book

    return Book(path)


def _mend(_: Request, error: Exception) -> HTMLResponse:
    assert isinstance(error, BreadlineError)
    return refused(error, status=422 if isinstance(error, InputToMend) else 500)


def _other_version(_: Request, error: Exception) -> HTMLResponse:
    assert isinstance(error, OtherVersion)
    return other_version(error)


def _our_fault(request: Request, error: Exception) -> HTMLResponse:
    """Anything unforeseen: the log has the trace (the server raises it again), the reader what to do."""
    with speaking(wanted(request.scope)):
        trouble = OurFault(
            request.url.path, say("something broke ({kind})", kind=type(error).__name__), say("an answer"),
            say("Nothing you wrote down is lost. Please report it with the lines that the terminal "
"shows"),
        )  # fmt: skip
        page = refused(trouble, status=500)
    page.headers.update(SAFE_HEADERS)  # this answer is made outside the guard
    return page


def _does_not_fit(_: Request, error: Exception) -> HTMLResponse:
    """A field of another kind than its page has: which one, and what it holds."""
    assert isinstance(error, RequestValidationError)
    first = error.errors()[0]
    field, held = str(first["loc"][-1]), first.get("input")
    if first["type"] == "missing" or held in (None, ""):
        what, expected = say("is missing"), say("what the page asks for")
    elif first["type"].startswith("int"):
        what, expected = say('"{text}" is not a whole number', text=str(held)[:60]), say("a whole number")
    elif first["type"] == "value_error":
        what, expected = say("is no file"), say("a file chosen on the page")
    else:
        what, expected = say("holds something else than the page sends"), say("text")
    trouble = InputToMend(field, what, expected, say("Go back to the page and send it from there"))
    return refused(trouble, status=422)


def _not_there(request: Request, error: Exception) -> HTMLResponse:
    assert isinstance(error, HTTPException)
    where = request.url.path
    if error.status_code == 404:
        trouble = InputToMend(where, say("there is no such page"), "", say("Go back to the yards"))
    else:
        what = say("it cannot be asked this way ({why})", why=error.detail)
        trouble = InputToMend(where, what, "", say("Go back to the yards"))
    return refused(trouble, status=error.status_code)
