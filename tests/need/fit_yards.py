"""Yards with inspections for the tests of the fit: made up, some by the season model itself."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np

from breadline.knowledge.shelf import Reader, load
from breadline.need.fit import before
from breadline.need.fit.evidence import evidence, spread_of
from breadline.need.fit.fitting import fit
from breadline.need.fit.ready import parameters_before
from breadline.need.fit.told import Fit
from breadline.need.forecast import constants
from breadline.need.starting_count import counted_draws
from breadline.need.streams import Streams
from breadline.need.yard import Bloom, Count, Inspection, Place, Yard
from breadline.span import FloatArray

FIRST = date(2027, 4, 1)
COUNT = Count(FIRST, 0.75, "frames", 6.0, "one_layer", 2.5, colonies_looked_in=6)
YARD = Yard(
    "Made up",
    Place(42.0),
    24,
    date(2027, 5, 20),
    COUNT,
    bloom=(Bloom("everything", (3, 1), (10, 15), 0.6, 0.3),),
)


def inspection(after: int, bees: float | None = None, brood: float | None = None, **more) -> Inspection:
    """An inspection ``after`` so many days from the count."""
    on = FIRST + timedelta(days=after)
    return Inspection(on, 6, frames_of_bees=bees, frames_of_brood=brood, **more)


def weather(paths: int = 15, days: int = 260, start: str = "2027-03-01", alike: bool = True):
    """A cool spring and a warm summer; every path alike, or each a little different from the first day."""
    rng = np.random.default_rng(11)
    day = np.arange(days)
    mean = 12 + 9 * np.sin(2 * np.pi * (day - 30) / 365) + rng.normal(0, 2, days)
    mean = np.repeat(mean[None, :], paths, axis=0)
    if not alike:
        mean = mean + rng.normal(0, 2, mean.shape)
    flight = np.clip(0.8 * (mean - 7), 0, 10)
    return SimpleNamespace(
        start=np.datetime64(start), tmin_c=mean - 6, tmax_c=mean + 6, tmean_c=mean, flight_h=flight,
        label="made up", paths_are_years=True, years=paths,
    )  # fmt: skip


def fitted(yard: Yard, seed: int = 1, draws: int = 600, sky=None, reader: Reader | None = None) -> Fit:
    """A fit with few draws, for speed."""
    reader, streams = reader or load().reader(), Streams.of(np.random.default_rng(seed))
    par = parameters_before(reader, streams.parameters, draws)
    return fit(yard, sky or weather(), reader, streams, par)


@dataclass(frozen=True)
class Recovered:
    """Where the truth lies among the draws after the fit, as a share of them below it."""

    site: float
    adults: float
    brood: float
    fits: bool


def recovered(seed: int, draws: int = 600) -> Recovered:
    """One yard made by the season model from figures that are known, fitted, and held against them.

    Four inspections in 40 days; adults and brood are compared another 30 days on. The truth is
    one draw of the ensemble before the fit; counts have all the errors that the fit reckons with.
    """
    rng = np.random.default_rng(seed)
    reader, sky = load().reader(), weather()
    days = (10, 20, 30, 40)
    blank = replace(
        YARD, today=FIRST + timedelta(days=70), inspections=tuple(inspection(d, 1, 1) for d in days)
    )
    at = before.stretch(blank, sky, reader, constants(reader))
    one = counted_draws(COUNT, blank.colonies, reader, rng, 1)
    truth = before.draws_before(parameters_before(reader, rng, 1), one, blank, reader, at, rng)
    truth["shift"] = rng.integers(0, len(at.shifts_days), 1).astype(np.float64)
    lived = before.lived(truth, at)
    looked = []
    for k, plain in enumerate(blank.inspections):
        figures = {}
        for seen in evidence(replace(blank, inspections=(plain,)), reader, spread_of(blank, reader)):
            would = float(before.would_count(seen, lived, truth)[0])
            name = {"bees": "frames_of_bees", "brood": "frames_of_brood"}[seen.what]
            figures[name] = (
                would * np.exp(rng.normal(0, seen.passing_sd)) / seen.value
            )  # counted 1 gives seen.value
        looked.append(replace(blank.inspections[k], **figures))
    told = fitted(replace(blank, inspections=tuple(looked)), seed + 10_000, draws, sky, reader)
    after = values_of(told)
    ahead = before.lived(after, at)
    return Recovered(
        site=_below(after["site"], truth["site"], rng),
        adults=_below(ahead.adults[-1], lived.adults[-1], rng),
        brood=_below(ahead.brood[-1], lived.brood[-1], rng),
        fits=told.told.fits,
    )


def _below(draws: FloatArray, truth: FloatArray, rng: np.random.Generator) -> float:
    """Share of draws below the truth; of those equal to it, at the end of a range, a part by chance."""
    return float((draws < truth).mean() + rng.random() * (draws == truth).mean())


def values_of(told: Fit) -> dict[str, FloatArray]:
    """The unknowns after the fit, by name."""
    e = told.ensemble
    found = {name: getattr(e.par, name) for name in before.NAMES}
    found |= {name: getattr(e.counted, name) for name in before.STATE}
    return found | {
        "shift": e.shift.astype(np.float64),
        "path": e.path.astype(np.float64),
        "equivalence": e.equivalence,
    }
