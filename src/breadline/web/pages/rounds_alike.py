"""The same question asked of several yards: one search a yard, then the best plan of each chosen at once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import InputToMend, PlanError
from breadline.jobs import rounds_aim as aim
from breadline.jobs import rounds_words as said
from breadline.jobs.rounds_all import LATE, Taken, total_words
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_file import for_another_yard
from breadline.jobs.rounds_needs import needs_words
from breadline.jobs.rounds_search import PlanSearch
from breadline.jobs.rounds_who import by_size
from breadline.language import language, say
from breadline.web.pages.rounds import HERE, WAIT_S, plan_searches, searched
from breadline.web.pages.rounds_begun import kept_plan, rounds_book
from breadline.web.sent_form import SentForm
from breadline.web.views import page

router = APIRouter()
ALIKE = f"{HERE}/alike"


@dataclass(frozen=True)
class Row:
    """One yard and what the question comes to there, in words; ``refused`` where it cannot be asked."""

    key: str
    name: str
    best: str = ""
    when: str = ""
    against: str = ""
    cost: str = ""
    feed: str = ""  # which, where there are several
    size: str = ""  # who gets less than the piece it is named by
    range: str = ""  # 8 seasons in 10
    chance: str = ""  # of the target
    needs: str = ""  # feed for the yard
    taken: Taken | None = None
    refused: str = ""
    before: str = ""  # what speaks against any round there now
    stands: str = ""  # the plan that it would take the place of
    seen: str = "none"  # the key of that


@router.get(ALIKE)
def alike(request: Request) -> HTMLResponse:
    """Which yards, then how far the searches are, then the best plan of each."""
    book, of = rounds_book(request), request.query_params.get("of", "")
    asked = for_another_yard(kept_plan(book, of).asked)
    names = {key: name for key, name, _ in book.yard_ids() if key != of}
    keys = [key for key in dict.fromkeys(request.query_params.getlist("yard")) if key in names]
    shown: dict[str, Any] = {
        "of": of,
        "yard": book.yard(of).name,
        "others": list(names.items()),
        "asked": asked,
    }
    if not keys:
        plans = book.plans()
        chosen = [key for key in names if key not in plans]
        return page("rounds_alike.html", HERE, book.operation_name, rows=(), chosen=chosen, **shown)
    going = _going(request, book, keys, asked)
    late = next((n for n, one in enumerate(going.values(), 1) if not one.done(WAIT_S / len(keys))), 0)
    if late:
        key = list(going)[late - 1]
        what = say("{yard}, yard {n} of {many}", yard=names[key], n=late, many=len(going))
        looks = list(going[key].looks)
        return page("rounds_wait.html", HERE, book.operation_name, what=what, looks=looks)
    _held(request).pop(
        (asked, language(), *keys), None
    )  # what the rows show is looked up again: the book may have changed
    rows = sorted((_row(request, book, key, names[key], asked) for key in keys), key=_order)
    taken = [row.taken for row in rows if row.taken is not None]
    head = aim.chance_head(taken[0].told.plan.target) if taken else ""
    return page("rounds_alike.html", HERE, book.operation_name, rows=rows, chosen=keys, chance_head=head,
                totals=total_words(taken), **shown)  # fmt: skip


def _order(row: Row) -> tuple[int, date, float]:
    """By what is to be done; who cannot be asked comes last."""
    return (3, LATE, 0.0) if row.taken is None else row.taken.order


@router.post(f"{ALIKE}/choose")
def choose(request: Request, form: SentForm) -> Response:
    """Keep the best plan of each yard that is ticked, with the belief and prices it was found under."""
    book, of = rounds_book(request), str(form.get("of", ""))
    asked, keys = for_another_yard(kept_plan(book, of).asked), [str(key) for key in form.getlist("yard")]
    if not keys:
        raise PlanError("yards", say("none is ticked"), say("one yard or more"), say("Go back and tick them"))
    _unchanged(book, {key: str(form.get(f"seen-{key}", "")) for key in keys})
    for key in dict.fromkeys(keys):
        told = book.with_threshold(key, searched(request, book, key, asked).answer)
        book.keep_plan(key, told, told.taken(None), f"the question of {book.yard(of).name}")
    return RedirectResponse(HERE, 303)


def _unchanged(book: RoundsBook, seen: dict[str, str]) -> None:
    """Refuse where a plan would give way that the list did not show as chosen: none is kept then."""
    there = book.plans(seen)
    late = [book.yard(key).name for key, kept in there.items() if kept.id != seen[key]]
    if late:
        raise PlanError(
            ", ".join(late),
            say("another plan is chosen there than the list showed"),
            say("the list as it is now"),
            say("Nothing was changed: ask for the list again, and choose from it"),
        )


def _held(request: Request) -> dict[tuple[str, ...], dict[str, PlanSearch]]:
    """Searches that a page waits for: a look at how far they are does not ask the book each time."""
    state = request.app.state
    if not hasattr(state, "alike"):
        state.alike = {}
    return cast("dict[tuple[str, ...], dict[str, PlanSearch]]", state.alike)


def _going(request: Request, book: RoundsBook, keys: list[str], asked: str) -> dict[str, PlanSearch]:
    """The searches of the yards that can be asked, begun where they are not yet."""
    held, question = _held(request), (asked, language(), *keys)
    if question not in held:
        plan_searches(request).make_room(len(keys))
        begun = {key: _begun(request, book, key, asked) for key in keys}
        held[question] = {key: one for key, one in begun.items() if one is not None}
    return held[question]


def _begun(request: Request, book: RoundsBook, key: str, asked: str) -> PlanSearch | None:
    """The search of a yard; None where it cannot be asked, and its row says why not."""
    try:
        return searched(request, book, key, asked)
    except InputToMend:
        return None


def _row(request: Request, book: RoundsBook, key: str, name: str, asked: str) -> Row:
    kept = book.plan(key)
    stands, seen = ("", "none") if kept is None else (kept.sentence, kept.id)
    try:
        told = searched(request, book, key, asked).answer
    except InputToMend as error:
        return Row(key, name, refused=str(error), stands=stands, seen=seen)
    best = told.taken(None)
    idle = not best.plan.pieces
    return Row(
        key, name, said.plan_name(told, best), said.when_words(told, best),
        "" if idle else said.against_nothing(told, best), "–" if idle else said.money(told, best.cost.total),
        said.feed_name(told, best), by_size(told, best), "" if idle else said.range_words(told, best),
        aim.chance_cell(told, best), needs_words(told, best), Taken(told, best),
        before="" if told.before is None else said.decision(told), stands=stands, seen=seen,
    )  # fmt: skip
