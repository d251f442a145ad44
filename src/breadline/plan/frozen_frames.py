"""A stock of frozen pollen frames: first in, first out, from disease-free yards only."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial

import numpy as np

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say, say_counted
from breadline.need.outlook import Range
from breadline.need.words import day_and_year, days_or_weeks, quarter_frames
from breadline.span import FloatArray

SPORES = noted("Freezing kills wax moth and beetle, never the spores of foulbrood.")
JUST = 1e-9


@dataclass(frozen=True)
class Lot:
    """Frames of bread taken on one day from one yard."""

    yard: str
    taken_on: date
    frames: float  # of bread, deep, both sides [frames]
    disease_free: bool | None  # by inspection of the yard when they were taken; None is not known
    disease_found: bool = False  # at the yard, since they were put in

    def __post_init__(self) -> None:
        if not 0.0 <= self.frames < 10_000.0:
            raise YardError("frozen frames", f"{self.frames:g}", say("0 or more frames of bread"))

    @property
    def usable(self) -> bool:
        """Whether it may be given to a colony; what is not known to be free of disease may not."""
        return self.disease_free is True

    @property
    def health(self) -> str:
        """What is known of disease at its yard, and that it is set aside where it is not free of it."""
        if self.usable:
            return say("free of disease")
        return (
            say("disease found: set aside") if self.disease_found else say("not known to be free: set aside")
        )


@dataclass(frozen=True)
class Freezer:
    """What lies in the freezer, the oldest first."""

    lots: tuple[Lot, ...] = ()

    def __post_init__(self) -> None:
        inside = sorted((lot for lot in self.lots if lot.frames > JUST), key=lambda lot: lot.taken_on)
        object.__setattr__(self, "lots", tuple(inside))

    @property
    def frames(self) -> float:
        """Frames that may be used [frames]."""
        return sum(lot.frames for lot in self.lots if lot.usable)

    @property
    def set_aside(self) -> tuple[Lot, ...]:
        """Lots that may not be used."""
        return tuple(lot for lot in self.lots if not lot.usable)

    def with_lot(self, lot: Lot) -> Freezer:
        """The freezer with one lot more.

        Errors: YardError if the lot's yard is not known to be free of disease.
        """
        if not lot.usable:
            raise _refused(lot)
        return Freezer((*self.lots, lot))

    def without_yard(self, yard: str) -> Freezer:
        """The freezer after disease was found at ``yard``: every lot from there is set aside."""
        return Freezer(
            tuple(
                replace(x, disease_free=False, disease_found=True) if x.yard == yard else x for x in self.lots
            )
        )


def _refused(lot: Lot) -> YardError:
    return YardError(
        f"frozen frames from {lot.yard}",
        (
            say("the yard is not disease-free")
            if lot.disease_free is False
            else say("the yard is not known to be disease-free")
        ),
        say("frames from a yard inspected and found free of disease"),
        say(
            "{spores} Keep them apart, ask your apiary inspector, and give them to no colony",
            spores=say(SPORES),
        ),
    )


@dataclass(frozen=True)
class Taken:
    """What is taken out for a round."""

    lots: tuple[Lot, ...]  # in the order to use them, the oldest first
    left: Freezer
    missing: float  # frames asked for that are not there [frames]
    say_remarks: Callable[[], tuple[str, ...]] = field(compare=False, repr=False)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What to mind, in the language of who reads it."""
        return self.say_remarks()

    @property
    def frames(self) -> float:
        """Frames taken [frames]."""
        return sum(lot.frames for lot in self.lots)


def take(freezer: Freezer, frames: float, today: date, reader: Reader) -> Taken:
    """So many ``frames`` [frames], the oldest usable first; what is refused stays where it is.

    Errors: YardError if less than none are asked for, or a lot was frozen after ``today``.
    """
    if not frames >= 0.0:
        raise YardError("frames to take out", f"{frames}", say("0 or more"))
    wanted, out, left = frames, [], list(freezer.set_aside)
    for lot in freezer.lots:
        if lot.taken_on > today:
            raise YardError(
                f"frozen frames from {lot.yard}",
                say("taken on {day}", day=day_and_year(lot.taken_on)),
                say("a day up to today"),
            )
        if not lot.usable:
            continue
        now = min(lot.frames, wanted)
        wanted -= now
        out.append(replace(lot, frames=now))
        left.append(replace(lot, frames=lot.frames - now))
    taken = tuple(lot for lot in out if lot.frames > JUST)
    missing = wanted if wanted > JUST else 0.0
    return Taken(taken, Freezer(tuple(left)), missing, partial(_remarks, taken, freezer, today, reader))


def _remarks(taken: Iterable[Lot], freezer: Freezer, today: date, reader: Reader) -> tuple[str, ...]:
    old = reader.typical("freezing.old_days")
    said = [
        say("From {yard}, {day}: old, count on less of it", yard=lot.yard, day=day_and_year(lot.taken_on))
        for lot in taken
        if (today - lot.taken_on).days >= old
    ]
    said += [
        say(
            "{frames} from {yard} left where they are: not known to be disease-free",
            frames=quarter_frames(lot.frames),
            yard=lot.yard,
        )
        for lot in freezer.set_aside
    ]
    return (*said, say(SPORES))


def bread_g(frames: float, reader: Reader, rng: np.random.Generator, draws: int) -> FloatArray:
    """Bread on so many deep ``frames`` [frames], shape (draws,) [g]."""
    cells = reader.draws("bread.cells_per_deep_frame", rng, draws)
    return np.asarray(frames * cells * reader.draws("bread.g_per_cell", rng, draws))


def days_worth(
    frames: float, need_g_day: FloatArray, reader: Reader, rng: np.random.Generator, draws: int = 2000
) -> Range:
    """How many days of a colony's need so many frames cover [days].

    Parameters
    ----------
    frames
        Frames of bread, deep, both sides; a medium frame counts as its share of a deep one. [frames]
    need_g_day
        What a colony needs in a day, one value, or one a draw in place of ``draws``. [g/day]

    Returns
    -------
    Range
        10th, 50th and 90th percentile. [days]

    Errors
    ------
    YardError
        If the need is below 0. A need of 0 makes the frames last without end.
    """
    need = np.asarray(need_g_day, dtype=np.float64).reshape(-1)
    draws = draws if need.size == 1 else need.size
    if need.size == 0 or np.any(need < 0.0) or not np.all(np.isfinite(need)):
        raise YardError("need of the colony", say("{need} g a day", need=need), say("0 g or more"))
    grams = bread_g(frames, reader, rng, draws)
    days = np.where(need > 0.0, grams / np.maximum(need, 1e-12), np.where(grams > 0.0, np.inf, 0.0))
    low, middle, high = (float(q) for q in np.quantile(days, (0.1, 0.5, 0.9), method="lower"))
    return Range(low, middle, high)


def worth_words(frames: float, days: Range) -> str:
    """As it is said: "2 frames of bread: worth 8 to 13 days to one colony" [frames]."""
    many = 1 if round(frames * 4) / 4 <= 1.0 else 2
    lasts = days_or_weeks(days.low, days.high)
    return say_counted(
        "{n} frame of bread: worth {lasts} to one colony.",
        "{n} frames of bread: worth {lasts} to one colony.",
        many,
        n=quarter_frames(frames),
        lasts=lasts,
    )
