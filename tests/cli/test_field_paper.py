"""Tally sheets and tags from the terminal."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from breadline.cli.app import app
from breadline.errors import RecordError
from breadline.jobs.field_book import FieldBook
from breadline.jobs.yard_file import read_yard

FIRST_YARD = Path(__file__).parents[2] / "examples" / "first-yard" / "yard.toml"


@pytest.fixture
def book(tmp_path) -> tuple[str, str]:
    """A book of one yard with three hives, and the yard's name."""
    path = tmp_path / "book.sqlite"
    yard = read_yard(FIRST_YARD)
    there = FieldBook(path)
    there.place_hives(there.add_yard(yard), [("A1", ""), ("A2", ""), ("A3", "")])
    return str(path), yard.name


@pytest.mark.parametrize(
    ("command", "shape"),
    [(["tally", "--work", "look", "--paper", "letter"], "breadline.tally/1"),
     (["tags", "--labels", "letter_30", "--cut-lines"], "breadline.tags/1")],
    ids=["tally", "tags"],
)  # fmt: skip
def test_the_pdf_is_written_and_the_document_says_where(book, tmp_path, command, shape):
    path, yard = book
    out = tmp_path / "paper.pdf"
    done = CliRunner().invoke(
        app, [command[0], path, yard.upper(), *command[1:], "-o", str(out), "--json"], catch_exceptions=False
    )
    told = json.loads(done.stdout)
    assert out.read_bytes().startswith(b"%PDF")
    assert (told["shape"], told["file"], told["hives"]) == (shape, str(out), 3)


@pytest.mark.parametrize(
    ("typed", "what"),
    [(["tally", "{book}", "Nowhere"], "not in the book"), (["tally", "{none}", "A"], "no book"),
     (["tags", "{book}", "{yard}", "--labels", "a9"], "letter_30"),
     (["tally", "{book}", "{yard}", "--paper", "a3"], "a5, letter, a4")],
)  # fmt: skip
def test_what_is_mistyped_is_said_and_nothing_is_written(book, tmp_path, typed, what):
    out = tmp_path / "paper.pdf"
    words = [one.format(book=book[0], yard=book[1], none=tmp_path / "none.sqlite") for one in typed]
    with pytest.raises(RecordError, match=what):
        CliRunner().invoke(app, [*words, "-o", str(out)], catch_exceptions=False, standalone_mode=False)
    assert not out.exists()
    assert not (tmp_path / "none.sqlite").exists()
