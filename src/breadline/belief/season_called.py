"""How a season is called: kept one way and told in the reader's language where nobody gave it a name.

What was typed is known again by its year, or its part of the year and its year, in any language we
have, whatever its capitals and spaces; where it says more it stays as it was typed.
"""

from __future__ import annotations

import re
from functools import cache

from breadline.language import LANGUAGES, noted, say, speaking

_UNNAMED = re.compile(r"season (\d{4}(?:/\d\d)?)")  # as it is kept in books and in files of trials
_WHEN = r"(?P<first>(?:19|20)\d\d)(?:\s?[/\-–]\s?(?P<then>(?:(?:19|20)\d\d)|\d\d))?"
_OF = r"(?:of |de |del )?"
_PARTS = (noted("spring"), noted("summer"), noted("autumn"), noted("fall"), noted("winter"))
_FALL = "fall"  # the autumn of half of those who speak English


def unnamed_season(year: int) -> str:
    """As it is kept, whoever reads it: "season 2027"."""
    return f"season {year}"


def season_said(season: str) -> str:
    """A season in this language; one that somebody named stays as it was typed."""
    found = _UNNAMED.fullmatch(season_kept(season))
    return season if found is None else say("season {year}", year=found[1])


def season_kept(typed: str) -> str:
    """As it is kept: "Temporada 2027" and "2027" as "season 2027", in whatever language they are read.

    Any other stays as it was typed, but for spaces about it.
    """
    known = _known(typed)
    return f"season {known[1]}" if known is not None and not known[0] else typed.strip() or typed


def which_season(season: str) -> str:
    """By what two seasons are the same: "Otoño de 2026" is "fall 2026", and "By the creek" "by the creek"."""
    known = _known(season)
    if known is None:
        return " ".join(season.split()).casefold()
    return f"{known[0] or 'season'} {known[1]}"


def _known(typed: str) -> tuple[str, str] | None:
    """The part of the year, "" for all of it, and its year or two; None where it says more."""
    found = _plain().fullmatch(" ".join(typed.split()).casefold())
    when = None if found is None else _when(found["first"], found["then"])
    if found is None or when is None:
        return None
    return _words()[found["before"] or found["after"] or ""], when


def _when(first: str, then: str | None) -> str | None:
    """ "2026", or "2026/27" for two years that follow each other; None for any others."""
    if then is None:
        return first
    following = str(int(first) + 1)
    return f"{first}/{following[2:]}" if then in (following, following[2:]) else None


@cache
def _plain() -> re.Pattern[str]:
    word = "|".join(re.escape(one) for one in _words() if one)
    return re.compile(rf"(?:(?P<before>{word}) {_OF})?{_WHEN}(?: (?P<after>{word}))?")


@cache
def _words() -> dict[str, str]:
    """What a season is called in any language, and the part of the year that it is."""
    told = {"": ""}
    for code in LANGUAGES:
        with speaking(code):
            told[say("season {year}", year="").strip().casefold()] = ""
            told |= {say(one).casefold(): "autumn" if one == _FALL else one for one in _PARTS}
    return told
