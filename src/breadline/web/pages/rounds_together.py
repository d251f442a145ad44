"""Rounds of several yards together: picked on the list, one truck, one order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from breadline.errors import PlanError
from breadline.jobs import rounds_paper
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_paper import Papers
from breadline.language import noted, say
from breadline.need.words import counted, day_and_year
from breadline.plan.truck_days import Drive
from breadline.sheets.letterhead import Paper
from breadline.web.long_pdf import pdf_asked
from breadline.web.pages.rounds import HERE, PAPERS, WAIT_S, listed, papers_of, plan_searches, searched
from breadline.web.pages.rounds_begun import kept_plans, rounds_book
from breadline.web.round_files import file_of
from breadline.web.views import page

router = APIRouter()
MOST_YARDS = 40  # that are searched for one press of a button
WORDS = {"truck": noted("Truck sheet"), "batch": noted("Batch sheet"), "labels": noted("Labels")}


@dataclass(frozen=True)
class _Picked:
    """What was picked: yards in driving order with their plans, and the paper."""

    plans: dict[str, PlanKept]  # by the key of the yard
    own_order: bool
    paper: Paper | None


@router.get("/rounds/together")
def together(request: Request) -> HTMLResponse:
    """The sheets of the yards that were picked; while a search runs, how far it is."""
    book = rounds_book(request)
    try:
        picked = _picked(request)
    except PlanError as error:
        return listed(request, error)
    plan_searches(request).make_room(len(picked.plans))
    for n, (key, kept) in enumerate(picked.plans.items(), 1):
        if kept.sheets is not None:
            continue
        search = searched(request, book, key, kept.asked, again=True)
        if not search.done(WAIT_S):
            what = say(
                "{yard}, yard {n} of {many}",
                yard=book.names_by_key().get(key, key),
                n=n,
                many=len(picked.plans),
            )
            return page("rounds_wait.html", HERE, book.operation_name, what=what, looks=list(search.looks))
    of = _papers(request, book, picked)
    made = _made(of)
    query, order = urlencode([*request.query_params.multi_items()]), of.loads[0].order if of.loads else ""
    loads = [
        (day_and_year(load.on), ", ".join(visit.yard for visit in load.visits), f"{load.patties:,}")
        for load in of.loads
    ]
    return page(
        "rounds_together.html", HERE, book.operation_name, query=query, loads=loads, today=book.today,
        yards=counted(len(of.yards), "yard"), order=order, note=of.note, feeds=of.order.feed,
        files=[(name, _words(name, of)) for name in made], papers=PAPERS,
        idle=len(picked.plans) - len(of.yards),
    )  # fmt: skip


@router.get("/rounds/together/paper/{name}")
def paper(request: Request, name: str) -> Response:
    """One of the sheets of several yards."""
    question = pdf_asked(request)
    return file_of(request, question, _made(_papers(request, rounds_book(request), _picked(request))), name)


def _picked(request: Request) -> _Picked:
    """The yards that were picked, in the order of the numbers beside them."""
    asked, book = request.query_params, rounds_book(request)
    ticked = tuple(dict.fromkeys(asked.getlist("yard")))
    plans = kept_plans(book, ticked) if ticked else _fed(book)
    keys = tuple(plans)
    if not 1 <= len(keys) <= MOST_YARDS:
        raise PlanError(
            "yards",
            say("{keys} are picked", keys=len(keys)),
            say("1 to {most_yards} yards", most_yards=MOST_YARDS),
            say("Go back and tick the yards of one truck"),
        )
    at = {key: _place(asked.get(f"order_{key}", "")) for key in keys}
    own = any(place is not None for place in at.values())
    _told_apart([place for place in at.values() if place is not None])
    if own:
        last = float(len(keys) + MOST_YARDS)
        keys = tuple(sorted(keys, key=lambda key: last if (place := at[key]) is None else place))
    on: Paper | None = next((one for one in PAPERS if one == asked.get("paper")), None)
    return _Picked({key: plans[key] for key in keys}, own, on)


def _fed(book: RoundsBook) -> dict[str, PlanKept]:
    """The chosen plans with rounds, by yard: what is meant where none is ticked."""
    plans = book.plans()
    return {key: plans[key] for key, *_ in book.yard_ids()
            if key in plans and plans[key].rounds and not plans[key].past(book.today)}  # fmt: skip


def _place(text: str) -> float | None:
    """Where in the driving order a yard comes; None where nothing was typed."""
    if not text.strip():
        return None
    try:
        return float(text)
    except ValueError:
        raise PlanError(
            "driving order",
            say('"{text}" is not a number', text=text),
            say("1 for the first yard, 2 for the next"),
            say("Leave all of them empty for a short way round"),
        ) from None


def _told_apart(places: Sequence[float]) -> None:
    """Refuse two yards of one number: nobody could say which is driven to first."""
    twice = next((place for place in places if places.count(place) > 1), None)
    if twice is not None:
        what, expected = (
            say("two yards have the number {twice:g}", twice=twice),
            say("a number of its own for each"),
        )
        raise PlanError("driving order", what, expected,
                        say("Number them as they are driven to"))  # fmt: skip


def _papers(request: Request, book: RoundsBook, picked: _Picked) -> Papers:
    names, changes = book.names_by_key(), book.changes(picked.plans)
    yards = list(papers_of(request, book, picked.plans, changes).values())
    drive = Drive(own=tuple(one.yard for one in yards)) if picked.own_order else None
    changed = tuple((names[key], changes[key]) for key in picked.plans)
    return rounds_paper.papers(yards, rounds_paper.Printing(book.today, picked.paper, drive, changed=changed))


def _made(of: Papers) -> dict[str, Callable[[], bytes]]:
    key = "-".join(sorted(one.yard for one in of.yards))
    return rounds_paper.makers_of(of, datetime.now(UTC), key)


def _words(name: str, of: Papers) -> str:
    """A file in words: "Truck sheet, round 1, 20 January 2026"; with its feed where one plan has another."""
    if name == "order-list.pdf":
        return say("Order list")
    if name.endswith(".ics"):
        return say("Calendar file")
    parts: Sequence[str] = name.removesuffix(".pdf").split("-")
    number = parts[parts.index("round") + 1]
    kind = say(WORDS[parts[0]])
    dated = len(parts) > 5
    on = f", {day_and_year(datetime.fromisoformat('-'.join(parts[-3:])).date())}" if dated else ""
    said = say("{kind}, round {number}{on}", kind=kind, number=number, on=on)
    return ", ".join((said, *_which(name, of)))


def _which(name: str, of: Papers) -> tuple[str, ...]:
    """What tells a sheet from the others of its round: its feed, and which of several sheets it is."""
    several = len({load.feed for load in of.loads}) > 1
    for n, load in enumerate(of.loads, 1):
        if name == rounds_paper.truck_name(n, load):
            part = say("sheet {part} of {of_parts}", part=load.part, of_parts=load.of_parts)
            return (*((load.feed,) if several else ()), *((part,) if load.of_parts > 1 else ()))
    for n, day in enumerate(of.mixing, 1):
        if name == rounds_paper.batch_name(n, day):
            return (day.feed,) if several else ()
    return ()
