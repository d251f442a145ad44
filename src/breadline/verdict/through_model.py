"""What a trial says of a feed's pollen-equivalence, through the season model of the trial's own yards.

For each equivalence on a grid the colonies of a yard are run fed and unfed, with the feed as it was
given; the equivalence is as likely as its log ratio agrees with the one observed, within the error of
the trial and the model's own. The same log ratio may be shown by a small and by a large equivalence:
several modes are told one by one, never as their mean.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from breadline.errors import OurFault, TrialError
from breadline.language import say
from breadline.need.season import Block, lived
from breadline.span import FloatArray

LEAST_ERROR = 0.15  # of the model, whatever the record of foretelling says [log ratio]
LEAST_BEES = 1.0  # a colony that died out still has a logarithm [bees]
SADDLE = 0.7  # two modes are two where the density between them falls below this share of the lower
RANGE = np.array([0.05, 0.5, 0.95])  # low, middle, high [share]


@dataclass(frozen=True)
class Observed:
    """What the trial saw.

    Parameters
    ----------
    log_ratio, se
        Bees of fed over bees of check colonies, and its standard error. [log ratio]
    model_error
        Of the season model, as its record of foretelling has it. [log ratio]
    """

    log_ratio: float
    se: float
    model_error: float

    @property
    def spread(self) -> float:
        """Error of trial and model together; that of the model at least 0.15. [log ratio]"""
        return float(np.hypot(self.se, max(self.model_error, LEAST_ERROR)))


@dataclass(frozen=True, eq=False)
class FedYard:
    """A yard of the trial: its fitted colonies from their count to the day of grading.

    Parameters
    ----------
    block
        The colonies, with the drivers of the yard; feed on them is replaced.
    fed_g, check_g
        Feed put on a fed and on a check colony, each of shape (days,). [g]
    colonies
        Started in the yard, as its weight. [colonies]
    """

    block: Block
    fed_g: FloatArray
    check_g: FloatArray
    colonies: int


@dataclass(frozen=True, eq=False)
class Bees:
    """Mean bees of a yard's colonies on the day of grading at each equivalence.

    Parameters
    ----------
    fed, check
        Shape (nodes,). [bees]
    colonies
        Started in the yard, as its weight. [colonies]
    """

    fed: FloatArray
    check: FloatArray
    colonies: int


@dataclass(frozen=True)
class Mode:
    """One bundle of equivalences that agree with the trial.

    Parameters
    ----------
    low, middle, high
        Nine in ten of the bundle lie within. [g/g]
    share
        Of the whole belief. [share]
    """

    low: float
    middle: float
    high: float
    share: float


@dataclass(frozen=True, eq=False)
class Equivalence:
    """The belief about the equivalence on its grid.

    Parameters
    ----------
    grid
        Rising, the first is 0: worth nothing. [g/g]
    before, after
        Weight of each node, sum 1. [share]
    shown
        What the model shows at each node. [log ratio]
    observed
        What the trial saw.
    """

    grid: FloatArray
    before: FloatArray
    after: FloatArray
    shown: FloatArray
    observed: Observed

    @property
    def modes(self) -> tuple[Mode, ...]:
        """Every mode, the weightiest first; one where the belief has one top."""
        return _modes(self.grid, self.after)

    @property
    def beyond(self) -> bool:
        """Whether the log ratio observed lies an error or more outside of all that the model shows."""
        lowest, highest = float(self.shown.min()), float(self.shown.max())
        return not lowest - self.observed.spread < self.observed.log_ratio < highest + self.observed.spread


def grid_of(most: float, nodes: int) -> FloatArray:
    """Equivalences from 0 to ``most`` [g/g], closer together near 0; shape (nodes,) [g/g]."""
    return np.asarray(most * np.linspace(0.0, 1.0, nodes) ** 1.5)


def on_grid(draws: FloatArray, grid: FloatArray) -> FloatArray:
    """Draws of an equivalence as weights of a grid, each shared out between its two neighbours.

    Parameters
    ----------
    draws
        Shape (draws,); beyond the grid they count at its end. [g/g]
    grid
        Rising, shape (nodes,). [g/g]
    """
    place = np.interp(draws, grid, np.arange(len(grid)))
    low = np.minimum(place.astype(np.int64), len(grid) - 2)
    weight = np.bincount(low, 1.0 - (place - low), len(grid)) + np.bincount(low + 1, place - low, len(grid))
    return np.asarray(weight / weight.sum())


def smoothed(weight: FloatArray, grid: FloatArray, nodes: float) -> FloatArray:
    """Weights of a grid without the lumps of a few hundred draws, shape (nodes,). [share]

    What is worth nothing keeps its share; the density of the others is blurred, so that a mode is one of
    the belief and not of the draws.

    Parameters
    ----------
    weight, grid
        Of ``on_grid``, the first node being 0 [g/g], each of shape (nodes,) [share].
    nodes
        Standard deviation of the blur. [nodes]
    """
    width = np.gradient(grid)[1:]
    place = np.arange(len(width))
    blur = np.exp(-0.5 * ((place[:, None] - place[None, :]) / nodes) ** 2)
    density = (blur / blur.sum(0)) @ (weight[1:] / width)
    others = density * width
    total = others.sum()
    return np.concatenate([weight[:1], others * ((1.0 - weight[0]) / total if total > 0 else 0.0)])


def shown_by(yards: Sequence[FedYard], grid: FloatArray) -> FloatArray:
    """Log ratio of mean bees, fed over check, at each equivalence; shape (nodes,). [log ratio]

    Every yard counts by its colonies, dead ones of the model with the bees they have left.

    Parameters
    ----------
    yards
        Of the trial.
    grid
        Shape (nodes,). [g/g]
    """
    return log_ratio_shown([bees_of(yard, grid) for yard in yards])


def bees_of(yard: FedYard, grid: FloatArray) -> Bees:
    """A yard's colonies run to the day of grading at each equivalence of the grid, shape (nodes,). [g/g]"""
    return Bees(_bees(yard, grid, "fed_g"), _bees(yard, grid, "check_g"), yard.colonies)


def log_ratio_shown(yards: Sequence[Bees]) -> FloatArray:
    """The same as ``shown_by`` of yards that were run; shape (nodes,). [log ratio]"""
    if not yards or sum(yard.colonies for yard in yards) < 1:
        raise TrialError(
            "yards", say("there is no colony to run"), say("the yards of the trial with their colonies")
        )
    weight = np.array([yard.colonies for yard in yards], dtype=np.float64)
    bees = np.array([[yard.fed for yard in yards], [yard.check for yard in yards]])
    fed, check = np.einsum("ayn,y->an", bees, weight / weight.sum())
    return np.asarray(np.log(np.maximum(fed, LEAST_BEES) / np.maximum(check, LEAST_BEES)))


def equivalence(grid: FloatArray, before: FloatArray, shown: FloatArray, observed: Observed) -> Equivalence:
    """The belief about the equivalence after a trial.

    Parameters
    ----------
    grid, before, shown
        Nodes [g/g], their weights before the trial [share], and what the model shows at each
        [log ratio]; each of shape (nodes,).
    observed
        What the trial saw.

    Errors
    ------
    OurFault
        If the shapes differ or nothing was believed.
    """
    if not (grid.shape == before.shape == shown.shape) or not before.sum() > 0:
        raise OurFault("equivalence", "grid, belief and model do not fit each other", "one weight a node")
    off = (observed.log_ratio - shown) / observed.spread
    log_weight = np.log(np.maximum(before, 1e-300)) - 0.5 * off**2
    weight = np.exp(log_weight - log_weight.max())
    return Equivalence(grid, before / before.sum(), weight / weight.sum(), shown, observed)


def _bees(yard: FedYard, grid: FloatArray, arm: str) -> FloatArray:
    """Mean bees of a colony on the last evening at each equivalence, shape (nodes,). [bees]"""
    grams: FloatArray = getattr(yard, arm)
    drivers = replace(yard.block.drivers, put_on_g=grams)
    members = yard.block.equivalence.shape
    if not grams.any():
        bees = _last(replace(yard.block, drivers=drivers), np.zeros(members))
        return np.full(len(grid), bees)
    fed = replace(yard.block, drivers=drivers)
    return np.array([_last(fed, np.full(members, one)) for one in grid])


def _last(block: Block, worth: FloatArray) -> float:
    return float(lived(replace(block, equivalence=worth), ("adults",)).adults[-1].mean())


def _modes(grid: FloatArray, weight: FloatArray) -> tuple[Mode, ...]:
    """Worth nothing, which is a mode of its own, and parts of the rest between saddles deep enough."""
    density = weight / np.gradient(grid)
    cuts = [1, *(1 + cut for cut in _saddles(density[1:]))]
    parts = zip([0, *cuts], [*cuts, len(grid)], strict=True)
    found = [_mode(grid[a:b], weight[a:b]) for a, b in parts if weight[a:b].sum() > 0.02]
    return tuple(sorted(found, key=lambda one: -one.share))


def _saddles(density: FloatArray) -> list[int]:
    """Nodes at which the density, coming from a top and going to another, is low enough to part them."""
    tops = [
        k
        for k in range(len(density))
        if density[k] == density[max(0, k - 1) : k + 2].max() and density[k] > 0.05 * density.max()
    ]
    cuts: list[int] = []
    last = tops[0]
    for top in tops[1:]:
        dip = last + int(density[last : top + 1].argmin())
        if density[dip] < SADDLE * min(density[last], density[top]):
            cuts.append(dip)
            last = top
        elif density[top] > density[last]:
            last = top
    return cuts


def _mode(grid: FloatArray, weight: FloatArray) -> Mode:
    share = float(weight.sum())
    below = np.cumsum(weight) / share
    low, middle, high = np.interp(RANGE, below, grid).tolist()
    return Mode(low, middle, high, share)
