"""Published trials of protein feeding against unfed or sugar-only colonies, a row a comparison."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from io import StringIO
from typing import Any, Literal, get_args

from breadline.errors import OurFault
from breadline.knowledge.figure import Read
from breadline.language import noted

FILE = "evidence.csv"
ForageClass = Literal["dearth", "poor_spring", "pollen", "not_stated"]
ClassRead = Literal["stated", "inferred", "after", "not stated"]
Verdict = Literal["positive", "neutral", "negative", "not read"]
Measures = Literal["bees", "brood", "both", "honey", "survival", "wintering", "lifespan", "flights"]
YES_NO = {"yes": True, "no": False}
IN_WORDS: dict[ForageClass, str] = {
    "dearth": noted("No pollen, or next to none"),
    "poor_spring": noted("Poor spring, or little pollen"),
    "pollen": noted("Pollen coming in"),
    "not_stated": noted("Forage not stated"),
}
CLASS_READ_WORDS: dict[ClassRead, str] = {
    "stated": noted("stated in what was read"),
    "inferred": noted("our inference"),
    "after": noted("the authors' own explanation of their result, so it makes the contrast look larger"),
    "not stated": noted("not stated"),
}


@dataclass(frozen=True)
class Comparison:
    """One group of fed colonies against its check group, for one outcome.

    Colonies are those of a group; None where nothing that was read says how many. Means are in
    ``unit``; a printed ± is kept as printed and used for nothing, because no source says what it is.
    """

    study: str
    source: str  # key of the bibliography
    year: int
    place: str
    when: str
    forage_seen: str  # as the source has it
    forage_class: ForageClass
    class_read: ClassRead  # how the class was arrived at
    forage_reason: str
    feed: str
    natural_pollen: str  # yes, no, mixed, unknown
    outcome: str
    measures: Measures
    unit: str
    fed_colonies: int | None
    check_colonies: int | None
    fed_mean: float | None
    check_mean: float | None
    fed_pm: float | None
    check_pm: float | None
    p_printed: str
    verdict: Verdict
    tested: bool  # False where what was read says that no test stands behind the verdict
    votes: bool  # whether it counts in the vote of verdicts
    why_no_vote: str
    note: str
    read: Read

    @property
    def log_ratio(self) -> float | None:
        """Log of fed over check, where both means were printed; else None. [log ratio]"""
        if self.fed_mean is None or self.check_mean is None:
            return None
        return math.log(self.fed_mean / self.check_mean)


@cache
def comparisons() -> tuple[Comparison, ...]:
    """Every row of the file, in its order.

    Errors
    ------
    OurFault
        If the file that came with the program is damaged.
    """
    text = (files("breadline.knowledge") / FILE).read_text("utf-8")
    return tuple(_comparison(row, n) for n, row in enumerate(csv.DictReader(StringIO(text)), start=2))


def voting(rows: tuple[Comparison, ...] | None = None) -> tuple[Comparison, ...]:
    """Those that count in the vote: bees or brood, with a verdict that was read and not remembered."""
    return tuple(row for row in (comparisons() if rows is None else rows) if row.votes)


def _comparison(row: dict[str, str], line: int) -> Comparison:
    for name, allowed in (("forage_class", ForageClass), ("class_read", ClassRead), ("verdict", Verdict),
                          ("measures", Measures), ("read", Read)):  # fmt: skip
        if row[name] not in get_args(allowed):
            raise OurFault(
                f"{FILE}, line {line}", f'"{row[name]}" is no {name}', " or ".join(get_args(allowed))
            )
    shown: dict[str, Any] = dict(row)
    try:
        shown |= {name: _whole(row[name]) for name in ("fed_colonies", "check_colonies")}
        shown |= {name: _number(row[name]) for name in ("fed_mean", "check_mean", "fed_pm", "check_pm")}
        shown |= {"year": int(row["year"]), **{k: YES_NO[row[k]] for k in ("tested", "votes")}}
    except (ValueError, KeyError) as damaged:
        raise OurFault(f"{FILE}, line {line}", f"is damaged: {damaged}") from damaged
    return Comparison(**shown)


def _whole(text: str) -> int | None:
    return int(text) if text else None


def _number(text: str) -> float | None:
    return float(text) if text else None
