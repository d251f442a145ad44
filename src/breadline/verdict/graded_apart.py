"""How far the groups were graded by different people, or one after the other: 0 is alike, 1 wholly apart."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.trial.colonies import AS_NOTHING, CHECK, UNKNOWN, Ended
from breadline.trial.design import Design, Unit
from breadline.verdict.ends_of import Came

MOST_APART = 0.7  # 85 in 100 of one group on one day, and 85 in 100 of the other on another [share]
MOST_YARDS_APART = 0.9  # whole yards are few, and lots alone set them further apart [share]
WORTH_SAYING = 0.3  # from which on it is said beside the answer [share]
HALF_KNOWN = 0.5  # of a group's graded colonies, below which nothing is said of it [share]

Pairs = dict[int, tuple[list[Ended], list[Ended]]]  # of each yard, the check and the fed ones


@dataclass(frozen=True)
class GradedApart:
    """How differently the groups of the comparison were graded.

    Parameters
    ----------
    earlier, later
        Of pairs of a check and a fed colony, or yard, those in which the check one was graded on an
        earlier day, and on a later one. [share]
    people
        Half the sum over people of how much more of one group they graded than of the other. [share]
    by
        Who graded the two groups most unlike: name, share of the check and of the fed ones; "" where nobody.
    never_same_day, never_same_person
        Whether no check and no fed colony were graded on one day, or by one person.
    """

    earlier: float = 0.0
    later: float = 0.0
    people: float = 0.0
    by: tuple[str, float, float] = ("", 0.0, 0.0)
    never_same_day: bool = False
    never_same_person: bool = False

    @property
    def days(self) -> float:
        """How far one group was graded before the other [share]."""
        return abs(self.earlier - self.later)


def graded_apart(design: Design, came: Came) -> GradedApart:
    """Days and people, compared inside yards where colonies were drawn and between yards where yards were.

    A yard weighs as it does in the comparison. What lay differently in one yard and the other way round
    in the next cancels, as it does in the answer.
    """
    earlier, later, same_day = _days(design, came)
    people, by, same_person = _people(design, came)
    return GradedApart(earlier, later, people, by, not same_day, not same_person)


def _days(design: Design, came: Came) -> tuple[float, float, bool]:
    """Pairs with the check one graded earlier, and later; and whether any day is common."""
    of = {yard: ([r.graded_on for r in check], [r.graded_on for r in fed])
          for yard, (check, fed) in _known(design, came, "graded_on").items()}  # fmt: skip
    found: list[tuple[float, float, float]] = []
    every: tuple[set[date], set[date]] = set(), set()
    for days in of.values():
        check, fed = ([day for day in side if day is not None] for side in days)
        every[0].update(check)
        every[1].update(fed)
        if check and fed:
            before = np.subtract.outer([d.toordinal() for d in fed], [d.toordinal() for d in check])
            weight = len(check) * len(fed) / (len(check) + len(fed))
            found.append((weight, float(np.mean(before > 0)), float(np.mean(before < 0))))
    whole = sum(weight for weight, _, _ in found)
    if not whole:
        return 0.0, 0.0, not (every[0] and every[1]) or bool(every[0] & every[1])
    earlier, later = (sum(one[0] * one[n] for one in found) / whole for n in (1, 2))
    return earlier, later, bool(every[0] & every[1])


def _people(design: Design, came: Came) -> tuple[float, tuple[str, float, float], bool]:
    """How far the groups' people differ, who differs most, and whether anybody graded both."""
    shares: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0])
    whole, every = 0.0, (set[str](), set[str]())
    for sides in _known(design, came, "grader").values():
        names = [[row.grader for row in side] for side in sides]
        for seen, side in zip(every, names, strict=True):
            seen.update(side)
        if not all(names):
            continue
        weight = len(names[0]) * len(names[1]) / (len(names[0]) + len(names[1]))
        whole += weight
        for arm, side in enumerate(names):
            for name in side:
                shares[name][arm] += weight / len(side)
    if not whole:
        return 0.0, ("", 0.0, 0.0), not all(every) or bool(every[0] & every[1])
    of = {name: (check / whole, fed / whole) for name, (check, fed) in shares.items()}
    name, (check, fed) = max(of.items(), key=lambda one: abs(one[1][0] - one[1][1]))
    apart = sum(abs(a - b) for a, b in of.values()) / 2.0
    return apart, (name, check, fed), bool(every[0] & every[1])


def _known(design: Design, came: Came, what: str) -> Pairs:
    """Graded colonies of both groups by yard, or one a yard where yards were drawn; none where few say it."""
    rows = [
        (yard, arm, row)
        for yard, arm, row in zip(came.yard.tolist(), came.ends.arm.tolist(), came.ended, strict=True)
        if arm in (CHECK, design.primary) and row.became not in AS_NOTHING | UNKNOWN
    ]
    found: Pairs = defaultdict(lambda: ([], []))
    for arm in (CHECK, design.primary):
        own = [(yard, row) for yard, one, row in rows if one == arm]
        said = [(yard, row) for yard, row in own if getattr(row, what)]
        if len(said) < HALF_KNOWN * len(own):
            return {}
        if design.unit is Unit.YARD:
            said = [(0, row) for row in _one_a_yard(said, what)]
        for yard, row in said:
            found[yard][arm != CHECK].append(row)
    return found


def _one_a_yard(said: list[tuple[int, Ended]], what: str) -> list[Ended]:
    """The colony in the middle of each yard, by day or by name."""
    by_yard: dict[int, list[Ended]] = defaultdict(list)
    for yard, row in said:
        by_yard[yard].append(row)
    return [sorted(own, key=lambda row: getattr(row, what))[len(own) // 2] for own in by_yard.values()]
