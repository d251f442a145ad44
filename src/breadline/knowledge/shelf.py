"""The shelf: every figure of the trade, with what the user edited laid over it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from functools import lru_cache
from typing import Any

import numpy as np

from breadline.errors import FigureError
from breadline.knowledge.data import figure_files, shipped
from breadline.knowledge.figure import Edit, Figure, Read, figure_from_table, unit_words
from breadline.knowledge.season_checks import SeasonChecks, season_checks
from breadline.language import say
from breadline.span import FloatArray, Span

__all__ = ["Edit", "Figure", "Read", "Reader", "Shelf", "load"]


class Shelf:
    """Figures by key, and how the season model met published counts. Iterates over the keys, sorted."""

    def __init__(self, figures: Mapping[str, Figure], checks: SeasonChecks | None = None) -> None:
        self._figures = dict(sorted(figures.items()))
        self._checks = checks

    def __getitem__(self, key: str) -> Figure:
        """The figure.

        Errors
        ------
        FigureError
            If there is no figure of that key; names the nearest ones.
        """
        try:
            return self._figures[key]
        except KeyError:
            raise _unknown(key, list(self._figures)) from None

    def __contains__(self, key: object) -> bool:
        return key in self._figures

    def __iter__(self) -> Iterator[str]:
        return iter(self._figures)

    def __len__(self) -> int:
        return len(self._figures)

    def figures(self) -> tuple[Figure, ...]:
        """All figures, sorted by key."""
        return tuple(self._figures.values())

    def find(self, text: str) -> tuple[Figure, ...]:
        """Figures that have every word of ``text`` in key, meaning, unit, source, note or way of reading.

        Meaning, unit and note are looked at in English and in the language that is spoken.
        """
        words = text.lower().split()
        return tuple(f for f in self._figures.values() if all(word in _haystack(f) for word in words))

    def below(self, prefix: str) -> tuple[Figure, ...]:
        """Figures whose key starts with ``prefix`` and a dot, for example ``frame_of_bees``."""
        return tuple(f for key, f in self._figures.items() if key.startswith(f"{prefix}."))

    def with_edits(self, edits: Mapping[str, Edit]) -> Shelf:
        """A shelf with these edits laid over the shipped values; earlier edits are undone.

        Errors
        ------
        FigureError
            If a key is unknown or a value outside what is possible.
        """
        plain = dict(_shipped_figures())
        for key, edit in edits.items():
            if key not in plain:
                raise _unknown(key, list(plain))
            plain[key] = plain[key].with_edit(edit)
        return Shelf(plain, self._checks)

    @property
    def checks(self) -> SeasonChecks:
        """In which situations the season model may draw frames; as shipped, where nothing else was given."""
        return self._checks or season_checks()

    def with_checks(self, checks: SeasonChecks) -> Shelf:
        """The same figures beside another result of the season model's checks."""
        return Shelf(self._figures, checks)

    def reader(self) -> Reader:
        """A fresh reader, which remembers the figures it handed out."""
        return Reader(self)


class Reader:
    """Hands out figures and remembers which, so that an answer can list what it rests on."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._used: set[str] = set()

    @property
    def used(self) -> tuple[str, ...]:
        """Keys handed out so far, sorted."""
        return tuple(sorted(self._used))

    @property
    def checks(self) -> SeasonChecks:
        """In which situations the season model may draw frames."""
        return self._shelf.checks

    def figure(self, key: str) -> Figure:
        """The whole figure."""
        figure = self._shelf[key]
        self._used.add(key)
        return figure

    def span(self, key: str) -> Span:
        """The value in use, as a range in the figure's unit."""
        return self.figure(key).span

    def typical(self, key: str) -> float:
        """The median of the value in use, in the figure's unit."""
        return self.span(key).typical

    def draws(self, key: str, rng: np.random.Generator, n: int) -> FloatArray:
        """``n`` independent draws, shape (n,), in the figure's unit."""
        return self.span(key).draws(rng, n)


def load(edits: Mapping[str, Edit] | None = None) -> Shelf:
    """The shelf as shipped, with a user's edits laid over it.

    Errors
    ------
    FigureError
        If an edit names an unknown figure or a value outside what is possible.
    """
    plain = Shelf(_shipped_figures())
    return plain.with_edits(edits) if edits else plain


@lru_cache(maxsize=1)
def _shipped_figures() -> Mapping[str, Figure]:
    figures: dict[str, Figure] = {}
    for name in figure_files():
        for key, table in _flat("", shipped(name)):
            if key in figures:
                raise FigureError(
                    key, say("{name} repeats a figure of another file", name=name), say("one figure a key")
                )
            figures[key] = figure_from_table(key, table)
    return figures


def _flat(path: str, table: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Tables that describe a figure, with their dotted keys."""
    for name, inner in table.items():
        key = f"{path}.{name}" if path else name
        if "meaning" in inner:
            yield key, inner
        else:
            yield from _flat(key, inner)


def _haystack(figure: Figure) -> str:
    parts = (
        figure.key, figure.meaning, say(figure.meaning), figure.unit, unit_words(figure.unit), figure.source,
        figure.note, say(figure.note) if figure.note else "", figure.read_words,
    )  # fmt: skip
    return " ".join(parts).lower()


def _unknown(key: str, keys: list[str]) -> FigureError:
    near = get_close_matches(key, keys, n=3, cutoff=0.5)
    by_end = [k for k in keys if k.rsplit(".", 1)[-1].lower() == key.rsplit(".", 1)[-1].lower()]
    nearest = list(dict.fromkeys(by_end[:2] + near))[:3]
    names = ", ".join(nearest)
    do = say("Nearest: {names}", names=names) if nearest else say("List the figures to see their keys")
    return FigureError(
        "figure", say('there is no figure "{key}"', key=key), say("the key of a figure on the shelf"), do
    )
