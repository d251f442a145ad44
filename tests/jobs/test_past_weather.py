"""Past weather of a place becomes a file of one's own, through an answer that stands in for the network."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from breadline.errors import WeatherError
from breadline.jobs.past_weather import keep_past_weather
from breadline.weather.read import read_weather
from breadline.weather.table import Hourly

TODAY = date(2026, 11, 20)


def archive(address: str, timeout_s: float) -> bytes:
    """Three invented days of the archive."""
    hours = [f"2026-05-{day:02d}T{hour:02d}:00" for day in (1, 2, 3) for hour in range(24)]
    hourly = {
        "time": hours,
        "temperature_2m": [10.0 + n % 24 / 2 for n in range(len(hours))],
        "precipitation": [0.0] * len(hours),
        "wind_speed_10m": [2.0] * len(hours),
        "shortwave_radiation": [100.0] * len(hours),
    }
    units = {"time": "iso8601", "temperature_2m": "°C", "precipitation": "mm", "wind_speed_10m": "m/s",
             "shortwave_radiation": "W/m²"}  # fmt: skip
    told = {"latitude": 41.0, "longitude": -80.0, "utc_offset_seconds": -18000, "timezone": "Etc/GMT+5",
            "hourly": hourly, "hourly_units": units}  # fmt: skip
    return json.dumps(told).encode()


def test_what_was_fetched_is_a_file_that_can_be_read_again(tmp_path: Path) -> None:
    target = tmp_path / "mine.csv"
    found = keep_past_weather(
        41.0, -80.0, target, TODAY, accept_terms=True, cache=tmp_path / "kept", opener=archive
    )
    again = read_weather(target, latitude=41.0, longitude=-80.0, today=TODAY)
    assert isinstance(found.table, Hourly)
    assert isinstance(again.table, Hourly)
    assert np.allclose(again.table.temp_c, found.table.temp_c)
    assert again.table.time[-1] - again.table.time[0] <= np.timedelta64(timedelta(days=3))


def test_a_target_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    with pytest.raises(WeatherError, match="can't be written"):
        keep_past_weather(
            41.0, -80.0, tmp_path / "no such folder" / "mine.csv", TODAY,
            accept_terms=True, cache=tmp_path / "kept", opener=archive,
        )  # fmt: skip
