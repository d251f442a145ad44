"""Figures: every figure of the trade in use, its range, source and how it was read; edits kept apart."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import BreadlineError, FigureError
from breadline.knowledge.data import sources
from breadline.knowledge.shelf import Figure
from breadline.language import noted, noted_as, say
from breadline.web.opened import BookShown, book_of
from breadline.web.views import page

router = APIRouter()
Typed = Annotated[str, Form()]
FIELDS = (
    noted_as("of a figure", "low"), noted_as("of a figure", "typical"), noted_as("of a figure", "high"),
    noted_as("of a figure", "why"), noted_as("of a figure", "figure"),
)  # fmt: skip
LONGEST = 400  # characters of a field; said in the form, not by the framework, so that nothing typed is lost
TOLD = {
    "changed": noted("Changed. It is marked wherever it is used."),
    "undone": noted("Undone: the shipped value holds again."),
}


@router.get("/figures")
def figures(request: Request, find: str = "", told: str = "") -> HTMLResponse:
    """The list, filtered by words in key, meaning, unit, source or way of reading."""
    book = book_of(request)
    found = book.figures(find)
    edited = [figure for figure in found if figure.edited]
    return page(
        "figures.html", "/figures", book.operation_name, figures=found, find=find, edited=len(edited),
        told=say(TOLD[told]) if told in TOLD else "", cited=sources(),
    )  # fmt: skip


@router.get("/figures/{key}")
def figure(request: Request, key: str) -> HTMLResponse:
    """One figure in full, with the form to change it."""
    book = book_of(request)
    chosen = _figure(book, key)
    span = chosen.span
    typed = {
        "low": f"{span.low:.6g}",
        "typical": f"{span.typical:.6g}",
        "high": f"{span.high:.6g}",
    }
    return _shown(book, chosen, {**typed, "why": chosen.edit.why if chosen.edit else ""}, None)


@router.post("/figures/{key}")
def change(
    request: Request, key: str, low: Typed = "", typical: Typed = "", high: Typed = "", why: Typed = ""
) -> Response:
    """The user's own value, kept apart from the shipped one; what was typed stays where it is refused."""
    book = book_of(request)
    chosen = _figure(book, key)
    typed = {"low": low, "typical": typical, "high": high, "why": why}
    try:
        for name, text in typed.items():
            if len(text) > LONGEST:
                raise FigureError(
                    name, say("it is too long"), say("at most {n} characters", n=LONGEST), say("Shorten it")
                )
        if not why.strip():
            raise FigureError(
                "why",
                say("it is empty"),
                say("your reason in a few words"),
                say("Say where the value is from"),
            )
        least, middle, most = (_number(name, typed[name]) for name in ("low", "typical", "high"))
        book.edit_figure(key, least, middle, most, why.strip())
    except FigureError as error:
        return _shown(book, chosen, typed, error)
    return RedirectResponse(f"/figures?told=changed#{key}", 303)


@router.post("/figures/{key}/undo")
def undo(request: Request, key: str) -> Response:
    """The shipped value again."""
    book = book_of(request)
    _figure(book, key)
    book.undo_edit(key)
    return RedirectResponse(f"/figures?told=undone#{key}", 303)


def _shown(
    book: BookShown, chosen: Figure, typed: dict[str, str], error: BreadlineError | None
) -> HTMLResponse:
    return page(
        "figure.html", "/figures", book.operation_name, status=422 if error else 200, figure=chosen,
        typed=typed, error=error, cited=sources().get(chosen.source, ""),
    )  # fmt: skip


def _figure(book: BookShown, key: str) -> Figure:
    for figure in book.figures():
        if figure.key == key:
            return figure
    raise FigureError(
        "figure",
        say('there is no figure "{key}"', key=key),
        say("the key of a figure on the shelf"),
        say("Find it in the list"),
    )


def _number(name: str, text: str) -> float:
    try:
        return float(text.strip().replace("\u2212", "-"))
    except ValueError:
        do = (
            say("Write a decimal point, not a comma")
            if "," in text
            else say("Type the number alone, without its unit")
        )
        raise FigureError(
            name, say('"{text}" is not a number', text=text), say("a number such as 0.5"), do
        ) from None
