"""A spreadsheet brought in: a look at what was understood, what is asked and to be mended, then all of it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import PurePath
from typing import Any, cast
from urllib.parse import quote

from fastapi import APIRouter, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import InputToMend, RecordError
from breadline.jobs.bring_in import BroughtIn, LookedOver, brought_in, looked_over
from breadline.jobs.bring_in_told import look, matched, mend_sheet, some
from breadline.jobs.sheet_fields import FIELDS
from breadline.jobs.sheet_read import NONE, SheetAsked
from breadline.language import noted, say, say_as
from breadline.web.kept_answers import KeptAnswers, kept_in
from breadline.web.opened import book_of
from breadline.web.pages.working import in_time
from breadline.web.sent_form import SentForm, texts
from breadline.web.sheets_waiting import Sheet, Waiting
from breadline.web.views import page

router = APIRouter()
HERE = "/bring-in"
YES = {"yes": True, "no": False}
HOLDS = (
    ("readings", noted("readings of visits")), ("colonies", noted("colonies")), ("yards", noted("yards")),
)  # fmt: skip


AS_SHOWN = "as-shown"  # the field of what a look's form sends where nothing of it is changed


@router.get(HERE)
def ask(request: Request, told: str = "") -> HTMLResponse:
    """Which file, and what it holds; ``told`` is the word of what was written down just now."""
    done = _done(request).of(told)
    return _shown(request, told=done.sentence if done else "")


@router.post(HERE)
def came(request: Request, file: UploadFile, form: SentForm) -> Response:
    """A file came: what was understood of it."""
    name = PurePath((file.filename or "sheet").replace("\\", "/")).name[:90]
    word = _waiting(request).put(Sheet(name, file.file.read()))
    return _said(request, word, {"holds": str(form.get("holds", ""))})


@router.post(f"{HERE}/look")
def look_again(request: Request, form: SentForm) -> Response:
    """What was said since, on the way to another look."""
    typed = texts(form, 400)
    return _said(request, typed.get("sheet-word", ""), typed)


@router.get(f"{HERE}/look/{{word}}")
def see(request: Request, word: str) -> Response:
    """A look at the sheet as it is understood by what was said; a page to come back to."""
    typed = _waiting(request).said(word)
    question = ("look", word, tuple(sorted(typed.items())))
    return in_time(
        request, question, say("The sheet is being gone through."), lambda _: _look(request, word, typed),
        f"{HERE}/look/{quote(word, safe='')}",
    )  # fmt: skip


@router.post(f"{HERE}/mend")
def mend(request: Request, form: SentForm) -> Response:
    """The rows as they came with a column that says what to mend."""
    typed = texts(form, 400)
    try:
        seen = _looked(request, typed.get("sheet-word", ""), typed)
    except InputToMend as error:
        return _shown(request, error)
    name = (
        f"mend-{PurePath(seen.told.cells.name).stem}.csv".encode("ascii", "replace")
        .decode()
        .replace("?", "-")
    )
    headers = {"Content-Disposition": f'attachment; filename="{name.replace(chr(34), "-")}"'}
    return Response(mend_sheet(seen), media_type="text/csv; charset=utf-8", headers=headers)


@router.post(f"{HERE}/write")
def write(request: Request, form: SentForm) -> Response:
    """All of it, or nothing; where something was changed since the last look it is shown first."""
    typed = texts(form, 400)
    word = typed.get("sheet-word", "")
    if _waiting(request).of(word) and typed.get(AS_SHOWN, "") not in ("", _digest(typed)):
        return _said(request, word, typed)
    question = ("bring in", typed.get("sheet-word", ""))
    return in_time(
        request, question, say("The sheet is being written down."), lambda _: _written(request, typed)
    )


def _written(request: Request, typed: Mapping[str, str]) -> Response:
    word = typed.get("sheet-word", "")
    try:
        sheet, asked = _sheet(request, word), _asked(typed)
        path, today = request.app.state.book_path, request.app.state.today()
        done = brought_in(path, sheet.name, sheet.content, asked, today)
    except InputToMend:
        return _said(request, word, typed)  # which says the same beside its rows
    _waiting(request).drop(word)
    return RedirectResponse(f"{HERE}?told={_done(request).put(done)}", 303)


def _done(request: Request) -> KeptAnswers[BroughtIn]:
    """What was written down since the program was started."""
    return kept_in(request, "brought_in")


def _said(request: Request, word: str, typed: Mapping[str, str]) -> Response:
    """Keep what was said and go to the look, so that Back of the browser sends no form again."""
    _waiting(request).say(word, typed)
    return RedirectResponse(f"{HERE}/look/{quote(word, safe='') or 'none'}", 303)


def _look(request: Request, word: str, typed: Mapping[str, str]) -> Response:
    try:
        seen = _looked(request, word, typed)
    except InputToMend as error:
        return _shown(request, error, typed=typed, word=word if _waiting(request).of(word) else "")
    return _shown(request, seen=seen, typed=typed, word=word)


def _looked(request: Request, word: str, typed: Mapping[str, str]) -> LookedOver:
    sheet, today = _sheet(request, word), request.app.state.today()
    path = request.app.state.book_path
    return looked_over(path, sheet.name, sheet.content, _asked(typed), today)


def _sheet(request: Request, word: str) -> Sheet:
    sheet = _waiting(request).of(word)
    if sheet is None:
        raise RecordError(
            "sheet", say("it is not here any more: it was written down, or the program began anew"),
            say("a sheet that was just sent"), say("Choose the file again"),
        )  # fmt: skip
    return sheet


def _asked(typed: Mapping[str, str]) -> SheetAsked:
    """What was said on the page; what was left open stays open."""
    heads = {key.removeprefix("head-"): value for key, value in typed.items() if key.startswith("head-")}
    columns = {head: typed[f"column-{n}"] or NONE for n, head in heads.items() if f"column-{n}" in typed}
    units = {
        key.removeprefix("unit:"): value for key, value in typed.items() if key.startswith("unit:") and value
    }
    holds = typed.get("holds", "")
    same = typed.get("held", holds) == holds  # other columns are meant where it holds something else
    row = typed.get("head-row", "")
    return SheetAsked(
        holds=next((one for one in FIELDS if one == holds), None),
        sheet=typed.get("tab", ""),
        head=int(row) if row.isdigit() else None,
        columns=columns if same else {},
        decimal=cast(Any, typed.get("decimal") or None),
        order=cast(Any, typed.get("order") or None),
        units=units,
        yard=typed.get("yard", ""),
        new_colonies=YES.get(typed.get("new-colonies", "")),
        same_feed=YES.get(typed.get("same-feed", "")),
    )


def _shown(
    request: Request, error: InputToMend | None = None, seen: LookedOver | None = None,
    typed: Mapping[str, str] | None = None, word: str = "", told: str = "",
) -> HTMLResponse:  # fmt: skip
    more: dict[str, Any] = {
        "questions": [],
        "changeable": [],
        "columns": [],
        "heads": [],
        "rows": [],
        "faults": [],
        "fields": [],
    }
    if seen is not None:
        heads, rows = look(seen)
        more = {
            "columns": list(enumerate(matched(seen))), "heads": heads, "rows": rows,
            "questions": seen.questions, "changeable": seen.answered, "faults": some(seen.faults, 50),
            "fields": [(one.key, say_as("column", one.name)) for one in FIELDS[seen.told.holds]],
        }  # fmt: skip
    asked = {q.key for q in (*more["questions"], *more["changeable"])}
    answered = {
        key: value for key, value in (typed or {}).items() if value and key not in asked and _answer(key)
    }
    shown = {} if seen is None else _form_of(seen, typed or {}, answered, more["columns"])
    return page(
        "bring_in.html", "/settings", book_of(request).operation_name, status=422 if error else 200,
        error=None if error is None else error.as_dict(), seen=seen, typed=typed or {}, word=word, told=told,
        holds=[(key, say(words)) for key, words in HOLDS], leave_out=NONE, answered=answered,
        as_shown=(AS_SHOWN, _digest(shown)), **more,
    )  # fmt: skip


def _form_of(
    seen: LookedOver, typed: Mapping[str, str], answered: Mapping[str, str],
    columns: Sequence[tuple[int, tuple[str, str, str, str]]],
) -> dict[str, str]:  # fmt: skip
    """What the form of a look sends where nothing of it is changed."""
    of = seen.told
    said = {q.key: typed.get(q.key, "") for q in (*seen.questions, *seen.answered)}
    heads = {f"head-{n}": head for n, (head, _, _, _) in columns}
    taken = {f"column-{n}": key or NONE for n, (_, _, key, _) in columns}
    form = {"holds": of.holds, "held": of.holds, "tab": of.cells.sheet, "head-row": str(of.head)}
    return {**form, **answered, **said, **heads, **taken}


def _digest(typed: Mapping[str, str]) -> str:
    return hashlib.sha256(json.dumps(asdict(_asked(typed)), sort_keys=True).encode()).hexdigest()[:16]


def _answer(key: str) -> bool:
    return key in ("decimal", "order", "yard", "new-colonies", "same-feed") or key.startswith("unit:")


def _waiting(request: Request) -> Waiting:
    return cast(Waiting, request.app.state.sheets)
