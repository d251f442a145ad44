"""What is asked of a hive on each work: the one list for the phone, the tally sheet and keying."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from breadline.errors import RecordError
from breadline.language import noted, say

Work = Literal["round", "look", "grading"]
Options = tuple[tuple[str, str], ...]  # what is written down, and what the button or the box says


@dataclass(frozen=True)
class Ask:
    """One thing asked of a hive.

    Parameters
    ----------
    key, label
        Its short name, and what people read.
    options
        One box or button each; none where a number is written.
    kind, unit
        As what it is written down, and in which unit; a word has none.
    most
        The highest number that is taken; 0 where no number is typed. [unit]
    """

    key: str
    label: str
    options: Options = ()
    kind: str = ""
    unit: str = ""
    most: float = 0.0


FRAMES = Ask("frames", noted("Frames of bees"), (), "frames_of_bees", "frames")
BROOD = Ask("brood", noted("Frames of brood"), (), "frames_of_brood", "frames")
LEFT = Ask(
    "left",
    noted("Left over from last time"),
    (("none", noted("None")), ("some", noted("Some")), ("most", noted("Most"))),
    "patty_left",
)
QUEEN = Ask(
    "queen", noted("Queen"),
    (("seen", noted("Seen")), ("eggs", noted("Eggs")), ("neither", noted("Neither"))),
    "queen_status",
)  # fmt: skip
MAGGOTS = Ask(
    "maggots",
    noted("Beetle maggots in the feed"),
    (("0", noted("No")), ("1", noted("Yes"))),
    "maggots_seen",
    "yes/no",
)
BREAD = Ask(
    "bread", noted("Bread, frames"),
    (("0", "0"), ("0.25", "¼"), ("0.5", "½"), ("1", "1"), ("1.5", "1½"), ("2", "2"), ("3", "3")),
    "bread", "frames",
)  # fmt: skip
PUT = Ask("put", noted("Put on"), (), "put_on", "g")  # its pieces go by the country
HONEY = Ask("honey", noted("Honey stores"), (("light", noted("Light")), ("enough", noted("Enough"))), "honey")
MITES = Ask("mites", noted("Mites per 100 bees"), (), "mites_per_100", "mites/100 bees", 100.0)
WEIGHT = Ask("weight", noted("Weight of the hive"), (), "weight", "kg", 250.0)
WEIGHED = Ask("weight", noted("Weight and its unit"), (), "weight", "kg", 250.0)
NAMES: dict[Work, str] = {
    "round": noted("Feeding round"),
    "look": noted("A look inside"),
    "grading": noted("Grading"),
}
ASKED: dict[Work, tuple[Ask, ...]] = {  # on the phone at once; never more than six taps with "Next hive"
    "round": (FRAMES, LEFT, PUT, MAGGOTS),
    "look": (FRAMES, BREAD, BROOD),
    "grading": (FRAMES,),
}
BESIDE: dict[Work, tuple[Ask, ...]] = {"round": (QUEEN,), "look": (QUEEN, MAGGOTS), "grading": (BROOD, QUEEN)}
ON_PHONES = (HONEY, MITES, WEIGHT)
ON_SHEETS: dict[Work, tuple[Ask, ...]] = {"grading": (HONEY, MITES, WEIGHED)}  # others have no room: a note


def put_on(pieces: Options) -> Ask:
    """What was laid on; the pieces [g] go by the country."""
    return Ask(PUT.key, PUT.label, pieces, PUT.kind, PUT.unit)


def asks(work: Work, pieces: Options) -> tuple[Ask, ...]:
    """All that a sheet asks, in the order of the hands. Grading shows no feed and no group."""
    asked = (*ASKED[work], *BESIDE[work], *ON_SHEETS.get(work, ()))
    return tuple(put_on(pieces) if one is PUT else one for one in asked)


def works_for_phones() -> list[dict[str, Any]]:
    """The same as phones have it: each work, its name, what is asked at once, and what under More."""
    return [
        {
            "work": work,
            "name": say(name),
            "asks": [_told(one) for one in ASKED[work]],
            "more": [_told(one) for one in (*BESIDE[work], *ON_PHONES)],
        }
        for work, name in NAMES.items()
    ]


def _told(ask: Ask) -> dict[str, Any]:
    """How it is tapped: on a pad of frames, as a piece that goes by the country, a button, or typed."""
    pad = ask.unit == "frames" and not ask.options
    way = "frames" if pad else "put" if ask is PUT else "choices" if ask.options else "number"
    return {
        "key": ask.key, "label": say(ask.label), "way": way,
        "options": [[value, say(words)] for value, words in ask.options],
        "kind": ask.kind, "unit": ask.unit, "most": ask.most, "defined": ask is FRAMES,
    }  # fmt: skip


def work_of(typed: str) -> Work:
    """A work by its word.

    Errors
    ------
    RecordError
        If there is none of that name.
    """
    for one in NAMES:
        if one == typed:
            return one
    raise RecordError(
        "work", say("“{typed}” is not known", typed=typed), ", ".join(NAMES), say("Choose one of them")
    )
