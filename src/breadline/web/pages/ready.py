"""What the yards go by: their weather and their calendar of bloom, seen and given on one page."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from breadline.errors import InputToMend
from breadline.jobs.yards_ready import Ready, ReadyBook
from breadline.language import noted, say, say_counted
from breadline.need.words import counted
from breadline.weather.service import TERMS
from breadline.web.opened import place_of
from breadline.web.pages.working import Wanted, in_time
from breadline.web.sent_form import SentForm
from breadline.web.views import page

router = APIRouter()
HERE = "/weather"
LACKS = (noted("a count"), noted("a new count"), noted("weather"), noted("bloom"))
TOLD = {
    "weather": noted("Weather is kept for {yards}."),
    "bloom": noted("The calendar of bloom is set for {yards}."),
}


@router.get(HERE)
def weather(request: Request, told: str = "", yards: int = 0) -> HTMLResponse:
    """Every yard with what it goes by, and the forms that give it."""
    said = say(TOLD[told], yards=counted(yards, "yard")) if told in TOLD else ""
    return _shown(request, told=said)


@router.post(HERE)
def file(request: Request, form: SentForm) -> Response:
    """A weather file for the yards that are ticked."""
    came = form.get("file")
    name, content = (came.filename or "", came.file.read()) if isinstance(came, UploadFile) else ("", b"")
    return _given(request, form, "weather", lambda book, keys: book.give_weather(name, content, keys))


@router.post(f"{HERE}/archive")
def archive(request: Request, form: SentForm) -> Response:
    """Past years from the public archive, once its terms are accepted."""
    accepted, opener = "accept" in form, getattr(request.app.state, "weather_opener", None)
    keys = tuple(str(key) for key in form.getlist("yard"))

    def fetched(wanted: Wanted) -> Response:
        def give(book: ReadyBook, keys: list[str]) -> int:
            return book.fetch_weather(keys, accepted, opener, wanted=wanted)

        return _given(request, form, "weather", give)

    what = say("Past years are being fetched from the archive.")
    return in_time(request, ("archive", keys, accepted), what, fetched)


@router.post(f"{HERE}/bloom")
def bloom(request: Request, form: SentForm) -> Response:
    """A starter calendar for the yards that are ticked."""
    region = str(form.get("region", ""))
    return _given(request, form, "bloom", lambda book, keys: book.give_calendar(region, keys))


def _given(
    request: Request, form: FormData, what: str, give: Callable[[ReadyBook, list[str]], int]
) -> Response:
    keys = [str(key) for key in form.getlist("yard")]
    try:
        many = give(_book(request), keys)
    except InputToMend as error:
        return _shown(request, error, keys)
    return RedirectResponse(f"{HERE}?told={what}&yards={many}", 303)


def _shown(
    request: Request, error: InputToMend | None = None, ticked: list[str] | None = None, told: str = ""
) -> HTMLResponse:
    book = _book(request)
    stand = book.stand_of_yards()
    lacking = [one.key for one in stand if "weather" in one.lacks]
    bare = [one.key for one in stand if "bloom" in one.lacks]
    every = [one.key for one in stand]
    return page(
        "weather.html", "/", book.operation_name, status=422 if error else 200, rows=stand, told=told,
        error=None if error is None else error.as_dict(), sentence=sentence(stand), terms=say(TERMS),
        calendars=book.calendars(), for_weather=ticked or lacking or every, for_bloom=ticked or bare or every,
    )  # fmt: skip


def sentence(stand: tuple[Ready, ...]) -> str:
    """What the yards lack, in one sentence."""
    if not stand:
        return say("There is no yard in this book yet.")
    lacking = [one for one in stand if one.lacks]
    if not lacking:
        return say("Every yard has a count, weather and bloom: each can be answered for.")
    words = [say(w) for w in LACKS if any(w in one.lacks for one in lacking)]
    what = words[0]
    if len(words) > 1:
        what = say("{some} or {last}", some=", ".join(words[:-1]), last=words[-1])
    return say_counted(
        "{n} of {yards} lacks {what}.", "{n} of {yards} lack {what}.", len(lacking),
        yards=counted(len(stand), "yard"), what=what,
    )  # fmt: skip


def _book(request: Request) -> ReadyBook:
    return ReadyBook(place_of(request), cast(date, request.app.state.today()))
