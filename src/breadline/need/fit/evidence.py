"""What an inspection says: a likelihood for bees, brood and bread."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import log

import numpy as np
from scipy.special import log_ndtr

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.fit.told import What
from breadline.need.starting_count import frame_size
from breadline.need.words import day_and_year
from breadline.need.yard import Count, Inspection, Yard
from breadline.span import FloatArray

READERS: Mapping[What, str] = {
    "bees": "reader.bees_log_sd",
    "brood": "reader.brood_log_sd",
    "bread": "outlook.bread_count_log_sd",
}
FEWEST_GRADED = 6  # colonies of one day, below which their spread says less than the shelf
HALF_LOG_2PI = 0.5 * log(2 * np.pi)


@dataclass(frozen=True)
class Spread:
    """How counts lie about what the model says; each on the log scale [-]."""

    colonies: float  # among the colonies of the yard
    model: Mapping[What, float]  # of the model about the yard's average colony
    lasting: float = 0.0  # of the variance of a count, what is the same at every inspection [share]


@dataclass(frozen=True)
class Seen:
    """One figure of one inspection, in the unit of the state it is held against.

    ``value`` is in [bees], in [cells] of comb the brood would fill wholly, in [g] or
    in [cells] of bread, by ``per``.
    """

    day: int  # from the count [d]
    inspection: Inspection
    what: What
    value: float
    least: float  # a count of none means less than this, in the unit of ``value``
    per: str  # name of the unknown that turns the state into ``value``; empty where it is one
    count_sd: float  # of reader and colonies [-]
    model_sd: float  # of the model [-]
    lasting_sd: float = 0.0  # of these, what lasts from one inspection to the next [-]

    @property
    def log_sd(self) -> float:
        """Of the whole, on the log scale. [-]"""
        return float(np.hypot(self.count_sd, self.model_sd))

    @property
    def passing_sd(self) -> float:
        """Of what is new at each inspection, on the log scale. [-]"""
        return float(np.sqrt(self.log_sd**2 - self.lasting_sd**2))

    def log_likelihood(self, would: FloatArray) -> FloatArray:
        """Of each draw that would be ``would``, in the unit of ``value``; shape (draws,). [-]

        ``would`` holds the draw's lasting error already. A count of none is a count below ``least``.
        """
        middle = np.log(np.maximum(would, 1e-3 * self.least))
        if self.value <= 0:
            return np.asarray(log_ndtr((log(self.least) - middle) / self.passing_sd))
        off = (log(self.value) - middle) / self.passing_sd
        return np.asarray(-0.5 * off**2 - log(self.passing_sd) - log(self.value) - HALF_LOG_2PI)

    def off(self, would: FloatArray) -> FloatArray:
        """How many standard deviations the count lies off, shape (draws,). [-]

        ``would`` is in the unit of ``value``. A count of none stands at ``least``.
        """
        middle = np.log(np.maximum(would, 1e-3 * self.least))
        return np.asarray((log(self.value if self.value > 0 else self.least) - middle) / self.passing_sd)


def spread_of(yard: Yard, reader: Reader, own_error: Mapping[What, float] | None = None) -> Spread:
    """The yard's own graded spread where enough colonies were graded, and the model's own error.

    ``own_error`` is that of the record of foretelling, on the log scale [-]; it stands in
    place of the shelf's, but never below the least that the shelf holds possible.
    """
    model: dict[What, float] = {}
    for what in READERS:
        span = reader.span(f"fit.model_{what}_log_sd")
        own = (own_error or {}).get(what)
        model[what] = span.typical if own is None else max(own, span.low)
    graded = [np.log(i.frames_each) for i in yard.inspections if len(i.frames_each) > 1]
    free = sum(len(one) - 1 for one in graded)
    lasting = reader.typical("fit.lasting_share")
    if free < FEWEST_GRADED - 1:
        return Spread(reader.typical("colony.log_sd"), model, lasting)
    pooled = np.sqrt(sum(float(((one - one.mean()) ** 2).sum()) for one in graded) / free)
    return Spread(max(float(pooled), reader.span("colony.log_sd").low / 2), model, lasting)


def evidence(yard: Yard, reader: Reader, spread: Spread) -> tuple[Seen, ...]:
    """Every figure of every inspection, in the order of their days.

    Errors
    ------
    YardError
        If a colony of no bees is among the inspected, or frames have no definition.
    """
    seen = [
        one
        for inspection in sorted(yard.inspections, key=lambda i: i.on)
        for one in _of(inspection, yard.count, reader, spread)
    ]
    return _sharing_errors(seen, spread.lasting)


def _sharing_errors(seen: Sequence[Seen], lasting: float) -> tuple[Seen, ...]:
    """What counts have in common; ``lasting`` is a part of their variance [share].

    Counts of one day meet one and the same error of the model; on the day of the count there is
    none. From day to day the reader's habit, the hives looked into and what the model gets wrong
    stay much the same.
    """
    times = Counter((one.day, one.what) for one in seen)
    found = []
    for one in seen:
        model = one.model_sd if one.day else 0.0
        found.append(
            replace(
                one,
                model_sd=model * float(np.sqrt(times[one.day, one.what])),
                lasting_sd=float(np.sqrt(lasting) * np.hypot(one.count_sd, model)),
            )
        )
    return tuple(found)


def _of(inspection: Inspection, count: Count, reader: Reader, spread: Spread) -> list[Seen]:
    day = (inspection.on - count.on).days
    size = inspected_size(inspection, count, reader)
    colonies = max(1, len(inspection.frames_each) or inspection.colonies_looked_in)
    found: list[Seen] = []

    def add(what: What, value: float, least: float, per: str) -> None:
        error = float(np.hypot(reader.typical(READERS[what]), spread.colonies / np.sqrt(colonies)))
        found.append(Seen(day, inspection, what, value, least, per, error, spread.model[what]))

    frames = mean_frames(inspection)
    if frames is not None:
        a_frame = bees_a_frame(inspection, count, reader) * size
        add("bees", frames * a_frame, a_frame, "")
    smallest = reader.typical("fit.smallest_frame")
    if inspection.frames_of_brood is not None:
        comb = reader.typical("frame_of_brood.cells_deep") * size
        add("brood", inspection.frames_of_brood * comb, smallest * comb, "filled")
    if inspection.bread is not None:
        cells = reader.typical("bread.cells_per_deep_frame") * size
        if inspection.bread_unit == "g":
            add("bread", inspection.bread, smallest * cells * reader.typical("bread.g_per_cell"), "")
        else:
            given = inspection.bread * (cells if inspection.bread_unit == "frames" else 1.0)
            add("bread", given, smallest * cells, "g_per_cell")
    return found


def mean_frames(inspection: Inspection) -> float | None:
    """Frames of bees of the mean colony. [frames]

    Errors
    ------
    YardError
        If a colony of no bees is among them.
    """
    each = inspection.frames_each
    frames = float(np.mean(each)) if each else inspection.frames_of_bees
    if frames is not None and min((frames, *each)) <= 0:
        raise YardError(
            f"inspection of {day_and_year(inspection.on)}",
            say("a colony of 0 frames of bees is dead, and no part of the average colony"),
            say("frames of bees above 0"),
            say("Leave dead colonies out of the inspection and take them off the number of colonies"),
        )
    return frames


def inspected_size(inspection: Inspection, count: Count, reader: Reader) -> float:
    """Comb of one frame of the inspection against a deep frame. [share]"""
    return frame_size(replace(count, boxes=inspection.boxes or count.boxes), reader)


def bees_a_frame(inspection: Inspection, count: Count, reader: Reader) -> float:
    """Bees on a deep frame by the inspection's definition, or the count's. [bees]

    Errors
    ------
    YardError
        If neither says what a frame is.
    """
    means = inspection.frame_means or count.frame_means
    if means is None:
        raise YardError(
            f"inspection of {day_and_year(inspection.on)}",
            say("no word on what a frame of bees means"),
            say("frame_means, as under [count]"),
            say("Definitions run from 1,400 to 2,430 bees a frame, so Breadline does not choose one for you"),
        )
    return reader.typical(f"frame_of_bees.{means.removeprefix('frame_of_bees.')}")
