"""Yards: one printed line a yard, the most urgent first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from breadline.jobs.beside_plan import beside_plans
from breadline.jobs.book import Book, YardLine
from breadline.jobs.next_rounds import Coming, next_rounds
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.season import SeasonAnswer
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yards_pass import Passes, each_with_plans
from breadline.language import say, say_counted
from breadline.measures import units_of
from breadline.need.forecast import LEAVES_OUT
from breadline.need.outlook import ShortFrom
from breadline.need.outlook_words import bread_lasts
from breadline.need.words import chance_in_hundred, counted
from breadline.web import drawings, words
from breadline.web.opened import BookShown, book_of
from breadline.web.views import page

router = APIRouter()
WAIT_S = 1.0  # for the list of yards, before the page says how far it is [s]
URGENCY = ("something_first", "feed", "soon", "cannot_tell", "no_need", "stop")


@dataclass(frozen=True)
class Row:
    """One line of the list, in words and shapes."""

    id: str
    name: str
    under: str
    mark: Markup
    short: str = ""
    do: str = ""
    lasts: str = ""
    slices: Markup | str = ""
    again: str = ""
    error: str = ""
    round: str = ""  # the next one: day and piece a colony, and one that is due; "" where none is
    beside: str = ""  # what joins the advice and a plan that feeds nothing


@router.get("/")
def yards(request: Request) -> HTMLResponse:
    """The list of yards."""
    book = book_of(request)
    found, whole = _found(request, book)
    lines = sorted(found, key=_urgency)
    if not whole:
        return page(
            "yards_wait.html", "/", book.operation_name, rows=[row(line) for line in lines],
            worked=len(lines), many=len(cast(Book, book).yard_names()),
        )  # fmt: skip
    waiting = TrialsBook(book.path, book.today).waiting() if isinstance(book, Book) else {}
    shown = [line.answer for line in lines if line.answer is not None]
    plans = RoundsBook(book.path, book.today).plans() if isinstance(book, Book) else {}
    coming = next_rounds(book.path, book.today, plans) if isinstance(book, Book) else {}
    advice = {line.id: line.answer.advice for line in lines if line.answer is not None}
    beside = beside_plans(plans, book.today, advice) if isinstance(book, Book) else {}
    rows = [replace(_with_group(row(line), waiting), beside=beside.get(line.id, "")) for line in lines]
    rows = [_with_round(one, line, coming) for one, line in zip(rows, lines, strict=True)]
    return page(
        "yards.html", "/", book.operation_name,
        rows=rows, planned=any(one.round for one in rows), under=under(lines, shown),
        sentence=sentence(lines, shown), leaves_out=LEAVES_OUT,
        lacking=any(line.answer is None for line in lines),
    )  # fmt: skip


def _found(request: Request, book: BookShown) -> tuple[Sequence[YardLine], bool]:
    """The yards that are worked out, and whether these are all."""
    if not isinstance(book, Book):
        return book.yards(), True
    passes = cast(Passes, request.app.state.yard_passes)
    return passes.lines(partial(each_with_plans, book), book.newest_entries(), WAIT_S)


def _with_group(one: Row, waiting: Mapping[str, str]) -> Row:
    """The line with what its check group waits for, where it has one."""
    said = waiting.get(one.name)
    return replace(one, under=f"{one.under}; {said}") if said else one


def _with_round(one: Row, line: YardLine, coming: Mapping[str, Coming]) -> Row:
    """The line with the rounds of its plan: the next one's day and piece, and what is still to be given."""
    if line.id not in coming:
        return one
    country = None if line.answer is None else line.answer.yard.place.country
    return replace(one, round=coming[line.id].words(units_of(country)))


def row(line: YardLine) -> Row:
    """One yard as a line; where it has no answer, the reason stands in its place."""
    colonies = words.colonies(line.colonies)
    if line.answer is None:
        return Row(line.id, line.name, colonies, drawings.mark_of("cannot_tell"), error=line.error or "")
    outlook, advice = line.answer.outlook, line.answer.advice
    today = line.answer.yard.today
    again = words.short_day(advice.look_again, today) if advice.look_again else ""
    mark = drawings.mark_of(advice.state)
    if outlook is None:
        return Row(
            line.id, line.name, colonies, mark, say("no outlook"), what_to_do(line.answer), again=again
        )
    return Row(
        id=line.id,
        name=line.name,
        under=colonies,
        mark=mark,
        short=words.short_from(outlook.short_from, today),
        do=what_to_do(line.answer),
        lasts=bread_lasts(outlook.lasts_days),
        slices=drawings.slices_of(outlook.lasts_days),
        again=again,
    )


def what_to_do(answer: SeasonAnswer) -> str:
    """The advice in a few words: what comes first, or from when."""
    advice = answer.advice
    if advice.state == "something_first":
        return say("{what} first", what=advice.comes_first)
    return words.state_words(advice)


def short_of(answer: SeasonAnswer) -> ShortFrom | None:
    """Short from when; None where the season has no outlook."""
    return answer.outlook.short_from if answer.outlook is not None else None


def under(lines: Sequence[YardLine], shown: Sequence[SeasonAnswer]) -> str:
    """The day of the list, and how many colonies stand where."""
    colonies = sum(line.colonies for line in lines)
    total = say(
        "{colonies} in {yards}.", colonies=words.colonies(colonies), yards=counted(len(lines), "yard")
    )
    days = {answer.yard.today for answer in shown}
    if not days:
        return total
    latest = max(days)
    return f"{words.day_and_year(latest)}. {total}"


def sentence(lines: Sequence[YardLine], shown: Sequence[SeasonAnswer]) -> str:
    """What the list says, in one or two sentences."""
    if not lines:
        return say("No yard yet.")
    ahead = [answer for answer in shown if answer.outlook is not None and _fits(answer)]
    said = [_short_ones(ahead)] if ahead else []
    blind = sum(answer.outlook is None for answer in shown)
    if blind:
        n = words.number_word(blind)
        said.append(
            say_counted(
                "{n} yard has no outlook across winter.",
                "{n} yards have no outlook across winter.",
                blind,
                n=n,
            )
        )
    said += _first_ones(shown)
    missing = sum(line.answer is None for line in lines)
    missing += sum(not _fits(answer) and answer.advice.state == "cannot_tell" for answer in shown)
    if missing:
        n = words.number_word(missing)
        said.append(say_counted("{n} cannot be answered yet.", "{n} cannot be answered yet.", missing, n=n))
    return " ".join(said)


def _fits(answer: SeasonAnswer) -> bool:
    """False where the season model does not fit the yard's own counts: then no date counts."""
    return answer.fitted is None or answer.fitted.fits


def _first_ones(shown: Sequence[SeasonAnswer]) -> list[str]:
    """What stands before any feed: the inspector by name of the yard, then the rest."""
    told = [answer for answer in shown if answer.advice.answer == "something_first"]
    ill = [answer.yard.name for answer in told if answer.advice.rung == "foulbrood"]
    first = [answer.yard.name for answer in told if answer.advice.rung != "foulbrood"]
    said = [say("Call the inspector about {yards}.", yards=say(" and ").join(ill))] if ill else []
    if len(first) == 1:
        said.append(say("{yard} has something else to see to first.", yard=first[0]))
    elif first:
        n = words.number_word(len(first)).lower()
        said.append(words.first_big(say("{n} yards have something else to see to first.", n=n)))
    return said


def _short_ones(shown: Sequence[SeasonAnswer]) -> str:
    shorts = [short for answer in shown if (short := short_of(answer)) is not None]
    now = [short for short in shorts if short.now]
    later = sorted(short.middle for short in shorts if short.middle is not None and not short.now)
    if not now and not later:
        may = _may_be_short(shown)
        return may or say("No yard is likely to run short of bread in the season ahead.")
    n, by = len(later), words.day(later[-1]) if later else ""
    more = words.number_word(n)
    if not now:
        return say_counted(
            "{n} yard is likely to be short of bread by about {day}.",
            "{n} yards are likely to be short of bread by about {day}.", n, n=more, day=by,
        )  # fmt: skip
    first = say_counted(
        "{n} yard is short of bread now", "{n} yards are short of bread now", len(now),
        n=words.number_word(len(now)),
    )  # fmt: skip
    if not later:
        return f"{first}."
    return say_counted(
        "{first}, and {n} more is likely to be by about {day}.",
        "{first}, and {n} more are likely to be by about {day}.", n, first=first, n=more.lower(), day=by,
    )  # fmt: skip


def _may_be_short(shown: Sequence[SeasonAnswer]) -> str:
    """Yards that fewer than half of the seasons leave short, but one in ten or more; else empty."""
    told = [
        (short, answer.yard.name)
        for answer in shown
        if (short := short_of(answer)) is not None and short.earliest is not None
    ]
    if not told:
        return ""
    most = max((short for short, _ in told), key=lambda short: short.chance)
    chance = chance_in_hundred(most.chance, most.few_years)
    if len(told) == 1:
        return say("{yard} may run short of bread: {chance} seasons do.", yard=told[0][1], chance=chance)
    n = words.number_word(len(told))
    return say("{n} yards may run short of bread: the most likely in {chance} seasons.", n=n, chance=chance)


def _urgency(line: YardLine) -> tuple[int, date, str]:
    if line.answer is None:
        return len(URGENCY), date.max, line.name
    short, when = short_of(line.answer), date.max
    if short is not None:
        when = line.answer.yard.today if short.now else (short.earliest or short.not_before)
    advice = line.answer.advice
    return -1 if advice.rung == "foulbrood" else URGENCY.index(advice.state), when, line.name
