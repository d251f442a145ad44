"""Which of the three forage situations a time of feeding is, for the belief that holds in it."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import numpy as np

from breadline.belief.gain import SITUATIONS, Situation
from breadline.errors import OurFault
from breadline.knowledge.shelf import Reader
from breadline.need.season import Drivers
from breadline.span import FloatArray

TROPIC = 25.0  # degrees; nearer the equator there is no winter [°]
FIRST = 7  # days of the beginning that go by all of them: one day's rain is no dearth [d]
SHORTEST = 14  # days; a shorter stretch is not told of [d]
SELDOM = 0.02  # of all days and seasons; a situation that is rarer is not told [share]


def situations_by_day(drivers: Drivers, start: date, reader: Reader) -> np.ndarray:
    """The situation of each day in each season, so that a dearth which a flow ends is both, one by one.

    A day goes by what came into reach in the weeks up to it, ``situation.window_days`` of them: less than
    a trial lasted, and long enough that a rainy week in a flow is no dearth. From the shortest day to
    the end of spring a time without pollen is what trials of that time had: a poor spring, no dearth.

    Parameters
    ----------
    drivers
        Weather and forage of the place, shape (days, columns).
    start
        The first day of them.
    reader
        The shelf: ``situation.*``, ``plan.whole_day_h``.

    Returns
    -------
    numpy.ndarray
        Which of ``SITUATIONS``, shape (days, columns).
    """
    usual = _usual(drivers, reader)
    winter = _late_winter(drivers, start, reader)
    dearth, spring, pollen = (SITUATIONS.index(s) for s in ("dearth", "poor_spring", "pollen"))
    low = np.where(winter, spring, dearth)[:, None]
    found = np.where(usual < reader.typical("situation.dearth_below"), low, spring)
    return np.asarray(
        np.where(usual >= reader.typical("situation.pollen_from"), pollen, found), dtype=np.int64
    )


def bare_late_winter(drivers: Drivers, start: date, reader: Reader) -> np.ndarray:
    """The days that are told as a poor spring though they would be a dearth at another time of the year.

    Parameters as in ``situations_by_day``; so is the shape, True where it is so.
    """
    bare = _usual(drivers, reader) < reader.typical("situation.dearth_below")
    return np.asarray(bare & _late_winter(drivers, start, reader)[:, None])


def _usual(drivers: Drivers, reader: Reader) -> FloatArray:
    """What came into reach in the weeks up to each day, shape (days, columns). [share of the best]"""
    given = pollen_in_reach(drivers.pollen, drivers.flight_h, reader.typical("plan.whole_day_h"))
    days = given.shape[0]
    total = np.cumsum(np.concatenate([np.zeros((1, given.shape[1])), given]), axis=0)
    first = np.maximum(0, np.arange(days) - round(reader.typical("situation.window_days")) + 1)
    last = np.maximum(np.arange(days) + 1, min(days, FIRST))  # no day goes by fewer
    return np.asarray((total[last] - total[first]) / (last - first)[:, None])


def _late_winter(drivers: Drivers, start: date, reader: Reader) -> np.ndarray:
    """Whether each day is late winter or spring, shape (days,)."""
    ends = reader.typical("situation.spring_days")
    days = (start + timedelta(days=t) for t in range(drivers.flight_h.shape[0]))
    return np.array([late_winter(drivers.latitude, on, ends) for on in days])


def late_winter(latitude: float, on: date, ends: float) -> bool:
    """Whether a day lies within ``ends`` [d] after the shortest one, at a latitude in [°]."""
    if abs(latitude) < TROPIC:
        return False
    shortest = date(on.year, 12, 21) if latitude > 0 else date(on.year, 6, 21)
    if shortest > on:
        shortest = shortest.replace(year=on.year - 1)
    return (on - shortest).days < ends


def main_situation(by_day: np.ndarray) -> Situation:
    """The situation of most days; ``by_day`` as in ``situations_by_day``, shape (days, columns).

    Errors: OurFault if there is no day.
    """
    if not by_day.size:
        raise OurFault("forage situation", "the time of feeding holds no day", "at least one day")
    return SITUATIONS[int(np.bincount(by_day.ravel(), minlength=len(SITUATIONS)).argmax())]


def other_situations(by_day: np.ndarray) -> tuple[Situation, ...]:
    """The others that are not all too rare, in the order of ``SITUATIONS``; shape (days, columns)."""
    share = np.bincount(by_day.ravel(), minlength=len(SITUATIONS)) / max(1, by_day.size)
    main = main_situation(by_day)
    return tuple(s for s, often in zip(SITUATIONS, share, strict=True) if often > SELDOM and s != main)


def stretches(by_day: np.ndarray) -> tuple[tuple[int, Situation], ...]:
    """From which day [d] on which situation holds in most seasons; those of under two weeks are left out.

    ``by_day`` as in ``situations_by_day``, shape (days, columns).
    """
    often = [np.bincount(one, minlength=len(SITUATIONS)).argmax() for one in by_day]
    turns = [0, *(t for t in range(1, len(often)) if often[t] != often[t - 1]), len(often)]
    found: list[tuple[int, Situation]] = []
    for first, last in pairwise(turns):
        situation = SITUATIONS[int(often[first])]
        if (last - first >= SHORTEST or not found) and (not found or found[-1][1] != situation):
            found.append((first, situation))
    return tuple(found)


def pollen_in_reach(pollen: FloatArray, flight_h: FloatArray, whole_day_h: float) -> FloatArray:
    """Bloom times the share of a whole day that bees can fly; the shape of both. [share of the best]

    ``pollen`` is bloom, 0 to 1 [-], ``flight_h`` the hours of flying [h], of which
    ``whole_day_h`` give all of it [h].
    """
    return np.asarray(pollen * np.minimum(1.0, flight_h / whole_day_h))
