"""What was dropped, filled or assumed in weather is said to each reader in their language. Invented."""

from __future__ import annotations

import re
from datetime import date

import pytest

from breadline.language import PRETENDED, speaking
from breadline.weather.gaps import IMPOSSIBLE, LABEL
from breadline.weather.quality import POSSIBLE
from breadline.weather.read import read_weather

TODAY = date(2026, 8, 5)
HOURS = [f"2025-06-{day:02d}T{hour:02d}:00" for day in range(1, 29) for hour in range(24)]
OF_THE_FILE = re.compile(r"past\.csv|temp|rain|wind|sun|soil|broken|n/a|Latin-1|UTF|[\d.,]+|[°m/sW²h]+")


def rows(cell: str = "20,0,2", head: str = "time,temp [°C],rain [mm],wind [m/s]") -> list[list[str]]:
    return [head.split(","), *([hour, *cell.split(",")] for hour in HOURS)]


def changed(at: int, column: int, cell: str) -> list[list[str]]:
    table = rows()
    table[at][column] = cell
    return table


CASES = {
    "impossible": changed(30, 1, "250"), "missing code": changed(30, 1, "-9999"),
    "endless": changed(30, 1, "inf"),
    "text": changed(30, 1, "broken"), "empty": changed(30, 1, ""), "no date": changed(30, 0, "broken"),
    "repeated": [*rows(), rows()[5]], "future": [*rows(), ["2031-01-01T00:00", "20", "0", "2"]],
    "old": [rows()[0], ["1700-01-01T00:00", "1", "0", "2"], *rows()[1:]],
    "not in order": [rows()[0], *rows()[:0:-1]], "gap": [*rows()[:100], *rows()[150:]],
    "other column": [[*row, "soil" if n == 0 else "3"] for n, row in enumerate(rows())],
    "windy": rows("20,0,20"), "three hours": [rows()[0], *rows()[1::3]], "width": [*rows(), ["x"] * 7],
    "utc": [rows()[0], *([row[0] + "Z", *row[1:]] for row in rows()[1:])],
}  # fmt: skip


def bare(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]{3,}", OF_THE_FILE.sub(" ", re.sub(r"⟦[^⟦⟧]*⟧", " ", text)))


@pytest.mark.parametrize("name", CASES)
def test_a_file_read_in_english_is_told_in_another_language_to_who_reads_it_then(name, tmp_path):
    path = tmp_path / "past.csv"
    path.write_text("\n".join(",".join(row) for row in CASES[name]), "utf-8")
    read = read_weather(path, latitude=38.5, longitude=-121.0, today=TODAY)
    assert read.notes
    with speaking(PRETENDED):
        for note in read.notes:
            assert "⟦" in note.said
            assert bare(note.said) == []
            assert bare(note.kind_words) == []
    with speaking("es"):
        spanish = [note.said for note in read.notes]
    assert all(said != note.said for said, note in zip(spanish, read.notes, strict=True))


def test_in_spanish_it_reads_as_a_sentence(tmp_path):
    path = tmp_path / "past.csv"
    path.write_text("\n".join(",".join(row) for row in CASES["impossible"]), "utf-8")
    (dropped, filled) = read_weather(path, latitude=38.5, longitude=-121.0, today=TODAY).notes[:2]
    with speaking("es"):
        assert dropped.said == "Quitado: 1 temperatura imposible, como 250.0 °C el 2025-06-02."
        assert (
            filled.said
            == "Rellenado: 1 temperatura en huecos de hasta 3 horas, a partir de las horas vecinas."
        )
    assert dropped.said == "Dropped: 1 impossible temperature, such as 250.0 °C on 2025-06-02."
    assert dropped.plain() == {"kind": "dropped", "text": dropped.text, "count": 1}


def test_every_column_that_can_hold_nonsense_has_its_words():
    assert LABEL.keys() == IMPOSSIBLE.keys()
    assert {name for columns in POSSIBLE.values() for name in columns} <= LABEL.keys()


def test_a_book_keeps_them_in_english_whoever_brings_the_file(tmp_path):
    from breadline.jobs.book import Book

    path = tmp_path / "past.csv"
    path.write_text("\n".join(",".join(row) for row in CASES["impossible"]), "utf-8")
    book = Book(tmp_path / "book.sqlite", TODAY)
    with speaking("es"):
        assert book.came(path, (38.5, -121.0)).notes[0].startswith("1 impossible temperature")
