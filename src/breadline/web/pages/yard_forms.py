"""Forms of a yard: a new one, its facts and bloom, and a look typed by hand."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import InputToMend
from breadline.jobs.look_typed import BREAD, COMING_IN, HONEY
from breadline.jobs.yard_said import FactsNow, SaidBook, calendars_known, frames_known
from breadline.jobs.yard_typed import AIMS, KEPT_FOR, MOST_BLOOMS
from breadline.language import noted, say
from breadline.web.opened import place_of
from breadline.web.sent_form import SentForm, line_numbers, texts
from breadline.web.views import page

router = APIRouter()
LONGEST = 400  # letters of one field
SPARE_BLOOMS = 3  # empty lines below those that are filled
YES_NO = (("yes", noted("yes")), ("no", noted("no")))
LABELS = {
    "name": noted("Name"), "colonies": noted("Colonies"), "latitude": noted("Latitude"),
    "longitude": noted("Longitude"), "country": noted("Country"), "aim": noted("Goal"),
    "on": noted("Day"), "colonies_looked_in": noted("Hives looked in"), "bread": noted("Stored bread"),
    "frames_of_bees": noted("Frames of bees"), "frame_means": noted("A frame of bees is"),
    "frames_of_brood": noted("Frames of brood"), "mites_per_100": noted("Mites per 100 bees"),
    "because": noted("Why it was wrong"),
}  # fmt: skip
NOBODY = FactsNow("", {"kept_for": "trade"}, "", frozenset())


@router.get("/yards/new")
def new(request: Request) -> HTMLResponse:
    """An empty form for a yard."""
    return _facts_shown(request, NOBODY, NOBODY.typed)


@router.post("/yards/new")
def write_new(request: Request, form: SentForm) -> Response:
    """Write it down; a count comes next."""
    typed = texts(form, LONGEST)
    try:
        key = _book(request).new_yard(typed)
    except InputToMend as error:
        return _facts_shown(request, NOBODY, typed, error)
    return RedirectResponse(f"/yards/{key}/look?told=new", 303)


@router.get("/yards/{yard_id}/facts")
def facts(request: Request, yard_id: str) -> HTMLResponse:
    """What lasts of a yard, to be changed."""
    now = _book(request).facts_now(yard_id)
    told = {"changed": say("Changed."), "same": say("Nothing was changed.")}
    said = told.get(request.query_params.get("told", ""), "")
    return _facts_shown(request, now, now.typed, yard_id=yard_id, told=said)


@router.post("/yards/{yard_id}/facts")
def say_facts(request: Request, yard_id: str, form: SentForm) -> Response:
    """What it is from now on; what was said before stays in the book."""
    typed, book = texts(form, LONGEST), _book(request)
    now = book.facts_now(yard_id)
    try:
        changed = book.say_facts(yard_id, typed, typed.get("stands", ""))
    except InputToMend as error:
        return _facts_shown(request, now, typed, error, yard_id=yard_id)
    return RedirectResponse(f"/yards/{yard_id}/facts?told={'changed' if changed else 'same'}", 303)


@router.get("/yards/{yard_id}/look")
def look(request: Request, yard_id: str) -> HTMLResponse:
    """A form for what was counted and seen."""
    name, typed = _book(request).look_form(yard_id)
    told = {
        "new": say("{yard} is written down. Its season begins at a count.", yard=name),
        "kept": say("Written down."),
        "same": say("The same stands already for that day."),
        "gone": say("Taken back. It counts no more, and stays in the book with your reason."),
    }
    return _look_shown(
        request, yard_id, typed, name=name, told=told.get(request.query_params.get("told", ""), "")
    )


@router.post("/yards/{yard_id}/look")
def say_look(request: Request, yard_id: str, form: SentForm) -> Response:
    """Write it down; the same form sent twice is one look."""
    typed = texts(form, LONGEST)
    try:
        fresh = _book(request).say_look(yard_id, typed)
    except InputToMend as error:
        return _look_shown(request, yard_id, typed, error)
    return RedirectResponse(f"/yards/{yard_id}/look?told={'kept' if fresh else 'same'}", 303)


@router.post("/yards/{yard_id}/look/take-back")
def no_look(request: Request, yard_id: str, form: SentForm) -> Response:
    """Take a look back, with the reason; it stays in the book."""
    typed, book = texts(form, LONGEST), _book(request)
    try:
        book.no_look(yard_id, typed.get("look", ""), typed.get("because", ""))
    except InputToMend as error:
        return _look_shown(request, yard_id, book.look_form(yard_id)[1] | typed, error)
    return RedirectResponse(f"/yards/{yard_id}/look?told=gone", 303)


def _facts_shown(
    request: Request, now: FactsNow, typed: Mapping[str, str], error: InputToMend | None = None,
    yard_id: str = "", told: str = "",
) -> HTMLResponse:  # fmt: skip
    lines = max(line_numbers(typed, "bloom"), default=-1) + 1 + SPARE_BLOOMS
    return page(
        "yard_facts.html", "/", _book(request).operation_name, status=422 if error else 200, now=now,
        typed=typed, yard_id=yard_id, told=told, blooms=range(min(lines, MOST_BLOOMS)), aims=_said(AIMS),
        kept_for=_said(KEPT_FOR), calendars=calendars_known(),
        address=f"/yards/{yard_id}/facts" if yard_id else "/yards/new", **_wrong(error),
    )  # fmt: skip


def _look_shown(
    request: Request, yard_id: str, typed: Mapping[str, str], error: InputToMend | None = None,
    name: str = "", told: str = "",
) -> HTMLResponse:  # fmt: skip
    book = _book(request)
    return page(
        "yard_look.html", "/", book.operation_name, status=422 if error else 200, typed=typed, told=told,
        yard_id=yard_id, looks=book.looks(yard_id), name=name or book.look_form(yard_id)[0],
        frames=frames_known(), bread=_said(BREAD),
        honey=_said(HONEY), coming_in=_said(COMING_IN), yes_no=_said(YES_NO), **_wrong(error),
    )  # fmt: skip


def _said(choices: tuple[tuple[str, str], ...]) -> list[tuple[str, str]]:
    return [(key, say(words)) for key, words in choices]


def _wrong(error: InputToMend | None) -> dict[str, Any]:
    """The error, its field, and what that is called on the page."""
    field = "" if error is None else error.where
    return {"error": error, "field": field, "where": say(LABELS[field]) if field in LABELS else ""}


def _book(request: Request) -> SaidBook:
    return SaidBook(place_of(request), cast(date, request.app.state.today()))
