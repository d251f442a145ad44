"""A weather file with Spanish heads reads as the same file with English ones."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.errors import WeatherError
from breadline.weather.read import read_weather

ROWS = "\n".join(f"2026-04-{day:02d},{day / 2},{day + 10},{day % 3}" for day in range(1, 29))
ENGLISH = "date,tmin [°C],tmax [°C],rain [mm]"


@pytest.mark.parametrize(
    "heads",
    ["Fecha,Mínima [°C],Máxima [°C],Lluvia [mm]",
     "fecha,temperatura minima (°C),temperatura_maxima (°C),precipitación (mm)",
     "día,mín [°C],máx [°C],lluvia [mm]"],
)  # fmt: skip
def test_heads_in_spanish(tmp_path, heads):
    found = []
    for name, head in (("e.csv", ENGLISH), ("s.csv", heads)):
        path = tmp_path / name
        path.write_text(f"{head}\n{ROWS}\n", encoding="utf-8")
        found.append(read_weather(path, latitude=45.0, longitude=-93.0).table)
    english, spanish = found
    for column in ("date", "tmin_c", "tmax_c", "rain_mm"):
        assert np.array_equal(getattr(english, column), getattr(spanish, column), equal_nan=column != "date")


def test_a_head_that_is_none_is_refused(tmp_path):
    path = tmp_path / "s.csv"
    path.write_text(f"fecha,nubes [°C],cosas [°C],lluvia [mm]\n{ROWS}\n", encoding="utf-8")
    with pytest.raises(WeatherError):
        read_weather(path, latitude=45.0, longitude=-93.0)
