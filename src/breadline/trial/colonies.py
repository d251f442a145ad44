"""The colonies of a trial: what each was when the draw was made, and what became of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from breadline.language import noted_as

CHECK = 0  # the arm of the check group; the fed arms are 1 and up


class Became(StrEnum):
    """What became of a colony that was started; every one has an end, and blank is none."""

    GRADED = noted_as("end", "graded")
    DEAD = noted_as("end", "dead")
    ABSCONDED = noted_as("end", "absconded")
    BELOW_ONE_FRAME = noted_as("end", "below one frame")
    MERGED = noted_as("end", "merged into another")
    RECEIVED = noted_as("end", "received another")
    REQUEENED = noted_as("end", "requeened")
    ROBBED = noted_as("end", "robbed")
    RESCUED = noted_as("end", "rescued")
    SPLIT = noted_as("end", "split, or bees taken")
    SOLD = noted_as("end", "sold")
    STOLEN = noted_as("end", "stolen")
    MOVED = noted_as("end", "moved away")
    NOT_FOUND = noted_as("end", "not found")


AS_NOTHING = frozenset({Became.DEAD, Became.ABSCONDED, Became.BELOW_ONE_FRAME, Became.MERGED})
"""Ends that count as 0, in both arms alike."""

DIED = frozenset({Became.DEAD, Became.ABSCONDED})
"""Ends that are a loss; a merged colony was taken out alive, a weak one lives."""

UNKNOWN = frozenset({Became.SOLD, Became.STOLEN, Became.MOVED, Became.NOT_FOUND})
"""Ends that nobody can know: missing, never 0."""


@dataclass(frozen=True)
class Started:
    """One colony as it was drawn.

    Parameters
    ----------
    tag
        What the hive wears, its own in the trial; says nothing of the arm.
    yard
        Where it stands.
    block
        The set that it was drawn in (colonies of one yard and like strength); the pair of
        yards where whole yards are drawn; "" where the draw knew no blocks.
    arm
        0 for the check group, 1 and up for the fed arms.
    baseline
        What was graded before the draw; None where it was not. [unit of the outcome]
    row, place
        Row in the yard and place in the row, counted from 1; None where not known.
    queen_line
        "" where not known.
    hive
        The name on its box before the trial; "" where it had none.
    unit
        The yards that were drawn as one because feed in the open reaches them all; "" where
        the yard is its own.
    """

    tag: str
    yard: str
    block: str
    arm: int
    baseline: float | None = None
    row: int | None = None
    place: int | None = None
    queen_line: str = ""
    hive: str = ""
    unit: str = ""


@dataclass(frozen=True)
class Also:
    """What else was read of a colony: described beside the answer, and decides nothing.

    Parameters
    ----------
    brood, brood_before
        At the end, and before the draw. [frames of brood]
    weight, weight_before
        Of the whole hive, at the end and before the draw. [kg]
    honey
        Taken from it. [kg]
    eaten
        Of the feed, over the trial. [g]
    """

    brood: float | None = None
    brood_before: float | None = None
    weight: float | None = None
    weight_before: float | None = None
    honey: float | None = None
    eaten: float | None = None


NOTHING_ELSE = Also()


@dataclass(frozen=True)
class Ended:
    """What became of one colony.

    Parameters
    ----------
    tag
        The hive's.
    became
        What became of it.
    outcome
        What was graded; None where nothing could be. [unit of the outcome]
    graded_on, grader
        The day and by whom; None and "" where not known.
    again
        A second reading of the same colony by another person. [unit of the outcome]
    guessed
        The arm that the grader guessed; None where not asked.
    merged_into
        Tag of the hive that took its bees.
    taken
        Frames of bees taken from it during the trial, for the add-back. [frames]
    also
        What else was read.
    """

    tag: str
    became: Became
    outcome: float | None = None
    graded_on: date | None = None
    grader: str = ""
    again: float | None = None
    guessed: int | None = None
    merged_into: str = ""
    taken: float = 0.0
    also: Also = NOTHING_ELSE
