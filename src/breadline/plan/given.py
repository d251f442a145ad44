"""A plan as its classes give it: what a yard brings whose colonies get none, half or all of the pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from breadline.plan.bands import GETS
from breadline.plan.by_size import NODES, BySize
from breadline.plan.ranked import HIGH, LOW, Cost, Ranked, seasons_that_pay
from breadline.plan.targets import Frames, HoneyFlow
from breadline.plan.value import Reached, worth
from breadline.span import FloatArray


@dataclass(frozen=True)
class Mixed:
    """Nobody fed, all fed in full, and fed by the classes, in the same seasons: shape (3, members)."""

    value: FloatArray  # [money/colony]
    making: FloatArray  # [share]
    frames: FloatArray  # of bees on the day, of the average colony [frames]
    syrup: FloatArray  # what more bees eat [money/colony]
    feed: FloatArray  # of all in full, shape (members,) [money/colony]
    labour: FloatArray  # the same [money/colony]
    travel: FloatArray  # the same [money/colony]
    as_one: bool  # the yard is paid by a sample, all of it or none


def mixed(sized: BySize, of: np.ndarray) -> Mixed:
    """What a yard brings whose colony of rank k gets class ``of[k]``, shape (nodes,), beside none and all."""
    costs, ways = sized.done.costs, (np.zeros(NODES, dtype=np.int64), np.full(NODES, len(GETS) - 1), of)
    told = [_brings(sized, way) for way in ways]
    value, making, frames = (np.stack(part) for part in zip(*told, strict=True))
    syrup = np.stack([np.bincount(way, minlength=len(GETS)) / NODES @ costs.syrup for way in ways])
    return Mixed(value, making, frames, syrup, costs.feed[-1], costs.labour[-1], costs.travel[-1],
                 sized.done.as_one)  # fmt: skip


def _brings(sized: BySize, of: np.ndarray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Value, making it and frames of bees, shape (members,), of the yard fed so."""
    done, target, kept = sized.done, sized.question.target, sized.against_average(sized.today)
    classes = range(len(GETS))
    count = np.array([(of == c).mean() for c in classes])
    size = np.array([(kept / kept.mean())[of == c].sum() for c in classes]) / NODES
    frames = size @ done.frames
    if isinstance(target, Frames) and target.paid == "sample_average":
        seen = worth(target, Reached(frames, frames, np.ones(frames.shape)), sized.question.spread)
        return seen.money * (count @ done.left), seen.making * (count @ (1.0 - done.starved)), frames
    if isinstance(target, HoneyFlow):  # a crop goes with the size of a colony
        return size @ done.value, count @ done.making, frames
    value, making = np.zeros(frames.shape), np.zeros(frames.shape)
    for c in classes:
        if (of == c).any():
            seen = sized.seen(c, kept[of == c])
            value, making = value + seen.money.sum(1) / NODES, making + seen.making.sum(1) / NODES
    return value, making, frames


def as_given(at: Ranked, of: Mixed, fed: float, piece: float) -> Ranked:
    """What is told of a plan that is given by its classes, from what is told of it as named.

    Feed and labour are those of the truck sheets; what the classes bring more or less than a full piece for
    all is added, out of the fewer seasons that classes are worked out in.

    Parameters
    ----------
    at
        Every colony with a full piece.
    of
        The yard by its classes.
    fed, piece
        On a round: of the colonies, how many get any; and what a colony gets in the mean. [share]
    """
    more, (mine, full, none) = of.syrup[2] - of.syrup[1], _money(of, fed, piece)
    cost = Cost(at.cost.feed * piece, at.cost.labour * fed, at.cost.travel if fed else 0.0,
                max(0.0, at.cost.syrup + float(more.mean())))  # fmt: skip
    brings = float((of.value[2] - of.value[1]).mean()) - (cost.total - at.cost.total)
    (low, high), (gain_low, gain_high) = (_ends(mine, full), _ends(mine - none, full - none))
    chance = float((of.making[2] - of.making[1]).mean())
    pays = _pays(of, mine, none, 2) - _pays(of, full, none, 1)
    return replace(
        at,
        money=at.money + brings,
        low=at.low + low,
        high=at.high + high,
        gain=at.gain + brings,
        gain_low=at.gain_low + gain_low,
        gain_high=at.gain_high + gain_high,
        pays=min(1.0, max(0.0, at.pays + pays)),
        chance=min(1.0, max(0.0, at.chance + chance)),
        frames=_frames(at.frames, of),
        cost=cost,
        feed_g=at.feed_g * piece,
        feed_most_g=at.feed_most_g * piece,
        fed=fed,
        piece=piece,
    )


def more_than_full(of: Mixed, fed: float, piece: float) -> FloatArray:
    """What the classes bring more than a full piece for all, shape (members,). [money/colony]

    ``fed`` and ``piece`` as in ``as_given``. [share]
    """
    mine, full, _ = _money(of, fed, piece)
    return mine - full


def _money(of: Mixed, fed: float, piece: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """By the classes, a full piece for all, and nothing, each of shape (members,). [money/colony]"""
    full = of.value[1] - of.feed - of.labour - of.travel - of.syrup[1]
    mine = of.value[2] - of.feed * piece - of.labour * fed - of.travel * bool(fed) - of.syrup[2]
    return mine, full, of.value[0] - of.syrup[0]


def _pays(of: Mixed, mine: FloatArray, none: FloatArray, at: int) -> float:
    return seasons_that_pay(mine > none, of.making[at] - of.making[0], of.as_one)


def _ends(mine: FloatArray, full: FloatArray) -> Sequence[float]:
    """By how much the ends of 8 seasons in 10 move. [money/colony]"""
    moved = np.quantile(mine, (LOW, HIGH)) - np.quantile(full, (LOW, HIGH))
    return [float(one) for one in moved]


def _frames(frames: tuple[float, float, float], of: Mixed) -> tuple[float, float, float]:
    now, was = (np.quantile(of.frames[k], (LOW, 0.5, HIGH)) for k in (2, 1))
    low, middle, high = (float(f * a / max(b, 1e-9)) for f, a, b in zip(frames, now, was, strict=True))
    return low, middle, high
