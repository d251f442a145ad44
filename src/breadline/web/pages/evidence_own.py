"""Evidence, second part: what one's own check groups taught, and several growers' trials together."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from typing import Any, cast, get_args

from fastapi import APIRouter, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from breadline.belief.gain import IN_WORDS, SITUATIONS, Situation
from breadline.errors import BreadlineError, InputToMend, TrialError
from breadline.going_on import still_wanted
from breadline.jobs.belief_book import BeliefBook, Known
from breadline.jobs.learning_search import LearningSearch, LearningSearches
from breadline.jobs.lesson_again import held, learnt_in, work_out_again
from breadline.jobs.own_evidence import OwnSituation, own_evidence
from breadline.jobs.pooled import pooled
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import LARGEST, TrialFile, trial_from_text
from breadline.jobs.trial_lessons import Learning
from breadline.language import noted, say
from breadline.pictures.belief_chart import belief_chart
from breadline.records.engine import is_there
from breadline.web.drawings import SIZES, Charts
from breadline.web.kept_answers import question_of
from breadline.web.opened import book_of, place_of
from breadline.web.pages.evidence_together import Pool, keep_pool, pools
from breadline.web.pages.working import Wanted, in_time
from breadline.web.sent_form import SentForm, texts
from breadline.web.views import page

router = APIRouter()
HERE = "/evidence/own"
MOST_FILES = 200
FILES_READ = noted("{n:,} of {all:,} files.")
WAIT_S = 0.6  # a quick lesson needs no page that waits [s]
STOPPING_S = 3.0  # that a page waits for what is in hand when a learning is stopped [s]


@router.get(HERE)
def own(request: Request, learnt: str = "") -> HTMLResponse:
    """What was learnt: before, after, and why; ``learnt`` is the learning that has just been through."""
    one = _learnings(request).by_key(learnt)
    return own_page(request, None, one.notes if one else ())


@router.post(HERE)
def trials(request: Request, files: list[UploadFile], form: SentForm) -> Response:
    """Trial files: put together, or, where they are one's own, learnt from."""
    typed = texts(form)
    try:
        came = [(one.filename or "file", one.file.read()) for one in files[:MOST_FILES]]
        if "mine" in typed:
            one = begun(request, [_read(*one) for one in came], _learning(request, typed))
            return own_page(request, one.trouble) if one.trouble else RedirectResponse(at(one), 303)
    except InputToMend as error:
        return own_page(request, error)
    return _together(request, came, " ".join(typed.get("whose", "").split())[:60])


def _together(request: Request, came: Sequence[tuple[str, bytes]], whose: str) -> Response:
    """The page of trials put together; the same files of the same people have the one that there is."""
    digests = tuple((name, hashlib.sha256(content).hexdigest()) for name, content in came)
    question = question_of(request, "together", whose, digests)
    if known := pools(request).asked(question):
        return RedirectResponse(f"/evidence/together/{known}", 303)

    def made(_: Wanted) -> Response:
        try:
            pool = _pool(came, whose)
        except InputToMend as error:
            return own_page(request, error)
        return RedirectResponse(f"/evidence/together/{keep_pool(request, pool, question)}", 303)

    return in_time(request, question, say("The trials are being put together."), made)


@router.post(f"{HERE}/take-back")
def take_back(request: Request, form: SentForm) -> Response:
    """Take back what was learnt from a trial, with the reason."""
    try:
        _book(request).unlearn(str(form.get("trial", "")), str(form.get("why", ""))[:400])
    except InputToMend as error:
        return own_page(request, error)
    return RedirectResponse(HERE, 303)


@router.post(f"{HERE}/again")
def again(request: Request, form: SentForm) -> Response:
    """Work the class of a lesson out again that an earlier version kept."""
    try:
        work_out_again(_book(request), str(form.get("trial", "")))
    except InputToMend as error:
        return own_page(request, error)
    return RedirectResponse(HERE, 303)


@router.get(f"{HERE}/learning/{{key}}")
def learning(request: Request, key: str) -> Response:
    """How far a learning is; once it is done, what was learnt."""
    one = _learnings(request).by_key(key)
    if one is None:
        return RedirectResponse(HERE, 303)
    if one.done:
        return own_page(request, one.trouble, one.notes) if one.trouble else RedirectResponse(at(one), 303)
    return page("evidence_learning.html", "/evidence", book_of(request).operation_name, one=one)


@router.post(f"{HERE}/learning/{{key}}/stop")
def stop(request: Request, key: str) -> Response:
    """Keep no more lessons; those that are kept stay."""
    one = _learnings(request).by_key(key)
    if one is None:
        return RedirectResponse(HERE, 303)
    one.stop()
    one.wait(STOPPING_S)
    return RedirectResponse(f"{HERE}/learning/{key}", 303)


def begun(request: Request, files: Sequence[TrialFile], to: Learning) -> LearningSearch:
    """A learning, begun and waited for a moment."""
    made = _learnings(request).begin(files, to)
    made.wait(WAIT_S)
    return made


def at(one: LearningSearch) -> str:
    """Where to look at a learning: at what was learnt, once it is through."""
    return f"{HERE}?learnt={one.key}" if one.done and not one.trouble else f"{HERE}/learning/{one.key}"


def under_way(request: Request) -> list[tuple[str, str]]:
    """Learnings that still go on: where to look at each, and the trials it learns from."""
    going = _learnings(request).under_way()
    return [(at(one), say(" and ").join(file.name for file in one.files)) for one in going]


def known_of(request: Request) -> Known:
    """What the book of this app learnt; nothing where there is no book yet."""
    path = place_of(request)
    return _book(request).known() if is_there(path) else Known((), {})


def own_page(request: Request, error: BreadlineError | None, notes: Sequence[str] = ()) -> HTMLResponse:
    """What was learnt, with what is to be mended and what could not be asked."""
    known = known_of(request)
    told = own_evidence(known)
    return page(
        "evidence_own.html", "/evidence", book_of(request).operation_name, notes=notes,
        status=200 if error is None else 422 if isinstance(error, InputToMend) else 500,
        error=None if error is None else error.as_dict(), told=told,
        held=held(_book(request)) if told.situations else (), under_way=under_way(request),
        figures=[known.figures.get(one.situation, ()) for one in told.situations],
        learnt_in=learnt_in(_book(request)) if told.situations else {},
        charts=[_chart(one) for one in told.situations], situations=[(s, IN_WORDS[s]) for s in SITUATIONS],
    )  # fmt: skip


def _book(request: Request) -> BeliefBook:
    return BeliefBook(place_of(request), request.app.state.today())


def _learnings(request: Request) -> LearningSearches:
    return cast(LearningSearches, request.app.state.learnings)


def _chart(one: OwnSituation) -> Charts:
    return Charts(*(Markup(belief_chart((one.situated,), size)) for size in SIZES))


def _pool(came: Sequence[tuple[str, bytes]], whose: str) -> Pool:
    """The trials together; a file that cannot be read does not keep the others out.

    Errors
    ------
    TrialError
        If none can be read.
    """
    read, unread, wrong = [], [], []
    for n, one in enumerate(came):
        still_wanted(n, len(came), FILES_READ)
        try:
            read.append(checked(_read(*one)))
        except TrialError as error:
            unread.append(one)
            wrong.append(error)
    if not read:
        raise (
            wrong[0]
            if wrong
            else TrialError(say("files"), say("none was chosen"), say("trials’ own files, in JSON"))
        )
    return Pool(whose, pooled(read), tuple(unread))


def why_unread(name: str, content: bytes) -> str:
    """Why a file could not be read, in the language of who asks now."""
    try:
        checked(_read(name, content))
    except TrialError as wrong:
        return f"{wrong.where}: {wrong.what}."
    return ""


def _read(name: str, content: bytes) -> TrialFile:
    if not content or len(content) > LARGEST:
        what = say("none was chosen, or it is empty or too long")
        raise TrialError(name[:90], what, say("a trial's own file, in JSON"))
    try:
        return trial_from_text(content.decode("utf-8-sig"), name[:90])
    except UnicodeDecodeError:
        raise TrialError(name[:90], say("it is not UTF-8"), say("a trial's own file, in JSON")) from None


def _learning(request: Request, typed: Mapping[str, Any]) -> Learning:
    word = typed.get("situation", "")
    situation = cast("Situation | None", word if word in get_args(Situation) else None)
    return Learning(place_of(request), request.app.state.today(), situation)
