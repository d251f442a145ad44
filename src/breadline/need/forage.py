"""Pollen on offer: bloom windows by date or by growing degree days, on every weather path."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.errors import YardError
from breadline.language import say
from breadline.need.degree_days import degree_days
from breadline.need.yard import Bloom
from breadline.span import FloatArray

YEAR = 364  # days; a window as long as this never closes


@dataclass(frozen=True)
class Offer:
    """Forage of each day and weather path; arrays of shape (days, paths)."""

    pollen: FloatArray  # 0 to 1 [-]
    quality: FloatArray  # protein against the reference pollen [-]
    nectar: FloatArray  # 0 to 1 [-]


@dataclass(frozen=True)
class Crowding:
    """Bees of the neighbourhood share the bloom."""

    colonies: float  # within flight range, own and neighbours' [colonies]
    half_at: float  # colonies at which a colony gets half [colonies]

    @property
    def share(self) -> float:
        """What is left for one colony. [share]"""
        return 1.0 / (1.0 + self.colonies / self.half_at)


@dataclass(frozen=True)
class Opening:
    """How windows open and close (``forage.*`` on the shelf)."""

    shift_days: FloatArray  # how early or late each path is, for windows by date, shape (paths,) [d]
    edge_share: float  # of a window, over which bloom rises and over which it fades [share]
    edge_days: float  # and at most so long [d]


@dataclass(frozen=True)
class PathWeather:
    """Weather from ``first`` on, which may lie before the season; shape (paths, days)."""

    first: date
    tmin_c: FloatArray  # [°C]
    tmax_c: FloatArray  # [°C]


def offer(
    blooms: Sequence[Bloom],
    days: np.ndarray,
    weather: PathWeather,
    opening: Opening,
    crowding: Crowding,
    reference_protein_pct: float,
) -> Offer:
    """Add up what is in bloom.

    Parameters
    ----------
    blooms
        The windows of the place.
    days
        Dates of the season, datetime64[D], shape (days,).
    weather
        Needed by windows that open on a degree-day sum.
    opening
        How windows open and close.
    crowding
        Colonies that share the bloom.
    reference_protein_pct
        Protein of the pollen that counts as 1. [% of mass]
    """
    shape = (days.shape[0], opening.shift_days.shape[0])
    pollen, protein, nectar = np.zeros(shape), np.zeros(shape), np.zeros(shape)
    for bloom in blooms:
        form = _window(bloom, days, weather, opening)
        pollen += bloom.strength * form
        protein += bloom.strength * form * (bloom.protein_pct or reference_protein_pct)
        nectar += bloom.nectar * form
    quality = np.divide(protein, pollen, out=np.full(shape, reference_protein_pct), where=pollen > 0)
    return Offer(
        pollen=np.minimum(1.0, pollen) * crowding.share,
        quality=quality / reference_protein_pct,
        nectar=np.minimum(1.0, nectar),
    )


def _window(bloom: Bloom, days: np.ndarray, weather: PathWeather, opening: Opening) -> FloatArray:
    if bloom.degree_days is not None:
        return _by_degree_days(bloom, days, weather, opening)
    if bloom.start is None or bloom.end is None:
        raise YardError(
            f"bloom {bloom.name}", say("has neither dates nor degree days"), say("a start and an end")
        )
    shift = opening.shift_days
    form = np.zeros((days.shape[0], shift.shape[0]))
    first_year = int(days[0].astype("datetime64[Y]").astype(int)) + 1970
    for year in (first_year - 1, first_year, first_year + 1):
        start, end = on_day(year, bloom.start), on_day(year, bloom.end)
        if end < start:  # a window over New Year
            end = on_day(year + 1, bloom.end)
        since = (days - start).astype(np.float64)[:, None] - shift[None, :]
        form = np.maximum(form, _trapezoid(since, float((end - start).astype(int)) + 1.0, opening))
    return form


def _by_degree_days(bloom: Bloom, days: np.ndarray, weather: PathWeather, opening: Opening) -> FloatArray:
    target = bloom.degree_days
    assert target is not None
    lasts = float(bloom.lasts_days or 21)
    all_days = np.datetime64(weather.first) + np.arange(weather.tmin_c.shape[1])
    heat = degree_days(weather.tmax_c, weather.tmin_c, target.base_c, target.cap_c, target.method)
    form = np.zeros((days.shape[0], weather.tmin_c.shape[0]))
    for year in np.unique(all_days.astype("datetime64[Y]").astype(int) + 1970):
        begin = on_day(int(year), target.start)
        counted = np.where((all_days >= begin) & (all_days < begin + 365), heat, 0.0)
        total = np.cumsum(counted, axis=1)
        reached = total >= target.sum_c
        known = all_days[0] <= begin  # a sum whose beginning is not in the weather means nothing
        opens = np.where(reached.any(1) & known, reached.argmax(1).astype(np.float64), np.inf)
        since = (days - all_days[0]).astype(np.float64)[:, None] - opens[None, :]
        form = np.maximum(form, _trapezoid(since, lasts, opening))
    return form


def _trapezoid(since: FloatArray, length: float, opening: Opening) -> FloatArray:
    if length >= YEAR:
        return np.ones_like(since)  # what blooms all year has no edge at New Year
    edge = max(1.0, min(opening.edge_days, opening.edge_share * length))
    return np.asarray(np.clip(np.minimum(since + 1.0, length - since) / edge, 0.0, 1.0))


def on_day(year: int, month_day: tuple[int, int]) -> np.datetime64:
    """The day of that year; 29 February falls on the 28th."""
    month, day = month_day
    if (month, day) == (2, 29):
        day = 28
    return np.datetime64(date(year, month, day))
