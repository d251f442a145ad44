"""Several growers' trials together: on the page, and on paper a page for each and one for the county."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from breadline.errors import TrialError
from breadline.jobs.pooled import Together
from breadline.jobs.pooled_paper import Printing, county_sheet, every, one_trial, trial_pages
from breadline.jobs.pooled_told import pooled_chart, pooled_rows
from breadline.jobs.trial_book import weighed_in
from breadline.language import say
from breadline.sheets.letterhead import Paper
from breadline.web.drawings import SIZES, Charts
from breadline.web.kept_answers import KeptAnswers, kept_in
from breadline.web.long_pdf import Pdf, pdf_asked, pdf_in_time
from breadline.web.opened import book_of, place_of
from breadline.web.views import page

router = APIRouter()
HERE = "/evidence/together"


@dataclass(frozen=True)
class Pool:
    """What was sent together: whose it is, the trials, and the files that could not be read."""

    whose: str
    together: Together
    unread: tuple[tuple[str, bytes], ...] = ()


@router.get(f"{HERE}/{{key}}")
def together(request: Request, key: str) -> HTMLResponse:
    """All of them, their average by forage, and each with its page."""
    from breadline.web.pages.evidence_own import known_of, why_unread

    pool, book = _kept(request, key), book_of(request)
    mine = frozenset(one.taught.trial for one in known_of(request).lessons)
    charts = Charts(*(Markup(pooled_chart(pool.together, size, mine)) for size in SIZES))
    return page(
        "evidence_together.html", "/evidence", book.operation_name, told=pool.together, charts=charts,
        key=key, rows=pooled_rows(pool.together), unread=[why_unread(*one) for one in pool.unread],
        whose=pool.whose,
        trials=[(n, one.file.name, one.left_out) for n, one in enumerate(every(pool.together), 1)],
    )  # fmt: skip


@router.get(f"{HERE}/{{key}}/{{name}}.pdf")
def paper(request: Request, key: str, name: str, paper: str = "us-letter") -> Response:
    """One page: ``county``, ``trial-3``; or ``trials``, a page each."""
    question = pdf_asked(request)
    pool = _kept(request, key)
    how = Printing(pool.whose, request.app.state.today(), cast(Paper, paper), weighed_in(place_of(request)))
    made = _made(pool.together, name, how)
    return pdf_in_time(request, question, say("The sheet is being laid out."), Pdf(f"{name}.pdf", made))


def keep_pool(request: Request, pool: Pool, question: object = None) -> str:
    """Keep trials in memory until the program stops; their page is ``HERE`` and what this answers."""
    return pools(request).put(pool, question)


def _made(told: Together, name: str, how: Printing) -> Callable[[], bytes]:
    number = name.removeprefix("trial-")
    if name == "county":
        return lambda: county_sheet(told, how)
    if name == "trials":
        return lambda: trial_pages(told, how)
    if number.isdecimal() and len(number) < 4 and 1 <= int(number) <= len(every(told)):
        return lambda: one_trial(told, int(number) - 1, how)
    raise TrialError(
        name, say("there is no such page"), say("county, trials, trial-1 …"), say("Go back to the trials")
    )


def pools(request: Request) -> KeptAnswers[Pool]:
    """Those of this app."""
    return kept_in(request, "pools")


def _kept(request: Request, key: str) -> Pool:
    found = pools(request).of(key)
    if found is None:
        raise TrialError(
            say("trials"), say("these are not kept any more"), say("trials since the program was started"),
            say("Choose their files again"),
        )  # fmt: skip
    return replace(found, together=found.together.in_this_language)
