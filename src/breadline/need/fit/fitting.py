"""The season model fitted to a yard's own counts.

The ensemble starts at the yard's first count. Every later inspection weighs it; what is
not known is how rich the place is in pollen, the state on the first morning, and every
parameter, all within the ranges of the shelf. See ``docs/method/fitting.md``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.need.few_years import Z90
from breadline.need.fit import before
from breadline.need.fit.astray import astray, grown
from breadline.need.fit.before import would_count_all
from breadline.need.fit.evidence import Seen
from breadline.need.fit.misfit import UNLIKELY, chance_of_misfit, surprises, widened
from breadline.need.fit.ready import DRAWS, Case, made_ready
from breadline.need.fit.told import FEWEST, Bands, Ensemble, Fit, Fitted, Foretold, Looked, What
from breadline.need.fit.unknowns import Unknowns
from breadline.need.fit.weighing import Cloud, begun, chosen, effective_number, weighed
from breadline.need.parameters import Parameters
from breadline.need.place_drivers import WeatherAhead
from breadline.need.season import Course
from breadline.need.streams import Streams
from breadline.need.summary import HIGH, LOW, MIDDLE, band, spread
from breadline.need.yard import Yard
from breadline.span import FloatArray


@dataclass(frozen=True)
class _Told:
    foretold: Foretold
    surprise: float  # standard deviations


def fit(
    yard: Yard,
    weather: WeatherAhead,
    reader: Reader,
    streams: Streams,
    par: Parameters | None = None,
    own_error: Mapping[What, float] | None = None,
) -> Fit:
    """Fit the season model to a yard's inspections.

    Parameters
    ----------
    yard
        With at least one inspection; their order does not matter.
    weather
        Must cover the days from the count to today.
    reader
        The shelf, which notes what is used.
    streams
        The only source of chance.
    par
        Draws of the parameters before the fit; drawn from the shelf where none are given.
    own_error
        The model's own error from the record of foretelling, on the log scale [-].

    Errors
    ------
    YardError
        If the inspections do not lie between count, today and weather, if two of one day
        disagree, or if winter lies between the count and an inspection.
    """
    case, first = made_ready(yard, weather, reader, streams, par, own_error)
    rng = streams.fit
    by_law = _by_its_law(case, rng)  # drawn first, so that it is the same whatever was counted
    cloud, told = _weighed(case, begun(case.all_of.drawn, first), rng)
    kept = chosen(cloud.weights, DRAWS, rng)
    after = case.all_of.values(cloud.scores[:, kept])
    came = before.lived(after, case.at)
    chance = chance_of_misfit([one.surprise for one in told])
    fits = cloud.effective >= FEWEST and chance >= UNLIKELY
    stretched, off = np.ones(DRAWS), astray(case, came, after, rng)
    drawn = case.all_of.values(case.all_of.drawn)
    if not fits:
        after, stretched = widened(case, drawn, rng)
        off = {what: np.ones(len(stretched)) for what in off}
        came = before.lived(after, case.at)
    fitted = Fitted(
        dates=tuple(yard.count.on + timedelta(days=n) for n in range(case.at.days + 1)),
        before=_bands(drawn, before.lived(drawn, case.at), by_law, np.ones(1)),
        after=_bands(after, came, off, stretched),
        looked=tuple(_looked(one, case.all_of) for one in case.seen),
        foretold=tuple(one.foretold for one in told),
        from_inspections=len(case.days) - 1,
        draws=case.all_of.drawn.shape[1],
        effective_first=effective_number(np.exp(first.sum(0) - first.sum(0).max())),
        effective=cloud.effective,
        moved=cloud.moved,
        chance_of_misfit=chance,
        fits=fits,
        feed_known=not yard.fed_without_record,
        bees_a_frame=case.bees_a_frame,
        cells_a_frame=case.cells_a_frame,
        notes=case.notes,
    )
    return Fit(fitted, replace(_ensemble(case, after, stretched), astray=off))


def _by_its_law(case: Case, rng: np.random.Generator) -> dict[What, FloatArray]:
    """Errors of the model about which nothing was told, shape (draws,). [-]"""
    draws = case.all_of.drawn.shape[1]
    return {what: np.exp(rng.normal(0.0, sd, draws)) for what, sd in case.spread.model.items()}


def _weighed(case: Case, cloud: Cloud, rng: np.random.Generator) -> tuple[Cloud, list[_Told]]:
    """The days of inspection one after the other; before each, what those before it foretell."""
    powers, told = np.zeros(len(case.days)), []
    for k, day in enumerate(case.days):
        kept = chosen(cloud.weights, DRAWS, rng)
        values = case.all_of.values(cloud.scores[:, kept])
        looks = [one for one in case.seen if one.day == day]
        would = would_count_all(looks, values, case.at)
        for one, shown, off in zip(looks, would, surprises(looks, would), strict=True):
            told.append(_Told(_foretold(one, shown, case.all_of, rng), off))
        powers[k] = 1.0
        cloud = weighed(cloud, powers.copy(), case.look, rng)
    return cloud, told


def _foretold(one: Seen, would: FloatArray, all_of: Unknowns, rng: np.random.Generator) -> Foretold:
    noisy = np.sort(would * np.exp(rng.normal(0.0, one.passing_sd, len(would))))
    low, middle, high = (float(noisy[round(q * (len(noisy) - 1))]) for q in (LOW, MIDDLE, HIGH))
    by = _shown_by(one, all_of)
    if one.value <= 0 and low < one.least:
        low = 0.0  # a count of none is any amount below the least that is seen
    return Foretold(one.inspection.on, one.what, one.value * by, low * by, middle * by, high * by)


def _shown_by(one: Seen, all_of: Unknowns) -> float:
    """What turns a counted value into bees, cells of brood or grams, at the middle draw."""
    return float(np.median(all_of.ordered[all_of.names.index(one.per)])) if one.per else 1.0


def _looked(one: Seen, all_of: Unknowns) -> Looked:
    value = one.value * _shown_by(one, all_of)
    off = float(np.exp(Z90 * one.count_sd))
    colonies = len(one.inspection.frames_each) or one.inspection.colonies_looked_in
    return Looked(one.inspection.on, one.what, value, value / off, value * off, colonies)


def _bands(
    values: Mapping[str, FloatArray], course: Course, off: Mapping[What, FloatArray], stretched: FloatArray
) -> Bands:
    def days(what: What) -> FloatArray:
        at_start, evening = before.LIVES[what]
        model = np.vstack([values[at_start], getattr(course, evening)])
        return np.asarray(model * off[what] ** grown(len(model)) * stretched)

    return Bands(
        adults=band(days("bees")),
        brood=band(days("brood")),
        bread_g=band(days("bread")),
        site=spread(values["site"]),
    )


def _ensemble(case: Case, values: Mapping[str, FloatArray], stretched: FloatArray) -> Ensemble:
    return Ensemble(
        par=before.parameters_of(values),
        counted=before.state_of(values, case.at.package),
        equivalence=np.maximum(values["equivalence"], 0.0),
        shift=np.rint(values["shift"]).astype(np.int64),
        path=np.rint(values["path"]).astype(np.int64),
        shifts_days=case.at.shifts_days,
        seen=case.at.seen,
        one_past=case.at.one_past,
        unrecorded=case.yard.fed_without_record,
        astray={},
        stretch=stretched,
    )
