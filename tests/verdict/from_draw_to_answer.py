"""Made-up trials whose truth is known, drawn and analysed as real ones: for the proof and its short form.

Living colonies are lognormal about the mean of their yard and graded in half frames, the dead are 0, the
baseline hangs together with the outcome inside a yard. A fed colony that lives has so many times the bees.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from breadline.span import FloatArray
from breadline.trial.classes import LEVEL, AnswerClass, Lines
from breadline.trial.colonies import Became, Ended, Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.trial.draw import Drawn, Groups, draw_colonies, draw_units, units_started
from breadline.trial.matching import Candidate, colony_sets
from breadline.verdict.answer import Finished, answer, primary_of
from breadline.verdict.ends_of import ends_of
from breadline.verdict.fairness import Conduct

LOG_SD = 0.37  # between colonies of a yard, the middle of open data
YARD_LOG_SD = 0.30  # between yards: a share of 0.4 of the variance
MEAN = 7.0  # frames of an unfed living colony
LOST_BELOW = 1.0  # frames
TRUTH = 1_000_000  # colonies that the truth is taken from
DRIFT_DRAWS = 1_000  # draws among them, where drift makes the truth hang on who stands beside whom
DAY = date(2026, 5, 1)
SEED = 1  # of a draw by the program: its permutation then keeps to what could have been drawn
PERMUTED = 9_999  # of so many a p near the level is known to 0.002
LIVES = 4  # trials of one draw: its colonies are graded alike before, and come out anew
PAID = AnswerClass.PAID
DID_NOT_PAY = frozenset(
    {AnswerClass.STRONGER_DID_NOT_PAY, AnswerClass.NO_DIFFERENCE_LARGER, AnswerClass.DID_NOT_PAY,
     AnswerClass.WEAKER}
)  # fmt: skip
Arms = NDArray[np.int64]


@dataclass(frozen=True)
class Cell:
    """One kind of trial: colonies of each yard, how many stay unfed, and what happens to them."""

    name: str
    yards: tuple[int, ...] = (24,) * 4
    check: int = 24
    strengths: tuple[float, ...] = (5.2, 6.4, 7.4, 9.0)  # of living unfed colonies in each yard [frames]
    gain: tuple[float, ...] = (0.15,)  # of living fed colonies, one for all yards or one each [share]
    dead: tuple[float, float] = (0.0, 0.0)  # check, fed [share]
    missing: float = 0.0  # [share]
    r: float = 0.5  # of the baseline with the outcome, on the log scale; 0: nothing was graded before
    drift: float = 0.0  # of each hive's bees that stand in its neighbour's, of whichever group [share]
    whole: int = 0  # yards an arm where yards are drawn, of strengths that differ from trial to trial


CELLS = (
    Cell("balanced", check=48),
    Cell("6 unfed, 94 fed", yards=(100,), check=6, strengths=(MEAN,)),
    Cell("ends missing, 5 %", missing=0.05),
    Cell("deaths, 5 %", dead=(0.05, 0.05)),
    Cell("deaths, 20 %", dead=(0.20, 0.20)),
    Cell("feed halves deaths, 20 to 10 %", dead=(0.20, 0.10), gain=(0.05,)),
    Cell("effect differs between yards", gain=(0.25, 0.05, 0.20, 0.10)),
    Cell("yards alike", strengths=(MEAN,) * 4),
    Cell("baseline tells little, r 0.1", r=0.1),
    Cell("4 and 4 yards drawn", yards=(12,) * 8, whole=4, r=0.0),
    Cell("6 and 6 yards drawn", yards=(12,) * 12, whole=6, r=0.0),
    Cell("drift, 11 % in the other group's hives", check=48, drift=0.17),  # neighbours are often of the other
)
BESIDE = (
    Cell("effect from 0 to 2.7 frames, by yard", gain=(0.0, 0.1, 0.2, 0.3)),
    Cell("6 unfed, 94 fed, a fifth dead", yards=(100,), check=6, strengths=(MEAN,), dead=(0.20, 0.20)),
    Cell("10 unfed, 90 fed, deaths halved", yards=(100,), check=10, strengths=(MEAN,), dead=(0.20, 0.10),
         gain=(0.05,)),
    Cell("6 and 6 yards drawn, graded before", yards=(12,) * 12, whole=6),
    Cell("6 and 6 yards, no difference between them", yards=(12,) * 12, whole=6, strengths=(MEAN,) * 12),
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class Herd:
    """Colonies with both outcomes that each could have; shape (colonies,)."""

    yard: Arms
    before: FloatArray  # scores
    baseline: FloatArray
    unfed: FloatArray
    fed: FloatArray


def herd(cell: Cell, sizes: tuple[int, ...], rng: np.random.Generator) -> Herd:
    """So many colonies of each yard."""
    yard = np.repeat(np.arange(len(sizes)), sizes)
    before = rng.normal(size=len(yard))
    strengths = _strengths(cell, len(sizes), rng)
    return _lived(cell, yard, before, halves(strengths[yard] * _spread(before)), strengths, rng)


def lived_again(cell: Cell, of: Herd, rng: np.random.Generator) -> Herd:
    """The same colonies before the draw, and another outcome of each."""
    return _lived(cell, of.yard, of.before, of.baseline, _strengths(cell, int(of.yard[-1]) + 1, rng), rng)


def _lived(cell, yard, before, baseline, strengths, rng) -> Herd:
    more, fate = rng.normal(size=len(yard)), rng.random(len(yard))
    gain = np.resize(cell.gain, len(strengths))[yard]
    bees = strengths[yard] * _spread(cell.r * before + np.sqrt(1 - cell.r**2) * more)
    unfed, fed = (
        np.where((fate < dead) | (b < LOST_BELOW), 0.0, b)
        for dead, b in zip(cell.dead, (halves(bees), halves(bees * (1 + gain))), strict=True)
    )
    return Herd(yard, before, baseline, unfed, fed)


def halves(frames: FloatArray) -> FloatArray:
    """As they are graded."""
    graded: FloatArray = np.round(2 * frames) / 2
    return graded


def _spread(scores: FloatArray) -> FloatArray:
    spread: FloatArray = np.exp(LOG_SD * scores - LOG_SD**2 / 2)
    return spread


def _strengths(cell: Cell, yards: int, rng: np.random.Generator) -> FloatArray:
    if cell.whole and len(cell.strengths) != len(cell.yards):
        return MEAN * np.exp(YARD_LOG_SD * rng.normal(size=yards) - YARD_LOG_SD**2 / 2)
    return np.resize(cell.strengths, yards)


def came_to(cell: Cell, of: Herd, arm: Arms) -> FloatArray:
    """Frames on the day, bees of neighbours in pairs along the row mixed where they drift."""
    own = np.where(arm == 1, of.fed, of.unfed)
    if not cell.drift:
        return own
    pairs = own.reshape(-1, 2)  # yards hold even numbers, and stand in the order of their rows
    both = (pairs > 0).all(axis=1, keepdims=True)
    mixed: FloatArray = np.where(both, pairs + cell.drift * (pairs[:, ::-1] - pairs), pairs).ravel()
    return mixed


def drawn(cell: Cell, of: Herd, rng: np.random.Generator) -> Drawn:
    """The draw, by the program's own."""
    counts = np.bincount(of.yard)
    place = np.concatenate([np.arange(1, n + 1) for n in counts])
    told = of.baseline.tolist() if cell.r else [None] * len(of.yard)
    colonies = [
        Candidate(f"hive {n}", f"yard {y}", b, 1, int(p))
        for n, (y, b, p) in enumerate(zip(of.yard.tolist(), told, place, strict=True))
    ]
    tags = [f"tag {n}" for n in range(len(colonies))]
    if not cell.whole:
        return draw_colonies(colonies, colony_sets(colonies, cell.check, 2), tags, Groups(2, 1), rng)
    names = [f"yard {y}" for y in range(len(counts))]
    of_unit = draw_units([tuple(names)], Groups(2, 1), rng)
    return Drawn(units_started(colonies, {n: n for n in names}, of_unit, tags), None, ())


def finished(cell: Cell, of: Herd, lot: Drawn, lines: Lines, rng: np.random.Generator) -> Finished:
    """The trial with what became of every colony."""
    arm = np.array([one.arm for one in lot.started])
    gone = rng.random(len(arm)) < cell.missing
    ended = tuple(
        _end(one, frames, lost)
        for one, frames, lost in zip(lot.started, came_to(cell, of, arm).tolist(), gone, strict=True)
    )
    design = Design(
        Outcome.FRAMES, CheckArm.SAME_CARE, Unit.YARD if cell.whole else Unit.COLONY, Allocation.DRAWN,
        ("check", "fed"), 1, lines, DAY, lot.started, seed=SEED, staggered=lot.staggered,
        apart=lot.apart,
    )  # fmt: skip
    return Finished(design, ended, Conduct())


def _end(one: Started, frames: float, lost: bool) -> Ended:
    if lost:
        return Ended(one.tag, Became.NOT_FOUND)
    if frames == 0:
        return Ended(one.tag, Became.DEAD)
    return Ended(one.tag, Became.GRADED, frames, DAY)


def truth(cell: Cell, rng: np.random.Generator, colonies: int = TRUTH) -> float:
    """Mean frames a colony started that feed adds, dead ones 0, drift as it happens [frames]."""
    times = max(1, colonies // sum(cell.yards))
    if not cell.drift:
        of = herd(cell, cell.yards * times if cell.whole else tuple(times * n for n in cell.yards), rng)
        return float(np.mean(of.fed - of.unfed))
    found = []
    for _ in range(min(times, DRIFT_DRAWS)):
        of = herd(cell, cell.yards, rng)
        arm = np.array([one.arm for one in drawn(cell, of, rng).started])
        for _ in range(max(1, times // DRIFT_DRAWS)):
            of = herd(cell, cell.yards, rng)
            # less the same draw with feed that does nothing, whose difference is 0 over all draws
            more = came_to(cell, of, arm) - came_to(cell, replace(of, fed=of.unfed), arm)
            found.append(more[arm == 1].mean() - more[arm == 0].mean())
    return float(np.mean(found))


@dataclass(frozen=True, eq=False)
class Shown:
    """What trials of a cell came to; shape (trials,)."""

    truth: float
    low: FloatArray
    high: FloatArray
    said: tuple[AnswerClass, ...]  # at a break-even that is the truth, of trials whose interval leaves it

    @property
    def covered(self) -> float:
        """Share of intervals that hold the truth."""
        return float(np.mean((self.low <= self.truth) & (self.truth <= self.high)))

    def said_share(self, classes: frozenset[AnswerClass]) -> float:
        """Share of trials of which one of the classes is said, break-even being the truth."""
        return sum(one in classes for one in self.said) / len(self.low)


def joined(parts: Sequence[Shown]) -> Shown:
    """Rounds of one cell as one."""
    low, high = (np.concatenate([getattr(one, name) for one in parts]) for name in ("low", "high"))
    return Shown(parts[0].truth, low, high, tuple(said for one in parts for said in one.said))


def intervals(
    cell: Cell, trials: int, true: float, rng: np.random.Generator
) -> Iterator[tuple[Finished, float, float]]:
    """Trials one after the other, each with the interval of its primary analysis."""
    lines = Lines(true, max(true, 0.1))
    of = herd(cell, cell.yards, rng)
    lot = drawn(cell, of, rng)
    for k in range(1, trials + 1):
        one = finished(cell, of, lot, lines, rng)
        found = primary_of(one.design, ends_of(one.design, one.ended), rng).contrast
        yield one, *found.interval(LEVEL)
        if k % LIVES and not cell.whole:
            of = lived_again(cell, of, rng)
        else:
            of = herd(cell, cell.yards, rng)
            lot = drawn(cell, of, rng)


def shown(cell: Cell, trials: int, true: float, rng: np.random.Generator) -> Shown:
    """So many trials of a cell; those whose interval leaves the truth go through the whole answer."""
    low, high, said = [], [], []
    for one, least, most in intervals(cell, trials, true, rng):
        low.append(least)
        high.append(most)
        if not least <= true <= most:
            said.append(answer(one, rng, PERMUTED).given)
    return Shown(true, np.array(low), np.array(high), tuple(said))
