"""Fetching through an opener that stands in for the network."""

import http.client
import json
import urllib.error
from datetime import date
from io import BytesIO

import numpy as np
import pytest

from breadline.errors import Offline, WeatherError
from breadline.weather.plain import written
from breadline.weather.read import read_weather
from breadline.weather.service import ARCHIVE, TERMS, Request, fetched_weather

REQUEST = Request(52.5, 13.4, date(2025, 4, 1), date(2025, 4, 3))


class FakeService:
    """Answers with invented weather and remembers what it was asked."""

    def __init__(self, body: bytes | None = None, fault: Exception | None = None) -> None:
        self.asked: list[tuple[str, float]] = []
        self.body, self.fault = body or answer(), fault

    def __call__(self, address: str, timeout_s: float) -> bytes:
        self.asked.append((address, timeout_s))
        if self.fault:
            raise self.fault
        return self.body


def answer() -> bytes:
    time = [str(t) for t in np.datetime64("2025-04-01T00:00") + np.arange(72) * 60]
    columns = {
        "temperature_2m": 12.0,
        "precipitation": 0.1,
        "wind_speed_10m": 36.0,
        "shortwave_radiation": 0.0,
    }
    units = {"temperature_2m": "°C", "precipitation": "mm", "wind_speed_10m": "km/h",
             "shortwave_radiation": "W/m²"}  # fmt: skip
    hourly = {"time": time, **{name: [value] * 72 for name, value in columns.items()}}
    place = {"latitude": 52.5, "longitude": 13.4, "utc_offset_seconds": 0}
    return json.dumps({**place, "hourly_units": units, "hourly": hourly}).encode()


def test_the_terms_come_before_the_first_use(tmp_path):
    service = FakeService()
    with pytest.raises(WeatherError, match="non-commercial"):
        fetched_weather(REQUEST, cache=tmp_path, opener=service)
    assert service.asked == []
    fetched_weather(REQUEST, cache=tmp_path, opener=service, accept_terms=True)
    fetched_weather(REQUEST, cache=tmp_path, opener=service)  # remembered
    assert TERMS in (tmp_path / "terms-accepted.txt").read_text(encoding="utf-8")


def test_what_is_asked_for_and_how_long_is_waited(tmp_path):
    service = FakeService()
    fetched_weather(REQUEST, cache=tmp_path, opener=service, accept_terms=True, timeout_s=5)
    address, timeout = service.asked[0]
    assert address.startswith(ARCHIVE + "?")
    for part in ("latitude=52.5000", "longitude=13.4000", "start_date=2025-04-01", "wind_speed_unit=ms"):
        assert part in address
    assert timeout == 5


def test_units_are_taken_from_the_answer_even_where_others_were_asked_for(tmp_path):
    found = fetched_weather(REQUEST, cache=tmp_path, opener=FakeService(), accept_terms=True)
    assert found.table.wind_ms[0] == pytest.approx(10.0)  # 36 km/h
    assert found.table.station.utc_offset_hours == 1.0
    assert "non-commercial" in found.table.station.licence


def test_the_second_time_comes_from_the_cache(tmp_path):
    service = FakeService()
    first = fetched_weather(REQUEST, cache=tmp_path, opener=service, accept_terms=True)
    again = fetched_weather(REQUEST, cache=tmp_path, opener=service)
    assert len(service.asked) == 1
    assert np.array_equal(first.table.temp_c, again.table.temp_c)
    assert "local copy" in again.notes[0].text


@pytest.mark.parametrize(
    "fault",
    [urllib.error.URLError("no route"), TimeoutError(), ConnectionResetError(),
     urllib.error.HTTPError(ARCHIVE, 503, "busy", {}, None)],  # type: ignore[arg-type]
)  # fmt: skip
def test_without_a_connection_it_says_so_and_what_to_do(tmp_path, fault):
    with pytest.raises(Offline, match="weather file"):
        fetched_weather(REQUEST, cache=tmp_path, opener=FakeService(fault=fault), accept_terms=True)
    assert not list(tmp_path.glob("*.json"))


def test_the_reason_of_a_refused_request_is_passed_on(tmp_path):
    body = BytesIO(b'{"error": true, "reason": "end_date is out of range"}')
    refused = urllib.error.HTTPError(ARCHIVE, 400, "bad", {}, body)  # type: ignore[arg-type]
    with pytest.raises(WeatherError, match="end_date is out of range"):
        fetched_weather(REQUEST, cache=tmp_path, opener=FakeService(fault=refused), accept_terms=True)


def test_a_broken_download_is_never_kept(tmp_path):
    with pytest.raises(WeatherError, match="not whole JSON"):
        fetched_weather(REQUEST, cache=tmp_path, opener=FakeService(answer()[:100]), accept_terms=True)
    assert not list(tmp_path.glob("*.json"))


def test_a_local_copy_that_is_spoiled_is_fetched_again(tmp_path):
    service = FakeService()
    first = fetched_weather(REQUEST, cache=tmp_path, opener=service, accept_terms=True)
    kept = next(tmp_path.glob("*.json"))
    kept.write_bytes(kept.read_bytes()[:200])
    again = fetched_weather(REQUEST, cache=tmp_path, opener=service)
    assert len(service.asked) == 2
    assert np.array_equal(first.table.temp_c, again.table.temp_c)
    assert kept.read_bytes() == answer()


def test_an_answer_that_breaks_off_is_no_crash(tmp_path):
    cut = http.client.IncompleteRead(b"{", 500)
    with pytest.raises(Offline, match="weather file"):
        fetched_weather(REQUEST, cache=tmp_path, opener=FakeService(fault=cut), accept_terms=True)


def test_a_folder_that_cannot_hold_copies_is_named(tmp_path):
    taken = tmp_path / "cache"
    taken.write_text("a file where a folder should be", encoding="utf-8")
    with pytest.raises(WeatherError, match="cannot be written"):
        fetched_weather(REQUEST, cache=taken, opener=FakeService(), accept_terms=True)


def test_a_file_made_of_it_names_source_and_terms_and_reads_back(tmp_path):
    found = fetched_weather(REQUEST, cache=tmp_path, opener=FakeService(), accept_terms=True)
    path = tmp_path / "kept.csv"
    path.write_text(written(found.table), encoding="utf-8")
    assert "CC BY 4.0" in path.read_text(encoding="utf-8").splitlines()[1]
    assert np.array_equal(read_weather(path).table.temp_c, found.table.temp_c)


def test_a_place_off_the_map_and_a_period_backwards_are_refused():
    with pytest.raises(WeatherError, match="not on the map"):
        Request(95.0, 13.4, date(2025, 4, 1), date(2025, 4, 3))
    with pytest.raises(WeatherError, match="before the last"):
        Request(52.5, 13.4, date(2025, 4, 4), date(2025, 4, 3))
