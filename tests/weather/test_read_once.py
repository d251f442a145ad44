"""A file gone through once says at each place what it says when it is read there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from breadline.errors import WeatherError
from breadline.jobs.demo import FIRST_YARD
from breadline.weather.read import at_place, parsed, read_weather
from breadline.weather.table import WeatherFile

UGLY = Path(__file__).parents[1] / "ugly_files" / "weather"
FILES = [FIRST_YARD / "weather.csv", *sorted(path for path in UGLY.iterdir() if path.is_file())]
TODAY = date(2026, 1, 20)
EASTERN = [(33.9, -83.6), (33.92, -83.61), (34.4, -80.0)]  # one clock
ELSEWHERE = [(34.4, -90.0), (-36.1, 174.7), (33.9, None)]


def found(read: Callable[[], WeatherFile]) -> WeatherFile | str:
    """The file, or in words why it was refused."""
    try:
        return read()
    except WeatherError as refused:
        return str(refused)


def alike(one: WeatherFile, other: WeatherFile) -> bool:
    """Whether two say the same in all they hold."""
    tables = [(getattr(one.table, f.name), getattr(other.table, f.name)) for f in fields(one.table)]
    return one.notes == other.notes and all(
        np.array_equal(a, b, equal_nan=a.dtype.kind == "f") if isinstance(a, np.ndarray) else a == b
        for a, b in tables
    )


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_gone_through_once_it_says_the_same_at_every_place(path):
    once = {}
    for latitude, longitude in (*EASTERN, *ELSEWHERE):
        hour = None if longitude is None else round(longitude / 15.0)
        alone = found(lambda at=(latitude, longitude): read_weather(
            path, latitude=at[0], longitude=at[1], today=TODAY))  # fmt: skip
        if hour not in once:
            once[hour] = found(lambda of=longitude: parsed(path, of, TODAY))
        if isinstance(once[hour], str):
            assert once[hour] == alone
            continue
        shared = found(lambda of=once[hour], at=(latitude, longitude): at_place(of, *at, TODAY))
        assert shared == alone if isinstance(alone, str) else alike(shared, alone)
