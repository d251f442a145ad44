"""Counts added to a book over a season: one start, inspections after it, each held once against a band."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import NEWEST_ALONE, Book
from breadline.web.app import create_app
from cli.typed import breadline
from web.conftest import HERE

EXAMPLES = Path(__file__).parents[2] / "examples"
FITTED = (EXAMPLES / "fitted-yard" / "yard.toml").read_text(encoding="utf-8")
WEATHER = EXAMPLES / "first-yard" / "weather.csv"
COUNTS = {"2025-02-10": (5.0, 1.5), "2025-03-28": (7.5, 4.0), "2025-04-18": (10.0, 5.5)}


def yard_text(on: str, more: str = "") -> str:
    """The example's yard with a count of this day alone."""
    bees, brood = COUNTS[on]
    text = re.sub(r"\[\[inspection\]\].*?(?=\[health\])", "", FITTED, flags=re.DOTALL)
    text = text.replace("today = 2025-04-20", f"today = {on}").replace("mites_on = 2025-04-18\n", "")
    for key, value in {"on": on, "frames_of_bees": bees, "frames_of_brood": brood}.items():
        text = re.sub(rf"(\[count\][^\[]*?\n){key} = \S+", rf"\g<1>{key} = {value}", text)
    return text.replace("[health]", f"{more}\n[health]", 1)


def added(book: Path, on: str, more: str = "", *, weather: bool = False) -> dict:
    """The list of yards after one more yard file, as of the day of its count."""
    file = book.parent / f"{on}.toml"
    file.write_text(yard_text(on, more), encoding="utf-8")
    words = ["yards", str(book), "--add", str(file), "--as-of", on, "--json"]
    done = breadline(*words, *(["--weather", str(WEATHER)] if weather else []))
    assert done.returncode == 0, done.stdout
    (row,) = json.loads(done.stdout)["yards"]
    return row


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("counts") / "own.sqlite"
    for n, on in enumerate(COUNTS):
        assert added(path, on, weather=n == 0)["error"] is None
    return path


def test_earlier_counts_are_the_start_and_later_ones_re_weigh_it(book: Path) -> None:
    opened = Book(book, date(2025, 4, 18))
    answer = opened.season(opened.first_yard())
    assert answer.fitted is not None
    assert answer.yard.count.on == date(2025, 2, 10)
    assert {one.on for one in answer.fitted.looked} == {date(2025, 3, 28), date(2025, 4, 18)}


def test_the_page_tells_it(book: Path) -> None:
    client = TestClient(create_app(book, lambda path: Book(path, date(2025, 4, 18))), base_url=HERE)
    shown = client.get(f"/yards/{Book(book).first_yard()}").text
    assert "From the count of 10 February and 2 inspections up to 18 April" in shown
    assert "Looked in 6 hives on 18 April" in shown


def test_the_record_holds_each_count_once(book: Path) -> None:
    told = json.loads(breadline("season", "--record", str(book), "--json").stdout)
    (yard,) = told["yards"]
    assert sorted((row["on"], row["what"]) for row in yard["counts"]) == [
        (on, what) for on in ("2025-03-28", "2025-04-18") for what in ("bees", "brood")
    ]
    assert [row["shown_on"] for row in yard["counts"] if row["on"] == "2025-04-18"] == ["2025-03-28"] * 2


def test_colonies_that_changed_begin_afresh(book: Path, tmp_path: Path) -> None:
    own = tmp_path / "own.sqlite"
    own.write_bytes(book.read_bytes())
    text = yard_text("2025-04-18").replace("[count]", "[count]\nafresh = true")
    (tmp_path / "yard.toml").write_text(text, encoding="utf-8")
    words = ("--add", str(tmp_path / "yard.toml"), "--as-of", "2025-04-18", "--json")
    assert breadline("yards", str(own), *words).returncode == 0
    opened = Book(own, date(2025, 4, 18))
    answer = opened.season(opened.first_yard())
    assert answer.fitted is None
    assert answer.yard.count.on == date(2025, 4, 18)


def test_where_the_weather_does_not_reach_back_the_newest_count_stands_alone_and_it_is_said(
    book: Path, tmp_path: Path
) -> None:
    own, short = tmp_path / "own.sqlite", tmp_path / "short.csv"
    own.write_bytes(book.read_bytes())
    head, *rows = WEATHER.read_text(encoding="utf-8").splitlines(keepends=True)
    short.write_text(head + "".join(row for row in rows if row >= "2024-04-10"), encoding="utf-8")
    (tmp_path / "yard.toml").write_text(yard_text("2025-04-18"), encoding="utf-8")
    words = ("--add", str(tmp_path / "yard.toml"), "--weather", str(short), "--as-of", "2025-04-18")
    assert breadline("yards", str(own), *words).returncode == 0
    opened = Book(own, date(2025, 4, 18))
    answer = opened.season(opened.first_yard())
    assert answer.fitted is None
    assert answer.yard.count.on == date(2025, 4, 18)
    assert NEWEST_ALONE in answer.weather_notes


def test_an_inspection_of_the_day_of_a_count_that_disagrees_is_named(book: Path, tmp_path: Path) -> None:
    own = tmp_path / "own.sqlite"
    own.write_bytes(book.read_bytes())
    row = added(
        own, "2025-04-18", "[[inspection]]\non = 2025-04-18\ncolonies_looked_in = 6\nframes_of_bees = 2\n"
    )
    assert "two on one day disagree on frames of bees: 10 and 2" in row["error"]
