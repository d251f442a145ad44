"""Separate streams of chance, one for each purpose."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Streams:
    """What is drawn for one purpose leaves what is drawn for the others as it was.

    Two counts, or two weather files, under one seed can so be compared: what differs
    between their answers is the count, or the weather, and not the draws of the rest.
    """

    weather: np.random.Generator  # blocks of seasons made from few years
    parameters: np.random.Generator  # of the season model, jointly
    count: np.random.Generator  # what the keeper's count may really have been
    bloom: np.random.Generator  # how early or late bloom by date is
    feed: np.random.Generator  # what the feed is worth
    seen: np.random.Generator  # how much bloom "a little" or "plenty" at the entrance is
    fit: np.random.Generator  # of the season model to inspections

    @classmethod
    def of(cls, rng: np.random.Generator) -> Streams:
        """The streams of a fresh generator. A new one goes to the end, so that the earlier ones stay."""
        return cls(*rng.spawn(len(cls.__dataclass_fields__)))
