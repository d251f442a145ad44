"""In which order to drive to the yards: the keeper's own, else a short way round from the shop.

Distances are straight lines along the earth, not roads: a river or a locked gate is the
keeper's to know, and the keeper's own order always goes first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
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
    return _short_way(shop, tuple(yards))


@lru_cache(maxsize=64)  # the rounds of a plan go the same way
def _short_way(shop: Place, yards: tuple[Place, ...]) -> Way:
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
    while True:
        turns, moves = _turned_km(way, far), _moved_km(way, far)
        if min(turns.min(initial=0.0), moves.min(initial=0.0)) > -SHORTER:
            return way
        if turns.min(initial=0.0) <= moves.min(initial=0.0):
            i, j = np.unravel_index(turns.argmin(), turns.shape)
            way = way[:i] + way[i : j + 1][::-1] + way[j + 1 :]
        else:
            i, k = np.unravel_index(moves.argmin(), moves.shape)
            before, after = (
                [one for one in way[:k] if one != way[i]],
                [one for one in way[k:] if one != way[i]],
            )
            way = [*before, way[i], *after]


def _turned_km(way: Sequence[int], far: FloatArray) -> FloatArray:
    """How much longer the way is with the stretch from i to j turned round, shape (yards, yards) [km]."""
    here, before, after = np.array(way), np.array([0, *way[:-1]]), np.array([*way[1:], 0])
    new = far[np.ix_(before, here)] + far[np.ix_(here, after)]
    old = far[before, here][:, None] + far[here, after]
    return np.triu(new - old, 1)


def _moved_km(way: Sequence[int], far: FloatArray) -> FloatArray:
    """How much longer it is with yard i moved to before stop k, shape (yards, yards + 1) [km]."""
    here, before, after = np.array(way), np.array([0, *way[:-1]]), np.array([*way[1:], 0])
    left, right = np.array([0, *way]), np.array([*way, 0])  # of each gap
    out = far[before, here] + far[here, after] - far[before, after]
    put = far[np.ix_(here, left)] + far[np.ix_(here, right)] - far[left, right]
    longer: FloatArray = put - out[:, None]
    own = np.arange(len(way))
    longer[own, own] = longer[own, own + 1] = 0.0  # the gaps on either side of it
    return longer
