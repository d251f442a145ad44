"""Is it a fair comparison at all? Asked before any number is worked out."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from breadline.language import noted, say
from breadline.measures import halves_up
from breadline.span import FloatArray
from breadline.trial.colonies import CHECK
from breadline.trial.design import Allocation, Design, Unit, group_name
from breadline.verdict.bounds import unfair_missing
from breadline.verdict.ends import IntArray
from breadline.verdict.ends_of import BoolArray, Came, named
from breadline.verdict.graded_apart import MOST_APART, MOST_YARDS_APART, WORTH_SAYING, graded_apart

WEAKER_TO_BEGIN_WITH = (
    0.2  # of pairs of a fed and an unfed colony of a yard, the unfed one is stronger [share]
)
FEW_PAIRS = 30  # fewer pairs than this tell nothing of how the unfed were chosen
FEW_YARDS = 2  # yards an arm below which whole yards are no comparison


class Breach(StrEnum):
    """What makes a comparison unfair."""

    NOT_DRAWN = noted("not drawn by lot")
    WEAKEST_UNFED = noted("the unfed were the weak ones to begin with")
    YARDS_ARE_ARMS = noted("yards stand for arms")
    OPEN_FEED = noted("open feed in flight range")
    FRAMES_COUNTED = noted("frames counted as colonies")
    GRADED_APART = noted("groups graded by different people or days")
    TREATED_APART = noted("groups handled differently")
    SWAPPED = noted("arms swapped on the way")
    MERGED_ACROSS = noted("merged across groups")
    MISSING = noted("too many ends not known")


@dataclass(frozen=True)
class Broken:
    """One breach with the facts behind it, in words."""

    breach: Breach
    facts: str


@dataclass(frozen=True)
class Conduct:
    """How a trial was carried out, as people say it.

    Parameters
    ----------
    weakest_unfed
        Whether the unfed were picked as the weakest.
    differently
        What was done to one group and not to the other besides feeding; "" where nothing was.
    swapped
        Tags of colonies whose arm changed on the way.
    frames_as_rows
        Whether the rows were frames of colonies, not colonies.
    fed_in_open
        What dry feed in the open did to unfed colonies on the way; "" where none did.
    """

    weakest_unfed: bool = False
    differently: str = ""
    swapped: tuple[str, ...] = ()
    frames_as_rows: bool = False
    fed_in_open: str = ""


def breaches(design: Design, came: Came, conduct: Conduct) -> tuple[Broken, ...]:
    """Every breach of a fair comparison; none where it may be judged."""
    found: list[Broken] = []

    def broke(breach: Breach, facts: str) -> None:
        found.append(Broken(breach, facts))

    if design.allocation is Allocation.CHOSEN:
        broke(Breach.NOT_DRAWN, say("the unfed colonies were chosen by hand"))
    if conduct.weakest_unfed or _weak_left_unfed(design, came):
        broke(Breach.WEAKEST_UNFED, _baselines_said(came))
    if not _both_arms_somewhere(design, came):
        broke(Breach.YARDS_ARE_ARMS, _yards_said(came))
    if design.open_feed and design.unit is Unit.COLONY:
        broke(Breach.OPEN_FEED, say("the feed lay in the open, and check colonies fly there too"))
    if conduct.fed_in_open:
        broke(Breach.OPEN_FEED, conduct.fed_in_open)
    if conduct.frames_as_rows:
        broke(Breach.FRAMES_COUNTED, say("the rows are frames, and frames of one colony are one colony"))
    if apart := _graded_apart(design, came):
        broke(Breach.GRADED_APART, apart)
    if conduct.differently:
        broke(Breach.TREATED_APART, conduct.differently)
    if conduct.swapped:
        broke(
            Breach.SWAPPED,
            say("the group changed on the way for {hives}", hives=named(list(conduct.swapped))),
        )
    if came.across:
        broke(
            Breach.MERGED_ACROSS,
            say("bees went over to the other group from {hives}", hives=named(list(came.across))),
        )
    if unfair_missing(came.ends.arm, came.missing):
        broke(Breach.MISSING, _missing_said(design, came))
    return tuple(found)


def _weak_left_unfed(design: Design, came: Came) -> bool:
    """Where nobody says that lots were drawn: whether the unfed were plainly the weaker ones."""
    if design.allocation is Allocation.DRAWN or not came.ends.baseline.shape[1]:
        return False
    stronger, pairs = 0.0, 0
    for yard in range(len(came.yards)):
        here = came.yard == yard
        unfed, fed = (
            _baselines(came, here & side) for side in (came.ends.arm == CHECK, came.ends.arm > CHECK)
        )
        above = unfed[:, None] - fed[None, :]
        stronger += float(np.sum(above > 0) + 0.5 * np.sum(above == 0))
        pairs += above.size
    return pairs >= FEW_PAIRS and stronger < WEAKER_TO_BEGIN_WITH * pairs


def _baselines(came: Came, chosen: BoolArray) -> FloatArray:
    column: FloatArray = came.ends.baseline[chosen, 0]
    return column


def _baselines_said(came: Came) -> str:
    if not came.ends.baseline.shape[1]:
        return say("the unfed were picked as the weakest")
    unfed, fed = (_baselines(came, side).mean() for side in (came.ends.arm == CHECK, came.ends.arm > CHECK))
    seen = {"unfed": halves_up(unfed, 1), "fed": halves_up(fed, 1)}
    if seen["unfed"] >= seen["fed"]:
        return say(
            "they were picked so, as was said, though before feeding began the unfed averaged {unfed:.1f} "
            "and the fed {fed:.1f}",
            **seen,
        )
    return say("before feeding began the unfed averaged {unfed:.1f} and the fed {fed:.1f}", **seen)


def _both_arms_somewhere(design: Design, came: Came) -> bool:
    """Whether the arms meet: within a yard where colonies were drawn, over yards where yards were."""
    arm, yard = came.ends.arm, came.yard
    if design.unit is Unit.COLONY:
        checked, fed = (set(yard[side].tolist()) for side in (arm == CHECK, arm == design.primary))
        return bool(checked & fed)
    return min(len(_yards_of(arm, yard, which)) for which in (CHECK, design.primary)) >= FEW_YARDS


def _yards_of(arm: IntArray, yard: IntArray, which: int) -> set[int]:
    return set(yard[arm == which].tolist())


def _yards_said(came: Came) -> str:
    fed, unfed = (
        sorted({came.yards[k] for k in came.yard[side].tolist()})
        for side in (came.ends.arm > CHECK, came.ends.arm == CHECK)
    )
    return say(
        "all unfed colonies stand in {unfed}, all fed ones in {fed}", unfed=named(unfed), fed=named(fed)
    )


def _graded_apart(design: Design, came: Came) -> str:
    """How the grading of the arms differed; "" where it did so little, or nobody says."""
    of, whole_yards = graded_apart(design, came), design.unit is Unit.YARD
    if of.never_same_person and of.people > WORTH_SAYING:  # what lay the other way round cancels
        return say("one person graded the fed colonies and another the unfed")
    if of.people > MOST_APART:
        name, check, fed = of.by
        return say(
            "{name} graded {unfed} of 100 unfed and {fed} of 100 fed colonies", name=name,
            unfed=round(100 * check), fed=round(100 * fed),
        )  # fmt: skip
    if of.never_same_day and of.days > WORTH_SAYING and not whole_yards:  # yards have their own days
        return say("fed and unfed colonies were graded on different days")
    if of.days > (MOST_YARDS_APART if whole_yards else MOST_APART):
        told = {"earlier": round(100 * of.earlier), "later": round(100 * of.later)}
        if whole_yards:
            return say(
                "of pairs of a fed and an unfed yard, the unfed one was graded on an earlier day in "
                "{earlier} of 100 and on a later one in {later} of 100",
                **told,
            )
        return say(
            "of pairs of a fed and an unfed colony of one yard, the unfed one was graded on an earlier "
            "day in {earlier} of 100 and on a later one in {later} of 100",
            **told,
        )
    return ""


def _missing_said(design: Design, came: Came) -> str:
    parts = []
    for arm, name in enumerate(design.arms):
        here = came.ends.arm == arm
        parts.append(
            say("{n} of {all} in {group}", n=int(came.missing[here].sum()), all=int(here.sum()),
                group=group_name(name))
        )  # fmt: skip
    return say("what became of the colony is not known for {groups}", groups=", ".join(parts))
