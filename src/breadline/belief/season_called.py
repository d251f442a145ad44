"""How a season is called that nobody gave a name: kept one way, told in the language of the reader."""

from __future__ import annotations

import re

from breadline.language import say

_UNNAMED = re.compile(r"season (\d{4})")  # as it is kept in books and in files of trials


def unnamed_season(year: int) -> str:
    """As it is kept, whoever reads it: "season 2027"."""
    return f"season {year}"


def season_said(season: str) -> str:
    """A season in this language; one that somebody named stays as it was typed."""
    found = _UNNAMED.fullmatch(season)
    return season if found is None else say("season {year}", year=found[1])


def season_kept(typed: str) -> str:
    """As it is kept: one that stands in a form as it is told is known again by its year."""
    found = re.search(r"\d{4}", typed)
    if found is None or typed.strip() != say("season {year}", year=found[0]):
        return typed
    return unnamed_season(int(found[0]))
