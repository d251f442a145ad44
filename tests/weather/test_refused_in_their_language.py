"""A refused weather file or sheet says why in the reader's language; what it holds stays. Invented."""

from __future__ import annotations

import re
from datetime import date

import pytest

from breadline.errors import InputToMend
from breadline.jobs.sheet_cells import cells_of
from breadline.language import PRETENDED, speaking
from breadline.weather.read import read_weather

TODAY = date(2026, 8, 5)
DAYS = [f"2025-{month:02d}-{day:02d}" for month in range(1, 13) for day in range(1, 29)]
# words of the file, and what Python's own reader of JSON says
OF_THE_FILE = re.compile(
    r"“[^”]*”|Expecting .*\(char \d+\)|no weather at all|tmin|tmax|temp|rain|wind|sun|[Tt]ime|date|[\d.,]+"
    r"|CSV|UTF|JSON|ISO"
)


def daily(warm: str, head: str = "date,tmin [°C],tmax [°C]") -> str:
    return head + "\n" + "\n".join(f"{day},{warm},{warm}" for day in DAYS)


WEATHER = {
    "words": "no weather at all",
    "zip": "PK\x03\x04" + "x" * 40,
    "head alone": "date,tmin [°C],tmax [°C]\n",
    "no unit": daily("12", "date,tmin,tmax"),
    "unknown unit": daily("12", "date,tmin [R],tmax [R]"),
    "tenths": daily("121"),
    "cold": daily("2"),
    "same column twice": daily("12", "date,tmin [°C],tmin [°C]"),
    "no date": "tmin [°C],tmax [°C]\n1,2\n",
    "broken dates": daily("12").replace("2025-0", "25x0"),
    "half a JSON": '{"hourly": {"time": [',
    "JSON without a table": '{"latitude": 38.5}',
    "JSON of an error": '{"error": true, "reason": "1"}',
}  # fmt: skip
SHEETS = {
    "nothing": b"\n\n", "old": b"\xd0\xcf\x11\xe0" + b"x" * 40, "packed": b"PK\x03\x04" + b"x" * 40,
    "nul": b"Yard,Date\nMill\x00,2026\n", "long": b"Yard\n" + b"x" * 40_000,
}  # fmt: skip


def bare(error: InputToMend) -> list[str]:
    told = " ".join((error.what, error.expected, error.do))
    return re.findall(r"[^\W\d_]{3,}", OF_THE_FILE.sub(" ", re.sub(r"⟦[^⟦⟧]*⟧", " ", told)))


@pytest.mark.parametrize("name", WEATHER)
def test_a_weather_file_is_refused_in_the_readers_language(name, tmp_path):
    path = tmp_path / "past.csv"
    path.write_text(WEATHER[name], "utf-8")
    with speaking(PRETENDED), pytest.raises(InputToMend) as refused:
        read_weather(path, latitude=38.5, longitude=-121.0, today=TODAY)
    assert "⟦" in refused.value.what
    assert bare(refused.value) == []


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_is_refused_in_the_readers_language(name):
    with speaking(PRETENDED), pytest.raises(InputToMend) as refused:
        cells_of("yards.csv", SHEETS[name])
    assert "⟦" in refused.value.what
    assert bare(refused.value) == []


def test_in_spanish_it_reads_as_a_sentence(tmp_path):
    path = tmp_path / "past.csv"
    path.write_text(daily("12", "date,tmin,tmax"), "utf-8")
    with speaking("es"), pytest.raises(InputToMend) as refused:
        read_weather(path, latitude=38.5, longitude=-121.0, today=TODAY)
    assert refused.value.what == "no hay unidad en el encabezado"
    assert refused.value.do == "Escríbala entre corchetes, como temp [°C]"
