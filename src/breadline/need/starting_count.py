"""A keeper's count as draws: what was written down, with its definition and its error."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.start import Counted
from breadline.need.strength import bees_in_mass, bees_on_frames, bread_g, brood_cells
from breadline.need.yard import Count
from breadline.span import FloatArray

NO_WORD_ON_BROOD = noted(
    "No word on brood at the count: the season is reckoned from none. Look, and write frames_of_brood."
)


@dataclass(frozen=True)
class CountDraws:
    """The starting state and what has to be said about it."""

    state: Counted
    bees_a_frame: float  # typical, under the definition used [bees]
    notes: tuple[str, ...]
    filled: FloatArray  # of a frame of brood, shape (members,) [share]
    g_per_cell: FloatArray  # of bread, shape (members,) [g]


def counted_draws(
    count: Count, colonies: int, reader: Reader, rng: np.random.Generator, members: int
) -> CountDraws:
    """Adults, brood and bread of the average colony of ``colonies``, ``members`` draws.

    The error of the mean has two parts: the reader's, which is one habit and the
    same in every hive, as in a fit; and that the hives looked into are some of the
    yard's, which differ from each other. (Shape and units as in ``Counted``.)

    Errors
    ------
    YardError
        If neither frames with their definition nor a mass of bees is given.
    """
    if count.frames_of_bees == 0:
        raise YardError(
            "frames of bees", say("a colony of 0 frames has nothing to feed"), say("more than 0 frames")
        )
    looked = min(max(1, count.colonies_looked_in), max(colonies, 1))
    between = reader.typical("colony.log_sd") * np.sqrt(1 / looked - 1 / max(colonies, 1))
    # One stream each: a count of bread in grams draws less, and must not move the rest.
    for_bees, for_brood, for_bread, for_bodies = rng.spawn(4)
    adults, a_frame, notes = _adults(count, reader, for_bees, members)
    if count.start != "package" and not count.brood_counted:
        notes += (say(NO_WORD_ON_BROOD),)

    def error(key: str, of: np.random.Generator) -> FloatArray:
        spread = float(np.hypot(reader.typical(key), between))
        return np.asarray(np.exp(of.normal(0.0, spread, members)))

    adults = adults * error("reader.bees_log_sd", for_bees)
    size = frame_size(count, reader)
    brood_per_frame = reader.typical("frame_of_brood.cells_deep") * size
    filled = reader.draws("frame_of_brood.occupancy", for_brood, members)
    brood = np.array([brood_cells(count.frames_of_brood, brood_per_frame, 1.0)]) * filled
    brood = brood * error("reader.brood_log_sd", for_brood)
    bread_error = error("outlook.bread_count_log_sd", for_bread)
    bread, per_cell = _bread(count, reader, for_bread, members)
    return CountDraws(
        Counted(
            adults=adults,
            brood=brood,
            bread_g=bread * bread_error,
            reserve_share=reader.draws("outlook.start_reserve", for_bodies, members),
            foragers=reader.draws("outlook.start_foragers", for_bodies, members),
            package=count.start == "package",
        ),
        a_frame,
        notes,
        filled,
        per_cell,
    )


def _adults(
    count: Count, reader: Reader, rng: np.random.Generator, members: int
) -> tuple[FloatArray, float, tuple[str, ...]]:
    if count.start == "package" and count.bees_kg:
        mass = reader.draws("package.mg_per_bee", rng, members)
        bees = np.array([bees_in_mass(count.bees_kg, m) for m in mass])
        return (
            bees,
            reader.typical("frame_of_bees.one_layer"),
            (say("A package: bees by weight, on bare comb."),),
        )
    if count.frames_of_bees is None or count.frame_means is None:
        raise YardError(
            "frames of bees",
            say("no count, or no word on what a frame means"),
            say("frames_of_bees and frame_means"),
            say("Definitions run from 1,400 to 2,430 bees a frame, so Breadline does not choose one for you"),
        )
    key = f"frame_of_bees.{count.frame_means.removeprefix('frame_of_bees.')}"
    size = frame_size(count, reader)
    per_frame = reader.draws(key, rng, members) * size
    typical = reader.typical(key) * size
    notes: tuple[str, ...] = (
        say(
            "A frame of bees is {typical:,.0f} bees here ({meaning}).",
            typical=typical,
            meaning=say(reader.figure(key).meaning),
        ),
    )
    if size != 1.0:
        notes += (
            say("Frames are {boxes} frames, {size:.2f} of a deep frame.", boxes=count.boxes[0], size=size),
        )
    return bees_on_frames(count.frames_of_bees, 1.0) * per_frame, typical, notes


def frame_size(count: Count, reader: Reader) -> float:
    """Comb of one frame of the count's boxes against a deep frame. [share]"""
    depths = set(count.boxes)
    if len(depths) > 1 and count.start == "colony":
        return 1.0  # mixed boxes: frames are counted as deep frames, as the yard file asks
    depth = next(iter(depths), "deep")
    return 1.0 if depth == "deep" else reader.typical(f"frame_size.{depth}_of_deep")


def _bread(
    count: Count, reader: Reader, rng: np.random.Generator, members: int
) -> tuple[FloatArray, FloatArray]:
    """Bread [g], and what a cell of it holds [g]; shape (members,)."""
    if count.bread_unit == "g":
        return np.full(members, count.bread), np.full(members, reader.typical("bread.g_per_cell"))
    per_cell = reader.draws("bread.g_per_cell", rng, members)
    cells = reader.typical("bread.cells_per_deep_frame") * frame_size(count, reader)
    return bread_g(count.bread, count.bread_unit, 1.0, cells) * per_cell, per_cell
