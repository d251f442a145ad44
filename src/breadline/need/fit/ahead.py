"""The outlook of a yard from the ensemble that its own counts left."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.need.dearth import frames_end
from breadline.need.fit.before import columns_of, fed_until_today
from breadline.need.fit.told import Ensemble, Fit, Fitted
from breadline.need.fit.words import effective_words, headline, misfit_words
from breadline.need.forecast import DRAWS, LEAVES_OUT, constants, outlook_ends
from breadline.need.outlook import Outlook
from breadline.need.place_drivers import WeatherAhead, place_drivers
from breadline.need.season import COURSE, Block, Course, Drivers, lived
from breadline.need.shortfall import ledger, short_rule
from breadline.need.start import start_colony
from breadline.need.streams import Streams
from breadline.need.summary import SHOWN, SHOWN_FED, Told, summary
from breadline.need.yard import Yard


def fitted_outlook(
    yard: Yard, weather: WeatherAhead, reader: Reader, fit: Fit, streams: Streams, draws: int = DRAWS
) -> Outlook:
    """The outlook from the last inspection on; it begins with the bread that the fit left.

    Parameters
    ----------
    yard, weather, reader
        As in ``forecast``.
    fit
        Of the same yard and weather.
    streams
        Pairs draws with weather paths.
    draws
        Members a weather path. [-]
    """
    ends = outlook_ends(yard.today, yard.place.latitude, reader)
    days = (ends.on - yard.count.on).days + 1
    looked = max(one.on for one in yard.inspections)
    first = (looked - yard.count.on).days
    paths = weather.flight_h.shape[0]
    of = streams.fit.permutation(np.arange(paths * draws) % fit.ensemble.par.draws)
    path = np.repeat(np.arange(paths), draws) if fit.ensemble.one_past else fit.ensemble.path[of]
    members = _taken(fit.ensemble, of)
    columns = columns_of(paths, members.shifts_days, members.seen)
    column = path * len(members.shifts_days) + members.shift
    place = place_drivers(fed_until_today(yard, reader), weather, reader, days, columns, column)
    course = _lived(members, place, reader, (*SHOWN, "store_g"))
    bread = course.store_g[first - 1] if first else members.counted.bread_g * members.stretch
    bread = bread * members.astray["bread"]
    fed = None
    if any(one.on >= yard.today for one in yard.given):
        ahead = tuple(one for one in yard.given if one.on >= yard.today)
        both = place_drivers(replace(yard, given=ahead), weather, reader, days, columns, column).put_on_g
        with_it = replace(place, put_on_g=place.put_on_g + both)
        fed = _from(_lived(members, with_it, reader, SHOWN_FED), first)
    rest = _from(course, first)
    book = ledger(rest, bread, members.par, short_rule(reader), (yard.today - looked).days)
    told = Told(
        start=looked,
        today=(yard.today - looked).days,
        bees_a_frame=fit.told.bees_a_frame,
        stops_because=ends.because,
        beyond=ends.beyond,
        weather_label=weather.label,
        weather_years=weather.paths_are_years,
        few_years=None if weather.paths_are_years else weather.years,
        leaves_out=LEAVES_OUT,
        notes=_notes(fit.told),
        # In a misfit the day a dearth begins would be one more date that nobody may read.
        frames_end=frames_end(book, rest.need_g, looked, reader) if fit.told.fits else None,
    )
    fed = None if fed is None else _gone_astray(fed, members)
    outlook = summary(_gone_astray(rest, members), book, fed, told)
    if not fit.told.fits:  # a date, or days of bread, would be read as an answer, however wide the range
        outlook = replace(outlook, short_from=None, lasts_days=None, spells=())
    return outlook.with_figures(reader.used)


def _taken(ensemble: Ensemble, of: np.ndarray) -> Ensemble:
    counted = ensemble.counted
    arrays = {f.name: getattr(counted, f.name)[of] for f in fields(counted) if f.name != "package"}
    return replace(
        ensemble,
        par=ensemble.par.take(of),
        counted=replace(counted, **arrays),
        equivalence=ensemble.equivalence[of],
        shift=ensemble.shift[of],
        path=ensemble.path[of],
        astray={what: off[of] for what, off in ensemble.astray.items()},
        stretch=ensemble.stretch[of],
    )


def _gone_astray(course: Course, members: Ensemble) -> Course:
    """With bees and brood as they may be, not as the model alone has them."""
    off = members.astray
    return replace(course, adults=course.adults * off["bees"], brood=course.brood * off["brood"])


def _lived(members: Ensemble, place: Drivers, reader: Reader, wanted: tuple[str, ...]) -> Course:
    const = constants(reader)
    start = start_colony(members.counted, members.par, const)
    course = lived(Block(start, place, members.par, const, members.equivalence), wanted)
    if bool((members.stretch == 1.0).all()):
        return course
    return replace(course, **{name: getattr(course, name) * members.stretch for name in wanted})


def _from(course: Course, first: int) -> Course:
    return replace(course, **{name: getattr(course, name)[first:] for name in COURSE})


def _notes(told: Fitted) -> tuple[str, ...]:
    said = effective_words(told) if told.fits else f"{headline(told)} {misfit_words(told)}"
    return (said, *told.notes)
