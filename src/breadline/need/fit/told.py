"""What a fit to a yard's own counts tells, ready to be shown; and the ensemble it leaves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np

from breadline.need.outlook import Band, Range
from breadline.need.parameters import Parameters
from breadline.need.seen_pollen import SeenBloom
from breadline.need.start import Counted
from breadline.span import FloatArray

FEWEST = 50  # draws by weight, below which the model does not fit the yard
What = Literal["bees", "brood", "bread"]


@dataclass(frozen=True)
class Bands:
    """An ensemble from the count to today; each array of a band has shape (days,)."""

    adults: Band  # [bees]
    brood: Band  # all stages [cells]
    bread_g: Band  # [g]
    site: Range  # pollen income of the place against the usual one [-]


@dataclass(frozen=True)
class Looked:
    """One figure of an inspection, for the points of a picture."""

    on: date
    what: What
    counted: float  # a colony [bees], [cells] or [g] by ``what``
    low: float  # 10th percentile of what the count may mean, in the unit of ``counted``
    high: float  # 90th percentile, in the unit of ``counted``
    colonies: int


@dataclass(frozen=True)
class Foretold:
    """How a figure of an inspection was foretold from what came before its day.

    Low, middle and high are the 10th, 50th and 90th percentile of the count that was to
    be expected, its own error included, in the unit of ``counted``.
    """

    on: date
    what: What
    counted: float  # [bees], [cells] or [g] by ``what``
    low: float
    middle: float
    high: float

    @property
    def inside(self) -> bool:
        """Whether the count fell inside the band that holds 8 in 10."""
        return self.low <= self.counted <= self.high

    @property
    def ratio(self) -> float:
        """Counted against the middle of what was foretold. [-]"""
        return self.counted / max(self.middle, 1e-9)


@dataclass(frozen=True)
class Fitted:
    """Before and after, and how far it may be trusted."""

    dates: tuple[date, ...]  # mornings, from the count to today; the days of the bands
    before: Bands  # by the first count alone
    after: Bands  # with the inspections; widened where the model does not fit
    looked: tuple[Looked, ...]
    foretold: tuple[Foretold, ...]  # every count from the count and the inspections before its day
    from_inspections: int  # days of inspection before the last one
    draws: int  # of the ensemble before
    effective_first: float  # of these, by weight, that agree with all counts [draws]
    effective: float  # of the ensemble after [draws]
    moved: bool  # whether draws were moved, since too few agreed
    chance_of_misfit: float  # of counts lying so far off, were the model right [share]
    fits: bool
    feed_known: bool  # False where the yard was fed without a record
    bees_a_frame: float  # by the count's definition, for words [bees]
    cells_a_frame: float  # brood on a frame of brood as it is commonly filled, for words [cells]
    notes: tuple[str, ...]

    @property
    def last_foretold(self) -> tuple[Foretold, ...]:
        """Those of the last day of inspection."""
        last = max(one.on for one in self.foretold)
        return tuple(one for one in self.foretold if one.on == last)


@dataclass(frozen=True)
class Ensemble:
    """Draws of equal weight after the fit; arrays of shape (draws,)."""

    par: Parameters
    counted: Counted
    equivalence: FloatArray  # of the feed given until today [g/g]
    shift: np.ndarray  # which of the bloom shifts
    path: np.ndarray  # which weather path until today
    shifts_days: FloatArray  # the bloom shifts, shape (shifts,) [d]
    seen: SeenBloom | None  # pollen seen today, its strength by bloom shift; None where it says nothing
    one_past: bool  # whether the weather until today is the same in every path
    unrecorded: bool  # whether feed without a record is among the causes
    astray: Mapping[What, FloatArray]  # how far the average colony lies off its draw, shape (draws,) [-]
    stretch: FloatArray  # of adults, brood and bread at the last look, 1 where it fits, shape (draws,) [-]


@dataclass(frozen=True)
class Fit:
    """Both."""

    told: Fitted
    ensemble: Ensemble
