"""Weather of the example, cut short."""

from __future__ import annotations

import pytest

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.yard_file import read_yard
from breadline.weather.read import read_weather
from breadline.weather.table import WeatherFile


@pytest.fixture(scope="session")
def four_years(tmp_path_factory: pytest.TempPathFactory) -> WeatherFile:
    """The example's weather, all but its last years cut off, so that seasons are made by chance."""
    yard = read_yard(FIRST_YARD / "yard.toml")
    lines = (FIRST_YARD / "weather.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    top = next(n for n, line in enumerate(lines) if line.startswith("date")) + 1
    path = tmp_path_factory.mktemp("few") / "weather.csv"
    path.write_text("".join([*lines[:top], *lines[-4 * 366 :]]), encoding="utf-8")
    return read_weather(path, latitude=yard.place.latitude, today=yard.today)
