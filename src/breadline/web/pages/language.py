"""The page on which a reader chooses language, units and money; cookies of this browser keep them."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qs, urlsplit

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.language import LANGUAGES, say
from breadline.measures import LONGEST_MONEY, measures, units_named
from breadline.web.opened import book_of
from breadline.web.sent_form import SentForm, texts
from breadline.web.their_language import COOKIE, MONEY_COOKIE, UNITS_COOKIE, YEAR, written_money
from breadline.web.views import page

router = APIRouter()


@router.get("/language")
def languages(request: Request) -> HTMLResponse:
    """The languages there are; from there back to the page that one came from."""
    came = urlsplit(request.headers.get("referer", ""))
    # an address that names them would go on saying so, and numbers typed in others would be misread
    names = parse_qs(came.query).keys() & {COOKIE, UNITS_COOKIE}
    back = f"{came.path}?{came.query}" if came.query and not names else came.path
    return page(
        "language.html", "/language", book_of(request).operation_name, back=_here(back), **_measures()
    )


@router.post("/language")
def choose(form: SentForm) -> Response:
    """Keep in this browser what was chosen."""
    typed = texts(form)
    answer = RedirectResponse(_here(typed.get("back", "/")), 303)
    if (code := typed.get("language", "")) in LANGUAGES:
        answer.set_cookie(COOKIE, code, max_age=YEAR, samesite="lax")
    if "measures" in typed:
        _keep(answer, UNITS_COOKIE, units_named(typed["measures"]) or "")
    if "money" in typed:
        _keep(answer, MONEY_COOKIE, written_money(typed["money"].strip()[:LONGEST_MONEY]))
    return answer


def _keep(answer: Response, name: str, value: str) -> None:
    if value:
        answer.set_cookie(name, value, max_age=YEAR, samesite="lax")
    else:
        answer.delete_cookie(name)


def _measures() -> dict[str, Any]:
    """What can be chosen, what is, and that in a sentence."""
    chosen = measures()
    told = {
        "lb": say("This browser is told pounds, inches and °F."),
        "g": say("This browser is told kilograms, millimetres and °C."),
        None: say("This browser is told each yard in the units of its country."),
    }
    units = (
        ("country", say("By country")),
        ("lb", say("Pounds, °F")),
        ("g", say("Kilograms, °C")),
    )
    return {"chosen": chosen, "told": told[chosen.units], "units": units}


def _here(back: str) -> str:
    """An address of these pages; the list of yards where it is none, or this page itself."""
    plain = back.startswith("/") and not back.startswith(("//", "/\\", "/language"))
    return back if plain and back.isprintable() else "/"
