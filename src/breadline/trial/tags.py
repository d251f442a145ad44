"""What hives wear, in which order they are graded and which of them twice: all by lot, none by arm."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np

from breadline.errors import TrialError
from breadline.language import say
from breadline.trial.colonies import Started

WORDS = (
    "Alder", "Anvil", "Apron", "Arch", "Aspen", "Badge", "Barge", "Basin", "Bench", "Birch", "Bottle",
    "Brick", "Bridge", "Broom", "Bucket", "Cabin", "Candle", "Canvas", "Cedar", "Chalk", "Chapel",
    "Chisel", "Clay", "Comb", "Copper", "Cork", "Cotton", "Crane", "Crown", "Cup", "Dale", "Dove",
    "Drum", "Elm", "Fern", "Ferry", "Fiddle", "Flag", "Flint", "Gable", "Gate", "Glove", "Grove",
    "Hammer", "Harbor", "Hazel", "Hinge", "Holly", "Ink", "Iron", "Ivory", "Jug", "Kettle", "Ladder",
    "Lantern", "Larch", "Linen", "Loom", "Maple", "Marble",
)  # fmt: skip
LOOKS_ELSE = set("01689")  # a number of these alone reads as another one upside down
SHARE_TWICE = 10  # one in so many is graded twice
FEWEST_TWICE = 3  # fewer double readings say nothing of the error of grading


def tags(count: int, rng: np.random.Generator) -> tuple[str, ...]:
    """So many tags, a word and a number each, none like another: "Birch 47".

    Numbers that read otherwise upside down are left out.

    Errors
    ------
    TrialError
        If there are not so many.
    """
    numbers = [n for n in range(20, 1000) if not set(str(n)) <= LOOKS_ELSE]
    if count > len(WORDS) * len(numbers):
        raise TrialError(
            "colonies", f"{count:,}", say("at most {words:,} in one trial", words=len(WORDS) * len(numbers))
        )
    few = numbers[: max(len(numbers) // 20, ceil(count / len(WORDS)) * 2)]
    every = np.argsort(rng.random(len(WORDS) * len(few)))[:count].tolist()
    return tuple(f"{WORDS[n % len(WORDS)]} {few[n // len(WORDS)]}" for n in every)


def grading_order(started: Sequence[Started], rng: np.random.Generator) -> tuple[str, ...]:
    """Tags in the order of grading: yard by yard as listed, by lot inside each."""
    keys = rng.random(len(started)).tolist()
    yards = list(dict.fromkeys(s.yard for s in started))
    order = sorted(range(len(started)), key=lambda n: (yards.index(started[n].yard), keys[n]))
    return tuple(started[n].tag for n in order)


def graded_twice(started: Sequence[Started], rng: np.random.Generator) -> frozenset[str]:
    """Tags of the colonies that a second person grades too: a tenth of all, three at least, by lot.

    They are spread over the yards by their sizes, so that many small yards do not each ask for a second
    reader: 16 yards of two have 4 of their 32 colonies read twice, not 16.
    """
    order = grading_order(started, rng)
    many = min(len(order), max(FEWEST_TWICE, ceil(len(order) / SHARE_TWICE)))
    begun = float(rng.random())
    return frozenset(order[int((n + begun) * len(order) / many)] for n in range(many))
