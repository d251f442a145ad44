"""The draw: which colonies or yards go into which arm, by lot, within sets.

Bees drift to neighbours and to the ends of rows. So that no arm sits where drifters go,
a draw of colonies is one out of those in which no three check hives stand side by side and
the ends of rows are shared as the arms are; each of these is as likely as any other.

Where a set gives only some of its colonies to the trial, lots say first which, and again where
the rows of those leave too few draws; the rule then reads the rows of those alone. They are what a
trial keeps, so whoever judges it later can tell every draw that could have fallen.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import comb

import numpy as np
from numpy.typing import NDArray

from breadline.errors import TrialError
from breadline.language import noted, say
from breadline.trial.arrangements import FEWEST_SETS, arrangements
from breadline.trial.classes import LEVEL
from breadline.trial.colonies import CHECK, Started
from breadline.trial.matching import Candidate, ColonySet, arms_of_set
from breadline.trial.rows import apart_in_rows

Arms = NDArray[np.int64]
AT_ONCE = 64  # arrangements tried at a time
TRIES = 160  # times that many, before the rule about neighbours is given up
LOOKS = 8  # lots for who takes part, before rows may leave too few draws
OUT = -1  # a colony of a set that is no part of the trial
FEWEST_WAYS = round(2.0 / (1.0 - LEVEL))  # of a draw that can tell anything at the level of the interval


@dataclass(frozen=True)
class Groups:
    """Arms of a draw.

    Parameters
    ----------
    arms
        How many, the check group among them.
    primary
        Which of the fed ones is compared first, 1 and up.
    fed_each
        Colonies of each fed arm that a set gives to the trial, where colonies are drawn; 0 for all.
        The rest is fed as usual and no part of it.
    check
        Units of the check group where whole units are drawn in one heap; 0 for an even share.
    """

    arms: int
    primary: int
    fed_each: int = 0
    check: int = 0

    def __post_init__(self) -> None:
        if not (2 <= self.arms <= 4 and 1 <= self.primary < self.arms):
            raise TrialError(
                "groups",
                say("{n}, number {first} compared first", n=self.arms, first=self.primary),
                say("two to four groups"),
            )
        if self.fed_each < 0:
            raise TrialError("fed colonies in a set", f"{self.fed_each}", say("1 or more, or all"))


@dataclass(frozen=True)
class Drawn:
    """What was drawn.

    Parameters
    ----------
    started
        Every colony of the trial with its arm, in the order in which they were listed.
    staggered
        Whether check hives are spread along the rows; None where rows are not known.
    said
        What to know about it, in sentences.
    apart
        Yards whose draw kept check hives apart in their rows; None where whole units were drawn.
    """

    started: tuple[Started, ...]
    staggered: bool | None
    said: tuple[str, ...]
    apart: tuple[str, ...] | None = None


def draw_colonies(
    colonies: Sequence[Candidate], sets: Sequence[ColonySet], tags: Sequence[str], groups: Groups,
    rng: np.random.Generator,
) -> Drawn:  # fmt: skip
    """Draw colonies into arms, set by set; the same generator state gives the same draw.

    ``tags`` are what the hives will wear, in the order of ``colonies``.

    Errors
    ------
    TrialError
        If the draw could fall in too few ways to tell anything.
    """
    _can_tell(sets, groups)
    sets, apart = _part_of_each(colonies, sets, groups, rng)
    fell = _all_drawn(colonies, sets, groups, rng, apart)
    if apart and groups.arms > 2 and not _enough_beside(colonies, sets, fell, groups, rng.spawn(1)[0]):
        apart, fell = False, _all_drawn(colonies, sets, groups, rng, False)
    arms, kept = fell.arms, fell.kept
    block = {m: one.name for one in sets for m in one.members}
    started = tuple(
        Started(tags[n], c.yard, block[n], int(arms[n]), c.baseline, c.row, c.place, c.queen_line, c.hive)
        for n, c in enumerate(colonies)
        if arms[n] != OUT
    )
    loose = [yard for yard, is_kept in kept.items() if not is_kept]
    said = [f"{yard}: no draw keeps check hives apart in their rows; it was drawn freely." for yard in loose]
    if not apart:
        said = [
            noted(
                "Too few draws keep check hives apart in their rows to tell chance by; it was drawn freely, "
                "and the answer allows for bees that go home to a neighbour. Ten sets in a row, or sets of "
                "neighbours, leave draws enough."
            )
        ]
    unplaced = {one.yard for one in started if one.place is None}
    return Drawn(
        started,
        None if unplaced else not loose,
        tuple(said),
        tuple(yard for yard, is_kept in kept.items() if is_kept and yard not in unplaced),
    )


@dataclass(frozen=True, eq=False)
class _Fell:
    """Arms of all colonies, shape (colonies,), and by yard whether check hives were kept apart in rows."""

    arms: Arms
    kept: Mapping[str, bool]


def _all_drawn(
    colonies: Sequence[Candidate], sets: Sequence[ColonySet], groups: Groups, rng: np.random.Generator,
    apart: bool,
) -> _Fell:  # fmt: skip
    """One draw, yard by yard."""
    arms, kept = np.full(len(colonies), OUT, dtype=np.int64), {}
    for own, at in _by_yard(sets):
        arms[at], kept[own[0].yard] = _yard_drawn([colonies[n] for n in at], own, groups, rng, apart)
    return _Fell(arms, kept)


def _part_of_each(
    colonies: Sequence[Candidate], sets: Sequence[ColonySet], groups: Groups, rng: np.random.Generator
) -> tuple[tuple[ColonySet, ...], bool]:
    """What each set gives to the trial, and whether rows leave that draws enough; whatever is drawn then."""
    ahead, by_lot = rng.spawn(2)  # neither may shift the draw
    for _ in range(LOOKS):
        part = _taking_part(sets, groups, by_lot)
        apart = _many_apart(colonies, part, groups, ahead)
        if apart or part == tuple(sets):
            break
    return part, apart


def _taking_part(
    sets: Sequence[ColonySet], groups: Groups, rng: np.random.Generator
) -> tuple[ColonySet, ...]:
    """The sets with those of their colonies, by lot, that are part of the trial."""
    found = []
    for one in sets:
        wanted = sum(_counts(len(one.members), groups, even=False))
        if wanted < len(one.members):
            chosen = np.sort(rng.choice(len(one.members), wanted, replace=False)).tolist()
            one = replace(one, members=tuple(one.members[n] for n in chosen))
        found.append(one)
    return tuple(found)


def units_started(
    colonies: Sequence[Candidate], unit_of: Mapping[str, str], drawn: Mapping[str, tuple[str, int]],
    tags: Sequence[str],
) -> tuple[Started, ...]:  # fmt: skip
    """Every colony with its unit's set and arm; ``unit_of`` names the unit of each yard."""
    found = []
    for n, c in enumerate(colonies):
        unit = unit_of[c.yard]
        block, arm = drawn[unit]
        found.append(
            Started(tags[n], c.yard, block, arm, c.baseline, c.row, c.place, c.queen_line, c.hive,
                    "" if unit == c.yard else unit)
        )  # fmt: skip
    return tuple(found)


def draw_units(
    sets: Sequence[Sequence[str]], groups: Groups, rng: np.random.Generator
) -> dict[str, tuple[str, int]]:
    """Draw whole units of yards within matched sets: by unit its set and its arm.

    Errors
    ------
    TrialError
        If the draw could fall in too few ways to tell anything, with the way out.
    """
    matched = len(sets) > 1
    units = [ColonySet("", "", tuple(range(len(one)))) for one in sets]
    _can_tell(units, groups, even=not matched, yards=True)
    found = {}
    for n, one in enumerate(sets, 1):
        counts = _counts(len(one), groups, even=not matched)
        labels = np.repeat(np.arange(groups.arms), counts)[np.argsort(np.argsort(rng.random(len(one))))]
        for unit, arm in zip(one, labels.tolist(), strict=True):
            found[unit] = (f"pair {n}" if matched else "", int(arm))
    return found


def _by_yard(sets: Sequence[ColonySet]) -> list[tuple[list[ColonySet], Arms]]:
    """The sets of each yard, and their colonies in that order."""
    yards = dict.fromkeys(one.yard for one in sets)
    own = [[one for one in sets if one.yard == yard] for yard in yards]
    return [(some, np.array([m for one in some for m in one.members])) for some in own]


def _many_apart(
    colonies: Sequence[Candidate], sets: Sequence[ColonySet], groups: Groups, rng: np.random.Generator
) -> bool:
    """Whether check hives can be kept apart in ways enough for a comparison to tell anything."""
    ways = 1
    for own, at in _by_yard(sets):
        here, seen = [colonies[n] for n in at], set()
        for _ in range(TRIES):
            tried = _tried(own, groups, rng)
            seen |= {row.tobytes() for row in tried[apart_in_rows(here, tried)] == CHECK}
            if ways * len(seen) >= FEWEST_WAYS:
                return True
        ways *= len(seen) or FEWEST_WAYS  # where none is found the yard is drawn freely
    return ways >= FEWEST_WAYS


def _enough_beside(
    colonies: Sequence[Candidate], sets: Sequence[ColonySet], fell: _Fell, groups: Groups,
    rng: np.random.Generator,
) -> bool:  # fmt: skip
    """Whether the two groups compared could have fallen in ways enough, the others where they fell.

    Chance is judged so. The answer hangs on where the others fell and on nothing else, so that a draw
    that stands is as likely as any other beside them.
    """
    ways = 1
    for own, at in _by_yard(sets):
        here, free, seen = [colonies[n] for n in at], not fell.kept[own[0].yard], set()
        for _ in range(TRIES):
            tried = _exchanged(fell.arms[at], own, groups, rng)
            seen |= {row.tobytes() for row in (tried if free else tried[apart_in_rows(here, tried)]) == CHECK}
            if ways * len(seen) >= FEWEST_WAYS:
                return True
        ways *= len(seen)
    return False


def _exchanged(fell: Arms, sets: Sequence[ColonySet], groups: Groups, rng: np.random.Generator) -> Arms:
    """Draws in which check and primary colonies of a set are dealt anew, shape (draws, colonies)."""
    tried, begin = np.tile(fell, (AT_ONCE, 1)), 0
    for one in sets:
        end = begin + len(one.members)
        at = begin + np.flatnonzero(np.isin(fell[begin:end], (CHECK, groups.primary)))
        tried[:, at] = rng.permuted(tried[:, at], axis=1)
        begin = end
    return tried


def _yard_drawn(
    own: Sequence[Candidate], sets: Sequence[ColonySet], groups: Groups, rng: np.random.Generator, apart: bool
) -> tuple[Arms, bool]:
    """The arms of a yard's colonies, set after set, and whether they keep apart in the rows, where wanted."""
    for _ in range(TRIES if apart else 0):
        tried = _tried(sets, groups, rng)
        good = np.flatnonzero(apart_in_rows(own, tried))
        if good.size:
            return tried[good[0]], True
    return _tried(sets, groups, rng)[0], False  # a new one: those tried are not any draw alike, but ill ones


def _tried(sets: Sequence[ColonySet], groups: Groups, rng: np.random.Generator) -> Arms:
    """Some draws of a yard, whatever stands beside what, shape (draws, colonies)."""
    keys = rng.random((AT_ONCE, sum(len(one.members) for one in sets)))
    tried = np.empty(keys.shape, dtype=np.int64)
    begin = 0
    for one in sets:
        end = begin + len(one.members)
        ranks = np.argsort(np.argsort(keys[:, begin:end], axis=1), axis=1)
        tried[:, begin:end] = _labels(len(one.members), groups)[ranks]
        begin = end
    return tried


def _labels(size: int, groups: Groups) -> Arms:
    """Arms of a set in their numbers, to be dealt out."""
    return np.repeat(np.arange(groups.arms), _counts(size, groups, even=False))


def _counts(size: int, groups: Groups, even: bool) -> tuple[int, ...]:
    if even:
        return _even(size, groups)
    return arms_of_set(size, groups.arms, groups.primary, groups.fed_each)


def _even(units: int, groups: Groups) -> tuple[int, ...]:
    """Units an arm where they are drawn in one heap: alike, what is over to the primary arm.

    Errors: TrialError if more check units are wanted than leave one for every other arm.
    """
    if not 0 <= groups.check <= units - (groups.arms - 1):
        raise TrialError(
            "check colonies",
            say("{n} yards unfed of {all} that are drawn as one each", n=groups.check, all=units),
            say("1 to {n} yards", n=units - groups.arms + 1),
        )  # fmt: skip
    each, over = divmod(units, groups.arms)
    counts = [each] * groups.arms
    if groups.check:
        each, over = divmod(units - groups.check, groups.arms - 1)
        counts = [groups.check] + [each] * (groups.arms - 1)
    for arm in [groups.primary, *(a for a in range(1, groups.arms) if a != groups.primary)][:over]:
        counts[arm] += 1
    return tuple(counts)


def _can_tell(sets: Sequence[ColonySet], groups: Groups, even: bool = False, yards: bool = False) -> None:
    """Refuse a draw that could fall in so few ways that nothing could be told from chance.

    ``even`` where one heap is cut into arms alike; ``yards`` where whole yards are drawn.
    """
    counts = [_counts(len(one.members), groups, even) for one in sets]
    both = np.array([c[CHECK] + c[groups.primary] for c in counts], dtype=np.int64)
    ways = arrangements(both, np.array([c[groups.primary] for c in counts], dtype=np.int64))
    if ways < FEWEST_WAYS:
        raise TrialError(
            "draw",
            say(
                "it could fall in {ways} ways only, so the most striking result comes by chance once in "
                "{ways}",
                ways=ways,
            ),
            say("a draw that can fall in {n} ways or more", n=FEWEST_WAYS),
            _way_out([len(one.members) for one in sets], groups, even)
            if yards
            else _more_sets(ways, len(sets)),
        )


def _more_sets(ways: int, sets: int) -> str:
    """How many sets of like colonies would be enough: each is one of so many ways."""
    each = max(float(ways) ** (1.0 / sets), 1.5)
    least = next(n for n in range(1, FEWEST_WAYS) if each**n >= FEWEST_WAYS)
    least = max(least, FEWEST_SETS)
    return say(
        "Add hives: {n} sets of like ones are the least, and some more for losses; or draw with neighbours, "
        "both groups in every yard, and pool the trials",
        n=least,
    )


def _way_out(sizes: Sequence[int], groups: Groups, even: bool) -> str:
    """What to draw instead: yards in one heap where that is enough, else more of them, with the number."""
    if len(sizes) == 1 and not even:
        return say("Add check colonies")
    total, arms = sum(sizes), groups.arms
    if not even and comb(2 * (total // arms), total // arms) >= FEWEST_WAYS:
        return say("Draw the yards without pairs, or add yards")
    each = next(n for n in range(1, FEWEST_WAYS) if comb(2 * n, n) >= FEWEST_WAYS)
    return say(
        "Add yards: {n} at least, {unfed} of them unfed; or give the feed in the hive",
        n=arms * each,
        unfed=each,
    )
