"""A later count in bees and cells, so that it can be held against an outlook."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from breadline.knowledge.shelf import Shelf
from breadline.language import noted
from breadline.need.foretold import Count, What
from breadline.need.starting_count import frame_size
from breadline.need.strength import bees_on_frames, brood_cells
from breadline.need.yard import Count as Looked
from breadline.need.yard import Given

NO_DEFINITION = noted("what a frame of bees meant that day was not written down")
WEIGHED = noted("the bees were weighed, not counted in frames")
ONE_BY_ONE = noted("a colony was counted by itself, and the record goes by the yard's average")
MIXED = noted("hives were counted in frames of which each meant another thing")
TOO_FEW = noted("fewer than four hives with bees were counted, and others stood there")
EMPTY = noted("the hives that were counted had no bees, and others stood there")
FEWEST_HIVES = 4  # with bees, that stand for a yard of more; our judgement
DIED = noted("the colony had died, see its bees")


@dataclass(frozen=True)
class HiveByHive:
    """Of which hives a count speaks that was told hive by hive; numbers are hives."""

    counted: Mapping[What, int]  # with bees in them
    mixed: frozenset[What]  # counted in frames of several meanings, which have no mean
    empty: int  # without bees
    gone: int  # of the yard, written down as dead or gone by then
    given: tuple[Given, ...]  # feed those with bees got themselves
    unshared: tuple[date, ...]  # days of feed of which nobody wrote down which group of a trial got it
    unseen: Mapping[What, int] = field(default_factory=dict)  # that stood there and were not counted

    def why_not(self, what: What, colonies: int) -> str:
        """Why the hives cannot stand for a yard of so many colonies; empty where they can."""
        n = self.counted.get(what, 0)
        whole = not self.unseen.get(what, 0) and n + self.empty + self.gone >= colonies
        if what in self.mixed:
            return MIXED
        if n == 0:
            return "" if whole else EMPTY
        return "" if whole or n >= FEWEST_HIVES else TOO_FEW

    def told(self, what: What) -> bool:
        """Whether it says anything of that kind; hives without bees tell of bees alone."""
        return self.counted.get(what, 0) > 0 or (what == "bees" and self.empty > 0)


@dataclass(frozen=True)
class Visited:
    """A visit with a count: what was written down, and of how many colonies it speaks."""

    written: int  # place in the order of the book
    counted: Looked
    colonies: int  # in the yard
    brood: bool  # whether brood was written down
    one_by_one: bool  # bees were counted of a colony by itself only
    hives: HiveByHive | None = None  # where the count is the average of hives gone through one by one


def later_count(visit: Visited, shelf: Shelf) -> Count:
    """The count in bees and cells, by the definition it was counted in.

    Frames become bees by the definition of that day, so that a yard may change its
    definition and still be compared; a count without one is set aside. So are hives
    gone through one by one that cannot stand for their yard.
    """
    hives = visit.hives
    seen: dict[What, float] = {}
    why_not: dict[What, str] = {}
    found: dict[What, float | str | None] = {"bees": _bees(visit, shelf), "brood": _brood(visit, shelf)}
    for what, told in found.items():
        why = hives.why_not(what, visit.colonies) if hives and hives.told(what) else ""
        if why or isinstance(told, str):
            why_not[what] = why or str(told)
        elif told is not None:
            seen[what] = told
    count = Count(visit.counted.on, visit.written, seen, _errors(visit, shelf), why_not, _least(visit, shelf))
    if hives is None:
        return count
    return replace(count, hives=hives.counted, empty=hives.empty, given=hives.given, unshared=hives.unshared)


def _bees(visit: Visited, shelf: Shelf) -> float | str | None:
    """Bees; or why they cannot be told; or None where none were counted. [bees]"""
    counted = visit.counted
    if visit.one_by_one:
        return ONE_BY_ONE
    if visit.hives is not None and visit.hives.counted.get("bees", 0) == 0 and visit.hives.empty:
        return 0.0
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

    def error(what: What) -> float:
        of = visit.hives.counted.get(what, 0) if visit.hives else visit.counted.colonies_looked_in
        looked = min(max(of, 1), yard)
        between = reader.typical("colony.log_sd") ** 2 * (1 / looked - 1 / yard)
        return reader.typical(f"reader.{what}_log_sd") ** 2 + between

    return {"bees": error("bees"), "brood": error("brood")}
