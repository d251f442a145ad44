"""The phone pages: the shell that works without signal, what it shows, and the door for what it sends."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from breadline.errors import InputToMend, RecordError
from breadline.jobs.field_book import FieldBook
from breadline.jobs.field_record import MOST
from breadline.jobs.field_together import together
from breadline.jobs.field_words import MoreThere, OnPage, Stands
from breadline.knowledge.cautions import in_the_yard
from breadline.language import for_phones, language, noted, say, say_counted
from breadline.sheets.works import works_for_phones
from breadline.web.opened import place_of
from breadline.web.pages.field_paper import on_paper
from breadline.web.sent_form import SentForm, texts
from breadline.web.views import ENVIRONMENT, STYLES, page
from breadline.web.words import stop

router = APIRouter()
STATIC = Path(__file__).parents[1] / "static"
SCRIPTS = (
    *(f"field/{one.name}" for one in sorted((STATIC / "field").glob("*.js"))),
    "vendor/idb.js", "vendor/jsqr.js",
)  # fmt: skip
LOOKS = (
    *STYLES,
    "field.css",
    "mark.svg",
    *(f"fonts/{one.name}" for one in (STATIC / "fonts").glob("*.woff2")),
)
SHELL = ("/field/", "/field/app.webmanifest", *(f"/static/{name}" for name in (*SCRIPTS, *LOOKS)))
APP = {
    "name": "Breadline in the yard", "short_name": "Breadline", "start_url": "/field/", "scope": "/field/",
    "display": "standalone", "background_color": "#FCFBF7", "theme_color": "#FCFBF7",
    "icons": [{"src": "/static/mark.svg", "sizes": "any", "type": "image/svg+xml"}],
}  # fmt: skip


@router.get("/field")
def to_field() -> RedirectResponse:
    """The phone pages stand in a folder, so that their worker has it for its own."""
    return RedirectResponse("/field/", 308)


@router.get("/field/")
def shell() -> HTMLResponse:
    """The page itself with what is asked; all else on it comes from what lies on the phone."""
    return HTMLResponse(_shell())


@router.get("/field/worker.js")
def worker() -> Response:
    """What keeps the page on the phone, the same whatever version of the page it keeps."""
    return Response(ENVIRONMENT.get_template("field_worker.js").render(), media_type="text/javascript")


@router.get("/field/parts.json")
def parts() -> JSONResponse:
    """Every part of the page, its language, and its version: another one as soon as any part is another."""
    return JSONResponse({"version": _digest(), "language": language(), "parts": SHELL})


@router.get("/field/app.webmanifest")
def manifest() -> JSONResponse:
    """What a phone needs to put the page on its first screen."""
    return JSONResponse(APP | {"name": say("Breadline in the yard")}, media_type="application/manifest+json")


@router.get("/field/yards.json")
def yards(request: Request) -> JSONResponse:
    """The yards and their hives in walking order, with the words of the buttons."""
    return JSONResponse(_book(request).yards_for_phones())


@router.post("/field/send")
async def send(request: Request) -> JSONResponse:
    """Take in what a phone sends; an answer to each record."""
    body, book = await request.body(), _book(request)
    try:
        return JSONResponse(await run_in_threadpool(book.take, body))
    except InputToMend as wrong:
        return JSONResponse({"error": wrong.as_dict()}, 422)


@router.get("/field/questions")
def questions(request: Request) -> HTMLResponse:
    """What two phones, or a phone and the book, do not agree about."""
    return _questions(request)


@router.post("/field/questions")
def decide(request: Request, form: SentForm) -> Response:
    """A person's word on one of them."""
    typed = {key: text.strip() for key, text in texts(form).items()}
    book = _book(request)
    page_had = OnPage(typed.get("asked", ""), typed["shown"].split() if "shown" in typed else None)
    try:
        because = typed.get("because") or "decided on the page"
        word = (typed.get("entry", ""), _takes(typed), typed.get("hive", ""), because)
        asked_on = book.decide(*word, _other_day(typed), page_had)
    except MoreThere as more:
        return _questions(request, more, again=Again(typed, more.stands))
    except InputToMend as wrong:
        return _questions(request, wrong)
    return RedirectResponse(f"/field/questions?told={asked_on or 'all'}", 303)


@router.post("/field/questions/together")
def decide_all(request: Request, form: SentForm) -> Response:
    """A person's word on all of a batch."""
    typed = texts(form)
    because = typed.get("because", "").strip() or "decided on the page, all of them together"
    try:
        asked_on = _book(request).decide_all(typed.get("entries", "").split(), _takes(typed), because)
    except InputToMend as wrong:
        return _questions(request, wrong)
    return RedirectResponse(f"/field/questions?told={asked_on or 'all'}", 303)


@router.post("/field/file")
def from_file(request: Request, form: SentForm) -> HTMLResponse:
    """What a phone saved as a file; the same records again add nothing."""
    came = form.get("file")
    body = b"" if came is None or isinstance(came, str) else came.file.read()
    try:
        told = _book(request).take(body, saved=True)
    except InputToMend as wrong:
        return _questions(request, wrong)
    counts: dict[str, int] = {}
    for one in told["answers"]:
        counts[one["answer"]] = counts.get(one["answer"], 0) + 1
    refused = [one["why"] for one in told["answers"] if one["answer"] == "refused"]
    return _questions(request, None, counts, refused)


@router.get("/field/hives/{yard_id}")
def hives(request: Request, yard_id: str) -> HTMLResponse:
    """The hives of a yard in walking order, as lines to change."""
    return _hives(request, yard_id)


@router.post("/field/hives/{yard_id}")
def place_hives(request: Request, yard_id: str, form: SentForm) -> Response:
    """Write them down as they stand now."""
    sent = texts(form)
    if "rows" not in sent:  # a page of another version: no list is not an empty one
        said = say("the list of hives did not come along"), say("the page as it is now")
        return _hives(request, yard_id, RecordError("hive", *said, say("Open the page again")))
    typed = sent["rows"]
    rows = [line.partition(",")[::2] for line in typed.splitlines() if line.strip(" ,\t")]
    try:
        _book(request).place_hives(yard_id, [(tag.strip(), place.strip()) for tag, place in rows])
    except InputToMend as wrong:
        return _hives(request, yard_id, wrong, typed)
    return RedirectResponse(f"/field/hives/{yard_id}?told=1", 303)


@router.post("/field/ended/{yard_id}")
def ended(request: Request, yard_id: str, form: SentForm) -> Response:
    """Write down what became of one."""
    typed = texts(form)
    try:
        became = typed.get("hive", ""), typed.get("standing", ""), typed.get("into", "")
        _book(request).hive_ended(*became, _other_day(typed))
    except InputToMend as wrong:
        return _hives(request, yard_id, wrong)
    return RedirectResponse(f"/field/hives/{yard_id}", 303)


def _hives(
    request: Request, yard_id: str, error: InputToMend | None = None, typed: str | None = None
) -> HTMLResponse:
    book = _book(request)
    name, rows = book.hives(yard_id)
    here = [one for one in rows if one.standing == "stands"]
    lines = "\n".join(f"{one.tag}, {one.place}" if one.place else one.tag for one in here)
    return page(
        "field_hives.html", "/field/questions", book.operation_name, status=422 if error else 200, yard=name,
        yard_id=yard_id, hives=here, gone=[one for one in rows if one.standing != "stands"],
        typed=lines if typed is None else typed, error=None if error is None else str(error),
        told="told" in request.query_params, **on_paper(request),
    )  # fmt: skip


@dataclass(frozen=True)
class Again:
    """A question that is asked again as it was answered, beside what stands at the hive that was named."""

    typed: dict[str, str]
    stands: tuple[Stands, ...]

    @property
    def keys(self) -> str:
        """Of all that stands there, as a form holds them."""
        return " ".join(one.key for one in self.stands)


def _questions(
    request: Request, error: InputToMend | None = None, counts: dict[str, int] | None = None,
    refused: list[str] | None = None, again: Again | None = None,
) -> HTMLResponse:  # fmt: skip
    book = _book(request)
    questions = book.questions()
    entry = "" if again is None else again.typed.get("entry", "")
    first = next((one for one in questions if one.id == entry), None)
    rest = [one for one in questions if one is not first]
    return page(
        "field_questions.html", "/field/questions", book.operation_name, status=422 if error else 200,
        questions=questions, first=first, again=again, batches=together(rest), counts=counts,
        error=None if error is None else str(error), holds=_holds(counts or {}),
        refused=refused or [], told=_told(request.query_params.get("told", "")), yards=book.hive_counts(),
    )  # fmt: skip


def _told(word: str) -> str:
    """That a word was written down, or of how many entries something else is asked now; empty before."""
    if not word.isdecimal():
        return say("Written down.") if word else ""
    return say_counted(
        "Written down. Of {n} entry something else is asked now.",
        "Written down. Of {n} entries something else is asked now.", int(word[:6]),
    )  # fmt: skip


def _takes(typed: dict[str, str]) -> bool:
    """Whether a person takes an entry; a page of another version that says neither decides nothing."""
    word = typed.get("take", "")
    if word not in ("yes", "no"):
        what, expected = say("it is not said whether the entry holds"), say("one of the buttons")
        raise RecordError("question", what, expected, say("Open the page again"))
    return word == "yes"


def _other_day(typed: dict[str, str]) -> date | None:
    """The day that a person gave, where it is not the one that the page had."""
    text = typed.get("on", "")
    if not text or text == typed.get("was_on"):
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise RecordError(
            "day", say("“{text}” is none", text=text), say("year-month-day, 2026-05-03"), say("Mend it")
        ) from None


TAKEN = {
    "stored": noted("{n} new"), "duplicate": noted("{n} already in the book"),
    "conflict": noted("{n} to be looked at"), "refused": noted("{n} that cannot be taken"),
}  # fmt: skip


def _holds(counts: dict[str, int]) -> str:
    """What became of the records of a file."""
    return ", ".join(say(TAKEN[answer], n=count) for answer, count in counts.items()) or say("nothing")


def _book(request: Request) -> FieldBook:
    return FieldBook(place_of(request), request.app.state.today())


def _shell() -> str:
    return ENVIRONMENT.get_template("field.html").render(
        works=works_for_phones(),
        most=MOST,
        words=for_phones(),
        care=[[say(one.line), say("Ask {whom}", whom=stop(say(one.ask)))] for one in in_the_yard()],
    )


def _digest() -> str:
    return _digested(language())


@cache
def _digested(spoken: str) -> str:
    """Of every part of the page; the program does not change while it runs."""
    told = hashlib.sha256()
    for name in (*SCRIPTS, *LOOKS):
        told.update((STATIC / name).read_bytes())
    told.update(_shell().encode())  # in the language that is spoken
    assert spoken == language()
    return told.hexdigest()[:16]
