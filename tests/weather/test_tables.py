"""What must hold for every table: order, no duplicates, and reading back what was written."""

import json
import tempfile
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import WeatherError
from breadline.weather.plain import DAILY, HOURLY, written
from breadline.weather.quality import checked
from breadline.weather.read import read_weather
from breadline.weather.readings import Origin, Readings
from breadline.weather.table import Daily, Hourly, Station, WeatherFile
from breadline.weather.units import in_si

STATION = Station("invented")
TODAY = date(2025, 12, 1)
degrees = st.floats(-30, 40, allow_subnormal=False)
positive = st.floats(0, 90, allow_subnormal=False)


def read_back(table) -> WeatherFile:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "table.csv"
        path.write_text(written(table), encoding="utf-8")
        return read_weather(path, today=TODAY)


@settings(max_examples=40, deadline=None)
@given(temp=st.lists(degrees, min_size=30, max_size=60), other=positive)
def test_an_hourly_table_reads_back_as_it_was_written(temp, other):
    time = np.datetime64("2025-03-01T00", "h") + np.arange(len(temp))
    flat = np.full(len(temp), other)
    table = Hourly(time, np.array(temp), flat, flat, flat, STATION)
    found = read_back(table).table
    assert np.array_equal(found.time, table.time)
    for name in HOURLY:
        assert np.array_equal(getattr(found, name), getattr(table, name))


@settings(max_examples=40, deadline=None)
@given(low=st.lists(degrees, min_size=5, max_size=40), swing=st.floats(0, 15), other=positive)
def test_a_daily_table_reads_back_as_it_was_written(low, swing, other):
    day = np.datetime64("2025-03-01") + np.arange(len(low))
    tmin = np.array(low)
    flat = np.full(len(low), other)
    table = Daily(day, tmin, tmin + swing, tmin + swing / 3, flat, flat, STATION)
    found = read_back(table).table
    assert np.array_equal(found.date, table.date)
    for name in DAILY:
        assert np.array_equal(getattr(found, name), getattr(table, name))


@settings(max_examples=60, deadline=None)
@given(
    hours=st.lists(st.integers(0, 400), min_size=30, max_size=150, unique=True),
    repeats=st.lists(st.integers(0, 29), max_size=20),
)
def test_rows_in_any_order_come_out_sorted_and_single(hours, repeats):
    rows = np.array(hours + [hours[i] for i in repeats])
    time = np.datetime64("2025-01-06T00", "s") + rows * np.timedelta64(3600, "s")
    values = {"temp_c": rows / 20.0}
    found = checked(Readings(time, values, STATION, "hour"), Origin("invented", today=TODAY))
    assert (np.diff(found.table.time).astype(int) == 1).all()
    assert found.table.time[0] == np.datetime64("2025-01-06T00") + min(hours)
    assert len(found.table.temp_c) == max(hours) - min(hours) + 1
    at = np.array(hours) - min(hours)
    assert found.table.temp_c[at] == pytest.approx(np.array(hours) / 20.0)


def test_half_hours_are_put_together():
    time = np.datetime64("2025-01-06T00:00", "s") + np.arange(96) * np.timedelta64(1800, "s")
    values = {"temp_c": np.tile([10.0, 12.0], 48), "rain_mm": np.full(96, 0.5)}
    found = checked(Readings(time, values, STATION, "hour"), Origin("invented"))
    assert set(found.table.temp_c) == {11.0}
    assert set(found.table.rain_mm) == {1.0}
    assert "96 readings put together into 48 hours" in found.notes[0].text


@pytest.mark.parametrize("minutes", [60, 30, 10])
def test_a_southern_year_on_the_wall_clock_is_on_standard_time(minutes):
    """Clocks go back in April and forward in October: summer time at both ends of the year."""
    step = np.timedelta64(minutes, "m")
    standard = np.arange(np.datetime64("2024-01-01T00:00"), np.datetime64("2024-12-31T00:00"), step)
    summer = (standard < np.datetime64("2024-04-07T02")) | (standard >= np.datetime64("2024-10-06T02"))
    clock = (standard + summer * np.timedelta64(60, "m")).astype("datetime64[s]")
    hours = np.arange(366 * 24 - 24)
    true = np.repeat(hours % 24.0, 60 // minutes)
    found = checked(Readings(clock, {"temp_c": true}, STATION, "hour", wall_clock=True), Origin("invented"))
    assert np.array_equal(found.table.time, standard[:: 60 // minutes].astype("datetime64[h]"))
    assert np.array_equal(found.table.temp_c, hours % 24.0)


def test_times_in_utc_are_suspected_from_the_sun():
    time = np.datetime64("2025-06-01T00", "s") + np.arange(240) * np.timedelta64(3600, "s")
    sun = np.maximum(np.sin((np.arange(240) % 24 - 13.0) / 12.0 * np.pi), 0.0) * 800.0  # noon at 19:00
    values = {"temp_c": np.full(240, 20.0), "sun_wm2": sun}
    found = checked(Readings(time, values, STATION, "hour"), Origin("invented"))
    assert "may not be local standard time" in " ".join(n.text for n in found.notes)


@pytest.mark.parametrize(
    ("field", "unit", "value", "expected"),
    [("temp_c", "°F", 212.0, 100.0), ("temp_c", "°F", 32.0, 0.0), ("temp_c", "K", 273.15, 0.0),
     ("temp_c", "0.1 °C", 183.0, 18.3), ("rain_mm", "in", 1.0, 25.4), ("wind_ms", "km/h", 36.0, 10.0),
     ("wind_ms", "mph", 1.0, 0.44704), ("wind_ms", "kn", 3600.0, 1852.0), ("sun_wm2", "MJ/m²", 3.6, 1000.0)],
)  # fmt: skip
def test_units_by_their_definitions(field, unit, value, expected):
    assert in_si(np.array([value]), field, unit, "here")[0] == pytest.approx(expected)


def test_a_file_that_is_not_there():
    with pytest.raises(WeatherError, match="cannot be read"):
        read_weather("no-such-file.csv")


def power(labels, columns, units, standard):
    parameter = {name: dict.fromkeys(labels, value) for name, value in columns.items()}
    return {
        "geometry": {"type": "Point", "coordinates": [-75.0, 40.0, 100.0]},
        "properties": {"parameter": parameter},
        "header": {"fill_value": -999.0, "time_standard": standard},
        "parameters": {name: {"units": unit} for name, unit in units.items()},
    }


def read_json(answer, tmp_path):
    path = tmp_path / "answer.json"
    path.write_text(json.dumps(answer), encoding="utf-8")
    return read_weather(path, today=TODAY)


def test_hours_of_the_solar_service_are_moved_to_local_time(tmp_path):
    labels = [f"2025040{d}{h:02d}" for d in (1, 2) for h in range(24)]
    columns = {"T2M": 12.5, "PRECTOTCORR": 0.3, "WS10M": 4.0, "ALLSKY_SFC_SW_DWN": -999.0}
    units = {"T2M": "C", "PRECTOTCORR": "mm/hour", "WS10M": "m/s", "ALLSKY_SFC_SW_DWN": "Wh/m^2"}
    found = read_json(power(labels, columns, units, "UTC"), tmp_path)
    assert str(found.table.time[0]) == "2025-03-31T19"  # five hours west
    assert (found.table.temp_c[0], found.table.rain_mm[0], found.table.wind_ms[0]) == (12.5, 0.3, 4.0)
    assert np.isnan(found.table.sun_wm2).all()
    assert "48 codes for missing (-999)" in found.notes[0].text


def test_days_of_the_solar_service(tmp_path):
    columns = {"T2M_MIN": 4.0, "T2M_MAX": 14.0, "PRECTOTCORR": 1.5}
    units = {"T2M_MIN": "C", "T2M_MAX": "C", "PRECTOTCORR": "mm/day"}
    found = read_json(power([f"202504{d:02d}" for d in range(1, 13)], columns, units, "LST"), tmp_path)
    assert len(found.table.date) == 12
    assert (found.table.tmin_c[0], found.table.tmax_c[0], found.table.rain_mm[0]) == (4.0, 14.0, 1.5)
    with pytest.raises(WeatherError, match="T2M_MAX and T2M_MIN missing"):
        read_json(power(["20250401"], {"T2M": 4.0}, {"T2M": "C"}, "LST"), tmp_path)


def test_daily_arrays_of_the_archive_service(tmp_path):
    time = [f"2025-04-{d:02d}" for d in range(1, 13)]
    daily = {"time": time, "temperature_2m_min": [41.0] * 12, "temperature_2m_max": [68.0] * 12}
    units = {"time": "iso8601", "temperature_2m_min": "°F", "temperature_2m_max": "°F"}
    found = read_json({"latitude": 40.0, "longitude": -75.0, "daily": daily, "daily_units": units}, tmp_path)
    assert found.table.tmin_c[0] == pytest.approx(5.0)
    assert found.table.tmax_c[0] == pytest.approx(20.0)


def test_hours_given_as_seconds_are_utc(tmp_path):
    time = [1743465600 + 3600 * i for i in range(48)]  # 2025-04-01T00:00 UTC
    hourly = {"time": time, "temperature_2m": [10.0] * 48}
    units = {"time": "unixtime", "temperature_2m": "°C"}
    answer = {"latitude": 40.0, "longitude": 30.0, "utc_offset_seconds": 10800, "hourly": hourly}
    found = read_json({**answer, "hourly_units": units}, tmp_path)
    assert str(found.table.time[0]) == "2025-04-01T02"


def test_rain_of_a_service_does_not_cross_a_gap(tmp_path):
    """Rain labelled 06:00 fell from 05:00; where 05:00 is missing it has no hour of its own."""
    time = [f"2025-04-{d:02d}T{h:02d}:00" for d in (1, 2) for h in range(24) if not (d == 2 and h < 6)]
    rain = [1.0 if label.endswith("T06:00") else 0.0 for label in time]
    hourly = {"time": time, "temperature_2m": [10.0] * 42, "precipitation": rain, "rain": rain}
    units = {"time": "iso8601", "temperature_2m": "°C", "precipitation": "mm"}
    found = read_json({"latitude": 50.0, "longitude": 0.0, "hourly": hourly, "hourly_units": units}, tmp_path)
    wet = found.table.time[found.table.rain_mm > 0.0]
    assert [str(t) for t in wet] == ["2025-04-01T05"]
    assert "Columns not used: rain" in " ".join(n.text for n in found.notes)


def test_a_date_and_an_hour_in_two_columns_are_joined(tmp_path):
    rows = [f"2025-04-{d:02d},{h},{h / 2}" for d in (1, 2) for h in range(24)]
    path = tmp_path / "two.csv"
    path.write_text("\n".join(["date,hour,temp [°C]", *rows]), encoding="utf-8")
    found = read_weather(path, today=TODAY)
    assert str(found.table.time[-1]) == "2025-04-02T23"
    assert found.table.temp_c[-1] == 11.5
    path.write_text("\n".join(["hour,temp [°C]", *(row[11:] for row in rows)]), encoding="utf-8")
    with pytest.raises(WeatherError, match="not a whole date"):
        read_weather(path, today=TODAY)


def test_months_and_days_of_one_digit_are_understood(tmp_path):
    path = tmp_path / "short.csv"
    path.write_text("date,tmin [°C],tmax [°C]\n2025/4/9,1,9\n2025/4/10,2,10\n", encoding="utf-8")
    assert [str(d) for d in read_weather(path, today=TODAY).table.date] == ["2025-04-09", "2025-04-10"]


def test_times_with_and_without_a_zone_are_refused(tmp_path):
    rows = [f"2025-04-01T{h:02d}:00{'Z' if h % 2 else ''},10" for h in range(24)]
    path = tmp_path / "mixed.csv"
    path.write_text("\n".join(["time,temp [°C]", *rows]), encoding="utf-8")
    with pytest.raises(WeatherError, match="carry a zone"):
        read_weather(path, longitude=10.0, today=TODAY)


@pytest.mark.parametrize(
    ("labels", "order"),
    [
        (("4/12/2025", "4/13/2025", "4/14/2025"), "month-day-year"),
        (("12.4.2025", "13.4.2025", "14.4.2025"), "day-month-year"),
    ],
)
def test_the_order_of_day_and_month_is_taken_from_the_dates_that_have_only_one(tmp_path, labels, order):
    """A spreadsheet's dates: some day above 12 says which number is the day."""
    path = tmp_path / "sheet.csv"
    path.write_text("\n".join(["date,tmin [°C],tmax [°C]", *(f"{d},4,14" for d in labels)]), encoding="utf-8")
    read = read_weather(path, today=TODAY)
    assert [str(d) for d in read.table.date] == ["2025-04-12", "2025-04-13", "2025-04-14"]
    assert [n.text for n in read.notes if order in n.text]


def test_hours_with_the_year_last_are_read_too(tmp_path):
    path = tmp_path / "hours.csv"
    rows = [f"{d}.04.2025;{h:02d}:00;{h},5" for d in (12, 13) for h in range(24)]
    path.write_text("\n".join(["date;time;temp [°C]", *rows]), encoding="utf-8")
    table = read_weather(path, today=TODAY).table
    assert isinstance(table, Hourly)
    assert str(table.time[25])[:13] == "2025-04-13T01"
    assert table.temp_c[25] == pytest.approx(1.5)


def test_a_gap_of_one_day_is_told_with_its_date_and_a_longer_one_with_both_ends(tmp_path):
    def told(*absent):
        rows = [
            f"2025-04-{d:02d},{'' if d in absent else 4},{'' if d in absent else 14}" for d in range(1, 29)
        ]
        path = tmp_path / "gap.csv"
        path.write_text("\n".join(["date,tmin [°C],tmax [°C]", *rows]), encoding="utf-8")
        return [n.text for n in read_weather(path, today=TODAY).notes if n.kind == "warning"]

    assert told(5) == ["1 gap in the temperature, 1 day in all; the longest of 1 day on 2025-04-05."]
    assert told(5, 9, 10) == [
        "2 gaps in the temperature, 3 days in all; the longest of 2 days from 2025-04-09 to 2025-04-10."
    ]


def test_a_daily_summary_of_a_station_keeps_its_rain_and_names_what_it_leaves(tmp_path):
    path = tmp_path / "station.csv"
    rows = [f'"X1","MADE UP","2026-03-{day:02d}","0.50","59","41","7"' for day in range(1, 31)]
    path.write_text(
        "\n".join(['"STATION","NAME","DATE","PRCP [in]","TMAX [°F]","TMIN [°F]","SNOW [in]"', *rows])
    )
    read = read_weather(path, latitude=38.0, today=date(2026, 4, 1))
    assert float(read.table.rain_mm[0]) == pytest.approx(12.7), "half an inch by its definition"
    assert any("SNOW" in note.text and "not used" in note.text for note in read.notes)
