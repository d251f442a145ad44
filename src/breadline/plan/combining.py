"""What it brings to combine colonies that will not make it, fed or not, two and two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.plan.by_size import BySize
from breadline.plan.ranked import HIGH, LOW
from breadline.plan.value import Reached, worth
from breadline.span import FloatArray


@dataclass(frozen=True)
class Weak:
    """The colonies that are named for combining."""

    frames: FloatArray  # each, today, small to large [frames]
    next_frames: float | None  # the smallest of the others; None where there is none [frames]
    colonies: int  # of them in the yard


@dataclass(frozen=True)
class Combined:
    """What joining them brings, over leaving them apart with what then brings most; a pair's."""

    pairs: int
    with_next: bool  # one colony alone, joined with the smallest of the others
    gain: float  # after the work [money/pair]
    gain_low: float  # 10th percentile of the seasons [money/pair]
    gain_high: float  # 90th percentile [money/pair]
    making: float  # of joined colonies [share]
    apart: float  # of the same colonies left apart [share]
    minutes: tuple[float, float, float]  # of work, low, middle and high [min/pair]
    lasts: float  # of a colony's rank in the yard, until the day [share]

    def pays(self, close: float) -> bool:
        """Whether it brings more than it costs, by more than plans are told apart by. [money/colony]"""
        return self.gain > close


def combined(sized: BySize, weak: Weak, gets: Sequence[int], reader: Reader) -> Combined | None:
    """The sum, in the seasons of ``sized``; None where there are no two colonies to join.

    A joined colony is ranked in the yard by the bees of both today, and keeps of that rank what any colony
    here keeps of its own: ``sized.lasts``, a judged correlation between strength today and on the day,
    which knows nothing of queens or brood. The hive that is given up counts as worth nothing, and as one
    that earns no fee.

    Parameters
    ----------
    sized
        The yard's colonies by size, in the seasons that all plans meet.
    weak
        Who is to be combined.
    gets
        What colonies of the yard get: 0 none, 1 half of the pieces, 2 all of them.
    reader
        ``plan.combine_minutes``.
    """
    pairs = _pairs(weak)
    if pairs is None:
        return None
    one, other = pairs
    minutes = reader.span("plan.combine_minutes")
    work = minutes.at(sized.scores) / 60.0 * sized.question.prices.work.wage.amount
    joined, making = _best(sized, one + other, gets)
    first, second = _best(sized, one, gets), _best(sized, other, gets)
    gain = (joined - first[0] - second[0]).mean(axis=1) - work
    if sized.done.as_one:
        gain = _by_average(sized, weak, (one, other), gets) - work
    low, high = np.quantile(gain, (LOW, HIGH))
    alone = weak.colonies < 2
    return Combined(
        pairs=max(1, weak.colonies // 2),
        with_next=alone,
        gain=float(gain.mean()),
        gain_low=float(low),
        gain_high=float(high),
        making=float(making.mean()),
        apart=float(np.mean([first[1].mean(), second[1].mean()])),
        minutes=(minutes.low, minutes.typical, minutes.high),
        lasts=sized.lasts,
    )


def _pairs(weak: Weak) -> tuple[FloatArray, FloatArray] | None:
    """Who is joined with whom, the largest of them with the smallest. [frames]"""
    many = weak.frames.size
    if weak.colonies < 1 or not many or (weak.colonies < 2 and weak.next_frames is None):
        return None
    if weak.colonies < 2 and weak.next_frames is not None:
        return weak.frames, np.full(many, weak.next_frames)
    others = weak.frames[::-1]
    apart = np.arange(many) != many - 1 - np.arange(many)  # the middle one of an odd number is left over
    return (weak.frames[apart], others[apart]) if many > 1 else (weak.frames, others)


def _best(sized: BySize, frames: FloatArray, gets: Sequence[int]) -> tuple[FloatArray, FloatArray]:
    """Colonies of so many ``frames`` with what brings most of what the yard gets.

    Money less cost, shape (members, sizes) [money/colony]; and who makes it, shape (sizes,) [share].
    """
    size, costs = sized.against_average(frames), sized.costs
    seen = [sized.seen(c, size) for c in gets]
    money = np.stack([one.money - costs[c][:, None] for c, one in zip(gets, seen, strict=True)])
    most = money.mean(axis=1).argmax(axis=0)
    at = np.arange(frames.size)
    making = np.stack([one.making.mean(axis=0) for one in seen])[most, at]
    return np.asarray(money[most, :, at].T), np.asarray(making)


def _by_average(
    sized: BySize, weak: Weak, pairs: tuple[FloatArray, FloatArray], gets: Sequence[int]
) -> FloatArray:
    """The same where the yard is paid by a sample's average: fewer colonies, larger in the mean.

    All of them get the most that the yard gets; shape (members,). [money/pair]
    """
    yard, spread, done = sized.question.spread.colonies, sized.question.spread, sized.done
    joining = max(2, 2 * (weak.colonies // 2))
    others = yard - joining
    apart = float(np.mean(sized.against_average(np.concatenate(pairs))))
    as_one = float(np.mean(sized.against_average(pairs[0] + pairs[1])))
    rest = (yard - joining * apart) / max(1, others)  # of the average, so that the yard's mean stays
    full = gets[-1]

    def paid(colonies: float, size: float) -> FloatArray:
        at = done.frames[full] * size
        money = worth(sized.question.target, Reached(at, at, np.ones(at.shape)), spread).money
        return np.asarray(colonies * (money * done.left[full] - sized.costs[full]))

    before = paid(yard, 1.0)
    left = others + joining / 2
    after = paid(left, (others * rest + joining / 2 * as_one) / left)
    return np.asarray((after - before) / (joining / 2))
