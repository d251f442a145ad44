"""What every sheet of paper shares: the mark, its colours, the papers, and words cut to a line."""

from __future__ import annotations

from datetime import date
from typing import Any, Literal, get_args

from breadline.errors import RecordError
from breadline.language import language, noted, say
from breadline.need.words import day_and_year
from breadline.pictures.palette import SCREEN

Paper = Literal["a4", "us-letter"]
WEEKDAYS = (
    noted("Monday"), noted("Tuesday"), noted("Wednesday"), noted("Thursday"), noted("Friday"),
    noted("Saturday"), noted("Sunday"),
)  # fmt: skip
LINE = 64  # letters of a name on one line

_MARK = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 34 24"><path d="M2 22.5V10.5C2 5 6 2 11 2h12c5 0 9 '
    '3 9 8.5V22.5Z" fill="none" stroke="{ink}" stroke-width="2.5"/><path d="M10 12v7M17 9v10M24 12v7" '
    'stroke="{crust}" stroke-width="2.6"/></svg>'
)


def letterhead(paper: str, head: str) -> dict[str, Any]:
    """Paper, mark, colours and the line at the top right, as a sheet's template reads them.

    Errors
    ------
    RecordError
        If the paper is none of ``Paper``.
    """
    if paper not in get_args(Paper):
        raise RecordError(
            "paper",
            say("“{paper}” is not known", paper=paper),
            " or ".join(get_args(Paper)),
            say("Choose one of them"),
        )
    return {
        "paper": paper,
        "lang": language(),
        "mark": _MARK.format(ink=SCREEN.ink, crust=SCREEN.crust),
        "colours": {"ink": SCREEN.ink, "soft": SCREEN.soft, "line": SCREEN.line, "crust": SCREEN.crust,
                    "pale": SCREEN.crumb_pale},
        "head": head,
        "page_of": say("page {n} of {count}", n="‹1›", count="‹2›"),  # filled in as pages are counted
    }  # fmt: skip


def long_date(on: date) -> str:
    """A date with its weekday: "Tuesday 25 August 2026"."""
    return say("{weekday} {day}", weekday=say(WEEKDAYS[on.weekday()]), day=day_and_year(on))


def cut(text: str, longest: int = LINE) -> str:
    """Text on one line of at most so many letters."""
    text = " ".join(text.split())
    return text if len(text) <= longest else text[: longest - 1].rstrip() + "…"
