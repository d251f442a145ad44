"""Past weather of a place from the public archive, as a file of one's own."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

from breadline.errors import WeatherError
from breadline.language import say
from breadline.weather.plain import written
from breadline.weather.service import Opener, Request, fetched_weather
from breadline.weather.table import WeatherFile

YEARS = 16  # one more than an outlook uses, for the season that runs over New Year
LATE_DAYS = 6  # the archive runs behind the calendar
CACHE = Path.home() / ".cache" / "breadline" / "weather"


def keep_past_weather(
    latitude: float,
    longitude: float,
    target: Path,
    today: date,
    *,
    accept_terms: bool = False,
    cache: Path = CACHE,
    opener: Opener | None = None,
) -> WeatherFile:
    """Fetch the last years of hourly weather and write them to ``target``.

    Errors
    ------
    WeatherError
        If the terms of the service were not accepted yet, or the file cannot be written.
    Offline
        If the service cannot be reached.
    """
    last = today - timedelta(days=LATE_DAYS)
    asked = Request(latitude, longitude, date(last.year - YEARS, 1, 1), last)
    found = fetched_weather(asked, cache=cache, accept_terms=accept_terms, opener=opener)
    try:
        target.write_text(written(found.table), encoding="utf-8")
    except OSError as fault:
        raise WeatherError(
            str(target),
            say("it can't be written ({strerror})", strerror=fault.strerror),
            say("a folder that exists and may be written to"),
        ) from None
    return found
