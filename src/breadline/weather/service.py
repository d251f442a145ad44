"""Past hourly weather of a place from a public archive, kept in a local cache."""

from __future__ import annotations

import hashlib
import http.client
import urllib.error
import urllib.request
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from urllib.parse import urlencode

from breadline.errors import Offline, WeatherError
from breadline.language import Later, noted, say, say_later
from breadline.weather.quality import checked
from breadline.weather.readings import Origin
from breadline.weather.service_json import read_service_json
from breadline.weather.table import Note, WeatherFile

ARCHIVE = "https://archive-api.open-meteo.com/v1/archive"
VARIABLES = "temperature_2m,precipitation,wind_speed_10m,shortwave_radiation"
NAME = "Open-Meteo archive"
TERMS = noted(
    "Weather comes from the Open-Meteo archive. Its free service is for non-commercial "
    "use only; who keeps bees as a trade needs a paid plan there or a weather file of "
    "their own. The data are under CC BY 4.0: name the source when you publish them."
)
ACCEPTED = "terms-accepted.txt"
TIMEOUT_S = 20.0
Opener = Callable[[str, float], bytes]  # address, timeout [s] → body


@dataclass(frozen=True)
class Request:
    """The place and period asked for."""

    latitude: float  # [degrees north]
    longitude: float  # [degrees east]
    first: date
    last: date

    def __post_init__(self) -> None:
        if not (-90 <= self.latitude <= 90 and -180 <= self.longitude <= 180):
            raise WeatherError(
                "place",
                say(
                    "{latitude}, {longitude} is not on the map",
                    latitude=self.latitude,
                    longitude=self.longitude,
                ),
                say("latitude −90 to 90, longitude −180 to 180"),
            )
        if self.first > self.last:
            raise WeatherError(
                "period",
                say("{first} is after {last}", first=self.first, last=self.last),
                say("the first day before the last"),
            )

    @property
    def address(self) -> str:
        """The address of the service's answer; units are asked for, and still read from the answer."""
        place = {"latitude": f"{self.latitude:.4f}", "longitude": f"{self.longitude:.4f}"}
        period = {"start_date": self.first.isoformat(), "end_date": self.last.isoformat()}
        fixed = {"hourly": VARIABLES, "wind_speed_unit": "ms", "timezone": "GMT"}
        return f"{ARCHIVE}?{urlencode({**place, **period, **fixed}, safe=',')}"


def fetched_weather(
    request: Request,
    *,
    cache: Path,
    accept_terms: bool = False,
    opener: Opener | None = None,
    timeout_s: float = TIMEOUT_S,
) -> WeatherFile:
    """Hourly weather of the place, from the cache where it was fetched before.

    ``accept_terms`` acknowledges ``TERMS``; it is remembered in ``cache``. ``opener``
    replaces the network, ``timeout_s`` [s] is how long to wait for it.

    Errors
    ------
    WeatherError
        If the terms were not accepted yet, or the answer is not weather.
    Offline
        If the service cannot be reached in time.
    """
    terms_accepted(cache, accept_terms)
    kept = cache / f"{hashlib.sha256(request.address.encode()).hexdigest()[:20]}.json"
    origin = Origin(NAME, request.latitude, request.longitude)
    if kept.is_file():
        try:
            return _read(
                kept.read_text(encoding="utf-8"),
                origin,
                say_later("From the local copy of {name}.", name=NAME),
            )
        except (WeatherError, OSError, UnicodeDecodeError):
            pass  # a copy that is spoiled is fetched again and replaced
    body = _body(opener or _opened, request.address, timeout_s).decode("utf-8", errors="replace")
    found = _read(body, origin, say_later("Fetched from {name}. {terms}", name=NAME, terms=say_later(TERMS)))
    # written beside and moved: a broken download is never kept as weather
    part = kept.with_suffix(".part")
    _write(part, body)
    part.replace(kept)
    return found


def _write(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    except OSError as fault:
        raise WeatherError(
            str(path),
            say("cannot be written ({strerror})", strerror=fault.strerror),
            say("a folder for local copies"),
            say("Make room or allow writing there, or give a weather file"),
        ) from fault


def terms_accepted(cache: Path, accept: bool) -> None:
    """Remember that the terms were accepted, or ask for it.

    Errors
    ------
    WeatherError
        If they were not accepted now or before; it carries the terms.
    """
    mark = cache / ACCEPTED
    if mark.is_file() and mark.read_text(encoding="utf-8").strip() == TERMS:
        return
    if not accept:
        what = say("its terms have to be accepted before first use: {terms}", terms=say(TERMS))
        raise WeatherError(NAME, what, say("accepted terms"), say("Accept them, or give a weather file"))
    _write(mark, TERMS + "\n")


def _read(text: str, origin: Origin, how: Later) -> WeatherFile:
    found = checked(read_service_json(text, origin), origin)
    return WeatherFile(found.table, (Note("assumed", how), *found.notes))


def _body(opener: Opener, address: str, timeout_s: float) -> bytes:
    try:
        return opener(address, timeout_s)
    except urllib.error.HTTPError as fault:
        if fault.code == 400:  # the service says in the body what it did not understand
            return fault.read()
        raise Offline(NAME, say("it answered with error {code}", code=fault.code), say("an answer"),
                      say("Try again later, or give a weather file")) from fault  # fmt: skip
    except (OSError, http.client.HTTPException) as fault:
        raise Offline(
            NAME, say("it could not be reached within {seconds:g} s", seconds=timeout_s), say("a connection"),
            say("Try again later, or give a weather file instead"),
        ) from fault  # fmt: skip


def _opened(address: str, timeout_s: float) -> bytes:
    with urllib.request.urlopen(address, timeout=timeout_s) as answer:
        body: bytes = answer.read()
    return body
