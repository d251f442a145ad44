"""Made-up flying weather and small ensembles for the reference runs."""

from __future__ import annotations

from datetime import date

import numpy as np

from breadline.belief.gain import Situation
from breadline.knowledge.shelf import Reader, load
from breadline.need.forecast import constants, season_parameters
from breadline.need.season import Block
from breadline.plan.reference import ReferenceSpan, reference_run, reference_span

DRAWS = 300
HOURS = (1.5, 3.0, 5.0, 7.0, 9.0, 10.5, 10.5, 10.5, 9.0, 6.5, 3.5, 1.5)  # by month of the north, made up


def flying(span: ReferenceSpan, south: bool = False, paths: int = 5) -> np.ndarray:
    """Hours of each day, some days better than others, shape (paths, days)."""
    months = (np.datetime64(span.first) + np.arange(span.days)).astype("datetime64[M]").astype(int) % 12
    usual = np.array(HOURS)[(months + 6) % 12 if south else months]
    return usual * np.random.default_rng(4).uniform(0.5, 1.5, (paths, span.days))


def reference(
    situation: Situation, latitude: float = 39.0, reader: Reader | None = None, draws: int = DRAWS
) -> Block:
    reader = reader or load().reader()
    span = reference_span(situation, latitude, date(2026, 1, 1), reader)
    model = season_parameters(reader, np.random.default_rng(7), draws), constants(reader)
    return reference_run(span, latitude, flying(span, latitude < 0), model, reader)
