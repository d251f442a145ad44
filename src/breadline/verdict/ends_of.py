"""From what became of every colony to the outcomes that are compared: dead is 0, unknown is not."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from breadline.errors import TrialError
from breadline.language import say, say_counted
from breadline.span import FloatArray
from breadline.trial.colonies import AS_NOTHING, DIED, UNKNOWN, Became, Ended, Started
from breadline.trial.design import Design, Outcome, Unit
from breadline.verdict.ends import Ends, IntArray

LEAST_COLONY = 1.0  # below this a colony is counted as lost [frames]
MOST_BASELINES_FILLED = 10  # per cent of the colonies; with more missing the baseline is left out
NAMED = 12  # tags that an error lists before it only counts

BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Came:
    """What a trial's colonies came to, one row a colony started, in the order of the design.

    Parameters
    ----------
    ends
        Outcome, arm, block and baseline; where the end is not known the outcome is a stand-in of 0.
    missing
        Whether the end is not known (sold, stolen, moved, not found), shape (colonies,).
    nothing
        Whether it counts as 0 because the colony was lost, shape (colonies,).
    yard
        Place of each colony's yard in ``yards``, shape (colonies,).
    taken
        Bees taken away during the trial, shape (colonies,). [frames]
    started, ended
        The colonies themselves, in the same order.
    yards
        Names of the yards.
    across
        Tags of colonies merged into one of another arm.
    baselines_filled
        How many baselines were not known and stand at the mean of all.
    baseline_left_out
        Whether so many were missing that none is used.
    """

    ends: Ends
    missing: BoolArray
    nothing: BoolArray
    yard: IntArray
    taken: FloatArray
    started: tuple[Started, ...]
    ended: tuple[Ended, ...]
    yards: tuple[str, ...]
    across: tuple[str, ...]
    baselines_filled: int
    baseline_left_out: bool

    @property
    def died(self) -> BoolArray:
        """Whether it died or went off, shape (colonies,); merged and weak colonies did not."""
        return np.array([row.became in DIED for row in self.ended])

    @property
    def known(self) -> Ends:
        """Only the colonies whose end is known."""
        return self.some(~self.missing)

    def some(self, chosen: BoolArray) -> Ends:
        """The rows of ``chosen``, shape (colonies,)."""
        e = self.ends
        return Ends(e.outcome[chosen], e.arm[chosen], e.block[chosen], e.baseline[chosen])

    def added_back(self) -> Came:
        """The same with the bees that were taken away put back, where the colony lives."""
        outcome = self.ends.outcome + np.where(self.nothing | self.missing, 0.0, self.taken)
        return replace(self, ends=replace(self.ends, outcome=outcome))


def ends_of(design: Design, ended: tuple[Ended, ...]) -> Came:
    """What every started colony came to.

    Dead, absconded, below one frame and merged into another count as 0; the receiver, and what
    was requeened, robbed, rescued or split, as graded; sold, stolen, moved and not found are
    missing, not 0.

    Errors
    ------
    TrialError
        If a colony has no end, two ends, or an end without a start; or a grading is missing or
        below 0. The tags concerned are listed.
    """
    by_tag = _one_each(design.started, ended)
    rows = tuple(by_tag[one.tag] for one in design.started)
    _refuse_ungraded(rows)
    unknown = np.array([row.became in UNKNOWN for row in rows])
    graded = np.array([row.outcome if row.outcome is not None else 0.0 for row in rows], dtype=np.float64)
    gone = np.array([row.became in AS_NOTHING for row in rows])
    if design.outcome is not Outcome.HONEY:
        gone |= ~unknown & (graded < LEAST_COLONY)
    outcome = np.where(gone | unknown, 0.0, graded)
    arm = np.array([one.arm for one in design.started], dtype=np.int64)
    stands = [_stands_in(one, design) for one in design.started]
    yards = {name: place for place, name in enumerate(dict.fromkeys(stands))}
    baseline, filled, left_out = _baseline(design.started)
    return Came(
        ends=Ends(outcome, arm, _blocks(design), baseline),
        missing=unknown,
        nothing=gone,
        yard=np.array([yards[name] for name in stands], dtype=np.int64),
        taken=np.array([row.taken for row in rows], dtype=np.float64),
        started=design.started,
        ended=rows,
        yards=tuple(yards),
        across=_merged_across(design.started, rows),
        baselines_filled=filled,
        baseline_left_out=left_out,
    )


def named(tags: list[str]) -> str:
    """Tags as an error lists them."""
    if len(tags) <= NAMED:
        return ", ".join(tags)
    return say("{tags} and {n} more", tags=", ".join(tags[:NAMED]), n=len(tags) - NAMED)


def _one_each(started: tuple[Started, ...], ended: tuple[Ended, ...]) -> dict[str, Ended]:
    tags = [one.tag for one in started]
    _refuse(sorted({t for t in tags if tags.count(t) > 1}) if len(set(tags)) < len(tags) else [],
            say("started more than once"), say("each tag once"))  # fmt: skip
    by_tag = {row.tag: row for row in ended}
    if len(by_tag) < len(ended):
        seen = [row.tag for row in ended]
        _refuse(
            sorted({t for t in seen if seen.count(t) > 1}), say("more than one end"), say("one end a colony")
        )
    known = set(tags)
    _refuse(
        [t for t in by_tag if t not in known],
        say("an end without a start"),
        say("only colonies that were drawn"),
    )
    _refuse(
        [t for t in tags if t not in by_tag],
        say("no end"),
        say("an end for every colony started: graded, dead, merged, sold, not found …"),
        say("Look what became of each; a blank is not a dead colony, and not a living one"),
    )
    return by_tag


def _refuse(tags: list[str], what: str, expected: str, do: str = "") -> None:
    if tags:
        raise TrialError(
            "colonies",
            say_counted(
                "colony with {what}: {named}",
                "{n} colonies with {what}: {named}",
                len(tags),
                what=what,
                named=named(tags),
            ),
            expected,
            do,
        )


def _refuse_ungraded(rows: tuple[Ended, ...]) -> None:
    open_ends = [r.tag for r in rows if r.became not in AS_NOTHING | UNKNOWN and r.outcome is None]
    _refuse(open_ends, say("neither a grading nor a loss"),
            say("what was graded, or dead, sold, not found …"),
            say("Fill in the grading, or say what became of it"))  # fmt: skip
    below = [r.tag for r in rows if r.outcome is not None and not 0.0 <= r.outcome < np.inf]
    _refuse(below, say("a grading below 0 or no number"), say("0 or more"))


def _baseline(started: tuple[Started, ...]) -> tuple[FloatArray, int, bool]:
    """The baseline as one column, how many were filled, and whether it was left out."""
    found = np.array([np.nan if one.baseline is None else one.baseline for one in started], dtype=np.float64)
    without = int(np.sum(np.isnan(found)))
    if 100 * without > MOST_BASELINES_FILLED * len(found):
        return np.empty((len(found), 0)), 0, without < len(found)
    # drawn by lot, arms miss alike: the mean of all moves neither arm against the other
    return np.where(np.isnan(found), np.nanmean(found), found)[:, None], without, False


def _stands_in(one: Started, design: Design) -> str:
    """Its yard; where yards were drawn, all those that were drawn as one."""
    return one.unit or one.yard if design.unit is Unit.YARD else one.yard


def _blocks(design: Design) -> IntArray:
    """A number for each block drawn in: the set within its yard, the yard, or the pair of yards."""
    if design.unit is Unit.YARD:
        names = [one.block for one in design.started]
    else:
        names = [f"{one.yard}\n{one.block}" for one in design.started]
    return np.unique(names, return_inverse=True)[1].astype(np.int64)


def _merged_across(started: tuple[Started, ...], rows: tuple[Ended, ...]) -> tuple[str, ...]:
    arm = {one.tag: one.arm for one in started}
    return tuple(
        row.tag
        for row in rows
        if row.became is Became.MERGED and arm.get(row.merged_into, arm[row.tag]) != arm[row.tag]
    )
