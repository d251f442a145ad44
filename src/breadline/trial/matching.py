"""Sets of like colonies, each holding every arm, and pairs of like yards."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from breadline.errors import TrialError
from breadline.language import say

MOST_NAMED = 6  # hives named in a message


@dataclass(frozen=True)
class Candidate:
    """A colony that may be drawn.

    Parameters
    ----------
    hive
        Its name, its own among all of them.
    yard
        Where it stands.
    baseline
        What was graded before the draw; None where it was not. [unit of the outcome]
    row, place
        Row in the yard and place in the row, from 1; None where not known.
    queen_line
        "" where not known.
    """

    hive: str
    yard: str
    baseline: float | None = None
    row: int | None = None
    place: int | None = None
    queen_line: str = ""


@dataclass(frozen=True)
class ColonySet:
    """Colonies drawn among themselves: their yard, and where they stand in the list of all."""

    name: str
    yard: str
    members: tuple[int, ...]


def checked(colonies: Sequence[Candidate]) -> None:
    """Refuse a list that cannot be drawn.

    Errors
    ------
    TrialError
        If a colony stands in two places, two stand in one, or only some were graded.
    """
    twice = [name for name, times in Counter(c.hive for c in colonies).items() if times > 1]
    if twice:
        where = sorted({c.yard for c in colonies if c.hive == twice[0]})
        raise TrialError(
            f"hive {twice[0]}",
            say("it is listed {n} times ({yards})", n=sum(c.hive == twice[0] for c in colonies),
                yards=", ".join(where)),
            say("each colony once, in one place"),
            say("If each yard numbers its own hives, write the yard before the number"),
        )  # fmt: skip
    places = Counter((c.yard, c.row, c.place) for c in colonies if c.place is not None)
    taken = [where for where, times in places.items() if times > 1]
    if taken:
        yard, row, place = taken[0]
        raise TrialError(
            f"yard {yard}",
            say("two hives stand in row {row}, place {place}", row=row or 1, place=place),
            say("one hive a place"),
        )
    blank = [c.hive for c in colonies if c.baseline is None]
    if blank and len(blank) < len(colonies):
        raise TrialError(
            "strength before the draw",
            say("{n} of {all} colonies have none: {hives}", n=len(blank), all=len(colonies),
                hives=", ".join(blank[:MOST_NAMED]) + (say(" and more") if len(blank) > MOST_NAMED else "")),
            say("a count for every colony, or for none"),
            say("Grade them before the draw, or leave them out of the trial"),
        )  # fmt: skip
    odd = [
        c for c in colonies if c.baseline is not None and not (np.isfinite(c.baseline) and c.baseline >= 0)
    ]
    if odd:
        raise TrialError(
            f"hive {odd[0].hive}", say("{n} before the draw", n=odd[0].baseline), say("{n} or more", n=0)
        )


def check_a_yard(colonies: Mapping[str, int], check: int, arms: int) -> dict[str, int]:
    """How many check colonies each yard holds, by its number of colonies; every yard holds one at least.

    Errors
    ------
    TrialError
        If there are fewer than one a yard, or more than leave a colony for every arm beside each.
    """
    room = {yard: count // arms for yard, count in colonies.items()}
    small = [yard for yard, most in room.items() if most < 1]
    if small:
        raise TrialError(
            f"yard {small[0]}", say("{n} colonies for {groups} groups", n=colonies[small[0]], groups=arms),
            say("{n} or more", n=arms), say("Leave this yard out of the trial"),
        )  # fmt: skip
    if not len(colonies) <= check <= sum(room.values()):
        raise TrialError(
            "check colonies",
            say("{n} in {yards} yards of {colonies} colonies", n=check, yards=len(colonies),
                colonies=sum(colonies.values())),
            say("{low} to {high}, so that every yard holds every group", low=len(colonies),
                high=sum(room.values())),
            say("Choose another number, or leave yards out of the trial"),
        )  # fmt: skip
    found = dict.fromkeys(colonies, 1)
    for _ in range(check - len(colonies)):
        free = [yard for yard in colonies if found[yard] < room[yard]]
        found[max(free, key=lambda yard: colonies[yard] / (found[yard] + 0.5))] += 1
    return found


def colony_sets(
    colonies: Sequence[Candidate], check: int, arms: int, by_queen_line: bool = False
) -> tuple[ColonySet, ...]:
    """Sets inside each yard, one check colony to be drawn in each.

    Colonies are sorted by strength, those of one queen line together where wanted, and cut into
    sets as equal in size as can be; where no strength is known, neighbours make a set.

    Errors
    ------
    TrialError
        As for :func:`checked` and :func:`check_a_yard`.
    """
    checked(colonies)
    if by_queen_line and any(not c.queen_line for c in colonies):
        blank = next(c.hive for c in colonies if not c.queen_line)
        raise TrialError(
            f"hive {blank}", say("its queen line is not known"), say("a queen line for every colony")
        )
    yards: dict[str, list[int]] = {}
    for at, colony in enumerate(colonies):
        yards.setdefault(colony.yard, []).append(at)
    found = []
    for yard, count in check_a_yard({y: len(at) for y, at in yards.items()}, check, arms).items():
        order = sorted(yards[yard], key=lambda at: _sorting(colonies[at], by_queen_line))
        cuts = np.array_split(np.array(order), count)
        found += [
            ColonySet(f"{yard}, set {n}", yard, tuple(int(at) for at in cut)) for n, cut in enumerate(cuts, 1)
        ]
    return tuple(found)


def arms_of_set(size: int, arms: int, primary: int, fed_each: int = 0) -> tuple[int, ...]:
    """How many colonies of a set each arm takes: one check, the others alike, what is over to ``primary``.

    Where ``fed_each`` is not 0 no fed arm takes more than that; the rest of the set is no part of the trial.
    """
    each, over = divmod(size - 1, arms - 1)
    if fed_each and fed_each <= each:
        each, over = fed_each, 0
    counts = [1] + [each] * (arms - 1)
    fed = [primary, *(arm for arm in range(1, arms) if arm != primary)]
    for arm in fed[:over]:
        counts[arm] += 1
    return tuple(counts)


def yard_sets(strength: Mapping[str, float], arms: int) -> tuple[tuple[str, ...], ...]:
    """Units of yards matched by ``strength`` [unit of the outcome, or colonies], one for each arm.

    What is left over joins the last set.

    Errors
    ------
    TrialError
        If there are fewer units than arms.
    """
    if len(strength) < arms:
        raise TrialError(
            "yards", say("{n} to draw from for {groups} groups", n=len(strength), groups=arms),
            say("{n} or more", n=arms),
            say("Give the feed in the hive: then colonies can be drawn inside a yard"),
        )  # fmt: skip
    order = sorted(strength, key=lambda unit: -strength[unit])
    return tuple(tuple(str(u) for u in cut) for cut in np.array_split(np.array(order), len(order) // arms))


def _sorting(colony: Candidate, by_queen_line: bool) -> tuple[str, float, int, int]:
    line = colony.queen_line if by_queen_line else ""
    strongest_first = 0.0 if colony.baseline is None else -colony.baseline
    return line, strongest_first, colony.row or 0, colony.place or 0
