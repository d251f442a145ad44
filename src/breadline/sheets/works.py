"""What is asked of a hive on each work: the same on the phone, on the tally sheet and in keying."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from breadline.errors import RecordError

Work = Literal["round", "look", "grading"]
Options = tuple[tuple[str, str], ...]  # what is written down, and what the button or the box says


@dataclass(frozen=True)
class Ask:
    """One thing asked of a hive.

    Parameters
    ----------
    key, label
        As the phone has them.
    options
        One box each; none where a number of frames is written.
    """

    key: str
    label: str
    options: Options = ()


FRAMES = Ask("frames", "Frames of bees")
BROOD = Ask("brood", "Frames of brood")
LEFT = Ask("left", "Left over from last time", (("none", "None"), ("some", "Some"), ("most", "Most")))
QUEEN = Ask("queen", "Queen", (("seen", "Seen"), ("eggs", "Eggs"), ("neither", "Neither")))
MAGGOTS = Ask("maggots", "Beetle maggots in the feed", (("0", "No"), ("1", "Yes")))
BREAD = Ask(
    "bread", "Bread, frames",
    (("0", "0"), ("0.25", "¼"), ("0.5", "½"), ("1", "1"), ("1.5", "1½"), ("2", "2"), ("3", "3")),
)  # fmt: skip
NAMES: dict[Work, str] = {"round": "Feeding round", "look": "A look inside", "grading": "Grading"}


def put_on(pieces: Options) -> Ask:
    """What was laid on; the pieces [g] go by the country."""
    return Ask("put", "Put on", pieces)


def asks(work: Work, pieces: Options) -> tuple[Ask, ...]:
    """All that is asked, in the order of the hands. Grading shows no feed and no group."""
    return {
        "round": (FRAMES, LEFT, put_on(pieces), MAGGOTS, QUEEN),
        "look": (FRAMES, BREAD, BROOD, QUEEN, MAGGOTS),
        "grading": (FRAMES, BROOD, QUEEN),
    }[work]


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
    raise RecordError("work", f"“{typed}” is not known", ", ".join(NAMES), "Choose one of them")
