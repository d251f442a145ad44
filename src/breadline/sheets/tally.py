"""Tally sheets: the hives of a yard in walking order, with boxes for a pencil in gloves; keyed in later."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import ceil
from typing import Any, Literal, get_args

from breadline.errors import RecordError
from breadline.knowledge.cautions import in_the_yard
from breadline.language import say, say_as
from breadline.sheets.letterhead import cut, letterhead
from breadline.sheets.printed import printed
from breadline.sheets.works import NAMES, Ask, Options, Work, asks

TallyPaper = Literal["a5", "letter", "a4"]
MOST_HIVES = 2_000  # of one yard on paper
CODE_LETTERS = "23456789ACDEFHJKLMNPQRTUVWXY"  # none that is taken for another in a hurried hand
LONGEST = (14, 24)  # letters of a tag and of its place


@dataclass(frozen=True)
class Cut:
    """How sheets lie on a paper. [mm]"""

    paper: str  # as the template names it
    wide: float
    high: float
    rows: int  # hives on a sheet
    on_page: int  # sheets on a page, cut apart


CUTS: dict[TallyPaper, Cut] = {
    "a5": Cut("a5", 210.0, 148.0, 10, 1),
    "letter": Cut("us-letter", 215.9, 279.4, 22, 1),
    "a4": Cut("a4", 210.0, 148.5, 10, 2),
}


@dataclass(frozen=True)
class Tally:
    """What a yard's sheets say.

    Parameters
    ----------
    hives
        Tag and place of each that stands there, in walking order.
    pieces
        What can be laid on [g], and its words.
    means
        What a frame of bees can mean, to choose from, as it is said.
    on
        The day of printing.
    check
        What hives of a check group get, by tag: on sheets of whoever feeds, and on no other.
    """

    yard: str
    work: Work
    hives: tuple[tuple[str, str], ...]
    pieces: Options
    means: tuple[str, ...]
    operation: str
    on: date
    check: Mapping[str, str] = field(default_factory=dict)


def tally_sheets(of: Tally, paper: TallyPaper) -> bytes:
    """The sheets as a tagged PDF; rows that are left over on the last one are for hives not listed yet."""
    return printed("tally.typ", tally_data(of, paper), of.on)


def paper_of(typed: str) -> TallyPaper:
    """A paper by its word.

    Errors
    ------
    RecordError
        If there is none of that name.
    """
    for one in CUTS:
        if one == typed:
            return one
    raise RecordError(
        "paper",
        say("“{typed}” is not known", typed=typed),
        ", ".join(get_args(TallyPaper)),
        say("Choose one"),
    )


def sheet_code(tags: Sequence[str]) -> str:
    """Four letters for a list of hives in its order: another list has another code."""
    told = int.from_bytes(hashlib.sha256("\n".join(tags).encode()).digest()[:8])
    letters = []
    for _ in range(4):
        told, place = divmod(told, len(CODE_LETTERS))
        letters.append(CODE_LETTERS[place])
    return "".join(letters)


def tally_data(of: Tally, paper: TallyPaper) -> dict[str, Any]:
    """Everything the sheets say, as plain data; its words are never markup."""
    if len(of.hives) > MOST_HIVES:
        raise RecordError(
            of.yard,
            say("{hives:,} hives", hives=len(of.hives)),
            say("at most {most_hives:,}", most_hives=MOST_HIVES),
            say("Split the yard"),
        )
    cut_to, code = CUTS[paper], sheet_code([tag for tag, _ in of.hives])
    count = max(1, ceil(len(of.hives) / cut_to.rows))
    rows = [_row(of, n) for n in range(count * cut_to.rows)]
    return {
        **letterhead("a4" if paper != "letter" else "us-letter", ""),
        "paper": cut_to.paper, "wide": cut_to.wide, "high": cut_to.high, "on_page": cut_to.on_page,
        "title": f"{cut(of.yard, 36)}: {say(NAMES[of.work]).lower()}", "operation": cut(of.operation, 40),
        "means": list(of.means), "words": _words(code),
        "columns": [_column(one) for one in asks(of.work, of.pieces)],
        "sheets": [
            {"number": f"{code}-{n + 1}", "named": say("Sheet {number}", number=f"{code}-{n + 1}"),
             "page": say("page {n} of {count}", n=n + 1, count=count),
             "rows": rows[n * cut_to.rows : (n + 1) * cut_to.rows]}
            for n in range(count)
        ],
    }  # fmt: skip


def _words(code: str) -> dict[str, str]:
    """What stands on every sheet; a crew keys it in under its code."""
    return {
        "hive": say("Hive"), "dead": say("Dead"), "note": say("Note"), "date": say_as("sheet", "Date"),
        "who": say("Who"), "means": say("A frame of bees is:"),
        "foot": say(
            "Top to bottom is the order of walking. A box left blank was not looked at: it is no "
"nought. Keyed in under In the yard, sheet {code}.", code=code,
        ),
        "care": say("Take care: {cautions}.", cautions="; ".join(say(one.short) for one in in_the_yard())),
    }  # fmt: skip


def _column(one: Ask) -> dict[str, Any]:
    return {"key": one.key, "label": say(one.label), "options": [say(words) for _, words in one.options]}


def _row(of: Tally, n: int) -> dict[str, Any]:
    """A hive; a thick rule after it where the next one stands on another pallet."""
    hives = of.hives
    if n >= len(hives):
        return {"tag": "", "place": "", "check": "", "thick": False}
    tag, place = hives[n]
    following = hives[n + 1][1] if n + 1 < len(hives) else place
    thick = bool(place) and _pallet(place) != _pallet(following)
    return {
        "tag": cut(tag, LONGEST[0]),
        "place": cut(place, LONGEST[1]),
        "check": of.check.get(tag, ""),
        "thick": thick,
    }


def _pallet(place: str) -> str:
    return place.partition(",")[0].strip().casefold()
