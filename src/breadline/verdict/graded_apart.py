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
    """Pairs with the check one graded earlier, and later; and whether any day is common.

    Where whole yards were drawn a yard's day is that of the colony in its middle.
    """
    days = [None if row.graded_on is None else row.graded_on.toordinal() for row in came.ended]
    known = _known(design, came, days)
    if design.unit is Unit.YARD:
        check, fed = ([_middle(of[side]) for of in known.values() if of[side]] for side in (0, 1))
        known = {0: (check, fed)}
    found: list[tuple[float, float, float]] = []
    for check, fed in known.values():
        if check and fed:
            before = np.subtract.outer(fed, check)
            found.append((_weight(check, fed), float(np.mean(before > 0)), float(np.mean(before < 0))))
    whole, same = sum(weight for weight, _, _ in found), _common(known)
    if not whole:
        return (0.0, 0.0, True) if same else (1.0, 0.0, False)
    earlier, later = (sum(one[0] * one[n] for one in found) / whole for n in (1, 2))
    return earlier, later, same


def _people(design: Design, came: Came) -> tuple[float, tuple[str, float, float], bool]:
    """How far the groups' people differ, who differs most, and whether anybody graded both."""
    known, nobody = _known(design, came, [row.grader or None for row in came.ended]), ("", 0.0, 0.0)
    if design.unit is Unit.YARD:
        sides = [[_shares(of[side]) for of in known.values() if of[side]] for side in (0, 1)]
        pairs = [(1.0, _mean(sides[0]), _mean(sides[1]))] if all(sides) else []
    else:
        both = [(check, fed) for check, fed in known.values() if check and fed]
        pairs = [(_weight(check, fed), _shares(check), _shares(fed)) for check, fed in both]
    whole, same = sum(weight for weight, _, _ in pairs), _common(known)
    if not whole:
        return (0.0, nobody, True) if same else (1.0, nobody, False)
    of = {
        name: (
            sum(weight * check.get(name, 0.0) for weight, check, _ in pairs) / whole,
            sum(weight * fed.get(name, 0.0) for weight, _, fed in pairs) / whole,
        )
        for name in {name for _, check, fed in pairs for name in (*check, *fed)}
    }
    name = max(sorted(of), key=lambda one: abs(of[one][1] - of[one][0]))
    apart = sum(abs(check - fed) for check, fed in of.values()) / 2.0
    return apart, (name, of[name][0], of[name][1]), same


def _weight(check: Sequence[object], fed: Sequence[object]) -> float:
    """As a yard weighs in the comparison [colonies]."""
    return len(check) * len(fed) / (len(check) + len(fed))


def _shares(names: Sequence[str]) -> dict[str, float]:
    """Of whom how much was graded [share]."""
    return {name: count / len(names) for name, count in Counter(names).items()}


def _mean(of: Sequence[dict[str, float]]) -> dict[str, float]:
    """The mean of yards, each counting alike [share]."""
    return {name: sum(one.get(name, 0.0) for one in of) / len(of) for name in {n for one in of for n in one}}


def _common(known: dict[int, tuple[list[V], list[V]]]) -> bool:
    """Whether anything stands on both sides, or one side says nothing."""
    check, fed = ({value for of in known.values() for value in of[side]} for side in (0, 1))
    return not (check and fed) or bool(check & fed)


def _known(design: Design, came: Came, values: Sequence[V | None]) -> dict[int, tuple[list[V], list[V]]]:
    """Values of the graded colonies of both groups by yard, check first; none where a group says few."""
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
    return found


def _middle(values: list[V]) -> V:
    return sorted(values)[len(values) // 2]
