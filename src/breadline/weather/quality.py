"""What is wrong in a weather table: impossible values, gaps, a wrong unit, too little of it."""

from __future__ import annotations

import numpy as np

from breadline.errors import WeatherError
from breadline.language import say, say_later
from breadline.need.daylight import day_length_h, days_of_year
from breadline.span import FloatArray
from breadline.weather.clock import in_order
from breadline.weather.counted import counted
from breadline.weather.gaps import IMPOSSIBLE, fill_short, rows_of, tell_gaps
from breadline.weather.plain import DAILY, HOURLY
from breadline.weather.readings import Origin, Readings
from breadline.weather.table import Daily, Dates, Hourly, Note, Station, WeatherFile

# Outside these a value is an error of the instrument or the file; wider than any
# record on land, so that no real weather is lost (judged)
TEMPERATURE = (-90.0, 60.0)
POSSIBLE = {
    "hour": {"rain_mm": (0.0, 400.0), "wind_ms": (0.0, 115.0), "sun_wm2": (-50.0, 1600.0)},
    "day": {"rain_mm": (0.0, 2000.0), "wind_ms": (0.0, 115.0)},
}
UNIT = {"rain_mm": "mm", "wind_ms": "m/s", "sun_wm2": "W/m²"}
HOT_MEDIAN_C = 50.0  # no place has a median daily highest temperature above it (judged)
COLD_95_C = 6.0  # a place whose warmest days stay within ±6 °C keeps no bees (judged)
COOL_95_C = 10.0  # nor one where not one day in twenty of the year is warmer than this (judged)
ENOUGH_DAYS = 180  # days needed before a table is called too small by a factor (judged)
YEAR_DAYS = 300  # and before its warmest days stand for those of a year (judged)
WINDY_MS = 9.0  # median wind at 10 m above which no yard lies, but 20 to 30 km/h read as m/s does (judged)
EARTH_KM = 6371.0  # mean radius
FAR_KM = 150.0  # from the yard, beyond which another weather is likely (judged)
LEAST = {"hour": 24, "day": 1}  # usable temperatures below which there is nothing to read


def checked(readings: Readings, origin: Origin) -> WeatherFile:
    """The readings as a table in order, with a note for everything dropped, filled or assumed.

    Errors
    ------
    WeatherError
        If temperatures look read in a wrong unit or too few of them are usable.
    """
    _plausible_unit(readings, origin.name)
    ordered = in_order(readings, origin)
    notes = list(ordered.notes)
    fields = HOURLY if ordered.step == "hour" else DAILY
    values = {f: ordered.values.get(f, np.full(len(ordered.time), np.nan)) for f in fields}
    values = {f: _possible(f, column, ordered, notes) for f, column in values.items()}
    if ordered.step == "day":
        values = _days_in_order(values, notes)
    else:
        fill_short(values, notes)
    _too_windy(values["wind_ms"], notes)
    _elsewhere(ordered.station, origin, notes)
    tell_gaps(values["temp_c" if ordered.step == "hour" else "tmax_c"], ordered, notes)
    _enough(values, ordered, origin.name)
    if ordered.step == "hour":
        _noon(ordered.time, values["sun_wm2"], notes)
        return WeatherFile(Hourly(time=ordered.time, station=ordered.station, **values), tuple(notes))
    _latitude(ordered, values["tmax_c"], origin)
    return WeatherFile(Daily(date=ordered.time, station=ordered.station, **values), tuple(notes))


def _plausible_unit(readings: Readings, where: str) -> None:
    name = "temp_c" if readings.step == "hour" else "tmax_c"
    warm = readings.values[name]
    if readings.step == "hour":
        warm = _highest_by_day(readings.time, warm)
    warm = warm[~np.isnan(warm)]
    if not len(warm):
        return
    middle = float(np.median(warm))
    if middle > HOT_MEDIAN_C or float(np.mean(np.abs(warm) > 65.0)) > 0.1:
        raise WeatherError(
            where,
            say(
                "the median daily highest temperature is {middle:.0f} °C: they look like tenths of a degree "
                "(or °F or kelvin) read as whole °C",
                middle=middle,
            ),
            say("a median below {most:.0f} °C", most=HOT_MEDIAN_C),
            say("Write the true unit in the header, such as tmax [0.1 °C] or tmax [°F]"),
        )
    _warm_enough(warm, where)


def _warm_enough(warm: FloatArray, where: str) -> None:
    """Refuse daily highest temperatures [°C] too low for a place with bees; shape (days,), none missing."""
    if len(warm) >= ENOUGH_DAYS and float(np.quantile(np.abs(warm), 0.95)) < COLD_95_C:
        raise WeatherError(
            where,
            say(
                "highest temperatures stay within {most:.0f} °C of freezing all year: they look like whole "
                "degrees read as tenths",
                most=COLD_95_C,
            ),
            say("degrees in the unit of the format"),
            say("Check whether the values were divided by ten already"),
        )
    if len(warm) >= YEAR_DAYS and (top := float(np.quantile(warm, 0.95))) < COOL_95_C:
        raise WeatherError(
            where,
            say("the warmest days stay near {top:.0f} °C: they look like °C read as °F", top=top),
            say("warm days above {least:.0f} °C", least=COOL_95_C),
            say("Write the true unit in the header, such as tmax [°C]"),
        )


def _highest_by_day(time: Dates, temp: FloatArray) -> FloatArray:
    known = ~np.isnan(temp) & ~np.isnat(time)
    if not known.any():
        return np.empty(0)
    _, where = np.unique(time[known].astype("datetime64[D]"), return_inverse=True)
    highest = np.full(int(where.max()) + 1, -np.inf)
    np.maximum.at(highest, where, temp[known])
    return highest


def _possible(name: str, column: FloatArray, readings: Readings, notes: list[Note]) -> FloatArray:
    low, high = POSSIBLE[readings.step].get(name, TEMPERATURE)
    outside = (column < low) | (column > high)
    if outside.any():
        worst = float(column[outside][np.argmax(np.abs(column[outside]))])
        when = readings.time[outside][np.argmax(np.abs(column[outside]))]
        text = say_later(
            "{values}, such as {worst:,.1f} {unit} on {day}.",
            values=IMPOSSIBLE[name](int(outside.sum())), worst=worst, unit=UNIT.get(name, "°C"),
            day=f"{when!s:.10}",
        )  # fmt: skip
        notes.append(Note("dropped", text, int(outside.sum())))
        column = np.where(outside, np.nan, column)
    return np.maximum(column, 0.0) if name == "sun_wm2" else column


def _too_windy(wind: FloatArray, notes: list[Note]) -> None:
    known = wind[~np.isnan(wind)]
    if len(known) and (middle := float(np.median(known))) > WINDY_MS:
        text = say_later(
            "The median wind is {middle:.0f} m/s, more than a yard has: are these km/h or mph?", middle=middle
        )
        notes.append(Note("warning", text))


def _elsewhere(station: Station, origin: Origin, notes: list[Note]) -> None:
    """A warning where the file says that it comes from far away."""
    places = (station.latitude, station.longitude, origin.latitude, origin.longitude)
    if None in places:
        return
    north, east, yard_north, yard_east = np.deg2rad(np.array(places, dtype=np.float64))
    half = np.sin((north - yard_north) / 2) ** 2
    half += np.cos(north) * np.cos(yard_north) * np.sin((east - yard_east) / 2) ** 2
    km = float(2 * EARTH_KM * np.arcsin(np.sqrt(half)))
    if km > FAR_KM:
        text = say_later(
            "The weather is of {north:g}, {east:g}, {km:,.0f} km from the place.",
            north=station.latitude, east=station.longitude, km=km,
        )  # fmt: skip
        notes.append(Note("warning", text))


def _days_in_order(values: dict[str, FloatArray], notes: list[Note]) -> dict[str, FloatArray]:
    crossed = values["tmin_c"] > values["tmax_c"]
    if crossed.any():
        text = say_later(
            "{days} with the lowest temperature above the highest.", days=counted(int(crossed.sum()), "day")
        )
        notes.append(Note("dropped", text, int(crossed.sum())))
        for name in ("tmin_c", "tmax_c"):
            values[name] = np.where(crossed, np.nan, values[name])
    middle = (values["tmin_c"] + values["tmax_c"]) / 2.0
    values["tmean_c"] = np.where(np.isnan(values["tmean_c"]), middle, values["tmean_c"])
    return values


def _enough(values: dict[str, FloatArray], readings: Readings, where: str) -> None:
    known = ~np.isnan(values["temp_c"] if readings.step == "hour" else values["tmin_c"] + values["tmax_c"])
    if known.sum() < LEAST[readings.step]:
        have, need = (rows_of(readings, int(n)) for n in (known.sum(), LEAST[readings.step]))
        first, last = (f"{readings.time[at]!s:.10}" for at in (0, -1))
        raise WeatherError(
            where,
            say("only {have} with a temperature from {first} to {last}", have=have, first=first, last=last),
            say("at least {need}, better several years", need=need),
            say("Get a longer file"),
        )


def _noon(time: Dates, sun: FloatArray, notes: list[Note]) -> None:
    lit = np.where(np.isnan(sun), 0.0, sun)
    if np.count_nonzero(lit) < 24:
        return
    angle = 2.0 * np.pi * ((time - time.astype("datetime64[D]")).astype(np.float64) + 0.5) / 24.0
    noon = float(np.arctan2((lit * np.sin(angle)).sum(), (lit * np.cos(angle)).sum()) * 12.0 / np.pi) % 24.0
    if abs(noon - 12.0) > 2.0:
        text = say_later(
            "The sun stands highest at {noon:.0f} o'clock: the times may not be local standard time.",
            noon=noon,
        )
        notes.append(Note("warning", text))


def _latitude(readings: Readings, warm: FloatArray, origin: Origin) -> None:
    contradicts = against_latitude(readings.time, warm, origin.latitude)
    if contradicts:
        raise WeatherError(
            origin.name,
            contradicts,
            say("the warm months of the place's own hemisphere"),
            say("Check the sign of the latitude: south of the equator is negative"),
        )


def against_latitude(dates: Dates, warm: FloatArray, latitude: float | None) -> str:
    """Why the seasons contradict the sign of ``latitude`` [degrees north], "" where they do not.

    ``warm`` holds daily temperatures [°C], shape (days,); fewer than 300 of them cannot tell.
    """
    known = ~np.isnan(warm)
    if latitude is None or abs(latitude) < 25.0 or known.sum() < 300:
        return ""
    length = day_length_h(latitude, days_of_year(dates[known]))
    if float(np.std(warm[known])) == 0.0 or float(np.corrcoef(length, warm[known])[0, 1]) > -0.3:
        return ""
    if latitude > 0:
        return say(
            "the warm months fall in the winter of latitude {latitude:g} (northern hemisphere)",
            latitude=latitude,
        )
    return say(
        "the warm months fall in the winter of latitude {latitude:g} (southern hemisphere)", latitude=latitude
    )
