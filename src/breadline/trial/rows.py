"""Hives that stand in rows: who stands beside whom, and which draws keep check hives apart there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from breadline.trial.colonies import CHECK

Arms = NDArray[np.int64]
Kept = NDArray[np.bool_]
SIDE_BY_SIDE = 3  # check hives that never stand so


class Standing(Protocol):
    """A colony with its place in the yard."""

    @property
    def yard(self) -> str: ...
    @property
    def row(self) -> int | None: ...
    @property
    def place(self) -> int | None: ...


@dataclass(frozen=True, eq=False)
class Neighbours:
    """Who stands beside whom in the rows of a yard, as numbers in its list of colonies.

    Parameters
    ----------
    triples
        Colonies side by side, shape (triples, 3).
    ends
        Colonies at the ends of rows, shape (ends,).
    """

    triples: Arms
    ends: Arms

    def at_ends(self, check: Kept) -> tuple[int, int]:
        """Fewest and most check hives at the ends: their share, to the next whole numbers."""
        share = float(check.mean()) * len(self.ends)
        return int(np.floor(share)), int(np.ceil(share))


def neighbours(colonies: Sequence[Standing]) -> Neighbours:
    """Who stands beside whom; nobody where places are not known."""
    triples: list[list[int]] = []
    ends: list[int] = []
    for row in _rows(colonies):
        if len(row) >= SIDE_BY_SIDE:
            ends += [row[0], row[-1]]
        for n in range(len(row) - SIDE_BY_SIDE + 1):
            near = row[n : n + SIDE_BY_SIDE]
            places = [colonies[at].place or 0 for at in near]
            if places[-1] - places[0] == SIDE_BY_SIDE - 1:
                triples.append(near)
    return Neighbours(
        np.array(triples, dtype=np.int64).reshape(-1, SIDE_BY_SIDE), np.array(ends, dtype=np.int64)
    )


def apart_in_rows(colonies: Sequence[Standing], arms: Arms) -> Kept:
    """Which of the ``arms``, shape (draws, colonies), keep check hives apart in the rows of a yard.

    No three stand side by side, and the ends of rows hold as many as their share, to the next
    whole number. Where places are not known every draw does.
    """
    check, near = arms == CHECK, neighbours(colonies)
    kept = no_three_together(near, check)
    if len(near.ends):
        share = check.mean(axis=1) * len(near.ends)
        at_ends = check[:, near.ends].sum(axis=1)
        kept &= (at_ends >= np.floor(share)) & (at_ends <= np.ceil(share))
    return kept


def row_ends(colonies: Sequence[Standing]) -> Arms:
    """First and last of every row, however short, as numbers in the list, shape (ends,)."""
    return np.array([at for row in _rows(colonies) for at in (row[0], row[-1])], dtype=np.int64)


def no_three_together(near: Neighbours, check: Kept) -> Kept:
    """Which draws, shape (draws, colonies), true for a check hive, have no three of them side by side."""
    kept = np.ones(len(check), dtype=bool)
    for a, b, c in near.triples.tolist():
        kept &= ~(check[:, a] & check[:, b] & check[:, c])
    return kept


def _rows(colonies: Sequence[Standing]) -> list[list[int]]:
    """Each row from one end to the other, as numbers in the list; none where a place is not known."""
    if any(c.place is None for c in colonies):
        return []
    rows: dict[tuple[str, int], list[int]] = {}
    for at in sorted(range(len(colonies)), key=lambda n: colonies[n].place or 0):
        rows.setdefault((colonies[at].yard, colonies[at].row or 1), []).append(at)
    return list(rows.values())
