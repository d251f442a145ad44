"""The reference run of a forage situation: colonies fed and unfed as in the trials, at a yard of one's own.

The belief about feeding was measured in trials. To speak of a yard it has to pass through that yard's
model: the trial is played there, with the yard's latitude, flying weather and parameters, and with the
forage, colony and feeding of the situation.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from breadline.belief.gain import Situation
from breadline.errors import WeatherError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.parameters import Parameters
from breadline.need.season import Block, Constants, Drivers
from breadline.need.season_signal import season_of
from breadline.need.start import Counted, start_colony
from breadline.span import FloatArray

HALF_YEAR = 182  # days; what is August in the north is February in the south


@dataclass(frozen=True)
class ReferenceSpan:
    """When the reference run of a situation is played."""

    situation: Situation
    first: date
    days: int


def reference_span(situation: Situation, latitude: float, after: date, reader: Reader) -> ReferenceSpan:
    """The next such season on or after a day, at a latitude in [°]; the weather of it has to be brought."""
    day = int(reader.typical(f"reference.{situation}_day")) + (HALF_YEAR if latitude < 0 else 0)
    days = int(reader.typical(f"reference.{situation}_days"))
    firsts = (date(after.year + k, 1, 1) + timedelta(days=(day - 1) % 365) for k in (0, 1))
    return ReferenceSpan(situation, next(first for first in firsts if first >= after), days)


def reference_run(
    span: ReferenceSpan,
    latitude: float,
    flight_h: FloatArray,
    model: tuple[Parameters, Constants],
    reader: Reader,
) -> Block:
    """The colonies of the reference run, one a draw of the model; what their feed is worth is still open.

    Parameters
    ----------
    span
        Situation and days.
    latitude
        North of the equator, negative south of it. [°]
    flight_h
        Flying weather of the yard on those days, shape (paths, days); draws take the paths in turn. [h]
    model
        Parameters of the yard's model, shape (draws,), and its constants.
    reader
        The shelf: ``reference.*``.

    Errors
    ------
    WeatherError
        If the weather does not cover the days.
    """
    par, const = model
    if flight_h.ndim != 2 or flight_h.shape[0] < 1 or flight_h.shape[1] < span.days:
        raise WeatherError("reference run", say("the weather has shape {shape}", shape=flight_h.shape),
                           say("at least one path of {days} days", days=span.days))  # fmt: skip
    hours = flight_h[:, : span.days].T * reader.typical(f"reference.{span.situation}_flying")
    drivers = _drivers(span, latitude, hours, np.arange(par.draws) % flight_h.shape[0], reader)
    start = start_colony(_counted(span.situation, par.draws, reader), par, const)
    return Block(start, drivers, par, const, np.zeros(par.draws))


def _drivers(
    span: ReferenceSpan, latitude: float, hours: FloatArray, path: np.ndarray, reader: Reader
) -> Drivers:
    dates = np.datetime64(span.first) + np.arange(span.days)
    year = season_of(dates, latitude)
    put_on = np.zeros(span.days)
    put_on[:: int(reader.typical("reference.round_days"))] = reader.typical("reference.portion_g")
    return Drivers(
        flight_h=hours,
        pollen=np.full(hours.shape, reader.typical(f"reference.{span.situation}_forage")),
        quality=np.ones(hours.shape),
        nectar=np.full(hours.shape, reader.typical(f"reference.{span.situation}_nectar")),
        path=path,
        rho=year.rho,
        trend=year.trend,
        turn=year.turn,
        latitude=latitude,
        put_on_g=put_on,
    )


def _counted(situation: Situation, draws: int, reader: Reader) -> Counted:
    def each(name: str) -> FloatArray:
        return np.full(draws, reader.typical(f"reference.{name}"))

    return Counted(
        adults=each(f"{situation}_adults"),
        brood=each(f"{situation}_brood"),
        bread_g=each(f"{situation}_bread_g"),
        reserve_share=each("reserve_share"),
        foragers=each("foragers_share"),
        package=False,
    )
