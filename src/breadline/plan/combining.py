"""What it brings to combine colonies that will not make it, fed or not, two and two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.plan.bands import GETS, Band, class_of
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
    names: tuple[str, ...] = ()  # of each, where colonies were graded
    next_name: str = ""  # of the smallest of the others


@dataclass(frozen=True)
class Pair:
    """Two colonies that become one."""

    frames: float  # of bees, of both, today [frames]
    hives: tuple[str, ...] = ()  # the smaller, and the one it goes into; empty where nobody was graded


@dataclass(frozen=True)
class Combined:
    """What joining them brings, over leaving them apart, each fed by the crew's line; a pair's."""

    joined: tuple[Pair, ...]
    with_next: bool  # one colony alone, joined with the smallest of the others
    gain: float  # after the work [money/pair]
    gain_low: float  # 10th percentile of the seasons [money/pair]
    gain_high: float  # 90th percentile [money/pair]
    making: float  # of joined colonies [share]
    apart: float  # of the same colonies left apart [share]
    minutes: tuple[float, float, float]  # of work, low, middle and high [min/pair]
    lasts: float  # of a colony's rank in the yard, until the day [share]
    pays: bool | None  # by more than two colonies' plans are told apart by; None where it is about even

    @property
    def pairs(self) -> int:
        """How many there are in the yard."""
        return len(self.joined)


def combined(sized: BySize, weak: Weak, bands: Sequence[Band], reader: Reader) -> Combined | None:
    """The sum, in the seasons of ``sized``; None where there are no two colonies to join.

    A joined colony is ranked in the yard by the bees of both today, and keeps of that rank what any colony
    here keeps of its own: ``sized.lasts``, a judged correlation between strength today and on the day,
    which knows nothing of queens or brood. Joined or apart, each gets what the crew's line gives a colony
    of its size. The hive that is given up counts as worth nothing, and as one that earns no fee.

    Parameters
    ----------
    sized
        The yard's colonies by size, in the seasons that all plans meet.
    weak
        Who is to be combined.
    bands
        The crew's line.
    reader
        ``plan.combine_minutes``.
    """
    two = _two(weak)
    if two is None:
        return None
    one, other = two
    minutes, question = reader.span("plan.combine_minutes"), sized.question
    work = minutes.at(sized.scores) / 60.0 * question.prices.work.wage.amount
    joined, making = _by_line(sized, one + other, bands)
    first, second = _by_line(sized, one, bands), _by_line(sized, other, bands)
    gain = (joined - first[0] - second[0]).mean(axis=1) - work
    if sized.done.as_one:
        gain = _by_average(sized, weak, two, bands) - work
    low, high = np.quantile(gain, (LOW, HIGH))
    return Combined(
        joined=_pairs(weak, one + other),
        with_next=weak.colonies < 2,
        gain=float(gain.mean()),
        gain_low=float(low),
        gain_high=float(high),
        making=float(making.mean()),
        apart=float(np.mean([first[1].mean(), second[1].mean()])),
        minutes=(minutes.low, minutes.typical, minutes.high),
        lasts=sized.lasts,
        pays=_pays(float(gain.mean()), 2.0 * question.close),
    )


def _pays(gain: float, close: float) -> bool | None:
    """Whether a pair's ``gain`` is above, below or within what is told apart. [money/pair]"""
    return True if gain > close else False if gain < -close else None


def _two(weak: Weak) -> tuple[FloatArray, FloatArray] | None:
    """The smaller and the larger of each pair, the largest with the smallest. [frames]"""
    frames = weak.frames
    if weak.colonies < 1 or not frames.size or (weak.colonies < 2 and weak.next_frames is None):
        return None
    if weak.colonies < 2 and weak.next_frames is not None:
        return frames, np.full(frames.size, weak.next_frames)
    half = max(1, frames.size // 2)  # the middle one of an odd number is left over
    return frames[:half], frames[::-1][:half]


def _pairs(weak: Weak, joined: FloatArray) -> tuple[Pair, ...]:
    """The pairs of the yard: by name, else as many as there are, evenly over the sizes ``joined``."""
    names, many = weak.names, max(1, weak.colonies // 2)
    if not names:
        even = np.quantile(joined, (np.arange(many) + 0.5) / many)
        return tuple(Pair(float(frames)) for frames in even)
    into = (weak.next_name,) if len(names) < 2 else names[::-1]
    hives = zip(names, into, strict=False)
    return tuple(Pair(float(frames), both) for frames, both in zip(joined, hives, strict=False))


def _by_line(sized: BySize, frames: FloatArray, bands: Sequence[Band]) -> tuple[FloatArray, FloatArray]:
    """Colonies of so many ``frames``, fed by the crew's line.

    Money less cost, shape (members, sizes) [money/colony]; and who makes it, shape (sizes,) [share].
    """
    size, costs, at = sized.against_average(frames), sized.costs, np.arange(frames.size)
    gets = class_of(bands, frames)
    seen = [sized.seen(c, size) for c in range(len(costs))]
    money = np.stack([one.money - cost[:, None] for cost, one in zip(costs, seen, strict=True)])
    making = np.stack([one.making.mean(axis=0) for one in seen])[gets, at]
    return np.asarray(money[gets, :, at].T), np.asarray(making)


def _by_average(
    sized: BySize, weak: Weak, two: tuple[FloatArray, FloatArray], bands: Sequence[Band]
) -> FloatArray:
    """The same where the yard is paid by a sample's average: fewer colonies, larger in the mean.

    All get what the line gives their size; shape (members,). [money/pair]
    """
    spread, done = sized.question.spread, sized.done
    pairs = max(1, weak.colonies // 2)
    one, other = two
    apart, joined = np.concatenate(two), one + other
    others, sizes = _others(sized, apart, 2 * pairs, bands)

    def paid(frames: FloatArray) -> FloatArray:
        """The others and colonies of so many ``frames``, which stand for those of the pairs. [money]"""
        each = pairs / one.size
        gets = np.array([*range(len(GETS)), *class_of(bands, frames)])
        many = np.array([*others, *np.full(frames.size, each)])
        size = np.array([*sizes, *sized.against_average(frames)])
        at = (many * size / many.sum()) @ done.frames[gets]
        money = worth(sized.question.target, Reached(at, at, np.ones(at.shape)), spread).money
        return np.asarray(money * (many @ done.left[gets]) - many @ sized.costs[gets])

    return np.asarray((paid(joined) - paid(apart)) / pairs)


def _others(
    sized: BySize, apart: FloatArray, left_out: int, bands: Sequence[Band]
) -> tuple[FloatArray, FloatArray]:
    """The yard's colonies beside ``left_out`` of sizes ``apart`` [frames]: none, half and full of the line.

    How many get each, and their size against the average, both of shape (3,); the yard's mean stays. [ratio]
    """
    yard, kept, each = sized.question.spread.colonies, sized.against_average(sized.today), range(len(GETS))
    of, out = class_of(bands, sized.today), class_of(bands, apart)
    many = np.array([max(0.0, yard * (of == c).mean() - left_out * (out == c).mean()) for c in each])
    size = np.array([kept[of == c].mean() if np.any(of == c) else 1.0 for c in each])
    if not many.sum():
        return many, size
    many *= (yard - left_out) / many.sum()
    rest = yard - left_out * sized.against_average(apart).mean()
    return many, size * max(0.0, rest) / (many @ size)
