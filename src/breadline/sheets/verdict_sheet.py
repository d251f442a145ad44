"""The verdict on one page, with the reporting items behind it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from breadline.language import say
from breadline.sheets.letterhead import Paper, cut, letterhead
from breadline.sheets.printed import printed
from breadline.verdict.words_described import HEAD


@dataclass(frozen=True)
class VerdictWords:
    """What stands on it; its words are never markup.

    Parameters
    ----------
    head
        Whose, how many yards, what file.
    sentence, under
        The class; the difference and the money.
    cells
        Head, number and range of up to four numbers.
    picture, shows
        The picture as SVG text, and a sentence of what it shows.
    columns
        A head and its lines.
    next_season, foot
        What to do next; for what it holds.
    rest
        Lines that had no room.
    items
        The reporting items and what this trial says of each.
    beside
        What is described and not decided on.
    living, living_shows
        The picture of losses day by day as SVG text, and a sentence of what it shows; "" for none.
    """

    head: str
    sentence: str
    under: tuple[str, ...]
    cells: tuple[tuple[str, str, str], ...]
    picture: str
    shows: str
    columns: tuple[tuple[str, tuple[str, ...]], ...]
    next_season: str
    foot: str
    rest: tuple[str, ...]
    items: tuple[tuple[str, str], ...]
    beside: tuple[str, ...] = ()
    living: str = ""
    living_shows: str = ""


def verdict_sheet(words: VerdictWords, on: date, paper: Paper) -> bytes:
    """The verdict as a tagged PDF of two pages, dated ``on``: the verdict, and what a report has to say.

    Errors
    ------
    RecordError
        If the paper is none of ``Paper``.
    """
    return printed("verdict_sheet.typ", verdict_sheet_data(words, paper), on)


def verdict_sheet_data(words: VerdictWords, paper: Paper) -> dict[str, Any]:
    """Everything the sheet says, as plain data."""
    return {
        **letterhead(paper, cut(words.head, 90)),
        "title": words.sentence,
        "under": list(words.under),
        "cells": [list(cell) for cell in words.cells],
        "picture": words.picture,
        "shows": words.shows,
        "columns": [{"head": head, "lines": list(lines)} for head, lines in words.columns],
        "next": words.next_season,
        "foot": words.foot,
        "rest": list(words.rest),
        "items": [list(item) for item in words.items],
        "beside": list(words.beside),
        "beside_head": say(HEAD),
        "next_head": say("Next season"),
        "items_head": say("What a report of it has to say"),
        "rest_head": say("Further looks"),
        "living": words.living,
        "living_shows": words.living_shows,
    }
