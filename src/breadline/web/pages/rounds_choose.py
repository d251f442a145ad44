"""Choosing a plan off the list: kept, asked about where another was chosen, or given back to mend."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import InputToMend, PlanError
from breadline.jobs import rounds_form
from breadline.jobs import rounds_words as said
from breadline.jobs.check_hives import kept_back_in
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds import RoundsAnswer
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_dry_feed import no_check_here
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.web.pages.rounds import HERE, Beside, answered, seen_now, waited
from breadline.web.pages.rounds_begun import rounds_book
from breadline.web.pages.rounds_stop import threshold_typed
from breadline.web.views import page

router = APIRouter()
LONGEST_TYPED = 40  # letters of a threshold


@router.post("/rounds/{yard_id}/choose")
def choose(
    request: Request,
    yard_id: str,
    asked: Annotated[str, Form()] = "",
    at: Annotated[str, Form()] = "",
    threshold: Annotated[str, Form()] = "",
    seen: Annotated[str, Form()] = "",
) -> Response:
    """Keep a plan as the one chosen, with the belief and prices it was chosen under.

    ``seen`` is the plan that was kept when the list was shown: where another is by now, it is asked first.
    So it is where the list does not say which one it had.
    """
    book = rounds_book(request)
    told = waited(request, book, yard_id, asked.replace("\r\n", "\n"))
    if not at.isdecimal():
        raise PlanError(
            "plan",
            say('"{at}" is no number', at=at),
            say("the number of a plan on the list"),
            say("Go back and choose"),
        )
    try:
        share = threshold_typed(threshold)
    except InputToMend as error:
        return _mended(book, yard_id, told, threshold[:LONGEST_TYPED], error)
    kept = book.plan(yard_id)
    if kept is not None and kept.id != seen:
        sent = {"asked": told.plan.text, "at": at, "threshold": threshold[:LONGEST_TYPED], "seen": kept.id}
        return _asks_first(book, told, (yard_id, kept), sent, bool(seen))
    book.keep_plan(yard_id, replace(told, threshold=share or told.threshold), told.taken(int(at)))
    return RedirectResponse(f"/rounds/{yard_id}#chosen", 303)


def _mended(
    book: RoundsBook, yard_id: str, told: RoundsAnswer, typed: str, error: InputToMend
) -> HTMLResponse:
    """The list again, with what is wrong beside the threshold."""
    kind, form = rounds_form.typed_of(told.plan.text)
    beside = Beside(no_check_here(told.yard, book.barred()), seen_now(book, yard_id), typed, error)
    told = replace(told, kept=kept_back_in(book, yard_id))
    return answered(book.operation_name, yard_id, told, urlencode({**form, "kind": kind}), beside)


def _asks_first(
    book: RoundsBook, told: RoundsAnswer, there: tuple[str, PlanKept], sent: dict[str, str], meanwhile: bool
) -> HTMLResponse:
    """Says which plan stands there, chosen ``meanwhile`` or not known when, and asks which of both holds."""
    yard_id, kept = there
    return page(
        "rounds_meanwhile.html", HERE, book.operation_name, status=409, yard=told.yard, yard_id=yard_id,
        kept=kept, chosen_on=day_and_year(kept.chosen_on), sent=sent,
        meanwhile=meanwhile, wanted=said.chosen_name(told, told.taken(int(sent["at"]))),
    )  # fmt: skip
