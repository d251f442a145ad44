"""A yard's season: the bread chart, and the advice beside it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from breadline.errors import CountTooOld, NoWeather, RecordError, WeatherError, YardError
from breadline.jobs.beside_plan import beside_advice
from breadline.jobs.book import Book
from breadline.jobs.fit_told import fit_lines
from breadline.jobs.last_season import LastSeason, SeasonsBook
from breadline.jobs.season import SeasonAnswer
from breadline.language import say, say_counted
from breadline.measures import units_of
from breadline.need.fit.last_look import as_last_looked
from breadline.need.fit.words import before_and_after, foretold_rows
from breadline.need.outlook import Outlook
from breadline.need.outlook_words import bread_sentence, ending_sentences, spell_sentences
from breadline.need.yard import Given
from breadline.pictures.wording import weight
from breadline.web import drawings, words
from breadline.web.opened import BookShown, book_of
from breadline.web.rests import rests_on
from breadline.web.views import page, refused

router = APIRouter()


@router.get("/yards/{yard_id}")
def season(request: Request, yard_id: str) -> HTMLResponse:
    """The season page of one yard."""
    book = book_of(request)
    try:
        answer = book.season(yard_id)
    except CountTooOld as old:
        return count_again(book, yard_id, old)
    except NoWeather as none:
        return page("no_weather.html", "/", book.operation_name, name=none.where, yard_id=yard_id)
    except (RecordError, YardError, WeatherError) as lacks:
        return refused(lacks, status=422, here="/", ways=ways_on(book, yard_id))
    last = last_season_of(book, yard_id)
    ahead = SeasonsBook(book.path, book.today).ahead(yard_id) if isinstance(book, Book) else ()
    beside = ""
    if isinstance(book, Book):
        beside = beside_advice(book.path, book.today, yard_id, answer.advice)
    of = OfYard(yard_id, last, ahead, beside)
    return season_page(book.operation_name, answer, f"/field/hives/{yard_id}", of)


def count_again(book: BookShown, yard_id: str, old: CountTooOld) -> HTMLResponse:
    """The page of a yard whose count is of another season: that comes first, and what last season taught."""
    names = book.names_by_key() if isinstance(book, Book) else {}
    return page(
        "count_again.html", "/", book.operation_name, name=names.get(yard_id, ""), yard_id=yard_id,
        day=old.day, last=last_season_of(book, yard_id),
    )  # fmt: skip


def ways_on(book: BookShown, yard_id: str) -> list[tuple[str, str]]:
    """Where a yard that has no answer yet gets what it lacks; none where there is no such yard."""
    if not isinstance(book, Book) or yard_id not in book.names_by_key():
        return []
    return [(f"/yards/{yard_id}/look", say("Type a count in")), ("/weather", say("Weather and bloom")),
            (f"/yards/{yard_id}/facts", say("Facts of the yard"))]  # fmt: skip


def last_season_of(book: BookShown, yard_id: str) -> LastSeason | None:
    """What last season taught the yard and changed; None in the first season of a book."""
    return SeasonsBook(book.path, book.today).last_season(yard_id) if isinstance(book, Book) else None


@dataclass(frozen=True)
class OfYard:
    """What the book knows beside the answer: the yard's key, last season, the rounds of its plan, and what
    joins its advice and a plan that feeds nothing."""

    yard_id: str = ""
    last: LastSeason | None = None
    ahead: tuple[Given, ...] = ()
    beside: str = ""


def season_page(
    operation: str,
    answer: SeasonAnswer,
    hives: str = "",
    of: OfYard | None = None,
) -> HTMLResponse:
    """The answer as a page: advice, chart in three sizes, table, and what it all rests on.

    ``hives`` is the address of the page with the hives of the yard.
    """
    of = of or OfYard()
    return page(
        "season.html", "/", operation, yard_id=of.yard_id, last=of.last, beside=of.beside,
        yard=answer.yard, outlook=answer.outlook, advice=answer.advice,
        under=under(answer), keys=keys(answer), state_mark=drawings.mark_of(answer.advice.state),
        inspections=[] if answer.fitted is None else list(fit_lines(answer.fitted)),
        changed=() if answer.fitted is None else before_and_after(answer.fitted),
        after_head=say("widened, no fit") if _misfits(answer) else say("with your inspections"),
        foretold=() if answer.fitted is None else foretold_rows(answer.fitted),
        hives=hives, notes=notes(answer), rests=rests_on(answer.advice, answer.figures), kept=answer.kept,
        **(_picture(answer, answer.outlook, of.ahead) if answer.outlook else {}),
    )  # fmt: skip


def _misfits(answer: SeasonAnswer) -> bool:
    return answer.fitted is not None and not answer.fitted.fits


def _picture(answer: SeasonAnswer, outlook: Outlook, ahead: tuple[Given, ...]) -> dict[str, Any]:
    yard = answer.yard
    weigh = partial(weight, units=units_of(yard.place.country))
    heads, rows = drawings.table_of(outlook, yard)
    return {
        "charts": drawings.charts_of(answer, ahead),
        "table_heads": heads,
        "table": rows,
        "spells": spell_sentences(outlook, weigh),
        "ending": ending_sentences(outlook),
        "range_note": range_note(outlook),
    }


def under(answer: SeasonAnswer) -> str:
    """The line under the yard's name."""
    yard = answer.yard
    count = as_last_looked(yard, answer.fitted).count
    said = [f"{words.colonies(yard.colonies)}."]
    if answer.outlook is not None:
        said.append(say("Season {season_of}.", season_of=words.season_of(answer.outlook)))
    said.append(
        say_counted(
            "Looked in {hives} on {day}.",
            "Looked in {hives} on {day}.",
            count.colonies_looked_in,
            hives=words.counted(count.colonies_looked_in, "hive"),
            day=words.day(count.on),
        )
    )
    said.append(say("Answer of {day_and_year}.", day_and_year=words.day_and_year(yard.today)))
    return " ".join(said)


def keys(answer: SeasonAnswer) -> list[str]:
    """The lines under the sentence: short from, and how long the bread would last."""
    if answer.outlook is None:
        return [answer.no_outlook]
    return [
        words.short_from_sentence(answer.outlook.short_from, answer.yard.today),
        bread_sentence(answer.outlook.lasts_days),
    ]


def notes(answer: SeasonAnswer) -> list[str]:
    """What is to be known of the weather, the calendar and the season behind the answer."""
    own = list(answer.outlook.notes) if answer.outlook and answer.fitted is None else []
    return [*answer.yard.notes, *(note.said for note in answer.weather_notes), *answer.calendar_notes, *own]


def range_note(outlook: Outlook) -> str:
    """What the bands mean."""
    if outlook.short_from is None:
        return say("The season model does not fit this yard: the bands are widened, and no shortage is told.")
    if outlook.weather_years:
        return say("Bands hold 8 seasons in 10.")
    if (outlook.few_years or 1) > 1:
        return say("Bands hold 8 of these seasons in 10; the true range is wider than so few years show.")
    return say("Bands hold 8 runs in 10; there is no honest year-to-year range in this weather.")
