"""What an answer rests on, as every page with an answer lists it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from breadline.jobs.season import FigureUsed
from breadline.knowledge.data import sources
from breadline.knowledge.figure import READ_WORDS
from breadline.need.advice import Advice


@dataclass(frozen=True)
class Rests:
    """Sources in full, figures in words, and how many of these deserve a second look."""

    cited: tuple[str, ...]
    figures: tuple[FigureUsed, ...]
    edited: int
    from_memory: int


def rests_on(advice: Advice, figures: Sequence[FigureUsed]) -> Rests:
    """The sources of the advice and the figures behind it."""
    known = sources()
    return Rests(
        cited=tuple(known.get(key, key) for key in advice.sources),
        figures=tuple(figures),
        edited=sum(1 for figure in figures if figure.edited),
        from_memory=sum(1 for figure in figures if figure.read == READ_WORDS["memory"]),
    )
