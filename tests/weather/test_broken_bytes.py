"""Whatever is in a file, it is read or refused with advice; nothing else is ever raised."""

import json
import tempfile
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import WeatherError
from breadline.weather.read import read_weather
from breadline.weather.table import Hourly

HERE = Path(__file__).parent.parent / "ugly_files" / "weather"
WHOLE = [p for p in sorted(HERE.iterdir()) if 0 < p.stat().st_size < 9000 and p.suffix != ".toml"]
BITS = [
    b"",
    b",",
    b";",
    b"\n",
    b"\x00",
    b"\xff",
    b'"',
    b"9999",
    b"-",
    b"NaN",
    b"{",
    b"T",
    b"[",
    b"null",
    b"1e400",
]


def read_or_refuse(raw: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sent.csv"
        path.write_bytes(raw)
        try:
            found = read_weather(path, latitude=50.0, longitude=10.0, today=date(2025, 12, 1))
        except WeatherError:
            return
    when = found.table.time if isinstance(found.table, Hourly) else found.table.date
    assert (np.diff(when).astype(int) == 1).all()


@settings(max_examples=80, deadline=None)
@given(
    file=st.sampled_from(WHOLE),
    cuts=st.lists(
        st.tuples(st.floats(0, 1), st.integers(0, 40), st.sampled_from(BITS)), min_size=1, max_size=6
    ),
)
def test_files_cut_and_scribbled_on(file, cuts):
    raw = file.read_bytes()
    for at, length, put in cuts:
        begin = int(at * len(raw))
        raw = raw[:begin] + put + raw[begin + length :]
    read_or_refuse(raw)


@settings(max_examples=50, deadline=None)
@given(raw=st.binary(max_size=300))
def test_any_bytes(raw):
    read_or_refuse(raw)


shapes = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-999, 10**6)
    | st.floats(-50, 50)
    | st.sampled_from(["2025040100", "x"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["T2M", "T2M_MIN", "T2M_MAX", "20250401", "time", "temperature_2m"]), inner
        )
    ),
    max_leaves=6,
)
KEYS = ["hourly", "hourly_units", "daily", "daily_units", "latitude", "longitude", "utc_offset_seconds",
        "header", "geometry", "parameters", "properties"]  # fmt: skip


@settings(max_examples=80, deadline=None)
@given(answer=st.dictionaries(st.sampled_from(KEYS), shapes), parameter=shapes, power=st.booleans())
def test_json_of_any_shape(answer, parameter, power):
    if power:
        answer["properties"] = {"parameter": parameter}
    read_or_refuse(json.dumps(answer).encode())


@pytest.mark.parametrize("text", ["{}", "[]", "[1, 2]", '{"hourly": 3}', '{"hourly": {"time": 3}}', "null",
    '{"hourly": {"time": ["x"], "temperature_2m": [1]}, "hourly_units": {"temperature_2m": "°C"}}',
    '{"properties": {"parameter": {}}}', '{"properties": {"parameter": 4}}', '{"daily": []}'])  # fmt: skip
def test_json_of_another_shape_is_refused(text):
    read_or_refuse(text.encode())
