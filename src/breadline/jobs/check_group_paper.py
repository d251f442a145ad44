"""The sheets of a trial as files."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from breadline.errors import TrialError
from breadline.jobs.check_group_trial import Trial
from breadline.language import noted, say
from breadline.sheets import check_group_sheets as sheets
from breadline.sheets.check_group_protocol import protocol_sheet
from breadline.sheets.letterhead import Paper

SHEETS: dict[str, tuple[str, Callable[[sheets.OnPaper], bytes]]] = {
    "protocol": (noted("What was written down beforehand, with the rescue rule"), protocol_sheet),
    "tags": (noted("Tags for the hives"), sheets.tag_sheet),
    "feeding": (noted("Who gets feed, for the crew"), sheets.feeding_list),
    "scraping": (noted("Scraping before the grading"), sheets.scraping_list),
    "grading": (noted("Grading sheet"), sheets.grading_sheet),
    "second": (noted("Grading sheet of the second reader"), sheets.second_sheet),
    "open-ends": (noted("Colonies without an end"), sheets.open_ends_sheet),
}


LONG = 150  # hives from which a sheet may take longer than a second


def sheets_of(trial: Trial, today: date) -> tuple[str, ...]:
    """Names of the sheets that there are now: open ends from the day of grading on, while there are any."""
    due = today >= trial.design.grading and trial.without_end
    return tuple(name for name in SHEETS if name != "open-ends" or due)


def sheet(trial: Trial, name: str, paper: Paper, today: date) -> bytes:
    """One sheet as a PDF.

    Errors
    ------
    TrialError, RecordError
        If there is no such sheet, or the trial is not locked.
    """
    if name not in SHEETS:
        raise TrialError("sheet", say('"{text}" is none', text=name), ", ".join(SHEETS))
    if trial.locked_at is None:
        raise TrialError(
            "sheets", say("the trial is not locked"), say("a locked trial"),
            say("Lock it first: what hangs on hives and goes to the crew must not change any more"),
        )  # fmt: skip
    return SHEETS[name][1](on_paper(trial, paper, today))


def on_paper(trial: Trial, paper: Paper, today: date) -> sheets.OnPaper:
    """A trial as its sheets need it."""
    return sheets.OnPaper(
        trial.name, trial.design, trial.order, trial.twice, trial.rescue_below,
        tuple(one.tag for one in trial.without_end), trial.seal or "",
        None if trial.locked_at is None else trial.locked_at.date(), today, paper,
    )  # fmt: skip
