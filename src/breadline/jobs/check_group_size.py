"""How many colonies to leave unfed, from what is asked and what the shelf and one's own grading say."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import inf

import numpy as np

from breadline.belief.gain import IN_WORDS, SURVIVAL
from breadline.belief.survival_learnt import NOT_APART
from breadline.errors import TrialError
from breadline.going_on import still_wanted
from breadline.jobs.check_group_asked import SizeAsked
from breadline.jobs.counts_known import LASTS
from breadline.jobs.season import FigureUsed, figures_used
from breadline.knowledge.shelf import Reader, Shelf, load
from breadline.language import noted, say
from breadline.plan.surviving import kept_alive_ends
from breadline.span import Z95
from breadline.trial.arrangements import FEWEST_SETS
from breadline.trial.classes import AnswerClass, Lines
from breadline.trial.design import CheckArm, Outcome, Unit
from breadline.trial.half_rate import as_sharp_colonies, as_sharp_yards
from breadline.trial.planner import (
    PaidChance,
    Questions,
    SizeRow,
    colony_noise,
    sets_of,
    told_from_nothing,
)
from breadline.trial.proposal import Proposal, Stakes, propose_colonies, propose_yards
from breadline.trial.sets import Noise, sets_precision
from breadline.trial.size import YardDraw
from breadline.trial.spread import ColonySpread, spread_used
from breadline.trial.value_path import HALVES, MakingGrade, PerUnit, Strengths, ValuePath
from breadline.trial.worth import Ahead, Belief, Grading
from breadline.verdict.forecast import Chances, Expected, GradeLine, foretold_classes
from breadline.verdict.forecast_yards import foretold_yards
from breadline.verdict.making_grade import lines_in_shares

SIZES = noted("{n:,} of {all:,} sizes of the check group.")
SEED = 20261125  # of baselines and missing ends that are looked at; an answer is the same each time


@dataclass(frozen=True)
class SizeAnswer:
    """What a person is told about the size of a check group, and what it rests on.

    Parameters
    ----------
    asked
        What was asked.
    proposal
        All sizes and the best.
    questions, stakes
        What the chances and the worth were worked out for; of the second half of the feed where the
        check group gets the first.
    unfed
        Unfed colonies on the day. [frames or kg]
    spread
        How much colonies differ.
    believed_by
        What the belief rests on, in words.
    figures
        Of the shelf.
    as_sharp
        Of each size, the check units at half the rate that tell half the difference as surely; where the
        check group is at half the rate, the unfed ones that tell the whole. None where a size tells none;
        empty where the check group gets sugar or usual practice.
    told_if
        Of each size, the smallest benefit told from nothing where colonies differ as little and as much as
        they well may. [unit of the outcome]
    """

    asked: SizeAsked
    proposal: Proposal
    questions: Questions
    stakes: Stakes
    unfed: Strengths
    spread: ColonySpread
    believed_by: str
    figures: tuple[FigureUsed, ...]
    as_sharp: tuple[int | None, ...] = ()
    told_if: tuple[tuple[float, float], ...] = ()


def size_answer(
    asked: SizeAsked, shelf: Shelf | None = None, sizes: Sequence[int] = (),
    wanted: Callable[[], bool] = lambda: True,
) -> SizeAnswer:  # fmt: skip
    """The size of check group that is worth most, and what each size could tell.

    Parameters
    ----------
    asked
        What is asked.
    shelf
        The figures, the shipped ones where none are given.
    sizes
        Unfed colonies, or yards, to look at; empty looks at all that make sense.
    wanted
        Whether anybody still waits for it; asked before each size, and nothing more is drawn where not.

    Errors
    ------
    TrialError
        With what to mend: no usual strength, a cost that no gain can cover, too few colonies or yards.
    """
    if asked.nobody_unfed:
        asked = replace(asked, check_arm=CheckArm.HALF)
    there = shelf or load()
    reader = there.reader()
    if asked.counts is not None and asked.baseline:
        counts = replace(asked.counts, lasts=reader.typical(LASTS))
        asked = replace(asked, counts=counts, counted=not counts.old)
    spread = spread_used(asked.graded, asked.outcome, reader)
    unfed = _unfed(asked, spread, reader)
    path = _path(asked, unfed, reader)
    belief, said = _belief(asked, unfed, reader)
    cost = asked.cost
    if asked.check_arm is CheckArm.HALF:  # the second half of the feed, for half the money
        belief, cost = belief.halved(), cost / 2.0
    if asked.check_arm is CheckArm.SUGAR:  # what the feed costs more than sugar alone
        cost -= _sugar_cost(asked)
        said += "; it is of feeding against no feed, and of protein without its sugar nothing else is known"
    line = path.break_even(cost)
    margin = asked.margin or (line if line > 0 else 0.1 * unfed.mean)
    questions = Questions(Lines(line, margin), belief.mean)
    before = asked.baseline and not asked.counted
    stakes = Stakes(belief, path, cost, _ahead(asked, reader), _grading(asked, reader), asked.feeds, before)
    noise = _noise(asked, unfed, spread)
    found = _proposed(asked, noise, spread, (questions, stakes), sizes)
    r = spread.baseline_r if asked.baseline else 0.0
    expected = Expected(unfed, unfed.dead, r, asked.missing)
    grade = None
    if isinstance(path, MakingGrade):
        grade = GradeLine(path.line, lines_in_shares(path, questions.lines))

    def foretold(row: SizeRow, benefits: Sequence[float]) -> list[Chances]:
        if not wanted():
            raise TrialError(say("this page"), say("nobody waits for it any more"))
        rng = np.random.default_rng(SEED)
        if asked.unit is Unit.YARD:
            return foretold_yards(_yards(row.check, asked, noise, spread), benefits, questions.lines, rng)
        sets, _ = sets_of(row.check, row.fed_each, [n for _, n in asked.yards])
        return foretold_classes(sets, expected, benefits, questions.lines, rng, grade)

    found = _foretold(found, foretold, questions)
    used = figures_used(there, reader.used)
    sharp = _as_sharp(asked, found, noise, spread)
    band = _told_if(asked, [one.row for one in found.sizes], unfed, spread)
    return SizeAnswer(asked, found, questions, stakes, unfed, spread, said, used, sharp, band)


def _told_if(
    asked: SizeAsked, rows: Sequence[SizeRow], unfed: Strengths, spread: ColonySpread
) -> tuple[tuple[float, float], ...]:
    """Of each size the smallest benefit told if colonies differ as little and as much as they well may."""

    def told(row: SizeRow, log_sd: float) -> float:
        still_wanted()
        one = replace(spread, log_sd=log_sd)
        noise = _noise(asked, unfed, one)
        units = row.check, row.fed
        if asked.unit is Unit.YARD:
            draw = _yards(row.check, asked, noise, one)
            return told_from_nothing(units, draw.precision, Noise(draw.sd, draw.baseline_r, mean=draw.mean))
        sets, _ = sets_of(row.check, row.fed_each, [n for _, n in asked.yards])
        return told_from_nothing(units, sets_precision(sets, noise, np.random.default_rng(SEED)), noise)

    low, high = spread.log_sd_ends
    # against the same draws at the middle, so that the band holds its line whatever draws that came from
    found = []
    for row in rows:
        ends = told(row, low), told(row, high)
        beside = row.from_zero / told(row, spread.log_sd)  # 0 or no number where one of them tells nothing
        found.append((beside * ends[0], beside * ends[1]) if 0.0 < beside < inf else (inf, inf))
    return tuple(found)


def _as_sharp(
    asked: SizeAsked, found: Proposal, noise: Noise, spread: ColonySpread
) -> tuple[int | None, ...]:
    """For each size the check units at the other rate that tell as surely; none where there is no other.

    A check group on sugar or usual practice gets no part of the feed, of which half could be asked.
    """
    if asked.check_arm not in (CheckArm.SAME_CARE, CheckArm.HALF):
        return ()
    part = 2.0 if asked.check_arm is CheckArm.HALF else 0.5
    rows = [one.row for one in found.sizes]
    if asked.unit is Unit.YARD:
        return tuple(as_sharp_yards(_yards(row.check, asked, noise, spread), part) for row in rows)
    return tuple(as_sharp_colonies(row, noise, part, lambda: np.random.default_rng(SEED)) for row in rows)


def _sugar_cost(asked: SizeAsked) -> float:
    if asked.sugar_cost is None or asked.sugar_cost > asked.cost:
        what = (
            say("what one costs a colony is not said")
            if asked.sugar_cost is None
            else say("it costs more than the feed")
        )
        raise TrialError(
            "sugar_cost", what, say("money a colony, at most {cost:g}", cost=asked.cost),
            say("Feeding is then judged by what it costs more than that"),
        )  # fmt: skip
    return asked.sugar_cost


def _foretold(
    found: Proposal, foretold: Callable[[SizeRow, Sequence[float]], list[Chances]], questions: Questions
) -> Proposal:
    """The same sizes with the chances of classes drawn, as they will be printed."""
    line = max(questions.lines.break_even, 0.0)
    sizes = []
    for n, one in enumerate(found.sizes):
        still_wanted(n, len(found.sizes), SIZES)
        told = foretold(one.row, (0.0, line, 2.0 * line, questions.believed))
        paid = PaidChance(*(of[AnswerClass.PAID] for of in told))
        sizes.append(replace(one, row=replace(one.row, paid=paid, classes=told[-1])))
    return replace(found, sizes=tuple(sizes))


def _yards(check: int, asked: SizeAsked, noise: Noise, spread: ColonySpread) -> YardDraw:
    """So many whole yards left unfed, the others fed."""
    colonies = [n for _, n in asked.yards]
    left = max(1, round(min(asked.a_yard, *colonies) * (1.0 - asked.missing)))
    total = noise.sd / float(np.sqrt(1.0 - spread.icc))
    fed = len(colonies) - check
    return YardDraw(check, fed, left, total, spread.icc, noise.baseline_r, False, noise.mean)


def noise_of(asked: SizeAsked, reader: Reader) -> tuple[Noise, float]:
    """What blurs a comparison of colonies, and the mean of unfed ones [unit of the outcome]."""
    spread = spread_used(asked.graded, asked.outcome, reader)
    unfed = _unfed(asked, spread, reader)
    return _noise(asked, unfed, spread), unfed.mean


def _unfed(asked: SizeAsked, spread: ColonySpread, reader: Reader) -> Strengths:
    if asked.usual is None:
        honey = asked.outcome is Outcome.HONEY
        raise TrialError(
            "unfed colonies", say("what they will have on the day is not known"),
            say("kg of honey each") if honey else say("frames of bees each"),
            say("Give your usual count without feed"),
        )  # fmt: skip
    deaths = reader.typical("plan.losses") if asked.deaths is None else asked.deaths
    return Strengths(deaths, asked.usual, spread.log_sd)


def _path(asked: SizeAsked, unfed: Strengths, reader: Reader) -> ValuePath:
    if asked.price is not None:
        return PerUnit(asked.outcome, asked.price)
    assert asked.target is not None  # a file says one or the other
    return MakingGrade(asked.target, unfed, asked.colonies, reader.typical("plan.sampled"), HALVES)


def _belief(asked: SizeAsked, unfed: Strengths, reader: Reader) -> tuple[Belief, str]:
    """On the scale of the outcome: its median, and a spread that is half its nine-in-ten range over 1.645."""
    season = reader.typical("belief.season_sd")
    if asked.gain is not None:
        low, middle, high = asked.gain
        said = say("the gain that was filled in, yours or your plan’s")
    else:
        honey = asked.outcome is Outcome.HONEY
        starved = honey and asked.situation in ("dearth", "poor_spring")
        situation = asked.situation or "poor_spring"
        key = f"belief.honey{'_starved' if starved else ''}_gain" if honey else f"belief.{situation}_gain"
        span = reader.span(key)
        low, middle, high = (float(np.exp(v)) for v in (span.low, span.typical, span.high))
        said = say("published trials of feeding {forage}, our judgement", forage=say(IN_WORDS[situation]))
        if not asked.situation:
            said += say("; say which situation it is, and it goes by that")
    lives, of_losses = _lives(asked, unfed.dead, reader)
    said += of_losses
    low, middle, high = (v * k for v, k in zip((low, middle, high), lives, strict=True))
    mean = unfed.mean * (middle - 1.0)
    sd = unfed.mean * (high - low) / (2.0 * Z95)
    return Belief(mean, sd, unfed.mean * middle * season), said


def _lives(asked: SizeAsked, dead: float, reader: Reader) -> tuple[tuple[float, float, float], str]:
    """Fed colonies alive for one that lives unfed, low, middle, high [ratio], and what is said of it.

    One luck for bees and for survival, as in a plan: the ends are laid on each other. Paid by the line a
    colony that lives is worth its fee and not its frames, so it is left out there (docs/decisions/0013).
    """
    own = asked.gain is not None and asked.with_losses
    if own or dead == 0.0:
        return (1.0, 1.0, 1.0), ""
    believed = asked.survival or reader.span(SURVIVAL[asked.situation or "poor_spring"])
    if believed == NOT_APART:  # own results whose dead stand in them as 0, so that it is in them
        return (1.0, 1.0, 1.0), say("; what feeding did to losses is in your own results, their dead as 0")
    if asked.target is not None:
        said = say(
            "; what feeding does to losses is not in it: the verdict counts it, by what each group came to"
        )
        return (1.0, 1.0, 1.0), said
    lives = kept_alive_ends(1.0 - dead, believed)
    if lives == (1.0, 1.0, 1.0):  # the figure is set to 0
        return lives, ""
    return lives, say("; with what is believed of feeding and losses laid on it, as in a plan")


def _ahead(asked: SizeAsked, reader: Reader) -> Ahead:
    seasons = round(reader.typical("check_group.seasons")) if asked.seasons is None else asked.seasons
    discount = reader.typical("check_group.discount") if asked.discount is None else asked.discount
    return Ahead(asked.colonies if asked.ahead is None else asked.ahead, seasons, discount)


def _grading(asked: SizeAsked, reader: Reader) -> Grading:
    minutes = reader.typical("check_group.minutes_graded") if asked.minutes is None else asked.minutes
    return Grading(minutes, 1, asked.wage)


def _noise(asked: SizeAsked, unfed: Strengths, spread: ColonySpread) -> Noise:
    noise = colony_noise(unfed, spread, asked.missing)
    return noise if asked.baseline else replace(noise, baseline_r=0.0)


def _too_few(colonies: int, blunt: TrialError) -> TrialError:
    """No size of check group could tell: said of the colonies first, then why, then the way out."""
    return TrialError(
        "colonies",
        say("{n} are too few to tell whether feeding paid: {why}", n=colonies, why=blunt.what),
        say("{n} or more, {pairs} pairs of like colonies at least", n=2 * FEWEST_SETS, pairs=FEWEST_SETS),
        say(
            "Draw with neighbours, both groups in every yard, and pool the trials; with your own alone, feed "
            "by what the season says and call it no comparison"
        ),
    )  # fmt: skip


def _proposed(
    asked: SizeAsked, noise: Noise, spread: ColonySpread, of: tuple[Questions, Stakes], sizes: Sequence[int]
) -> Proposal:
    colonies = [n for _, n in asked.yards]
    if asked.unit is Unit.COLONY:
        try:
            return propose_colonies(colonies, noise, *of, np.random.default_rng(SEED), sizes)
        except TrialError as blunt:
            raise blunt if sizes else _too_few(asked.colonies, blunt) from None
    if len(colonies) < 2:
        raise TrialError(
            "yards", say("one yard, fed in the open"), say("at least six yards, three of them unfed"),
            say("Feed patties in the hive, and draw colonies inside the yard"),
        )  # fmt: skip
    usual = float(np.mean(colonies))
    counts = [k for k in sizes or range(1, len(colonies) // 2 + 1) if 1 <= k < len(colonies)]
    draws = [_yards(k, asked, noise, spread) for k in counts]
    return propose_yards(draws, [round(k * usual) for k in counts], *of)
