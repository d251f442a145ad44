"""The season model fitted to a yard's own counts.

The ensemble starts at the yard's first count. Every later inspection weighs it; what is
not known is how rich the place is in pollen, the state on the first morning, and every
parameter, all within the ranges of the shelf. See ``docs/method/fitting.md``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from scipy.special import chdtrc

from breadline.errors import YardError
from breadline.knowledge.correlations import season_correlation
from breadline.knowledge.shelf import Reader
from breadline.need.fit import before
from breadline.need.fit.before import Stretch, would_count, would_count_all
from breadline.need.fit.checks import check_agreement, check_days
from breadline.need.fit.evidence import Seen, evidence, spread_of
from breadline.need.fit.notes import notes_on
from breadline.need.fit.told import FEWEST, Bands, Ensemble, Fit, Fitted, Foretold, Looked, What
from breadline.need.fit.unknowns import Unknowns, unknowns
from breadline.need.fit.weighing import Cloud, begun, chosen, effective_number, weighed
from breadline.need.forecast import constants, outlook_ends
from breadline.need.parameters import NAMES, Parameters, joint_draws
from breadline.need.season import Course
from breadline.need.season_drivers import WeatherAhead
from breadline.need.starting_count import counted_draws, frame_size
from breadline.need.summary import HIGH, LOW, MIDDLE, band, spread
from breadline.need.words import day_and_year
from breadline.need.yard import Yard
from breadline.span import FloatArray

DRAWS = 2000
UNLIKELY = 0.01  # chance of such counts, were the model right, below which it does not
Z90 = 1.2815515655446004  # the normal quantile of 0.9
WIDER = 1.5  # scores of an ensemble that does not fit, against those before the fit


@dataclass(frozen=True)
class Case:
    """A yard made ready to be fitted."""

    yard: Yard
    at: Stretch
    seen: tuple[Seen, ...]
    days: tuple[int, ...]  # of the inspections, in order [d]
    all_of: Unknowns
    bees_a_frame: float  # by the count's definition [bees]
    cells_a_frame: float  # brood on a frame of brood [cells]

    def look(self, scores: FloatArray) -> FloatArray:
        """Log-likelihood of each day's counts at scores [-], shape (unknowns, draws); shape (days, draws)."""
        values = self.all_of.values(scores)
        out = np.zeros((len(self.days), scores.shape[1]))
        for one, would in zip(self.seen, would_count_all(self.seen, values, self.at), strict=True):
            out[self.days.index(one.day)] += one.log_likelihood(would)
        return out


def fit(
    yard: Yard,
    weather: WeatherAhead,
    reader: Reader,
    rng: np.random.Generator,
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
    rng
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
    case, first = made_ready(yard, weather, reader, rng, par, own_error)
    cloud, foretold = _weighed(case, begun(case.all_of.drawn, first), rng)
    kept = chosen(cloud.weights, DRAWS, rng)
    after = case.all_of.values(cloud.scores[:, kept])
    came = before.lived(after, case.at)
    chance = chance_of_misfit(case, after, came)
    fits = cloud.effective >= FEWEST and chance >= UNLIKELY
    stretched = np.ones(DRAWS)
    drawn = case.all_of.values(case.all_of.drawn)
    if not fits:
        after, stretched = _widened(case, drawn, rng)
        came = before.lived(after, case.at)
    told = Fitted(
        dates=tuple(yard.count.on + timedelta(days=n) for n in range(case.at.days + 1)),
        before=_bands(drawn, before.lived(drawn, case.at), np.ones(1)),
        after=_bands(after, came, stretched),
        looked=tuple(_looked(one, case.all_of) for one in case.seen),
        foretold=foretold,
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
        notes=notes_on(yard, reader, case.at.one_past),
    )
    return Fit(told, _ensemble(case, after, stretched))


def made_ready(
    yard: Yard,
    weather: WeatherAhead,
    reader: Reader,
    rng: np.random.Generator,
    par: Parameters | None = None,
    own_error: Mapping[What, float] | None = None,
) -> tuple[Case, FloatArray]:
    """The case, and how well each draw agrees with each day's counts before the fit [-].

    Parameters and errors as in ``fit``; ``own_error`` [-].
    """
    check_days(yard, weather)
    _one_season(yard, reader)
    spread_here = spread_of(yard, reader, own_error)
    seen = evidence(yard, reader, spread_here)
    check_agreement(yard, reader, spread_here, seen)
    at = before.stretch(yard, weather, reader, constants(reader))
    par = par or parameters_before(reader, rng)
    counted = counted_draws(yard.count, yard.colonies, reader, rng, par.draws)
    all_of = unknowns(before.draws_before(par, counted, yard, reader, at, rng), rng)
    days = tuple(sorted({one.day for one in seen}))
    filled = float(np.median(counted.filled))
    comb = reader.typical("frame_of_brood.cells_deep") * frame_size(yard.count, reader)
    case = Case(yard, at, seen, days, all_of, counted.bees_a_frame, comb * filled)
    return case, case.look(all_of.drawn)


def parameters_before(reader: Reader, rng: np.random.Generator, draws: int = DRAWS) -> Parameters:
    """Parameters before the fit, shape (draws,)."""
    keys = [f"season.{name}" for name in NAMES]
    spans = {name: reader.span(key) for name, key in zip(NAMES, keys, strict=True)}
    return joint_draws(spans, season_correlation(keys), rng, draws)


def _one_season(yard: Yard, reader: Reader) -> None:
    last = max((one.on for one in yard.inspections), default=None)
    if last is None:
        raise YardError("inspection", "there is none", "at least one inspection after the count")
    why = f"the season model is not good enough across winter, which lies before {day_and_year(last)}"
    try:
        ends = outlook_ends(yard.count.on, yard.place.latitude, reader)
    except YardError:
        raise _new_count(yard, why) from None
    if last > ends.on:
        half = "half a year" in ends.because
        raise _new_count(yard, "it lies more than half a year before the last inspection" if half else why)


def _new_count(yard: Yard, why: str) -> YardError:
    return YardError(
        "count",
        f"the fit cannot begin on {day_and_year(yard.count.on)}: {why}",
        "a count of this season",
        "Make the first inspection after midwinter, or of the last half year, the count",
    )


def _weighed(case: Case, cloud: Cloud, rng: np.random.Generator) -> tuple[Cloud, tuple[Foretold, ...]]:
    """All but the last day of inspection, what that foretells of the last, then the last."""
    powers = np.ones(len(case.days))
    powers[-1] = 0.0
    cloud = weighed(cloud, powers, case.look, rng)
    kept = chosen(cloud.weights, DRAWS, rng)
    values = case.all_of.values(cloud.scores[:, kept])
    course = before.lived(values, case.at)
    foretold = tuple(
        _foretold(one, would_count(one, course, values), case.all_of, rng)
        for one in case.seen
        if one.day == case.days[-1]
    )
    return weighed(cloud, np.ones(len(case.days)), case.look, rng), foretold


def _foretold(one: Seen, would: FloatArray, all_of: Unknowns, rng: np.random.Generator) -> Foretold:
    noisy = np.sort(would * np.exp(rng.normal(0.0, one.log_sd, len(would))))
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


def chance_of_misfit(case: Case, values: Mapping[str, FloatArray], course: Course) -> float:
    """Chance of counts as far off as these, were the model right; the first count among them. [share]

    ``values``, each in its own unit, are draws after the fit. The sum of squares of all
    counts over their errors is held against the chi-squared law.
    """
    square = np.zeros(course.adults.shape[1])
    many = 0
    for one in case.seen:
        square += one.off(would_count(one, course, values)) ** 2
        many += 1
    for name in ("adults", "brood"):
        drawn = case.all_of.ordered[case.all_of.names.index(name)]
        if drawn[0] < drawn[-1]:
            logs = np.log(drawn)
            square += ((np.log(values[name]) - logs.mean()) / logs.std()) ** 2
            many += 1
    return float(chdtrc(many, square).mean())


def _widened(
    case: Case, drawn: Mapping[str, FloatArray], rng: np.random.Generator
) -> tuple[dict[str, FloatArray], FloatArray]:
    """The ensemble before the fit, wider: never a sharp answer from a model that does not fit.

    Scores are stretched within the published ranges, and the colony so far that 1 draw in
    10 lies beyond the worst count.
    """
    values = case.all_of.values(WIDER * case.all_of.drawn)
    course = before.lived(drawn, case.at)
    worst = 0.0
    for one in case.seen:
        middle = float(np.median(would_count(one, course, drawn)))
        counted = max(one.value, one.least if one.value <= 0 else one.value)
        worst = max(worst, abs(np.log(counted / max(middle, 1e-3 * one.least))))
    n = case.all_of.drawn.shape[1]
    return values, np.asarray(np.exp(rng.normal(0.0, min(worst, 2.0) / Z90, n)))


def _bands(values: Mapping[str, FloatArray], course: Course, stretched: FloatArray) -> Bands:
    def days(name: str, at_start: str) -> FloatArray:
        return np.vstack([values[at_start], getattr(course, name)]) * stretched

    return Bands(
        adults=band(days("adults", "adults")),
        brood=band(days("brood", "brood")),
        bread_g=band(days("store_g", "bread_g")),
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
        one_past=case.at.one_past,
        unrecorded=case.yard.fed_without_record,
        stretch=stretched,
    )
