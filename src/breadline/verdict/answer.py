"""From the colonies of a finished trial to its class, its interval and what stands beside them."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from breadline.errors import FitError, TrialError
from breadline.language import say
from breadline.trial.classes import LEVEL, AnswerClass, Lines, class_of, class_of_interval, told_by_interval
from breadline.trial.colonies import CHECK, Ended
from breadline.trial.design import Design, Unit
from breadline.trial.value_path import MakingGrade
from breadline.verdict.ancova import classical_contrast, contrast, fit
from breadline.verdict.bounds import Bounds, bounds
from breadline.verdict.classes import weaker_of_both
from breadline.verdict.contrast import Contrast
from breadline.verdict.elsewhere import Elsewhere, elsewhere
from breadline.verdict.ends import Ends, IntArray
from breadline.verdict.ends_of import Came, ends_of
from breadline.verdict.fairness import Broken, Conduct, breaches
from breadline.verdict.few_unfed import careful
from breadline.verdict.losses import Losses, losses
from breadline.verdict.making_grade import MadeGrade, made_grade
from breadline.verdict.permutation import PermutationP, draws_for
from breadline.verdict.permutation_class import MOST, by_permutation
from breadline.verdict.sensitivity import Beside, sensitivities
from breadline.verdict.simultaneous import Together, against_check, between_all
from breadline.verdict.visits import OverVisits, Visit, over_visits
from breadline.verdict.weights import contrast_of
from breadline.verdict.within_rows import rules_of
from breadline.verdict.yard_means import means_of_yards, yard_answer

DRIFT_LEFT = 0.78  # of a difference where 11 in 100 bees of either group stand in the other's hives [share]


@dataclass(frozen=True)
class Finished:
    """A trial whose colonies have come to their ends.

    Parameters
    ----------
    design
        What was locked, or what is known of the draw.
    ended
        What became of every colony.
    conduct
        How it was carried out.
    visits
        Earlier readings, for a look over all of them.
    grade_path
        From frames to the share making grade and its money, where that pays.
    grade_cost
        What feeding cost, in that money. [money/colony]
    """

    design: Design
    ended: tuple[Ended, ...]
    conduct: Conduct
    visits: tuple[Visit, ...] = ()
    grade_path: MakingGrade | None = None
    grade_cost: float | None = None


@dataclass(frozen=True)
class Judged:
    """A difference with its interval and the class that follows. [unit of the outcome]"""

    contrast: Contrast
    low: float
    high: float
    given: AnswerClass


@dataclass(frozen=True)
class Arm:
    """One group as it came out.

    Parameters
    ----------
    name
        As it was locked.
    started, lost, unknown
        Colonies drawn, counted as 0, and with an end nobody knows.
    mean
        Mean outcome of the known ones, lost ones as 0. [unit of the outcome]
    """

    name: str
    started: int
    lost: int
    unknown: int
    mean: float


@dataclass(frozen=True)
class Answer:
    """What a trial came to.

    Parameters
    ----------
    given
        The class that is said.
    broken
        Breaches of a fair comparison; with any of them nothing below but the bounds is worked out.
    why_not
        Why no difference could be judged, though nothing was unfair; "" where it could.
    came
        The colonies.
    arms
        The groups.
    here
        The primary analysis, for the colonies of these yards.
    by_permutation, permutation, permutation_at_break_even
        The class by the exact way, its p value, and that of a benefit as large as the break-even.
    weakened
        Why the class said is weaker than the model's: "permutation", "share", "money", "drift" or "".
    elsewhere
        What to expect in another yard; None with fewer than five yards holding both groups.
    bounds
        Worst and best case of ends not known, also where nothing else is worked out; None where all are.
    beside
        The sensitivities.
    others
        Differences of the other arms, intervals right together.
    grade
        Shares making grade; None where another outcome pays, or no price is known.
    grade_cost
        What feeding cost, in the money of those shares; None where nobody said. [money/colony]
    losses
        Colonies lost in both groups; None where none was.
    over_visits
        All visits in one model; None with one.
    careful
        Whether the interval was widened because few stand in a group and some are lost.
    """

    given: AnswerClass
    broken: tuple[Broken, ...]
    why_not: str
    came: Came
    arms: tuple[Arm, ...]
    here: Judged | None = None
    by_permutation: AnswerClass | None = None
    permutation: PermutationP | None = None
    weakened: str = ""
    elsewhere: Elsewhere | None = None
    bounds: Bounds | None = None
    beside: tuple[Beside, ...] = ()
    others: tuple[Together, ...] = ()
    careful: bool = False
    over_visits: OverVisits | None = None
    grade: MadeGrade | None = None
    grade_cost: float | None = None
    losses: Losses | None = None
    permutation_at_break_even: PermutationP | None = None

    @property
    def clear_of_chance(self) -> bool:
        """Whether range and lots both tell the difference from 0, to the same side."""
        here, lots = self.here, self.permutation
        if here is None or lots is None:
            return False
        return (here.low > 0 and lots.p_above <= MOST) or (here.high < 0 and lots.p_below <= MOST)


def answer(finished: Finished, rng: np.random.Generator, draws: int | None = None) -> Answer:
    """The verdict of a finished trial.

    Parameters
    ----------
    finished
        The trial.
    rng
        For permutations too many to list.
    draws
        How many are then drawn; ``draws_for`` the colonies where None, so that one trial has one reading.

    Errors
    ------
    TrialError
        If a colony has no end, or an end no colony.
    """
    design = finished.design
    draws = draws or draws_for(len(design.started))
    came = ends_of(design, finished.ended)
    arms = _arms(design, came)
    if broken := breaches(design, came, finished.conduct):
        return Answer(AnswerClass.NOT_FAIR, broken, "", came, arms, bounds=_bounds_alone(design, came))
    try:
        return _judged(finished, came, rng, draws)
    except (TrialError, FitError) as refused:
        why = _why(came, refused)
        return Answer(AnswerClass.TOO_FEW, (), why, came, arms, bounds=_bounds_alone(design, came))


def _judged(finished: Finished, came: Came, rng: np.random.Generator, draws: int) -> Answer:
    design, known = finished.design, came.known
    primary = primary_of(design, came, rng)
    here = judged(primary.contrast, design.lines)
    two = _two_arms(known, design.primary)
    unit_ends = (
        two if design.unit is Unit.COLONY else means_of_yards(two, _yards_of_two(came, design.primary))
    )
    told = by_permutation(unit_ends, design.lines, rng, draws, rules_of(design, came))
    grade = None if finished.grade_path is None else made_grade(design, came, finished.grade_path, rng)
    given, weakened = _weakest(finished, here, told.given, grade)
    return Answer(
        given=given,
        broken=(),
        why_not="",
        came=came,
        arms=_arms(design, came),
        here=here,
        by_permutation=told.given,
        permutation=told.at_zero,
        permutation_at_break_even=told.at_break_even,
        weakened=weakened,
        elsewhere=elsewhere(design, came),
        bounds=_bounds(design, came),
        beside=sensitivities(design, came),
        others=_others(design, came),
        careful=primary.widened,
        grade=grade,
        grade_cost=finished.grade_cost,
        losses=losses(design, came, rng, draws),
        over_visits=over_visits(design, came, finished.visits),
    )


def _weakest(
    finished: Finished, here: Judged, by_lots: AnswerClass, grade: MadeGrade | None
) -> tuple[AnswerClass, str]:
    """The class said, and what made it weaker than the model's; "" where nothing did."""
    beside = [("permutation", by_lots)]
    if grade is not None:
        beside += [("share", grade.given), ("money", _by_money(finished, here, grade))]
    given, weakened = here.given, ""
    for why, other in beside:
        if (both := weaker_of_both(given, other)) is not given:
            given, weakened = both, why
    design = finished.design
    if in_one_row(design) and judged_after_drift(here, design.lines) is not here.given:
        return AnswerClass.TOO_FEW, "drift"
    return given, weakened


def _by_money(finished: Finished, here: Judged, grade: MadeGrade) -> AnswerClass:
    """The class where the money of the share making grade decides whether it paid, so both say one thing."""
    cost, lines = finished.grade_cost, finished.design.lines
    if cost is None:
        return here.given
    return class_of(
        replace(
            told_by_interval(here.low, here.high, lines),
            above_break_even=grade.money.low > cost,
            below_break_even=grade.money.high < cost,
        )
    )


@dataclass(frozen=True)
class Primary:
    """The primary contrast, and whether few in a group with losses made its interval wider."""

    contrast: Contrast
    widened: bool


def primary_of(design: Design, came: Came, rng: np.random.Generator) -> Primary:
    """The locked contrast: colonies by covariance, whole yards by their means.

    ``rng`` is for the permutation of yards too many to list; the contrast does not hang on it.
    """
    if design.unit is Unit.YARD:
        two = _two_arms(came.known, design.primary)
        return Primary(yard_answer(two, _yards_of_two(came, design.primary), rng).contrast, False)
    fitted = fit(came.known)
    weights = contrast_of(design.primary, fitted.arms)
    plain = contrast(fitted, weights)
    found = careful(fitted, weights, plain, came)
    return Primary(found, found is not plain)


def judged(found: Contrast, lines: Lines) -> Judged:
    """A contrast with its interval and class."""
    low, high = found.interval(LEVEL)
    return Judged(found, low, high, class_of_interval(low, high, lines))


def judged_after_drift(here: Judged, lines: Lines) -> AnswerClass:
    """The class were estimate and interval what they are without bees gone to the other group."""
    return class_of_interval(here.low / DRIFT_LEFT, here.high / DRIFT_LEFT, lines)


def in_one_row(design: Design) -> bool:
    """Whether colonies were compared whose groups stand in one row without alternating, as far as known."""
    return design.unit is Unit.COLONY and design.staggered is False


def _two_arms(known: Ends, fed: int) -> Ends:
    """The check group and one fed arm alone, as 0 and 1."""
    chosen = (known.arm == CHECK) | (known.arm == fed)
    arm = (known.arm[chosen] == fed).astype(np.int64)
    return Ends(known.outcome[chosen], arm, known.block[chosen], known.baseline[chosen])


def _yards_of_two(came: Came, fed: int) -> IntArray:
    known = ~came.missing
    chosen = known & ((came.ends.arm == CHECK) | (came.ends.arm == fed))
    yards: IntArray = came.yard[chosen]
    return yards


def _bounds(design: Design, came: Came) -> Bounds | None:
    if not came.missing.any() or came.missing.all():
        return None
    most = max(float(came.ends.outcome[~came.missing].max()), 1.0)
    if design.unit is Unit.YARD:
        return Bounds(*(_yards_filled(design, came, fed, check) for fed, check in ((0.0, most), (most, 0.0))))
    return bounds(came.ends, came.missing, contrast_of(design.primary, came.ends.arms), 0.0, most)


def _bounds_alone(design: Design, came: Came) -> Bounds | None:
    """The same where nothing else was worked out; None where no filling can be compared."""
    try:
        return _bounds(design, came)
    except (TrialError, FitError):
        return None


def _yards_filled(design: Design, came: Came, fed: float, check: float) -> Contrast:
    """Yards compared with every unknown end at one value for each group."""
    filled = np.where(came.ends.arm == CHECK, check, fed)
    ends = replace(came.ends, outcome=np.where(came.missing, filled, came.ends.outcome))
    two = (ends.arm == CHECK) | (ends.arm == design.primary)
    yards = means_of_yards(_two_arms(ends, design.primary), came.yard[two])
    return classical_contrast(fit(yards), contrast_of(1, 2))


def _others(design: Design, came: Came) -> tuple[Together, ...]:
    """Every other difference, right together; none where there are two arms only, or too few yards."""
    known = came.known
    if known.arms == 2:
        return ()
    units = known if design.unit is Unit.COLONY else means_of_yards(known, came.yard[~came.missing])
    try:
        fitted = fit(units)
        check = [t for t in against_check(fitted, LEVEL) if t.second != design.primary]
        return (*check, *(t for t in between_all(fitted, LEVEL) if t.first != CHECK))
    except TrialError:
        return ()


def _arms(design: Design, came: Came) -> tuple[Arm, ...]:
    found = []
    for arm, name in enumerate(design.arms):
        here = came.ends.arm == arm
        known = here & ~came.missing
        mean = float(came.ends.outcome[known].mean()) if known.any() else float("nan")
        lost, unknown = int(came.nothing[here].sum()), int(came.missing[here].sum())
        found.append(Arm(name, int(here.sum()), lost, unknown, mean))
    return tuple(found)


def _why(came: Came, refused: TrialError | FitError) -> str:
    """Why nothing can be told, in the trial's own words."""
    if came.nothing[~came.missing].all():
        return say("every colony was lost, fed and unfed alike, so nothing tells the groups apart")
    counts = np.bincount(came.ends.arm[~came.missing], minlength=came.ends.arms)
    if counts.min() < 2:
        return say("a group of one colony has no spread of its own, so chance cannot be judged")
    return refused.what
