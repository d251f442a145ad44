"""In which order to drive to the yards: the keeper's own, else a short way round from the shop.

Distances are straight lines along the earth, not roads: a river or a locked gate is the
keeper's to know, and the keeper's own order always goes first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from breadline.errors import PlanError
from breadline.language import say
from breadline.measures import Units
from breadline.need.yard import Place
from breadline.plan.dry_feed import apart_km, distance_words
from breadline.span import FloatArray

SHORTER = 1e-9  # what counts as a shorter way, so that rounding never turns it back and forth [km]


@dataclass(frozen=True)
class Way:
    """A way round: positions of the yards in the order to drive."""

    order: tuple[int, ...]
    km: float | None  # from the shop and back, straight lines; None where the order is the keeper's [km]
    unplaced: tuple[int, ...] = ()  # yards without a longitude, driven last in the order they came

    def sentence(self, units: Units) -> str:
        """How the order was made, for the foot of the sheet."""
        if self.km is None:
            return say("Driven in your own order.")
        far = distance_words(self.km, units)
        last = say(" Yards without a place on the map come last.") if self.unplaced else ""
        way = say(
            "A short way round from the shop and back: about {far} in straight lines, roads are longer.",
            far=far,
        )
        return way + last


def own_order(yards: Sequence[str], wanted: Sequence[str]) -> Way:
    """The keeper's own order; yards it does not name follow as they came.

    Errors: PlanError if it names a yard twice, or one that is not in the round.
    """
    for name in wanted:
        if wanted.count(name) > 1:
            raise PlanError(
                "driving order", say("“{name}” stands in it twice", name=name), say("each yard once")
            )
        if name not in yards:
            raise PlanError(
                "driving order", say("“{name}” is not in this round", name=name), say("one of its yards")
            )
    place = {name: n for n, name in enumerate(wanted)}
    rest = len(wanted)
    return Way(tuple(sorted(range(len(yards)), key=lambda i: (place.get(yards[i], rest), i))), None)


def short_way(shop: Place, yards: Sequence[Place]) -> Way:
    """A short way from the shop through all yards and back.

    From every yard as the first: always on to the nearest, then stretches of the way are turned
    round, and single yards moved, as long as that makes it shorter. The shortest of them is
    taken; it need not be the shortest there is.

    Errors: PlanError if the shop has no longitude.
    """
    if shop.longitude is None:
        raise PlanError("shop", say("its longitude is not known"), say("latitude and longitude"),
                        say("Give both, or write the driving order yourself"))  # fmt: skip
    placed = [i for i, yard in enumerate(yards) if yard.longitude is not None]
    unplaced = tuple(i for i, yard in enumerate(yards) if yard.longitude is None)
    far = distances([shop, *(yards[i] for i in placed)])
    ways = [_mended(_nearest_first(first, far), far) for first in range(1, len(far))]
    best = min(ways, key=lambda way: (round(length_km(way, far), 6), way), default=[])
    return Way((*(placed[i - 1] for i in best), *unplaced), length_km(best, far), unplaced)


def distances(places: Sequence[Place]) -> FloatArray:
    """Straight lines between all places, shape (places, places) [km]; longitudes are known."""
    return np.array([[apart_km(a, b) or 0.0 for b in places] for a in places]).reshape(len(places), -1)


def length_km(way: Sequence[int], far: FloatArray) -> float:
    """From place 0 through the ``way`` and back to place 0 [km]; ``far`` as of ``distances`` [km]."""
    stops = [0, *way, 0]
    return float(sum(far[a, b] for a, b in pairwise(stops)))


def _nearest_first(first: int, far: FloatArray) -> list[int]:
    way, left = [first], set(range(1, len(far))) - {first}
    while left:
        way.append(min(left, key=lambda i: (far[way[-1], i], i)))
        left.remove(way[-1])
    return way


def _mended(way: list[int], far: FloatArray) -> list[int]:
    """Turned and moved until nothing makes it shorter."""
    length = length_km(way, far)
    while True:
        shortest = min(_variants(way), key=lambda other: length_km(other, far), default=way)
        if length_km(shortest, far) > length - SHORTER:
            return way
        way, length = shortest, length_km(shortest, far)


def _variants(way: list[int]) -> list[list[int]]:
    n = len(way)
    turned = [way[:i] + way[i : j + 1][::-1] + way[j + 1 :] for i in range(n) for j in range(i + 1, n)]
    moved = []
    for i in range(n):
        rest = way[:i] + way[i + 1 :]
        moved += [[*rest[:j], way[i], *rest[j:]] for j in range(n) if j != i]
    return turned + moved
