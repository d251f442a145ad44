"""Plans as a tree: what is alike up to a day is run once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from breadline.errors import OurFault
from breadline.need.season_tree import RUN_ON, Leg
from breadline.plan.plans import Way


@dataclass
class _Node:
    """After some pieces: which plan ends here, and how others go on."""

    way: int = RUN_ON
    then: dict[tuple[int, float, bool], _Node] = field(default_factory=dict)


@dataclass(frozen=True)
class Tree:
    """Legs of all plans, and what running them once saves."""

    legs: tuple[Leg, ...]
    days_alone: int  # had each plan been run by itself
    days_shared: int

    @property
    def saving(self) -> float:
        """How many times less is run. [ratio]"""
        return self.days_alone / max(1, self.days_shared)


def tree(ways: Sequence[Way], days: int) -> Tree:
    """The tree of some ways of feeding, in their order.

    Parameters
    ----------
    ways
        All different.
    days
        Of the ensemble. [d]
    """
    root = _Node()
    for way, pieces in enumerate(ways):
        node = root
        for piece in pieces:
            node = node.then.setdefault(piece, _Node())
        if node.way != RUN_ON:
            raise OurFault("tree of plans", f"way {way} is way {node.way} again", "ways that differ")
        node.way = way
    legs: list[Leg] = []
    _grow(root, Leg(0, 0), days, 0, legs)
    return Tree(tuple(legs), days * len(ways), sum(leg.last - leg.first for leg in legs))


def _grow(node: _Node, begins: Leg, days: int, slot: int, legs: list[Leg]) -> None:
    """Legs of a node and of all behind it; ``begins`` says from where and with what, ``slot`` is free."""
    branch = sorted({day for day, _, _ in node.then})
    slots = {day: slot + k for k, day in enumerate(branch)}
    first, start, grams, rule = begins.first, begins.start, begins.grams, begins.by_rule
    for day in branch:
        legs.append(Leg(first, day, start, slots[day], grams, rule))
        first, start, grams, rule = day, RUN_ON, 0.0, False
    if node.way != RUN_ON:
        legs.append(Leg(first, days, start, RUN_ON, grams, rule, node.way))
    for (day, put_on, by_rule), after in sorted(node.then.items(), key=lambda one: one[0]):
        _grow(after, Leg(day, day, slots[day], grams=put_on, by_rule=by_rule), days, slot + len(branch), legs)
