"""Is it a fair comparison at all? Asked before any number is worked out."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from breadline.span import FloatArray
from breadline.trial.colonies import CHECK
from breadline.trial.design import Allocation, Design, Unit
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

    NOT_DRAWN = "not drawn by lot"
    WEAKEST_UNFED = "the unfed were the weak ones to begin with"
    YARDS_ARE_ARMS = "yards stand for arms"
    OPEN_FEED = "open feed in flight range"
    FRAMES_COUNTED = "frames counted as colonies"
    GRADED_APART = "groups graded by different people or days"
    TREATED_APART = "groups handled differently"
    SWAPPED = "arms swapped on the way"
    MERGED_ACROSS = "merged across groups"
    MISSING = "too many ends not known"


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
        broke(Breach.NOT_DRAWN, "the unfed colonies were chosen by hand")
    if conduct.weakest_unfed or _weak_left_unfed(design, came):
        broke(Breach.WEAKEST_UNFED, _baselines_said(came))
    if not _both_arms_somewhere(design, came):
        broke(Breach.YARDS_ARE_ARMS, _yards_said(came))
    if design.open_feed and design.unit is Unit.COLONY:
        broke(Breach.OPEN_FEED, "the feed lay in the open, and unfed colonies fly there too")
    if conduct.fed_in_open:
        broke(Breach.OPEN_FEED, conduct.fed_in_open)
    if conduct.frames_as_rows:
        broke(Breach.FRAMES_COUNTED, "the rows are frames, and frames of one colony are one colony")
    if apart := _graded_apart(design, came):
        broke(Breach.GRADED_APART, apart)
    if conduct.differently:
        broke(Breach.TREATED_APART, conduct.differently)
    if conduct.swapped:
        broke(Breach.SWAPPED, f"the group changed on the way for {named(list(conduct.swapped))}")
    if came.across:
        broke(Breach.MERGED_ACROSS, f"bees went over to the other group from {named(list(came.across))}")
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
        return "the unfed were picked as the weakest"
    unfed, fed = (_baselines(came, side).mean() for side in (came.ends.arm == CHECK, came.ends.arm > CHECK))
    return f"before feeding began the unfed averaged {unfed:.1f} and the fed {fed:.1f}"


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
    return f"all unfed colonies stand in {named(unfed)}, all fed ones in {named(fed)}"


def _graded_apart(design: Design, came: Came) -> str:
    """How the grading of the arms differed; "" where it did so little, or nobody says."""
    of, whole_yards = graded_apart(design, came), design.unit is Unit.YARD
    if of.never_same_person and of.people > WORTH_SAYING:  # what lay the other way round cancels
        return "one person graded the fed colonies and another the unfed"
    if of.people > MOST_APART:
        name, check, fed = of.by
        return f"{name} graded {_in_hundred(check)} unfed and {_in_hundred(fed)} fed colonies"
    if of.never_same_day and of.days > WORTH_SAYING and not whole_yards:  # yards have their own days
        return "fed and unfed colonies were graded on different days"
    if of.days > (MOST_YARDS_APART if whole_yards else MOST_APART):
        what = "yard" if whole_yards else "colony of one yard"
        return (
            f"of pairs of a fed and an unfed {what}, the unfed one was graded on an earlier day in "
            f"{_in_hundred(of.earlier)} and on a later one in {_in_hundred(of.later)}"
        )
    return ""


def _in_hundred(share: float) -> str:
    return f"{round(100 * share)} of 100"


def _missing_said(design: Design, came: Came) -> str:
    parts = []
    for arm, name in enumerate(design.arms):
        here = came.ends.arm == arm
        parts.append(f"{int(came.missing[here].sum())} of {int(here.sum())} in {name}")
    return f"what became of the colony is not known for {', '.join(parts)}"
