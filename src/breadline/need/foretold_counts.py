"""A later count in bees and cells, so that it can be held against an outlook."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.knowledge.shelf import Shelf
from breadline.language import noted
from breadline.need.foretold import Count, What
from breadline.need.starting_count import frame_size
from breadline.need.strength import bees_on_frames, brood_cells
from breadline.need.yard import Count as Looked

NO_DEFINITION = noted("what a frame of bees meant that day was not written down")
WEIGHED = noted("the bees were weighed, not counted in frames")
ONE_BY_ONE = noted("colonies were counted one by one, and the record goes by the yard's average")
DIED = noted("the colony had died, see its bees")


@dataclass(frozen=True)
class Visited:
    """A visit with a count: what was written down, and of how many colonies it speaks."""

    written: int  # place in the order of the book
    counted: Looked
    colonies: int  # in the yard
    brood: bool  # whether brood was written down
    one_by_one: bool  # bees were counted of single colonies only


def later_count(visit: Visited, shelf: Shelf) -> Count:
    """The count in bees and cells, by the definition it was counted in.

    Frames become bees by the definition of that day, so that a yard may change its
    definition and still be compared; a count without one is set aside.
    """
    seen: dict[What, float] = {}
    why_not: dict[What, str] = {}
    found: dict[What, float | str | None] = {"bees": _bees(visit, shelf), "brood": _brood(visit, shelf)}
    for what, told in found.items():
        if isinstance(told, str):
            why_not[what] = told
        elif told is not None:
            seen[what] = told
    return Count(visit.counted.on, visit.written, seen, _errors(visit, shelf), why_not, _least(visit, shelf))


def _bees(visit: Visited, shelf: Shelf) -> float | str | None:
    """Bees; or why they cannot be told; or None where none were counted. [bees]"""
    counted = visit.counted
    if visit.one_by_one:
        return ONE_BY_ONE
    if counted.frames_of_bees is None:
        return WEIGHED if counted.bees_kg else None
    if counted.frames_of_bees == 0:
        return 0.0
    key = f"frame_of_bees.{(counted.frame_means or '').removeprefix('frame_of_bees.')}"
    if key not in shelf:
        return NO_DEFINITION
    a_frame = shelf[key].span.typical * frame_size(counted, shelf.reader())
    return bees_on_frames(counted.frames_of_bees, a_frame)


def _brood(visit: Visited, shelf: Shelf) -> float | str | None:
    """Brood of all stages; or why it cannot be told; or None where it was not counted. [cells]"""
    counted = visit.counted
    if not visit.brood:
        return None
    if counted.frames_of_brood == 0 and counted.frames_of_bees == 0:
        return DIED
    return _cells(counted.frames_of_brood, counted, shelf)


def _least(visit: Visited, shelf: Shelf) -> dict[What, float]:
    """The brood that a count of none is below: what a keeper would see of it. [cells]"""
    smallest = shelf.reader().typical("fit.smallest_frame")
    return {"brood": _cells(smallest, visit.counted, shelf)}


def _cells(frames: float, counted: Looked, shelf: Shelf) -> float:
    reader = shelf.reader()
    a_frame = reader.typical("frame_of_brood.cells_deep") * frame_size(counted, reader)
    return brood_cells(frames, a_frame, reader.typical("frame_of_brood.occupancy"))


def _errors(visit: Visited, shelf: Shelf) -> dict[What, float]:
    """Variance of a count about the yard's mean on the log scale: reader, and hives standing for the yard."""
    reader, yard = shelf.reader(), max(visit.colonies, 1)
    looked = min(max(visit.counted.colonies_looked_in, 1), yard)
    between = reader.typical("colony.log_sd") ** 2 * (1 / looked - 1 / yard)
    return {
        "bees": reader.typical("reader.bees_log_sd") ** 2 + between,
        "brood": reader.typical("reader.brood_log_sd") ** 2 + between,
    }
