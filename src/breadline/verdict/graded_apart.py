"""How far the groups were graded by different people, or one after the other: 0 is alike, 1 wholly apart."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from breadline.trial.colonies import AS_NOTHING, CHECK, UNKNOWN
from breadline.trial.design import Design, Unit
from breadline.verdict.ends_of import Came

MOST_APART = 0.7  # 85 in 100 of one group on one day, and 85 in 100 of the other on another [share]
MOST_YARDS_APART = 0.9  # whole yards are few, and lots alone set them further apart [share]
WORTH_SAYING = 0.3  # from which on it is said beside the answer [share]
HALF_KNOWN = 0.5  # of a group's graded colonies, below which nothing is said of it [share]
NOT_GRADED = AS_NOTHING | UNKNOWN
V = TypeVar("V", int, str)


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
    days = [None if row.graded_on is None else row.graded_on.toordinal() for row in came.ended]
    found: list[tuple[float, float, float]] = []
    every: tuple[set[int], set[int]] = set(), set()
    for check, fed in _known(design, came, days).values():
        every[0].update(check)
        every[1].update(fed)
        if check and fed:
            before = np.subtract.outer(fed, check)
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
    for sides in _known(design, came, [row.grader or None for row in came.ended]).values():
        for seen, side in zip(every, sides, strict=True):
            seen.update(side)
        if not all(sides):
            continue
        weight = len(sides[0]) * len(sides[1]) / (len(sides[0]) + len(sides[1]))
        whole += weight
        for arm, side in enumerate(sides):
            for name, count in Counter(side).items():
                shares[name][arm] += weight * count / len(side)
    if not whole:
        return 0.0, ("", 0.0, 0.0), not all(every) or bool(every[0] & every[1])
    of = {name: (check / whole, fed / whole) for name, (check, fed) in shares.items()}
    name, (check, fed) = max(of.items(), key=lambda one: abs(one[1][0] - one[1][1]))
    apart = sum(abs(a - b) for a, b in of.values()) / 2.0
    return apart, (name, check, fed), bool(every[0] & every[1])


def _known(design: Design, came: Came, values: Sequence[V | None]) -> dict[int, tuple[list[V], list[V]]]:
    """Values of the graded colonies of both groups by yard, check first; none where a group says few of them.

    Where whole yards were drawn each yard is one value, that of the colony in its middle.
    """
    found: dict[int, tuple[list[V], list[V]]] = defaultdict(lambda: ([], []))
    graded, said = [0, 0], [0, 0]
    for yard, arm, row, value in zip(
        came.yard.tolist(), came.ends.arm.tolist(), came.ended, values, strict=True
    ):
        if arm in (CHECK, design.primary) and row.became not in NOT_GRADED:
            side = int(arm != CHECK)
            graded[side] += 1
            if value is not None:
                said[side] += 1
                found[yard][side].append(value)
    if any(few < HALF_KNOWN * all_of_them for few, all_of_them in zip(said, graded, strict=True)):
        return {}
    if design.unit is Unit.YARD:
        check, fed = ([_middle(of[side]) for of in found.values() if of[side]] for side in (0, 1))
        return {0: (check, fed)}
    return found


def _middle(values: list[V]) -> V:
    return sorted(values)[len(values) // 2]
