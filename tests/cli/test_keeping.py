"""Backup, restore, verify, export and import as they are typed; their JSON has the shape on the page."""

from __future__ import annotations

import json
import shlex
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner

from breadline.cli.app import app
from breadline.jobs.bring_in import brought_in
from breadline.jobs.sheet_read import SheetAsked
from breadline.language import speaking
from house.test_documentation import differences, json_shapes, sections

SHEET = "yard;hive;date;frames;brood\nNorth;1;2026-03-04;7,5;3\nNorth;2;2026-03-04;lots;2\n"
SAID = ("--decimal", "comma", "--unit", "frames_of_bees=full", "--new-colonies")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "own.sqlite"
    brought_in(
        path, "yards.csv", b"name,lat,lon,hives\nNorth,45.1,-93.2,12\n", SheetAsked(), date(2026, 3, 10)
    )
    return path


def said(*typed: object, code: int = 0) -> dict:
    """What a command prints, which has the shape that the page shows for it."""
    result = CliRunner().invoke(app, [*map(str, typed), "--json"])
    assert result.exit_code == code, result.output
    printed = json.loads(result.stdout)
    (documented,) = [
        s for s in json_shapes(sections()[f"breadline {typed[0]}"]) if s["shape"] == printed["shape"]
    ]
    open_ended = ("tables", "made", "columns", "units")  # their keys are tables, kinds and heads
    wrong = [d for d in differences(documented, printed) if not any(f".{part}." in d for part in open_ended)]
    assert not wrong
    return printed


def test_keeping_a_book_safe_as_it_is_typed(book: Path, tmp_path: Path) -> None:
    copy, new = tmp_path / "copy.db", tmp_path / "new.sqlite"
    made = said("backup", book, copy)
    assert made["records"] == said("restore", copy, new)["records"]
    assert said("verify", new)["sha256"] == made["sha256"]
    with closing(sqlite3.connect(new)) as raw:
        raw.execute("DROP TRIGGER reading_no_update")
    assert said("verify", new, code=2)["findings"][0]["kind"] == "guards"
    again = CliRunner().invoke(app, ["backup", str(book), str(copy)])
    assert again.exception is not None
    assert "there is a file of this name already" in str(again.exception)


def test_a_sheet_in_and_everything_out_as_it_is_typed(book: Path, tmp_path: Path) -> None:
    sheet, mend, out, new = (tmp_path / n for n in ("march.csv", "mend.csv", "all.json", "new.sqlite"))
    sheet.write_text(SHEET, "utf-8")
    asked = said("import", book, sheet, code=2)
    assert [one["option"] for one in asked["questions"]] == ["--decimal", "--unit frames_of_bees="]
    wanting = said("import", book, sheet, *SAID, "--mend", mend, code=2)
    assert [(one["row"], one["column"]) for one in wanting["to_mend"]] == [(3, "frames")]
    assert "no number" in mend.read_text("utf-8-sig")
    sheet.write_text(SHEET.replace("lots", "8"), "utf-8")
    assert said("import", book, sheet, *SAID)["made"] == {"colonies": 2, "visits": 1, "readings": 4}
    assert said("import", book, sheet, *SAID)["rows"] == 0
    taken = said("export", book, out, "--as", "json")
    assert said("import", new, out)["records"] == taken["records"]


def test_what_is_asked_says_how_to_answer(book: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "march.csv"
    sheet.write_text(SHEET, "utf-8")
    told = CliRunner().invoke(app, ["import", str(book), str(sheet)])
    assert told.exit_code == 2
    assert "--decimal comma: the comma: 8,5" in told.output
    assert "--unit frames_of_bees=full" in told.output


def test_a_printed_command_can_be_typed_as_it_stands_where_a_path_has_blanks(
    book: Path, tmp_path: Path
) -> None:
    """Read as a shell reads it (POSIX, by Python's shlex), and run again."""
    folder = tmp_path / "Mill & Lane's bees"
    folder.mkdir()
    copy, out, new = folder / "a copy.db", folder / "all of it.json", folder / "new book.sqlite"

    def printed(*typed: object) -> str:
        result = CliRunner().invoke(app, [*map(str, typed)])
        assert result.exit_code == 0, result.output
        return " ".join(result.output.split())

    def command(said: str, verb: str) -> list[str]:
        return shlex.split(said[said.index(f"breadline {verb}") :].partition(". ")[0])

    def of(path: Path) -> str:
        return " ".join(str(path).split())

    backed = command(printed("backup", book, copy), "restore")
    assert backed == ["breadline", "restore", of(copy), "NEW_BOOK"]
    opened = command(printed("restore", copy, new), "serve")
    assert opened == ["breadline", "serve", of(new)]
    taken = command(printed("export", new, out, "--as", "json"), "import")
    assert taken == ["breadline", "import", "NEW_BOOK", of(out)]
    assert printed(*(folder / "again.sqlite" if one == "NEW_BOOK" else one for one in backed[1:]))


def test_a_book_is_kept_safe_in_spanish_too(book: Path, tmp_path: Path) -> None:
    copy, new = tmp_path / "copy.db", tmp_path / "new.sqlite"

    def told(*typed: object, code: int = 0) -> str:
        with speaking("en"):  # which the command changes for itself alone
            result = CliRunner().invoke(app, ["--language", "es", *map(str, typed)])
        assert result.exit_code == code, result.output
        return " ".join(result.stdout.split())

    assert "se volvió a leer y contiene los" in told("backup", book, copy)
    assert "Es lo que era cuando se hizo la copia." in told("restore", copy, new)
    assert "está entero" in told("verify", copy)
    with closing(sqlite3.connect(new)) as raw:
        raw.execute("DROP TRIGGER reading_no_update")
    wrong = told("verify", new, code=2)
    assert "se halló 1 cosa" in wrong
    assert "su guarda reading_no_update no está" in wrong
    assert "Revise sus anotaciones" in wrong
    cut = tmp_path / "cut.db"
    cut.write_bytes(copy.read_bytes()[:9000])
    assert "está a medias: hay 9,000 de" in told("verify", cut, code=2)
    with speaking("en"):
        refused = CliRunner().invoke(app, ["--language", "es", "restore", str(cut), str(tmp_path / "x.db")])
    assert "está a medias" in str(refused.exception)


def test_damage_is_the_same_in_every_language(book: Path, tmp_path: Path) -> None:
    """What is found goes by what is wrong and not by the words that say it."""
    copy = tmp_path / "copy.db"
    said("backup", book, copy)
    pages = bytearray(copy.read_bytes())
    pages[8192:40960] = bytes(32768)
    copy.write_bytes(pages)
    kinds = {}
    for language in ("en", "es"):
        with speaking(language):
            result = CliRunner().invoke(app, ["--language", language, "verify", str(copy), "--json"])
        assert result.exit_code == 2, result.output
        kinds[language] = [one["kind"] for one in json.loads(result.stdout)["findings"]]
    assert kinds["en"] == kinds["es"] != []


def test_what_a_column_is_taken_for_is_said_in_the_readers_language(tmp_path: Path) -> None:
    sheet = tmp_path / "counts.csv"
    sheet.write_text("Yard,Date,Hive,Frames of bees\nMill Lane,2026-05-03,1,7\n", encoding="utf-8")
    looked = ("import", str(tmp_path / "own.sqlite"), str(sheet), "--holds", "readings", "--look")
    with speaking("es"):
        told = CliRunner().invoke(app, ["--language", "es", *looked])
    words = " ".join(told.output.split())
    assert "«Frames of bees» es cuadros con abejas, por ejemplo «7»" in words
    assert "«Yard» es apiario" in words
