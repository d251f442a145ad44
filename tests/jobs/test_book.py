"""A book of records as the pages and the commands use it."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from breadline.errors import InputToMend, RecordError, WeatherError, YardError
from breadline.jobs.book import Book
from breadline.jobs.bring_in import brought_in
from breadline.jobs.demo import FIRST_YARD, OPERATION, TODAY, VARIANTS, make_demo
from breadline.jobs.season import Asked, season_from_files
from breadline.jobs.season_chart import write_chart
from breadline.jobs.season_told import season_lines
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.yard_file import read_yard, yard_to_toml

YARD = read_yard(FIRST_YARD / "yard.toml")


def test_a_yard_whose_weather_cannot_be_read_is_not_half_written_down(tmp_path: Path) -> None:
    book = Book(tmp_path / "book.sqlite", TODAY)
    nothing = tmp_path / "notes.csv"
    nothing.write_text("bees,honey\n1,2\n", encoding="utf-8")
    for file, said in ((tmp_path / "gone.csv", "can't be read"), (nothing, "notes.csv")):
        with pytest.raises(WeatherError, match=said):
            book.add_yard(YARD, file)
    assert book.yards() == []


def test_a_yard_added_with_its_weather_gets_its_answer(tmp_path: Path) -> None:
    book = Book(tmp_path / "book.sqlite", TODAY)
    key = book.add_yard(YARD, FIRST_YARD / "weather.csv")
    (line,) = book.yards()
    assert line.id == key
    assert line.answer is not None
    assert line.answer.outlook is not None


def test_a_demo_that_was_broken_off_is_finished_and_a_whole_one_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "demo.sqlite"
    begun = Book(path, TODAY)
    begun.open_operation(OPERATION)
    begun.add_yard(YARD, FIRST_YARD / "weather.csv")
    names = make_demo(path).yard_names()
    assert names == (YARD.name, *(v.name for v in VARIANTS))
    assert make_demo(path).yard_names() == names


def test_the_demo_never_goes_into_a_book_of_ones_own(tmp_path: Path) -> None:
    path = tmp_path / "mine.sqlite"
    Book(path, TODAY).add_yard(YARD, FIRST_YARD / "weather.csv")
    with pytest.raises(RecordError, match="yards of its own"):
        make_demo(path)
    assert Book(path, TODAY).yard_names() == (YARD.name,)


def test_a_file_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    told = season_from_files(FIRST_YARD / "yard.toml", FIRST_YARD / "weather.csv", asked=Asked(draws=20))
    with pytest.raises(InputToMend, match="can't be written"):
        write_chart(told, tmp_path / "no such folder" / "chart.svg")
    with pytest.raises(InputToMend, match=r"ends in \.svg"):
        write_chart(told, tmp_path / "chart.png")


def test_what_was_seen_on_the_last_look_is_not_said_of_today(tmp_path: Path) -> None:
    Book(tmp_path / "book.sqlite", TODAY).add_yard(YARD, FIRST_YARD / "weather.csv")
    for later, said in ((3, "as seen on 20 January 2026"), (30, "Not looked at")):
        book = Book(tmp_path / "book.sqlite", TODAY + timedelta(days=later))
        told = book.season(book.first_yard())
        text = " ".join(line for _, line in season_lines(told))
        assert said in text
        assert "Warmth" not in text
        assert "as seen today" not in text
        again = tmp_path / f"{later}.toml"
        again.write_text(yard_to_toml(told.yard), encoding="utf-8")
        assert read_yard(again) == told.yard, "with the day on which it was seen"
        other = Book(tmp_path / f"{later}.sqlite", book.today)
        key = other.add_yard(read_yard(again), FIRST_YARD / "weather.csv")
        assert other.season(key).yard == told.yard
        assert said in " ".join(line for _, line in season_lines(other.season(key)))


def test_one_hive_without_bees_leaves_the_yard_its_answer_and_is_named(tmp_path: Path) -> None:
    book = Book(tmp_path / "book.sqlite", TODAY)
    key = book.add_yard(YARD, FIRST_YARD / "weather.csv")
    rows = "".join(f"{YARD.name},{tag},{TODAY},{bees},2,1\n" for tag, bees in (("a", 6), ("b", 0), ("c", 5)))
    sheet = f"yard,hive,date,frames of bees,brood,bread\n{rows}".encode()
    asked = SheetAsked(units={"frames_of_bees": "full", "bread": "frames"}, new_colonies=True)
    brought_in(book.path, "hives.csv", sheet, asked, TODAY)
    told = Book(book.path, TODAY).season(key)
    assert told.yard.inspections[-1].frames_each == (6.0, 5.0)
    assert told.outlook is not None
    (said,) = (text for note in told.weather_notes if "no bees" in (text := str(note.text)))
    assert said.startswith("Hive b had no bees when it was looked at last, on 20 January 2026")


@pytest.mark.parametrize("many", [1, YARD.colonies])
def test_a_day_on_which_only_hives_without_bees_were_looked_at(tmp_path: Path, many: int) -> None:
    later = TODAY + timedelta(days=7)
    book = Book(tmp_path / "book.sqlite", later)
    key = book.add_yard(YARD, FIRST_YARD / "weather.csv")
    rows = "".join(f"{YARD.name},{n},{later},0\n" for n in range(many))
    asked = SheetAsked(units={"frames_of_bees": "full"}, new_colonies=True)
    brought_in(book.path, "hives.csv", f"yard,hive,date,frames of bees\n{rows}".encode(), asked, later)
    if many > 1:  # all of them: what was counted a week before holds no more
        with pytest.raises(YardError, match="no hive had bees when it was looked at last, the newest on 27"):
            Book(book.path, later).season(key)
        return
    told = Book(book.path, later).season(key)
    assert (told.yard.count.on, told.yard.inspections) == (YARD.count.on, ())
    assert any("Hive 0 had no bees" in note.text for note in told.weather_notes)
