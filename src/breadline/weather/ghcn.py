"""Daily station files of the global climatology network: by-station CSV and fixed-width ``.dly``."""

from __future__ import annotations

import re

import numpy as np

from breadline.errors import WeatherError
from breadline.language import noted, say, say_later
from breadline.span import FloatArray
from breadline.weather.cells import cells_of
from breadline.weather.counted import counted
from breadline.weather.readings import Origin, Readings
from breadline.weather.table import Dates, Note, Station

# Both forms hold tenths of °C, mm and m/s (source: the network's own file description, quoted)
ELEMENTS = {"TMAX": "tmax_c", "TMIN": "tmin_c", "TAVG": "tmean_c", "PRCP": "rain_mm", "AWND": "wind_ms"}
MISSING = -9999
DLY = re.compile(r"^[A-Z0-9_\-]{11}\d{6}[A-Z0-9]{4}[ \-\d]{5}")
BY_STATION = re.compile(r'^(ID,DATE,ELEMENT,|"?[A-Z0-9_\-]{11}"?,"?\d{8}"?,"?[A-Z0-9]{4}"?,)')
LICENCE = noted("Public domain in the United States; other stations under their country's terms.")

Row = tuple[str, str, int, str]  # YYYYMMDD, element, value, quality flag


def read_by_station(text: str, origin: Origin) -> Readings:
    """Rows ``ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,TIME``, mostly without a header, values in tenths.

    Errors
    ------
    WeatherError
        If no row holds a temperature, or the rows are of several stations.
    """
    rows: list[Row] = []
    ids: set[str] = set()
    broken = 0
    for cells in cells_of(text.splitlines()):
        if len(cells) < 6 or cells[2] not in ELEMENTS:
            continue
        try:
            rows.append((cells[1], cells[2], int(cells[3]), cells[5].strip()))
            ids.add(cells[0])
        except ValueError:
            broken += 1
    return _readings(rows, ids, broken, origin)


def read_dly(text: str, origin: Origin) -> Readings:
    """Fixed-width months: ID, year, month, element, then 31 times value and three flags, in tenths.

    Errors
    ------
    WeatherError
        If no line holds a temperature, or the lines are of several stations.
    """
    rows: list[Row] = []
    ids: set[str] = set()
    broken = 0
    for line in text.splitlines():
        if line[17:21] not in ELEMENTS:
            continue
        ids.add(line[:11])
        for day in range(31):
            cell = line[21 + 8 * day : 29 + 8 * day]
            try:
                value = int(cell[:5])
            except ValueError:
                broken += bool(cell.strip())
                continue
            if value != MISSING:  # days a month does not have are −9999 too
                rows.append((f"{line[11:17]}{day + 1:02d}", line[17:21], value, cell[6:7].strip()))
    return _readings(rows, ids, broken, origin)


def _readings(rows: list[Row], ids: set[str], broken: int, origin: Origin) -> Readings:
    if len(ids) > 1:
        raise WeatherError(
            origin.name,
            say("the file holds {ids} stations", ids=len(ids)),
            say("one station"),
            say("Keep the rows of the nearest one"),
        )
    kept = [row for row in rows if row[2] != MISSING and not row[3]]
    if not any(row[1] in ("TMAX", "TMIN") for row in kept):
        raise WeatherError(
            origin.name,
            say("no row holds TMAX or TMIN without a quality flag"),
            say("daily highest and lowest temperatures"),
            say("Choose another station"),
        )
    days, lost = _days([row[0] for row in kept])
    unique = np.unique(days[~np.isnat(days)])
    values: dict[str, FloatArray] = {}
    twice = 0
    for element, name in ELEMENTS.items():
        here = np.array([row[1] == element for row in kept]) & ~np.isnat(days)
        if here.any() or name in ("tmin_c", "tmax_c"):
            column = np.full(len(unique), np.nan)
            tenths = np.array([row[2] for row in kept], dtype=np.float64)[here]
            at = np.searchsorted(unique, days[here])
            column[at[::-1]] = tenths[::-1] / 10.0  # of a value given twice the first is kept
            twice += len(at) - len(np.unique(at))
            values[name] = column
    station = Station(origin.name, origin.latitude, origin.longitude, licence=LICENCE)
    return Readings(unique, values, station, "day", _notes(rows, broken + lost, twice))


def _days(labels: list[str]) -> tuple[Dates, int]:
    iso = [f"{label[:4]}-{label[4:6]}-{label[6:8]}" for label in labels]
    try:
        return np.array(iso, dtype="datetime64[D]"), 0
    except ValueError:
        pass  # a date such as 31 June: read one by one
    days = np.full(len(iso), np.datetime64("NaT"), dtype="datetime64[D]")
    for i, label in enumerate(iso):
        try:
            days[i] = np.datetime64(label, "D")
        except ValueError:
            continue
    return days, int(np.isnat(days).sum())


def _notes(rows: list[Row], broken: int, twice: int) -> tuple[Note, ...]:
    flagged = sum(bool(row[3]) and row[2] != MISSING for row in rows)
    missing = sum(row[2] == MISSING for row in rows)
    notes = [
        Note("assumed", say_later("Station values read as tenths of °C, mm and m/s, as the format says."))
    ]
    if flagged:
        text = say_later(
            "{values} that failed the station's quality checks.", values=counted(flagged, "value")
        )
        notes.append(Note("dropped", text, flagged))
    if missing:
        text = say_later("{codes} for missing (−9999).", codes=counted(missing, "code"))
        notes.append(Note("dropped", text, missing))
    if twice:
        text = say_later(
            "{values} given again for the same day; the first is kept.", values=counted(twice, "value")
        )
        notes.append(Note("dropped", text, twice))
    if broken:
        text = say_later("{rows} that could not be read.", rows=counted(broken, "row"))
        notes.append(Note("dropped", text, broken))
    return tuple(notes)
