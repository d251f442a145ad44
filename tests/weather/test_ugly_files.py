"""Weather files as people really send them: each is read with a report, or refused with advice."""

import math
import tomllib
from datetime import date
from pathlib import Path

import pytest

from breadline.errors import WeatherError
from breadline.weather.read import read_weather
from breadline.weather.table import Hourly

HERE = Path(__file__).parent.parent / "ugly_files" / "weather"
CASES = tomllib.loads((HERE / "expectations.toml").read_text(encoding="utf-8"))
TODAY = date(2025, 12, 1)


def opened(case):
    place = {key: case[key] for key in ("latitude", "longitude") if key in case}
    return read_weather(HERE / case["file"], today=TODAY, **place)


@pytest.mark.parametrize("name", [name for name, case in CASES.items() if "says" in case])
def test_the_file_is_refused_with_what_is_wrong_and_what_to_do(name):
    case = CASES[name]
    with pytest.raises(WeatherError) as caught:
        opened(case)
    for part in case["says"]:
        assert part in str(caught.value)
    assert caught.value.where.startswith(case["file"])


@pytest.mark.parametrize("name", [name for name, case in CASES.items() if "says" not in case])
def test_the_file_is_read_and_the_report_says_what_was_done(name):
    case = CASES[name]
    found = opened(case)
    report = "\n".join(note.text for note in found.notes)
    for part in case.get("notes", []):
        assert part in report
    if "notes" not in case:
        assert not [n for n in found.notes if n.kind in ("dropped", "warning")]
    when = found.table.time if isinstance(found.table, Hourly) else found.table.date
    assert len(when) == case["rows"]
    assert str(when[0]).startswith(case.get("first", ""))
    for row, column, value in case.get("values", []):
        held = float(getattr(found.table, column)[row])
        assert math.isnan(held) if value == "missing" else held == pytest.approx(value, abs=0.005)


def test_every_ugly_file_has_its_expectation():
    files = {path.name for path in HERE.iterdir()} - {"expectations.toml"}
    assert files == {case["file"] for case in CASES.values()}
    assert len(files) >= 25
