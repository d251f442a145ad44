"""``breadline verdict``: from a spreadsheet of colonies to whether feeding paid."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import cast, get_args

from breadline.cli.printed import say, shown, told
from breadline.errors import TrialError
from breadline.jobs.check_group_book import planned_situation
from breadline.jobs.trial_book import weighed_in
from breadline.jobs.verdict import Verdict, VerdictAsked
from breadline.jobs.verdict_file import verdict_from_file
from breadline.jobs.verdict_onward import Onward, travelling, with_second_sentence
from breadline.jobs.verdict_told import answered_document, answered_lines
from breadline.language import say as worded
from breadline.sheets.letterhead import Paper


@dataclass(frozen=True)
class Files:
    """What is read and what is written."""

    file: Path
    chart: Path | None
    sheet: Path | None
    paper: str
    ends: Path | None = None
    onward: Onward = field(default_factory=Onward)


def one_of(option: str, word: str, known: tuple[str, ...]) -> str:
    """A word that has to be one of a few.

    Errors
    ------
    TrialError
        If it is none of them.
    """
    if word not in known:
        raise TrialError(option, worded("“{word}” is not known", word=word), ", ".join(known), "")
    return word


def day_of(text: str | None) -> date:
    """A day typed as year-month-day; today where none was."""
    if text is None:
        return date.today()
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise TrialError(
            "--as-of", worded("“{text}” is no date", text=text), worded("year-month-day, such as 2027-02-10")
        ) from None


def run(files: Files, asked: VerdictAsked, today: date, as_json: bool) -> None:
    """Print the verdict; write its picture and its page where they are asked for."""
    asked = replace(asked, weighed=weighed_in(files.onward.book))
    found = verdict_from_file(files.file, asked, today, files.ends, files.onward.book)
    if isinstance(found, Verdict):
        files = replace(files, onward=_noted(files.onward, found, today))
        found = with_second_sentence(found, files.onward)
        _write(files, found, today)
    if as_json:
        shown(answered_document(found))
        return
    told(answered_lines(found))
    if isinstance(found, Verdict):
        say(
            *(
                worded("{chart} written", chart=path)
                for path in (files.chart, files.sheet, files.onward.travel)
                if path
            )
        )


def _noted(onward: Onward, found: Verdict, today: date) -> Onward:
    """What the place gave: as it was typed, else as the plans of a book have it for a trial drawn in it."""
    if onward.situation is not None or onward.book is None or found.drawn_on is None:
        return onward
    noted = planned_situation(onward.book, found.finished.design, found.drawn_on, today)
    return replace(onward, situation=noted)


def _write(files: Files, found: Verdict, today: date) -> None:
    if files.onward.travel is not None:
        files.onward.travel.write_text(travelling(found, files.onward), encoding="utf-8")
    if files.chart is not None:
        from breadline.jobs.verdict_chart import verdict_svg

        files.chart.write_text(verdict_svg(found, "wide"), encoding="utf-8")
    if files.sheet is not None:
        from breadline.jobs.verdict_paper import verdict_pdf

        paper = cast(Paper, one_of("--paper", files.paper, get_args(Paper)))
        files.sheet.write_bytes(verdict_pdf(found, today, paper))
