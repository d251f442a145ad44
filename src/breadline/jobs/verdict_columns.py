"""Which column of a spreadsheet is which, by the names that people give them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from breadline.errors import TrialError
from breadline.jobs import spanish_words
from breadline.jobs.spanish_words import unaccented
from breadline.jobs.verdict_cells import Table
from breadline.language import language, noted_as, say, say_as
from breadline.trial.colonies import Became

Column = Literal[
    "colony", "yard", "arm", "baseline", "end", "status", "block", "grader", "date", "visit", "again",
    "guess", "into", "taken", "row", "place", "queen", "box", "frame",
    "brood", "brood before", "weight", "weight before", "honey taken", "eaten",
]  # fmt: skip
NEEDED: tuple[Column, ...] = ("arm", "end")

SAID = (  # of the columns, as they are named to somebody
    noted_as("column", "colony"), noted_as("column", "yard"), noted_as("column", "arm"),
    noted_as("column", "baseline"), noted_as("column", "end"), noted_as("column", "status"),
    noted_as("column", "block"), noted_as("column", "grader"), noted_as("column", "date"),
    noted_as("column", "visit"), noted_as("column", "queen"), noted_as("column", "brood"),
    noted_as("column", "weight"), noted_as("column", "honey taken"), noted_as("column", "eaten"),
)  # fmt: skip
NAMES: dict[Column, str] = {  # names apart by upright strokes
    "colony": "colony|col|hive|tag|hive tag|colony id|hive id|hive no|hive number|id|number|no|volk|"
    "colmena|ruche",
    "yard": "yard|apiary|site|location|yard name|bee yard|stand|rucher|colmenar",
    "arm": "arm|group|fed|feed|feeding|treatment|treat|trt|fed or check|fed check",
    "baseline": "baseline|before|start|start frames|frames before|frames start|b0|initial|first count|"
    "frames at start",
    "end": "end|after|final|end frames|frames after|frames end|frames at end|outcome|y|frames|"
    "frames of bees|grade|honey|last count",
    "status": "status|fate|became|what became|what became of it|state|end status",
    "block": "block|set|pair|matched set",
    "grader": "grader|graded by|observer|who|counted by",
    "date": "date|graded on|day|graded|date graded|count date",
    "visit": "visit|visit no|round|inspection",
    "again": "again|second reading|second grading|regraded|second count",
    "guess": "guess|guessed|guessed arm|grader guess",
    "into": "into|merged into|merged with|united with",
    "taken": "taken|frames taken|bees taken|frames removed|removed",
    "row": "row|row in yard",
    "place": "place|position|place in row",
    "queen": "queen|queen line|line",
    "box": "box|box depth|depth|frame size|frame depth",
    "frame": "frame|frame no|comb|comb no|frame number",
    "brood": "brood|frames of brood|brood frames|brood after|brood at end|end brood",
    "brood before": "brood before|frames of brood before|brood frames before|brood at start|start brood",
    "weight": "weight|hive weight|weight after|hive weight after|weight at end|end weight",
    "weight before": "weight before|hive weight before|weight at start|start weight",
    "honey taken": "honey taken|honey harvested|harvest|honey crop|crop",
    "eaten": "eaten|feed eaten|patty eaten|feed taken|consumed|consumption",
}
UNITS: dict[Column, tuple[str, ...]] = {  # written behind the head: weight lb, eaten (g)
    "weight": ("kg", "lb"), "weight before": ("kg", "lb"), "honey taken": ("kg", "lb"),
    "eaten": ("g", "kg", "lb", "oz"),
}  # fmt: skip

_ENDS: dict[Became, str] = {
    Became.GRADED: "|graded|alive|ok|live|living|queenright|counted",
    Became.DEAD: "dead|died|deadout|dead out|d",
    Became.ABSCONDED: "absconded",
    Became.BELOW_ONE_FRAME: "below one frame|below 1 frame",
    Became.MERGED: "merged|merged into another|united|combined",
    Became.RECEIVED: "received|received another|receiver",
    Became.REQUEENED: "requeened",
    Became.ROBBED: "robbed",
    Became.RESCUED: "rescued",
    Became.SPLIT: "split|split or bees taken|bees taken",
    Became.SOLD: "sold",
    Became.STOLEN: "stolen",
    Became.MOVED: "moved|moved away",
    Became.NOT_FOUND: "not found|missing",
}
KNOWN = {  # a head that English has too keeps its English meaning
    name: column
    for told in (spanish_words.HEADS, NAMES)
    for column in NAMES
    for name in told[column].split("|")
}
HONEY = "honey", spanish_words.HONEY
STATUS = {
    word: became
    for became, words in _ENDS.items()
    for word in (*words.split("|"), *spanish_words.ENDS[became.value].split("|"))
}
UNSURE = {
    "lost": "dead, or not found",
    "gone": "absconded, sold, stolen or not found",
    "weak": "graded, or below one frame",
    "perdida": "muerta, o no encontrada",
    "debil": "clasificada, o con menos de un cuadro",
}
CHECK_WORDS = {
    "check",
    "unfed",
    "control",
    "not fed",
    "none",
    "no",
    "n",
    "0",
    "no feed",
    "nothing",
    "false",
    "c",
    *spanish_words.CHECK.split("|"),
}
FED_WORDS = {
    *("fed", "feed", "yes", "y", "1", "true", "f", "patty", "patties", "treated", "treatment"),
    *spanish_words.FED.split("|"),
}


@dataclass(frozen=True)
class Columns:
    """Where each known column stands, the unit that its head says, and the heads that were not used."""

    at: dict[Column, int]
    unused: tuple[str, ...]
    unit: dict[Column, str] = field(default_factory=dict)


@lru_cache(maxsize=4096)  # the same few words stand in thousands of rows
def plain(text: str) -> str:
    """A name as it is compared: small letters, words apart by one blank."""
    return " ".join(re.sub(r"[^\w]+|_", " ", text.lower()).split())


def word_of(text: str) -> str:
    """A head or a word as it is looked up: ``plain``, and without accents."""
    return unaccented(plain(text))


def columns_of(table: Table) -> Columns:
    """Which column is which.

    Errors
    ------
    TrialError
        If two columns mean the same, or the arm or the end is in none.
    """
    at: dict[Column, int] = {}
    unit: dict[Column, str] = {}
    unused = []
    meant = [_meant(head) for head in table.heads]
    ends = sum(column == "end" for column, _ in meant)
    for place, (head, (column, said)) in enumerate(zip(table.heads, meant, strict=True)):
        if column == "end" and ends > 1 and word_of(head) in HONEY:  # beside the frames it is what was taken
            column = "honey taken"
        if column is None:
            unused.append(head)
        elif column in at:
            first = table.heads[at[column]]
            raise TrialError(
                table.name,
                say("columns “{one}” and “{other}” both say the same", one=first, other=head),
                say("one column for the {column}", column=say_as("column", column)),
                say("Rename or leave out one of them"),
            )
        else:
            at[column] = place
            unit |= {column: said} if said else {}
    for column in NEEDED:
        if column not in at:
            told = spanish_words.HEADS if language() == "es" else NAMES
            names = ", ".join(told[column].split("|")[:5])
            raise TrialError(
                table.name, say("no column says the {column}", column=say_as("column", column)),
                say("a column named {names} …", names=names),
                say("The heads are: {heads}", heads=", ".join(h for h in table.heads if h)),
            )  # fmt: skip
    return Columns(at, tuple(head for head in unused if head), unit)


def _meant(head: str) -> tuple[Column | None, str]:
    """What a head means, and the unit behind it; no unit where it says none."""
    text = re.sub(r" \d{4}$", "", word_of(head))
    if text in KNOWN:
        return KNOWN[text], ""
    words, _, unit = text.rpartition(" ")
    column: Column | None = "honey taken" if words in HONEY else KNOWN.get(words)
    return (column, unit) if column in UNITS and unit in UNITS[column] else (None, "")
