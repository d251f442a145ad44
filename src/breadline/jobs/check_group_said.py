"""What is kept with a draw, in English, said again in the language of whoever reads it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date

from breadline.language import ENGLISH, language, say, say_counted
from breadline.need.words import MONTHS, counted, day_and_year

_DAY = r"\d{1,2} [A-Z][a-z]+ \d{4}"
_AGE = (
    rf"of (?P<first>{_DAY})(?: to (?P<last>{_DAY}))?, "
    r"(?:today|(?:(?P<low>\d+) to )?(?P<high>\d+) days? old)"
)
Told = re.Match[str]


def retold(said: Sequence[str]) -> list[str]:
    """Each sentence in this language; one that is not known stays as it is kept."""
    return list(said) if language() == ENGLISH else [_retold(text) for text in said]


def _retold(text: str) -> str:
    for pattern, again in _KNOWN:
        if found := re.fullmatch(pattern, text):
            return again(found)
    return say(text)


def _many(found: Told) -> int:
    return int(found["n"].replace(",", ""))


def _as_usual(found: Told) -> str:
    return say_counted(
        "{n} other colony of these yards: fed as usual, no tag, not graded.",
        "{n} other colonies of these yards: fed as usual, no tag, not graded.",
        _many(found),
    )


def _as_their_yard(found: Told) -> str:
    return say_counted(
        "{n} other colony of these yards: as their yard, no tag, not graded.",
        "{n} other colonies of these yards: as their yard, no tag, not graded.",
        _many(found),
    )


def _on(text: str) -> date:
    day, month, year = text.split()
    return date(int(year), MONTHS.index(month) + 1, int(day))


def _age(found: Told) -> str:
    of = day_and_year(_on(found["first"]))
    if found["last"]:
        of = say("{first} to {last}", first=of, last=day_and_year(_on(found["last"])))
    if not found["high"]:
        return say("of {days}, today", days=of)
    high = counted(int(found["high"]), "day")
    if found["low"]:
        return say("of {days}, {low} to {high} old", days=of, low=found["low"], high=high)
    return say("of {days}, {age} old", days=of, age=high)


def _strength(found: Told) -> str:
    return say("Strength before the draw is by the newest count of each hive, {age}.", age=_age(found))


def _too_old(found: Told) -> str:
    return say(
        "The counts in the book are {age}; after {lasts:.0f} days hives have changed places too much for "
        "sets of like strength. Grade each hive again before the draw.",
        age=_age(found), lasts=float(found["lasts"]),
    )  # fmt: skip


_KNOWN: tuple[tuple[str, Callable[[Told], str]], ...] = (
    (r"(?P<n>[\d,]+) other colon(?:y|ies) of these yards: fed as usual, no tag, not graded\.", _as_usual),
    (r"(?P<n>[\d,]+) other colon(?:y|ies) of these yards: as their yard, no tag, not graded\.",
     _as_their_yard),
    (r"Fewer than (?P<n>\d+) sets: a demonstration, not a comparison\.",
     lambda found: say("Fewer than {n} sets: a demonstration, not a comparison.", n=found["n"])),
    (r"Hives without names are counted along the yard from its gate: (?P<yards>.+)\.",
     lambda found: say("Hives without names are counted along the yard from its gate: {yards}.",
                       yards=found["yards"])),
    (r"Only (?P<n>\d+) of (?P<all>\d+) hives have a count of bees: the counts are left aside\.",
     lambda found: say("Only {n} of {all} hives have a count of bees: the counts are left aside.",
                       n=found["n"], all=found["all"])),
    (rf"Strength before the draw is by the newest count of each hive, {_AGE}\.", _strength),
    (rf"The counts in the book are {_AGE}; after (?P<lasts>\d+) days hives have .*", _too_old),
    (r"(?P<yard>.+): no draw keeps check hives apart in their rows; it was drawn freely\.",
     lambda found: say("{yard}: no draw keeps check hives apart in their rows; it was drawn freely.",
                       yard=found["yard"])),
    (r"(?P<yards>.+) stand within (?P<near>.+?) of each other: fed all or none\.",
     lambda found: say("{yards} stand within {near} of each other: fed all or none.",
                       yards=found["yards"].replace(" and ", say(" and ")), near=found["near"])),
    (r"(?P<yards>.+) stand within (?P<near>.+?) of each other, or of one between: fed all or none\.",
     lambda found: say("{yards} stand within {near} of each other, or of one between: fed all or none.",
                       yards=found["yards"].replace(" and ", say(" and ")), near=found["near"])),
    (r"Between (?P<near>.+?) and (?P<far>.+?) apart: (?P<pairs>.+)\. In need bees fly that far\.",
     lambda found: say("Between {near} and {far} apart: {pairs}. In need bees fly that far.",
                       near=found["near"], far=found["far"],
                       pairs=found["pairs"].replace(" and ", say(" and ")))),
    (rf"Locked on (?P<by>{_DAY}) by the word of its file, which the book took in on (?P<on>{_DAY}): .*",
     lambda found: say("Locked on {by} by the word of its file, which the book took in on {on}: the seal "
                       "covers what was settled, and not when.",
                       by=day_and_year(_on(found["by"])), on=day_and_year(_on(found["on"])))),
    (r"Dry feed stood in the open at (?P<feed>.+), and (?P<yard>.+) may fetch of it: "
     r"in need bees fly that far\.",
     lambda found: say("Dry feed stood in the open at {feed}, and {yard} may fetch of it: in need bees fly "
                       "that far.", feed=found["feed"], yard=found["yard"])),
    (r"Dry feed stood in the open at (?P<feed>.+), and (?P<yard>.+) may fetch of it: "
     r"how far is not known\.",
     lambda found: say("Dry feed stood in the open at {feed}, and {yard} may fetch of it: how far is not "
                       "known.", feed=found["feed"], yard=found["yard"])),
)  # fmt: skip
