"""A trial of a check group: drawn, locked, graded."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

import numpy as np

from breadline.errors import TrialError
from breadline.jobs.check_group_colonies import Listed
from breadline.jobs.check_group_said import retold
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.words import day_and_year
from breadline.trial.arrangements import FEWEST_SETS
from breadline.trial.classes import Lines
from breadline.trial.colonies import Ended, Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.trial.draw import Drawn, Groups, draw_colonies, draw_units, units_started
from breadline.trial.lock import canonical
from breadline.trial.matching import Candidate, checked, colony_sets, yard_sets
from breadline.trial.tags import graded_twice, grading_order, tags
from breadline.trial.unit import Way, drawn_as_one, unit_for
from breadline.verdict.ends_of import named

LARGEST_SEED = 2**31 - 1
MOST_NAME = 80  # letters
NOT_GRADED = "no tag, not graded"  # colonies of the yards that are no part of the trial


@dataclass(frozen=True)
class Asked:
    """What is written down before the draw.

    Parameters
    ----------
    name
        What the trial is called.
    outcome, grade
        The outcome that pays, and its grade line where it is the share making it. [frames]
    check_arm, arms
        What the check group gets, and the names of the groups, the check group first.
    primary
        The fed group that is compared first, 1 and up.
    way
        How the feed is given, which forces what is drawn.
    check
        Check colonies in all, or yards where whole yards are drawn; None leaves half unfed.
        [colonies or yards]
    fed_each
        Colonies of each fed group that a set gives to the trial; 0 for all. The rest is fed as usual.
    lines
        Break-even and margin. [unit of the outcome]
    grading
        The day of grading.
    rescue_below
        A check colony weaker than this is fed all the same, and noted. [frames]
    seed
        Of the draw.
    by_queen_line, matched, apart
        Sets within queen lines; whole yards drawn in pairs; yards of unknown place lie apart.
    a_yard
        Colonies of a yard that are graded where whole yards are drawn, picked by lot; 0 for all.
    """

    name: str
    outcome: Outcome
    check_arm: CheckArm
    lines: Lines
    grading: date
    rescue_below: float
    seed: int
    grade: float | None = None
    arms: tuple[str, ...] = ("check", "fed")
    primary: int = 1
    way: Way = Way.IN_HIVE
    check: int | None = None
    fed_each: int = 0
    by_queen_line: bool = False
    matched: bool = True
    apart: bool = False
    a_yard: int = 0


@dataclass(frozen=True)
class Trial:
    """A trial as its file holds it.

    Parameters
    ----------
    name, design
        What it is called, and what was drawn.
    order, twice
        Tags in the order of grading, and of the colonies that a second person grades too.
    rescue_below
        A check colony weaker than this is fed all the same. [frames]
    drawn_at, draws
        When it was drawn, and how often in all: every draw counts.
    locked_at, seal
        When it was locked, and the digest of what was locked; None before.
    said
        What to know about the draw.
    ended
        What became of the colonies, as far as it is known.
    kept_as
        The key of its draw in the book that keeps it; empty where none does.
    """

    name: str
    design: Design
    order: tuple[str, ...]
    twice: frozenset[str]
    rescue_below: float
    drawn_at: datetime
    draws: int = 1
    locked_at: datetime | None = None
    seal: str | None = None
    said: tuple[str, ...] = ()
    ended: tuple[Ended, ...] = ()
    kept_as: str = field(default="", compare=False)

    @property
    def without_end(self) -> tuple[Started, ...]:
        """Colonies of which nobody said what became of them; blank is none."""
        known = {end.tag for end in self.ended}
        return tuple(one for one in self.design.started if one.tag not in known)


def drawn(listed: Listed, asked: Asked, reader: Reader, now: datetime) -> Trial:
    """Draw the colonies; the same list, wishes and seed give the same draw.

    Errors
    ------
    TrialError
        With what to mend.
    """
    _fits(asked, now.date())
    rng = np.random.default_rng(asked.seed)
    checked(listed.colonies)
    _with_bees(listed, asked.outcome)
    worn = tags(len(listed.colonies), rng)
    unit = unit_for(asked.way)
    if unit is Unit.COLONY:
        told = _by_colony(listed, asked, worn, rng)
    else:
        told = _by_yard(listed, asked, worn, reader, rng)
    design = Design(
        asked.outcome, asked.check_arm, unit, Allocation.DRAWN, asked.arms, asked.primary, asked.lines,
        asked.grading, told.started, asked.grade, asked.seed, asked.way is Way.OPEN, told.staggered,
        told.apart,
    )  # fmt: skip
    order, twice = grading_order(told.started, rng), graded_twice(told.started, rng)
    return Trial(asked.name, design, order, twice, asked.rescue_below, now, said=(*listed.said, *told.said))


def _with_bees(listed: Listed, outcome: Outcome) -> None:
    """Refuse hives without bees; where honey pays a count of 0 may be honey and says nothing of bees."""
    empty = [one.hive for one in listed.colonies if one.baseline == 0]
    if empty and outcome is not Outcome.HONEY:
        raise TrialError(
            say("hives"), say("no bees before the draw: {tags}", tags=named(empty)), say("hives with bees"),
            say("Take them off the list; where nobody counted, leave the count blank for every hive"),
        )  # fmt: skip


def locked(trial: Trial, now: datetime) -> Trial:
    """The trial with its time stamp and seal.

    Errors
    ------
    TrialError
        If it was locked before, or its day of grading is over.
    """
    if trial.locked_at is not None:
        raise TrialError(
            "lock", say("it was locked on {day}", day=day_and_year(trial.locked_at.date())),
            say("a trial not yet locked"),
            say("What is done otherwise since is a deviation; draw a new trial for another question"),
        )  # fmt: skip
    if trial.design.grading <= now.date():
        raise TrialError(
            "day of grading", say("{day} is not ahead", day=day_and_year(trial.design.grading)),
            say("a day to come"), say("Draw again with the day on which the colonies will be graded"),
        )  # fmt: skip
    if trial.ended:
        raise TrialError("lock", say("colonies were graded already"), say("a lock before the first reading"))
    return replace(trial, locked_at=now, seal=seal_of(trial))


def graded(trial: Trial, ended: Sequence[Ended]) -> Trial:
    """The trial with more ends; a later word on a colony takes the place of the one before.

    Errors
    ------
    TrialError
        If the trial is not locked: nothing is graded before.
    """
    if trial.locked_at is None:
        raise TrialError(
            "ends", say("the trial is not locked"), say("a locked trial"), say("Lock it before grading")
        )
    known = {end.tag: end for end in (*trial.ended, *ended)}
    return replace(trial, ended=tuple(known.values()))


def seal_of(trial: Trial) -> str:
    """SHA-256 of all that is locked: the design in its written form, the rescue rule, the readings due."""
    twice = [tag for tag in trial.order if tag in trial.twice]
    due = ("rescue below", f"{trial.rescue_below:g}"), ("graded", *trial.order), ("twice", *twice)
    text = canonical(trial.design) + "".join("\t".join(line) + "\n" for line in due)
    return hashlib.sha256(text.encode()).hexdigest()


def seal_holds(trial: Trial) -> bool:
    """Whether what was locked is still what stands in the trial."""
    return trial.seal == seal_of(trial)


def _by_colony(listed: Listed, asked: Asked, worn: Sequence[str], rng: np.random.Generator) -> Drawn:
    groups = Groups(len(asked.arms), asked.primary, asked.fed_each)
    sizes = [sum(c.yard == stand.yard for c in listed.colonies) for stand in listed.stands]
    check = asked.check if asked.check is not None else sum(size // groups.arms for size in sizes)
    sets = colony_sets(listed.colonies, check, groups.arms, asked.by_queen_line)
    told = draw_colonies(listed.colonies, sets, worn, groups, rng)
    return replace(told, said=(*told.said, *_beside(listed, len(told.started), len(sets))))


def _beside(listed: Listed, started: int, sets: int) -> list[str]:
    """What to know about a draw of colonies, in English as it is kept with it (``retold``)."""
    said = []
    if (left := len(listed.colonies) - started) > 0:
        said.append(f"{_others(left)} of these yards: fed as usual, {NOT_GRADED}.")
    if sets < FEWEST_SETS:
        said.append(f"Fewer than {FEWEST_SETS} sets: a demonstration, not a comparison.")
    if len(listed.stands) == 1:
        said.append(noted("One yard only: the answer holds for this yard and no other."))
    if all(c.baseline is None for c in listed.colonies):
        said.append(
            noted(
                "No strength is known: neighbours make a set. Graded before the draw, fewer colonies "
                "would do."
            )
        )
    return said


def _others(left: int) -> str:
    return f"{left:,} other {'colony' if left == 1 else 'colonies'}"


def _by_yard(
    listed: Listed, asked: Asked, worn: Sequence[str], reader: Reader, rng: np.random.Generator
) -> Drawn:
    ones = drawn_as_one(listed.stands, reader, asked.apart)
    if len(ones.groups) < len(asked.arms):
        raise TrialError(
            "yards",
            say(
                "{n} to draw from for {groups} groups, since dry feed in the open feeds every colony in "
                "flight range: {why}",
                n=len(ones.groups), groups=len(asked.arms),
                why=" ".join(retold(ones.said)) or say("one yard alone is all or none."),
            ),
            say("{n} or more that lie out of each other's flight range", n=len(asked.arms)),
            say("Give the feed in the hive: then colonies can be drawn inside a yard"),
        )  # fmt: skip
    heap = asked.check is not None and asked.check * len(asked.arms) != len(ones.groups)
    groups = Groups(len(asked.arms), asked.primary, check=asked.check or 0)
    unit_of = {yard: " + ".join(group) for group in ones.groups for yard in group}
    strength: dict[str, list[float]] = {}
    for c in listed.colonies:
        strength.setdefault(unit_of[c.yard], []).append(1.0 if c.baseline is None else c.baseline)
    graded = all(c.baseline is not None for c in listed.colonies)
    matched_by = {unit: sum(s) / (len(s) if graded else 1) for unit, s in strength.items()}
    sets = yard_sets(matched_by, groups.arms)
    found = draw_units(sets if asked.matched and not heap else [tuple(matched_by)], groups, rng)
    graded_ones, said = _picked(listed, asked.a_yard, rng)
    return Drawn(units_started(graded_ones, unit_of, found, worn), None, (*ones.said, *said))


def _picked(
    listed: Listed, a_yard: int, rng: np.random.Generator
) -> tuple[tuple[Candidate, ...], tuple[str, ...]]:
    """The colonies of each yard that are graded, by lot, and what is said of the others."""
    if not a_yard:
        return listed.colonies, ()
    keys, kept = rng.random(len(listed.colonies)), set[int]()
    for stand in listed.stands:
        own = [at for at, c in enumerate(listed.colonies) if c.yard == stand.yard]
        kept |= set(sorted(own, key=lambda at: keys[at])[:a_yard])
    left = len(listed.colonies) - len(kept)
    said = (f"{_others(left)} of these yards: as their yard, {NOT_GRADED}.",) if left else ()
    return tuple(c for at, c in enumerate(listed.colonies) if at in kept), said


def _fits(asked: Asked, today: date) -> None:
    if not asked.name.strip() or len(asked.name) > MOST_NAME:
        what = say("it is too long") if asked.name.strip() else say("the trial has none")
        raise TrialError("name", what, say("up to {n} letters", n=MOST_NAME))
    if not 0 <= asked.seed <= LARGEST_SEED:
        raise TrialError("seed", f"{asked.seed}", say("{low} to {high}", low=0, high=LARGEST_SEED))
    if asked.grading <= today:
        raise TrialError(
            "day of grading", say("{day} is not ahead", day=day_and_year(asked.grading)), say("a day to come")
        )
    if (asked.grade is None) != (asked.outcome is not Outcome.MAKING_GRADE):
        raise TrialError(
            "grade line", say("it is missing") if asked.grade is None else say("the outcome is another one"),
            say("frames of bees, where the outcome is the share making grade"),
        )  # fmt: skip
    if not 0 <= asked.rescue_below <= 20:
        raise TrialError(
            "rescue below", say("{n:g} frames", n=asked.rescue_below), say("0 to 20 frames of bees")
        )
    if len(set(asked.arms)) < len(asked.arms) or not all(arm.strip() for arm in asked.arms):
        raise TrialError("groups", ", ".join(asked.arms), say("a name of its own for each"))
