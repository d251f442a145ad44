"""The answer of the season model, ready to be shown: ranges over draws, no arrays of members."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from breadline.span import FloatArray


@dataclass(frozen=True)
class Band:
    """Quantiles of an ensemble over time; each array has shape (days,).

    ``low`` and ``high`` hold 8 seasons in 10 (10th and 90th percentile), in the
    unit of what the band describes.
    """

    low: FloatArray
    middle: FloatArray
    high: FloatArray


@dataclass(frozen=True)
class Range:
    """10th, 50th, 90th percentile over the draws, in the unit of the number they describe."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class ShortFrom:
    """First date on which bread and income no longer cover the need."""

    chance: float  # share of the ensemble that falls short before the outlook ends [share]
    earliest: date | None  # 10th percentile among all members; None where fewer fall short
    middle: date | None  # median over all members; None where fewer than half fall short
    latest: date | None  # 90th percentile over all members; None where fewer fall short
    not_before: date  # fewer than 1 in 10 members are short before this date (the end if none)
    now: bool  # more than half are short on the first day or within three days
    few_years: int | None = None  # years of weather behind the chance; None where they are enough


@dataclass(frozen=True)
class Spell:
    """A run of days on which at least half of the ensemble is short."""

    start: date
    end: date
    chance: float  # highest share of members short on one day [share]
    missing_g: Range  # protein feed missing over the spell, per colony [g pollen-equivalent]
    few_years: int | None = None  # as in ``ShortFrom``


@dataclass(frozen=True)
class FramesEnd:
    """Where bees and brood stop before the rest of an outlook."""

    on: date  # last day they are foretold for
    because: str
    instead: tuple[str, ...]  # what can be said of the time after it


@dataclass(frozen=True)
class Outlook:
    """One yard's season: what comes in, what is needed, what is missing.

    Units: grams of pollen-equivalent per colony and day for need and income,
    grams for bread, bees for adults, cells for brood. Bands of adults and brood
    stop on ``frames_end.on`` where there is one; every other array has all of ``dates``.
    """

    start: date
    dates: tuple[date, ...]
    need_g: Band  # mean of the week around the day
    income_g: Band  # mean of the week around the day
    bread_g: Band
    bread_days: Band  # bread divided by the day's need [days]
    short: FloatArray  # share of members short on each day, shape (days,) [share]
    short_from: ShortFrom | None  # None where the model does not fit the yard's own counts: no date is told
    lasts_days: Range | None  # how long the bread lasts if no pollen came in; None as above [days]
    spells: tuple[Spell, ...]
    adults: Band
    brood: Band
    adults_fed: Band | None  # with the feed that was given or is asked about
    bees_a_frame: float  # the definition used to turn adults into frames [bees]
    stops_because: str  # why the outlook ends where it does
    weather_label: str
    weather_years: bool  # False where there is no honest year-to-year range
    members: int
    leaves_out: tuple[str, ...]
    figures: tuple[str, ...]  # keys of the figures used
    brood_fed: Band | None = None  # as ``adults_fed``
    notes: tuple[str, ...] = ()
    beyond: tuple[str, ...] = ()  # what can be said of the time after its end
    today: date | None = None  # day of the answer; None where it is not known apart from ``start``

    frames_end: FramesEnd | None = None  # where bees and brood stop earlier; None where they do not

    @property
    def frames_until(self) -> date:
        """Last day for which bees and brood are foretold."""
        return self.dates[-1] if self.frames_end is None else self.frames_end.on

    @property
    def few_years(self) -> int | None:
        """Years of weather behind its chances; None where they are enough, or where no chance is told."""
        return self.short_from.few_years if self.short_from else None

    def with_figures(self, figures: tuple[str, ...]) -> Outlook:
        """The same outlook, with the keys of the figures it used."""
        return replace(self, figures=figures)
