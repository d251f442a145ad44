"""How a crop of honey goes with the bees in the field, as far as trials saw a lead turn into honey."""

from __future__ import annotations

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.plan.ensemble import Ensemble
from breadline.plan.targets import HoneyFlow, Target
from breadline.span import FloatArray

SPRING_DAYS = 42  # before the flow, in which its field bees are bred; six weeks [d]


def crop_power(target: Target, ensemble: Ensemble, reader: Reader) -> FloatArray:
    """Log of the crop for a log of field bees, for each column of the place; shape (columns,). [log a log]

    In an ordinary spring colonies catch up: trials saw a lead in bees, and little more honey. After a
    spring starved of pollen the lead is in the honey too. The two ratios of beliefs are the powers;
    which spring a season has goes by the pollen of the six weeks before the flow, against the middle
    spring of this yard: what is usual here is no starved spring, however much or little it gives.

    Sources: [feeding_trials]; ``belief.honey_gain``, ``belief.honey_starved_gain``,
    ``belief.poor_spring_gain``, ``plan.starved_spring``, ``situation.dearth_below``.
    """
    columns = ensemble.pollen_in.shape[1]
    if not isinstance(target, HoneyFlow):
        return np.ones(columns)
    bees = reader.typical("belief.poor_spring_gain")
    usual, starved = (reader.typical(f"belief.{k}") / bees for k in ("honey_gain", "honey_starved_gain"))
    first = max(0, ensemble.day(target.on) - SPRING_DAYS)
    spring = ensemble.pollen_in[first : max(first + 1, ensemble.day(target.on))].mean(axis=0)
    least = reader.typical("plan.starved_spring") * float(np.median(spring))
    return np.where(spring < max(least, reader.typical("situation.dearth_below")), starved, usual)
