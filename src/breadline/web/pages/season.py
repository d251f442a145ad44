"""A yard's season: the bread chart, and the advice beside it."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from breadline.jobs.fit_told import fit_lines
from breadline.jobs.season import SeasonAnswer
from breadline.knowledge.data import sources
from breadline.need.fit.last_look import as_last_looked
from breadline.need.outlook import Outlook
from breadline.need.outlook_words import bread_sentence
from breadline.pictures.wording import units_of
from breadline.web import drawings, words
from breadline.web.opened import book_of
from breadline.web.views import page

router = APIRouter()


@router.get("/yards/{yard_id}")
def season(request: Request, yard_id: str) -> HTMLResponse:
    """The season page of one yard."""
    book = book_of(request)
    answer = book.season(yard_id)
    cited = sources()
    return page(
        "season.html", "/", book.operation_name,
        yard=answer.yard, outlook=answer.outlook, advice=answer.advice, figures=answer.figures,
        under=under(answer), keys=keys(answer), state_mark=drawings.mark_of(answer.advice.state),
        inspections=[] if answer.fitted is None else list(fit_lines(answer.fitted)),
        notes=notes(answer), edited=sum(1 for figure in answer.figures if figure.edited),
        cited=[cited.get(key, key) for key in answer.advice.sources],
        **(_picture(answer, answer.outlook) if answer.outlook else {}),
    )  # fmt: skip


def _picture(answer: SeasonAnswer, outlook: Outlook) -> dict[str, Any]:
    yard = answer.yard
    units = units_of(yard.place.country)
    heads, rows = drawings.table_of(outlook, yard)
    return {
        "charts": drawings.charts_of(outlook, yard),
        "table_heads": heads,
        "table": rows,
        "spells": [words.spell_sentence(spell, units) for spell in outlook.spells],
        "range_note": range_note(outlook),
    }


def under(answer: SeasonAnswer) -> str:
    """The line under the yard's name."""
    yard = answer.yard
    count = as_last_looked(yard, answer.fitted).count
    said = [f"{words.colonies(yard.colonies)}."]
    if answer.outlook is not None:
        said.append(f"Season {words.season_of(answer.outlook)}.")
    said.append(f"Looked in {words.counted(count.colonies_looked_in, 'hive')} on {words.day(count.on)}.")
    said.append(f"Answer of {words.day(yard.today)}.")
    return " ".join(said)


def keys(answer: SeasonAnswer) -> list[str]:
    """The lines under the sentence: short from, and how long the bread would last."""
    if answer.outlook is None:
        return [answer.no_outlook]
    return [
        words.short_from_sentence(answer.outlook.short_from),
        bread_sentence(answer.outlook.lasts_days),
    ]


def notes(answer: SeasonAnswer) -> list[str]:
    """What is to be known of the weather, the calendar and the season behind the answer."""
    own = list(answer.outlook.notes) if answer.outlook and answer.fitted is None else []
    return [*answer.yard.notes, *(note.text for note in answer.weather_notes), *answer.calendar_notes, *own]


def range_note(outlook: Outlook) -> str:
    """What the bands mean."""
    if outlook.weather_years:
        return "Bands hold 8 seasons in 10."
    return "Bands hold 8 runs in 10; there is no honest year-to-year range in this weather."
