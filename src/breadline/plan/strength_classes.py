"""Who in a yard gets which piece, by frames of bees, as a crew reads it on the truck."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import floor

from breadline.errors import PlanError
from breadline.language import say
from breadline.need.words import half_frames
from breadline.plan.bands import Band
from breadline.plan.cuts import Patty, cut_down, cut_words
from breadline.plan.portions import Step

MOST_CLASSES = 4  # that a crew keeps in its head
QUARTER = 4  # quarter patties in a patty
_SHARE = {"none": 0.0, "half": 0.5, "full": 1.0}


def checked_steps(steps: Sequence[Step], where: str) -> None:
    """Nothing, where the steps can be carried out.

    Errors: PlanError if they do not begin at 0 and rise, are too many, or a cut is not in quarters.
    """
    froms = [step.from_frames for step in steps]
    if not 1 <= len(steps) <= MOST_CLASSES or froms[0] != 0.0 or any(b <= a for a, b in pairwise(froms)):
        raise PlanError(
            f"classes at {where}",
            say("from {frames} frames of bees", frames=", ".join(f"{f:g}" for f in froms) or say("nowhere")),
            say(
                "1 to {most_classes} of them, the first from 0, each higher than the one before",
                most_classes=MOST_CLASSES,
            ),
        )
    for step in steps:
        if not 0.0 <= step.cut <= 20.0 or step.cut * QUARTER % 1:
            raise PlanError(
                f"piece at {where}", say("{cut:g} patties", cut=step.cut), say("quarters, 0 to 20")
            )


def who_gets(steps: Sequence[Step], patty: Patty, others: bool = False) -> tuple[tuple[str, str], ...]:
    """Who, and what they get: ("under 4 frames of bees", "none"), ("4 to 7½", "½ patty (½ lb)"), …

    ``others``: some hives are told apart from them.
    """
    gets = [cut_words(step.cut, patty) for step in steps]
    if len(steps) == 1:
        return ((say("every other colony") if others else say("every colony"), gets[0]),)
    froms = [step.from_frames for step in steps]
    who = [say("under {half_frames} frames of bees", half_frames=half_frames(froms[1]))]
    who += [_between(low, high) for low, high in pairwise(froms[1:])]
    return tuple(
        zip([*who, say("{half_frames} and over", half_frames=half_frames(froms[-1]))], gets, strict=True)
    )


def _between(low: float, high: float) -> str:
    first, last = half_frames(low), half_frames(high - 0.5)
    return first if first == last else say("{first} to {last}", first=first, last=last)


def steps_line(steps: Sequence[Step], patty: Patty) -> str:
    """The one line that a crew can remember.

    "Under 4 frames of bees: none; 4 to 7½: ½ patty (½ lb); 8 and over: 1 patty (1 lb)."
    """
    said = "; ".join(f"{who}: {gets}" for who, gets in who_gets(steps, patty))
    return f"{said[0].upper()}{said[1:]}."


def steps_of(bands: Sequence[Band], grams: float, patty: Patty) -> tuple[Step, ...]:
    """The classes that the search chose as pieces that people cut; neighbours of one cut become one.

    Parameters
    ----------
    bands
        From few frames to many.
    grams
        The full piece of the round. [g]
    patty
        What it is cut from.
    """
    steps: list[Step] = []
    for band in bands:
        wanted = _SHARE[band.gets] * grams
        cut = cut_down(wanted, patty, wanted / patty.mass_g)
        if not steps or cut != steps[-1].cut:
            steps.append(Step(band.from_frames, cut))
    return tuple(steps)


def cut_for(steps: Sequence[Step], frames: float) -> float:
    """What a colony of so many ``frames`` of bees [frames] gets [patties]."""
    return next(step.cut for step in reversed(steps) if frames >= step.from_frames)


def colonies_in(steps: Sequence[Step], frames: Sequence[float]) -> tuple[int, ...]:
    """How many colonies are in each class, from the ``frames`` of bees of each [frames]."""
    at = [max(n for n, step in enumerate(steps) if f >= step.from_frames) for f in frames]
    return tuple(at.count(n) for n in range(len(steps)))


def colonies_by_share(steps: Sequence[Step], bands: Sequence[Band], colonies: int) -> tuple[int, ...]:
    """The same where only the shares are known: whole colonies that add up to the yard's.

    What rounding leaves goes to the classes that lost most by it.
    """
    last = len(steps) - 1
    ends = [step.from_frames for step in steps[1:]]
    shares = [0.0] * (last + 1)
    for band in bands:
        shares[sum(band.from_frames >= end for end in ends)] += band.share
    exact = [share * colonies / sum(shares) for share in shares]
    counts = [floor(one + 1e-9) for one in exact]
    most_lost = sorted(range(last + 1), key=lambda n: counts[n] - exact[n])
    for n in most_lost[: colonies - sum(counts)]:
        counts[n] += 1
    return tuple(counts)
