"""Which of the three forage situations a time of feeding is, for the belief that holds in it."""

from __future__ import annotations

import numpy as np

from breadline.belief.gain import Situation
from breadline.errors import OurFault
from breadline.knowledge.shelf import Reader
from breadline.need.season import Drivers
from breadline.span import FloatArray

WHOLE_DAY_H = 4.0  # hours of flying from which a day gives what its bloom has [h]


def situation_of(drivers: Drivers, days: slice, reader: Reader) -> Situation:
    """The situation of a stretch of days, by what most of the seasons give in it.

    Bloom that bees cannot fly to is no pollen: each day counts its bloom times the share of a whole day's
    flying. Below ``situation.dearth_below`` of the best it is a dearth, from ``situation.pollen_from`` on
    pollen comes in, between them it is a poor spring, or another time of little pollen.

    Parameters
    ----------
    drivers
        Weather and forage of the place, shape (days, columns).
    days
        The stretch, from the first day of feeding to the last.
    reader
        The shelf.

    Errors
    ------
    OurFault
        If the stretch holds no day.
    """
    given = pollen_in_reach(drivers.pollen[days], drivers.flight_h[days])
    if not given.size:
        raise OurFault("forage situation", "the time of feeding holds no day", "at least one day")
    usual = float(np.median(given.mean(0)))
    if usual < reader.typical("situation.dearth_below"):
        return "dearth"
    return "pollen" if usual >= reader.typical("situation.pollen_from") else "poor_spring"


def pollen_in_reach(pollen: FloatArray, flight_h: FloatArray) -> FloatArray:
    """Bloom times the share of a whole day that bees can fly; the shape of both. [share of the best]

    ``pollen`` is bloom, 0 to 1 [-], ``flight_h`` the hours of flying [h].
    """
    return np.asarray(pollen * np.minimum(1.0, flight_h / WHOLE_DAY_H))
