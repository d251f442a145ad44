"""Verdict: a spreadsheet in, one page out; kept in memory until the program stops, never sent anywhere."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import date
from typing import Any, cast

from fastapi import APIRouter, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from breadline.belief.gain import IN_WORDS, SITUATIONS, Situation
from breadline.belief.season_called import season_said
from breadline.errors import InputToMend, TrialError
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.check_group_book import planned_situation
from breadline.jobs.check_group_told import CHECK_ARMS
from breadline.jobs.feed_days import with_feed_days
from breadline.jobs.lesson_again import came_to, learnt_on
from breadline.jobs.trial_book import Kept, TrialsBook, weighed_in
from breadline.jobs.trial_feed import feed_of
from breadline.jobs.two_ways import asked_which, two_readings
from breadline.jobs.verdict import MEASURES, Drawn, Prices, Told, Verdict, VerdictAsked
from breadline.jobs.verdict_chart import verdict_svg
from breadline.jobs.verdict_described import living_table
from breadline.jobs.verdict_file import Answered, NoComparison, Readings, verdict_of_content
from breadline.jobs.verdict_numbers import Decimal, number
from breadline.jobs.verdict_onward import (
    BesideEarlier,
    Onward,
    beside_earlier,
    season_of,
    teaches,
    to_learn_from,
    travelling,
    with_second_sentence,
)
from breadline.jobs.verdict_page import page_of
from breadline.jobs.verdict_paper import verdict_pdf
from breadline.jobs.verdict_rows import SheetAsked
from breadline.jobs.verdict_table import verdict_table
from breadline.language import noted, say
from breadline.measures import measures
from breadline.need.words import day_and_year
from breadline.pictures.lived_chart import lived_chart
from breadline.records.engine import is_there
from breadline.sheets.letterhead import Paper
from breadline.trial.design import CheckArm
from breadline.verdict.answer import in_one_row
from breadline.verdict.words_described import HEAD
from breadline.verdict.words_drift import taken_as_seen
from breadline.web.drawings import SIZES, Charts
from breadline.web.kept_answers import KeptAnswers, kept_in, question_of
from breadline.web.opened import book_of, place_of
from breadline.web.pages.evidence_own import at, begun
from breadline.web.pages.working import in_time
from breadline.web.sent_form import SentForm, texts
from breadline.web.views import page

router = APIRouter()
LONGEST = 4_000  # letters of a field
FEED_KNOWN = noted("The file of the trial says what was fed; what you type here goes before it.")
FEED_OPEN = noted("Left out, the book is asked what was put on in the yards of the trial.")
NUMBERS = {
    "cost": noted("What feeding one colony cost"),
    "price": noted("What one more is worth"),
    "margin": noted("Difference that matters"),
    "grade": noted("Frames that make grade"),
}


@router.get("/verdict")
def ask(request: Request) -> HTMLResponse:
    """The form."""
    return _form(request, {"money": measures().money or "$"}, None)


@router.post("/verdict")
def answer(request: Request, file: UploadFile, form: SentForm) -> Response:
    """The spreadsheet and what has to be said of it; the verdict has its own page."""
    typed = texts(form)
    name, content = (file.filename or "the file")[:90], file.file.read()
    try:
        if not content:
            raise TrialError(
                say("file"),
                say("none was chosen, or it is empty"),
                say("a spreadsheet (CSV or XLSX)"),
                say("Choose one"),
            )
    except InputToMend as error:
        return _form(request, typed, error)
    digest = hashlib.sha256(content).hexdigest()
    question = question_of(request, "verdict", name, digest, tuple(sorted(typed.items())))
    if known := verdicts(request).asked(question):
        return RedirectResponse(f"/verdict/{known}", 303)
    what = say("The verdict is being worked out.")
    return in_time(request, question, what, lambda _: _answered(request, (name, content), typed, question))


def _answered(
    request: Request, sent: tuple[str, bytes], typed: Mapping[str, str], question: object
) -> Response:
    """The verdict's own page, or what the file lacks for one."""
    try:
        found = _worked_out(request, *sent, typed)
    except InputToMend as error:
        return _form(request, typed, error)
    if isinstance(found, Readings):
        return page("readings.html", "/verdict", book_of(request).operation_name, told=found)
    if isinstance(found, NoComparison):
        return page("no_comparison.html", "/verdict", book_of(request).operation_name, told=found)
    found = with_second_sentence(found, onward_of(request, typed))
    return RedirectResponse(f"/verdict/{keep_verdict(request, found, question)}", 303)


@router.get("/verdict/{key}")
def shown(request: Request, key: str) -> HTMLResponse:
    """One verdict."""
    return _page(request, key)


def _page(
    request: Request, key: str, typed: Mapping[str, str] | None = None, error: InputToMend | None = None
) -> HTMLResponse:
    """A verdict, with what was typed of what it teaches where that is refused."""
    rests, whose = _as_known_now(request, key), book_of(request).operation_name
    one = rests.verdict
    charts = Charts(*(Markup(verdict_svg(one, size)) for size in SIZES))
    heads, rows = verdict_table(one)
    living = one.beside.lived
    living_heads, living_rows = ([], []) if living is None else living_table(living)
    return page(
        "verdict.html",
        "/verdict",
        whose,
        status=422 if error else 200,
        typed={"situation": one.noted or _planned(request, one), **(typed or {})},
        error=None if error is None else error.as_dict(),
        key=key,
        told=page_of(one, whose),
        charts=charts,
        heads=heads,
        rows=rows,
        beside_head=say(HEAD),
        living=None if living is None else Charts(*(Markup(lived_chart(living, size)) for size in SIZES)),
        living_heads=living_heads,
        living_rows=living_rows,
        teaches=teaches(one),
        as_seen=taken_as_seen(in_one_row(one.finished.design)),
        learnt=_learnt(request, one),
        priced=one.worth is not None,
        locked=one.locked,
        season=season_said(season_of(one, Onward())),
        situations=[(s, IN_WORDS[s]) for s in SITUATIONS],
        feed_said=say(FEED_KNOWN) if one.feed else say(FEED_OPEN),
        rests=rests,
        drawn=_drawn(request, one),
    )


def _as_known_now(request: Request, key: str) -> BesideEarlier:
    """A verdict with what is known beside it today: figures may have been edited since, seasons learnt."""
    one, path = _kept(request, key).in_this_language, place_of(request)
    noted = next((word for word in SITUATIONS if word == one.noted), None)
    return beside_earlier(one, Onward(noted, book=path if is_there(path) else None))


def _drawn(request: Request, one: Verdict) -> str:
    """The key of the check group of the book that a verdict is of; "" where the book has none such."""
    path = place_of(request)
    if one.lock is None or not is_there(path):
        return ""
    trials = TrialsBook(path, request.app.state.today()).trials()
    of = (kept.key for kept in trials if isinstance(kept, Kept) and kept.trial.seal == one.lock[1])
    return next(of, "")


def _learnt(request: Request, one: Verdict) -> str:
    """The day on which the book learnt from the trial, in words; "" where it did not yet."""
    path = place_of(request)
    book = BeliefBook(path, request.app.state.today()) if is_there(path) else None
    day = learnt_on(book, one.finished) if book else None
    return day_and_year(day) if day else ""


def _planned(request: Request, one: Verdict) -> str:
    """What the plans of the trial's yards say that the place gave in its season."""
    path, drawn_on = place_of(request), one.drawn_on or (one.lock and one.lock[0].date())
    if not one.locked or drawn_on is None or not is_there(path):
        return ""
    return planned_situation(path, one.finished.design, drawn_on, request.app.state.today()) or ""


@router.get("/verdict/{key}/page.pdf")
def paper(request: Request, key: str, paper: str = "us-letter") -> Response:
    """The same on paper."""
    one, whose = _as_known_now(request, key).verdict, book_of(request).operation_name
    made = verdict_pdf(one, request.app.state.today(), cast(Paper, paper), whose)
    return Response(
        made, media_type="application/pdf", headers={"Content-Disposition": 'inline; filename="verdict.pdf"'}
    )


@router.post("/verdict/{key}/learn")
def learn(request: Request, key: str, form: SentForm) -> Response:
    """Keep in the book what the trial of a verdict teaches; the evidence then says how the belief moved."""
    typed = texts(form, LONGEST)
    try:
        onward = onward_of(request, typed)
        one = keep_feed(request, key, onward)
        file, to = to_learn_from(one, onward, request.app.state.today())
        learning = begun(request, [file], to)
        if isinstance(learning.trouble, InputToMend):
            raise learning.trouble
    except InputToMend as error:
        return _page(request, key, typed, error)
    return RedirectResponse(at(learning), 303)


@router.post("/verdict/{key}/trial.json")
def travel(request: Request, key: str, form: SentForm) -> Response:
    """The trial of a verdict as its open file, without names unless they are ticked."""
    typed = texts(form, LONGEST)
    try:
        onward = onward_of(request, typed)
        text = travelling(keep_feed(request, key, onward), onward)
    except InputToMend as error:
        return _page(request, key, typed, error)
    return Response(
        text,
        media_type="application/json",
        headers={"Content-Disposition": 'attachment; filename="trial.json"'},
    )


def onward_of(request: Request, typed: Mapping[str, str]) -> Onward:
    """What the place gave, where it was noted, and the book whose earlier seasons count."""
    word, path = typed.get("situation", ""), place_of(request)
    situation: Situation | None = next((one for one in SITUATIONS if one == word), None)
    season = typed.get("season", "").strip()
    feed = feed_of(typed.get("protein", ""), typed.get("pollen", ""), typed.get("given", "").splitlines())
    book = path if is_there(path) else None
    return Onward(
        situation,
        season,
        book,
        own_names="own_names" in typed,
        own_prices="own_prices" in typed,
        feed=feed,
    )


def _form(request: Request, typed: Mapping[str, str], error: InputToMend | None) -> HTMLResponse:
    shown: dict[str, Any] = {"typed": typed, "error": None if error is None else error.as_dict()}
    shown["this_year"] = request.app.state.today().year
    shown["trials"] = _trials(request)
    shown["situations"] = [(s, IN_WORDS[s]) for s in SITUATIONS]
    shown["check_got"] = [(key, arm.value) for key, arm in CHECK_ARMS.items()]
    return page(
        "verdict_ask.html",
        "/verdict",
        book_of(request).operation_name,
        status=200 if error is None else 422,
        **shown,
    )


def _trials(request: Request) -> list[tuple[str, str, str]]:
    """Key, name and what came of it of every check group of the book, the newest first."""
    path = place_of(request)
    if not is_there(path):
        return []
    of = TrialsBook(path, request.app.state.today())
    return [
        (kept.key, kept.trial.name, came_to(of.path, kept.trial, of.today))
        for kept in reversed(of.trials())
        if isinstance(kept, Kept)
    ]


def _worked_out(request: Request, name: str, content: bytes, typed: Mapping[str, str]) -> Answered:
    today, path = request.app.state.today(), place_of(request)
    decimal: Decimal = "comma" if typed.get("decimal") == "comma" else "point"
    for key in ("cost", "price"):
        if readings := two_readings(typed.get(key, ""), typed.get("money", "")):
            raise TrialError(say(NUMBERS[key]), *asked_which(typed[key], readings))
    said = {
        key: number(typed.get(key, ""), say(words), own_decimal(typed.get(key, "")))
        for key, words in NUMBERS.items()
    }
    drawn = typed.get("drawn", "unknown")
    whose = typed.get("money", "").strip() or "$"
    year = year_of(typed.get("year", ""), today)
    asked = VerdictAsked(
        Prices(said["cost"], said["price"], None, said["margin"], whose, year),
        Told(
            cast(Drawn, drawn if drawn in ("lot", "hand") else "unknown"),
            {"yes": True, "no": False}.get(typed.get("one_row", "")),
            "open_feed" in typed, "weakest_unfed" in typed, typed.get("differently", "").strip()[:200],
            CHECK_ARMS.get(typed.get("check_got", ""), CheckArm.SAME_CARE),
        ),
        SheetAsked(decimal, typed.get("check", ""), typed.get("primary", "")),
        typed["unit"] if typed.get("unit") in MEASURES else "frames",
        said["grade"], weighed=weighed_in(path),
    )  # fmt: skip
    return verdict_of_content(name, content, asked, today, book=path if is_there(path) else None)


def year_of(text: str, day: date) -> int:
    """The year of prices as it was typed; that of a day where it was left out."""
    text = text.strip()
    if text and not text.isdigit():
        raise TrialError(
            say("Prices of the year"),
            say("“{text}” is no year", text=text),
            say("such as {year}", year=day.year),
        )
    return int(text or day.year)


def own_decimal(text: str) -> Decimal:
    """A price is typed as its writer writes; there is one number, so a comma can only be decimal."""
    return "comma" if "," in text else "point"


def verdicts(request: Request) -> KeptAnswers[Verdict]:
    """Those of this app."""
    return kept_in(request, "verdicts")


def keep_verdict(request: Request, found: Verdict, question: object = None) -> str:
    """Keep a verdict in memory; its page is /verdict/ and what this answers."""
    return verdicts(request).put(found, question)


def keep_feed(request: Request, key: str, onward: Onward) -> Verdict:
    """The verdict with the days of feed that were typed below it: its page then says the same of its lock."""
    found = with_feed_days(_kept(request, key), onward.feed, onward.book)
    verdicts(request).change(key, found)
    return found


def _kept(request: Request, key: str) -> Verdict:
    found = verdicts(request).of(key)
    if found is None:
        raise TrialError(
            say("verdict"), say("this one is not kept any more"),
            say("a verdict since the program was started"), say("Give the spreadsheet again"),
        )  # fmt: skip
    return found
