"""A plain hourly or daily table with a unit in each header, such as ``wind [km/h]``."""

from __future__ import annotations

import re

import numpy as np

from breadline.errors import WeatherError
from breadline.language import Later, say, say_later
from breadline.span import FloatArray
from breadline.weather.cells import ASK_COMMA, cells_of, numbers
from breadline.weather.counted import counted
from breadline.weather.readings import Origin, Readings, Step
from breadline.weather.stamps import hours_apart, stamps
from breadline.weather.table import Daily, Hourly, Note, Station
from breadline.weather.units import Column, column, in_si

HOUR_OF_DAY = re.compile(r"\s*([01]?\d|2[0-4])(:[0-5]\d)?\s*")
TRACE = re.compile(r"^\s*[Tt]\s*$")  # rain too little to measure, as American stations write it
EXAMPLE = "time,temp [°C],rain [mm],wind [m/s],sun [W/m²] or date,tmin [°C],tmax [°C],rain [mm]"
HOURLY = ("temp_c", "rain_mm", "wind_ms", "sun_wm2")
DAILY = ("tmin_c", "tmax_c", "tmean_c", "rain_mm", "wind_ms")
HEADS = {
    "temp_c": "temp [°C]", "rain_mm": "rain [mm]", "wind_ms": "wind [m/s]", "sun_wm2": "sun [W/m²]",
    "tmin_c": "tmin [°C]", "tmax_c": "tmax [°C]", "tmean_c": "tmean [°C]",
}  # fmt: skip


def read_plain(text: str, origin: Origin) -> Readings:
    """Rows of a table separated by commas, semicolons or tabs; lines beginning with # are skipped.

    Errors
    ------
    WeatherError
        If a needed column, a unit or the decimal sign cannot be told, saying which.
    """
    separator, rows = _rows(text, origin.name)
    header, body = rows[0], rows[1:]
    chosen, notes = _columns(header, origin)
    body, ragged = _even(body, len(header), separator, origin.name)
    cells = list(zip(*body, strict=True))
    labels, head = _labels(chosen.pop("date", None), chosen.pop("time", None), cells, header)
    step = _step(set(chosen), labels)
    if step == "day":  # a day is the day as written, whatever zone or hour stands beside it
        labels = [re.split("[T ]", label.strip())[0] for label in labels]
    when = stamps(labels, origin, f"{origin.name}, column {head}")
    row_h = 24.0 if step == "day" else hours_apart(when.time)
    spare = [name for name in chosen if name not in (DAILY if step == "day" else HOURLY)]
    notes += _not_used([header[chosen.pop(name)[0]].strip() for name in spare])
    values: dict[str, FloatArray] = {}
    for name, (at, unit) in chosen.items():
        where = f"{origin.name}, column {header[at].strip()}"
        written_as = [TRACE.sub("0", cell) for cell in cells[at]] if name == "rain_mm" else list(cells[at])
        raw, heard = numbers(written_as, where, comma=separator != ",")
        values[name], notes = in_si(raw, name, unit, where, row_h), [*notes, *heard]
    station = Station(origin.name, origin.latitude, origin.longitude, when.utc_offset_hours)
    wall = when.wall_clock and step == "hour"
    return Readings(when.time, values, station, step, (*notes, *ragged, *when.notes), wall)


def _step(fields: set[str], labels: list[str]) -> Step:
    """Days where each has its lowest and highest; hours where a temperature stands more than once a day."""
    if not {"tmin_c", "tmax_c"} <= fields:
        return "hour"
    several = 2 * len({label.strip()[:10] for label in labels}) <= len(labels)
    return "hour" if several and "temp_c" in fields else "day"


def written(table: Hourly | Daily) -> str:
    """The table as text that ``read_weather`` reads back: one header with units, then rows.

    Where the source has terms, they stand above the header as remarks.
    """
    hourly = isinstance(table, Hourly)
    fields = HOURLY if hourly else DAILY
    when = table.time if isinstance(table, Hourly) else table.date
    lines = [f"# {line}" for line in (table.station.source, table.station.licence) if table.station.licence]
    lines.append(",".join([("time" if hourly else "date"), *(HEADS[f] for f in fields)]))
    columns = [getattr(table, f) for f in fields]
    for i, stamp in enumerate(np.datetime_as_string(when, unit="m" if hourly else "D")):
        cells = ("" if np.isnan(c[i]) else repr(float(c[i])) for c in columns)
        lines.append(",".join([str(stamp), *cells]))
    return "\n".join(lines) + "\n"


def _rows(text: str, where: str) -> tuple[str, list[list[str]]]:
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    if not lines:
        raise WeatherError(where, say("there are only remarks"), EXAMPLE, say("Add a header and rows"))
    separator = max((";", "\t", ","), key=lines[0].count)
    return separator, cells_of(lines, separator)


def _columns(header: list[str], origin: Origin) -> tuple[dict[str, tuple[int, str]], list[Note]]:
    chosen: dict[str, tuple[int, str]] = {}
    unknown: list[str] = []
    if absent := set(origin.units) - {head.strip() for head in header}:
        raise WeatherError(
            f"{origin.name}, header",
            say("there is no column {names}", names=", ".join(sorted(absent))),
            ", ".join(header)[:120],
            say("Name the columns as the header does"),
        )
    for at, head in enumerate(header):
        known = column(origin.units.get(head.strip(), head)) if head.strip() else None
        if origin.units and head.strip() not in origin.units:
            known = None  # with units given, only the named columns count
        if known is None:
            unknown.append(head.strip())
        else:
            _take(chosen, known, at, head, origin.name)
    _enough(chosen, header, unknown, origin.name)
    return chosen, _not_used(unknown)


def _not_used(heads: list[str]) -> list[Note]:
    text = say_later("Columns not used: {names}.", names=", ".join(heads[:12]))
    return [Note("dropped", text, len(heads))] if heads else []


def _labels(
    day: tuple[int, str] | None, time: tuple[int, str] | None, cells: list[tuple[str, ...]], header: list[str]
) -> tuple[list[str], str]:
    """The row labels and their heading; a date and an hour of the day in two columns are joined."""
    only = time or day
    if only is None:  # _enough has seen to it that there is one
        raise WeatherError("header", say("no column is recognised as a time or date"), EXAMPLE)
    if day is None or time is None or not all(HOUR_OF_DAY.fullmatch(c) for c in cells[time[0]]):
        return list(cells[only[0]]), header[only[0]].strip()
    joined = [
        f"{d.strip()}T{h.strip().partition(':')[0]:0>2}:{h.strip().partition(':')[2] or '00'}"
        for d, h in zip(cells[day[0]], cells[time[0]], strict=True)
    ]
    return joined, f"{header[day[0]].strip()} and {header[time[0]].strip()}"


def _take(chosen: dict[str, tuple[int, str]], known: Column, at: int, head: str, name: str) -> None:
    if known.field in chosen:
        raise WeatherError(f"{name}, column {head.strip()}", say("a second column of the same kind"),
                           say("one column each"), say("Rename or remove one"))  # fmt: skip
    chosen[known.field] = (at, known.unit)


def _enough(chosen: dict[str, tuple[int, str]], header: list[str], unknown: list[str], name: str) -> None:
    dated = "time" in chosen or "date" in chosen
    warm = "temp_c" in chosen or {"tmin_c", "tmax_c"} <= set(chosen)
    if dated and warm:
        return
    missing = say("a temperature") if dated else say("a time or date")
    seen = ", ".join(h.strip() for h in (unknown or header))[:120]
    raise WeatherError(
        f"{name}, header",
        say("no column is recognised as {missing}; not known are: {seen}", missing=missing, seen=seen),
        EXAMPLE,
        say("Rename the columns like that, each with its unit"),
    )


def _even(
    body: list[list[str]], width: int, separator: str, where: str
) -> tuple[list[list[str]], tuple[Note, ...]]:
    if not body:
        raise WeatherError(
            where, say("there is a header and no rows"), say("rows of weather"), say("Download it again")
        )
    if separator == "," and len(body[0]) > width:
        raise WeatherError(
            where,
            say("rows have {body} cells under {width} headings, as with 1,5", body=len(body[0]), width=width),
            say("as many cells as headings"),
            say(ASK_COMMA),
        )
    good = [row for row in body if len(row) == width]
    lost = len(body) - len(good)
    if not good:
        raise WeatherError(
            where, say("no row has {width} cells", width=width), say("as many cells as headings")
        )
    if not lost:
        return good, ()
    return good, (Note("dropped", of_another_width(lost), lost),)


def of_another_width(rows: int) -> Later:
    """What to say of rows with more or fewer cells than the header."""
    return say_later("{rows} with more or fewer cells than the header.", rows=counted(rows, "row"))
