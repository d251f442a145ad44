"""The ensemble before the fit: parameters, the count, bloom and weather, and how it is run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import timedelta

import numpy as np
from scipy.special import ndtri

from breadline.knowledge.shelf import Reader
from breadline.need.fit.evidence import Seen
from breadline.need.fit.told import What
from breadline.need.parameters import NAMES, Parameters
from breadline.need.place_drivers import Columns, WeatherAhead, days_before, place_drivers
from breadline.need.season import Colony, Constants, Course, Drivers, each_block, run
from breadline.need.seen_pollen import SeenBloom
from breadline.need.start import Counted, start_colony
from breadline.need.starting_count import CountDraws
from breadline.need.yard import Given, Yard
from breadline.span import FloatArray

SHIFTS = 15  # bloom early to late, each as likely
STATE = tuple(f.name for f in fields(Counted) if f.name != "package")
LASTING: Mapping[What, str] = {"bees": "lasting_bees", "brood": "lasting_brood", "bread": "lasting_bread"}
LIVES: Mapping[What, tuple[str, str]] = {
    "bees": ("adults", "adults"),
    "brood": ("brood", "brood"),
    "bread": ("bread_g", "store_g"),
}
FEED_EVERY = 14  # days; how an unrecorded feed is imagined


@dataclass(frozen=True)
class Stretch:
    """The days of a fit and what the place did in them."""

    days: int  # from the count to today [d]
    place: Drivers  # one column a weather path and bloom shift; ``path`` is empty
    shifts_days: FloatArray  # shape (shifts,) [d]
    seen: SeenBloom | None  # pollen seen today, its strength by bloom shift
    one_past: bool  # whether all paths are one until today
    package: bool
    const: Constants


def bloom_shifts(weather: WeatherAhead, reader: Reader) -> FloatArray:
    """How late bloom by date may be, equally likely, shape (shifts,); a single path gets none. [d]"""
    if weather.flight_h.shape[0] == 1:
        return np.zeros(1)
    return np.asarray(reader.typical("forage.shift_days") * ndtri((np.arange(SHIFTS) + 0.5) / SHIFTS))


def stretch(
    yard: Yard, weather: WeatherAhead, reader: Reader, const: Constants, seen: SeenBloom | None = None
) -> Stretch:
    """The days from the count to today, one at the least, as the season model wants them.

    ``seen`` is the keeper's look at pollen, its strength by bloom shift, shape (shifts,). [-]
    """
    days = max(1, (yard.today - yard.count.on).days)
    until = days_before(yard, weather) + days
    one_past = all(
        bool((a[:, :until] == a[:1, :until]).all())
        for a in (weather.flight_h, weather.tmin_c, weather.tmax_c)
    )
    shifts = bloom_shifts(weather, reader)
    paths = 1 if one_past else weather.flight_h.shape[0]
    columns = columns_of(paths, shifts, seen)
    fed = fed_until_today(yard, reader)
    place = place_drivers(fed, weather, reader, days, columns, np.zeros(0, np.int64))
    return Stretch(days, place, shifts, seen, one_past, yard.count.start == "package", const)


def columns_of(paths: int, shifts_days: FloatArray, seen: SeenBloom | None) -> Columns:
    """Every weather path with every bloom shift, paths one after the other; ``shifts_days`` in [d]."""
    looked = None if seen is None else replace(seen, strength=np.tile(seen.strength, paths))
    return Columns(np.repeat(np.arange(paths), len(shifts_days)), np.tile(shifts_days, paths), looked)


def fed_until_today(yard: Yard, reader: Reader) -> Yard:
    """The yard with the feed put on before today; where nobody wrote it down, with what may have been."""
    given = tuple(one for one in yard.given if one.on < yard.today)
    if yard.fed_without_record:
        grams = reader.typical("fit.unrecorded_feed_g")
        days = range(0, (yard.today - yard.count.on).days, FEED_EVERY)
        given += tuple(Given(yard.count.on + timedelta(days=n), grams) for n in days)
    return replace(yard, given=given)


def draws_before(
    par: Parameters, counted: CountDraws, yard: Yard, reader: Reader, at: Stretch, rng: np.random.Generator
) -> dict[str, FloatArray]:
    """Every unknown of the ensemble before the fit, shape (draws,), each in its own unit.

    Parameters come as they were drawn; a count's state, and what turns brood and bread
    into what a keeper counts, likewise; bloom shift and weather path by number.
    """
    n = par.draws
    paths = 1 if at.one_past else at.place.flight_h.shape[1] // len(at.shifts_days)
    found = {name: getattr(par, name) for name in NAMES}
    found |= {name: getattr(counted.state, name) for name in STATE}
    found |= {"filled": counted.filled, "g_per_cell": counted.g_per_cell}
    if yard.count.bread_unit == "g":
        found["g_per_cell"] = reader.draws("bread.g_per_cell", rng, n)
    found["shift"] = rng.permutation(np.arange(n) % len(at.shifts_days)).astype(np.float64)
    found["path"] = rng.permutation(np.arange(n) % paths).astype(np.float64)
    found |= {name: rng.standard_normal(n) for name in LASTING.values()}
    if yard.fed_without_record:
        # From no feed at all to all of it counting as pollen: what was fed is not known.
        found["equivalence"] = rng.uniform(0.0, reader.span("feed.equivalence").high, n)
    else:
        found["equivalence"] = reader.draws("feed.equivalence", rng, n)
    return found


def parameters_of(values: Mapping[str, FloatArray]) -> Parameters:
    """The parameters among the unknowns, each in its own unit."""
    return Parameters(**{name: values[name] for name in NAMES})


def state_of(values: Mapping[str, FloatArray], package: bool) -> Counted:
    """The starting state among the unknowns, each in its own unit."""
    return Counted(**{name: values[name] for name in STATE}, package=package)


def lived(values: Mapping[str, FloatArray], at: Stretch) -> Course:
    """Every draw from the count to today; ``values`` have shape (draws,), each in its own unit."""
    start, place, par, equivalence = _begins(values, at)
    return run(start, place, par, at.const, equivalence)


def would_count(one: Seen, course: Course, values: Mapping[str, FloatArray]) -> FloatArray:
    """What each draw would have shown at an inspection, shape (draws,), in the unit of ``one.value``.

    ``values`` are the unknowns, each in its own unit. The morning of a day is the
    evening of the day before.
    """
    evening = LIVES[one.what][1]
    return _counted(one, getattr(course, evening)[one.day - 1], values) if one.day else _at_once(one, values)


def _at_once(one: Seen, values: Mapping[str, FloatArray]) -> FloatArray:
    return _counted(one, values[LIVES[one.what][0]], values)


def _counted(one: Seen, state: FloatArray, values: Mapping[str, FloatArray]) -> FloatArray:
    lasting = np.exp(one.lasting_sd * values[LASTING[one.what]])
    return np.asarray(state * lasting / (values[one.per] if one.per else 1.0))


def would_count_all(seen: Sequence[Seen], values: Mapping[str, FloatArray], at: Stretch) -> list[FloatArray]:
    """The same of every figure, each in the unit of its ``value`` [by its kind], keeping nothing else."""
    last = max(one.day for one in seen)
    found = [np.empty_like(values["site"]) for _ in seen]
    if last == 0:
        return [_at_once(one, values) for one in seen]
    start, place, par, equivalence = _begins(values, at)
    for part, course in each_block(start, _until(place, last), par, at.const, equivalence):
        here = {name: value[part] for name, value in values.items()}
        for k, one in enumerate(seen):
            found[k][part] = would_count(one, course, here)
    return found


def _until(place: Drivers, days: int) -> Drivers:
    daily = ("flight_h", "pollen", "quality", "nectar", "rho", "trend", "turn", "put_on_g")
    return replace(place, **{name: getattr(place, name)[:days] for name in daily})


def _begins(values: Mapping[str, FloatArray], at: Stretch) -> tuple[Colony, Drivers, Parameters, FloatArray]:
    par = parameters_of(values)
    shift, path = (np.rint(values[name]).astype(np.int64) for name in ("shift", "path"))
    place = replace(at.place, path=path * len(at.shifts_days) + shift)
    start = start_colony(state_of(values, at.package), par, at.const)
    return start, place, par, np.maximum(values["equivalence"], 0.0)
