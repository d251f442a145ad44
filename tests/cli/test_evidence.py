"""``breadline evidence``: published, several growers' and one's own trials. All invented."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest
from typer.testing import CliRunner

from breadline.cli.app import app
from breadline.errors import RecordError, TrialError
from breadline.jobs.belief_book import BeliefBook
from breadline.trial.design import Allocation
from house import tree
from jobs.travelled import finished, text


@pytest.fixture
def folder(tmp_path):
    BeliefBook(tmp_path / "book.sqlite", date(2026, 11, 20)).open_operation("Sorrel Bend Bees (invented)")
    for n in (1, 2, 3):
        (tmp_path / f"{n}.json").write_text(text(finished(n), name=f"Trial {n}"), "utf-8")
    made = finished(4)
    by_hand = replace(made, design=replace(made.design, allocation=Allocation.CHOSEN))
    (tmp_path / "hand.json").write_text(text(by_hand, name="By hand"), "utf-8")
    return tmp_path


def ran(*words: object):
    return CliRunner().invoke(app, ["evidence", *map(str, words)])


def told(*words: object) -> dict:
    result = ran(*words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_without_a_book_it_tells_of_published_trials_and_with_an_empty_one_that_nothing_was_learnt(folder):
    assert "23 of 28 comparisons found more" in ran().stdout.replace("\n", " ")
    first = ran("--book", folder / "book.sqlite").stdout
    assert first.startswith("No check group of yours has taught anything yet")
    assert told()["own"] is None
    assert told("--book", folder / "book.sqlite")["own"]["trials"] == []


def test_a_trial_is_learnt_once_told_with_before_and_after_and_taken_back(folder):
    book = folder / "book.sqlite"
    learn = ("--book", book, "--learn")
    first = ran(folder / "1.json", *learn).stdout.replace("\n", " ")
    assert first.startswith("In your own check group fed colonies that lived had ")
    assert "moved from 25 % more bees (10 % fewer to 73 % more) to " in first
    again = told(folder / "1.json", *learn)["own"]
    (situation,) = again["situations"]
    assert (situation["situation"], situation["seasons"], len(again["trials"])) == ("dearth", 1, 1)
    result = ran("--book", book, "--unlearn", "Trial 1")
    assert isinstance(result.exception, RecordError)
    assert "no reason" in str(result.exception)
    back = told("--book", book, "--unlearn", "Trial 1", "--why", "the feed lay in the open")["own"]
    assert back["trials"] == []


def test_an_unfair_trial_teaches_nothing(folder):
    result = ran(folder / "hand.json", "--book", folder / "book.sqlite", "--learn")
    assert isinstance(result.exception, TrialError)
    assert "nothing can be learnt: not a fair comparison" in str(result.exception)
    assert "a fair comparison of protein feed with none" in str(result.exception), "half against full is fair"
    assert told("--book", folder / "book.sqlite")["own"]["trials"] == []


def test_trials_are_put_together_with_their_picture(folder):
    files = [folder / f"{name}.json" for name in (1, 2, 3, "hand")]
    chart = folder / "all.svg"
    pooled = told(*files, "--chart", chart)
    (group,) = pooled["groups"]
    assert group["average"]["reml"]["trials"] == 3
    assert [one["name"] for one in pooled["left_out"]] == ["By hand"]
    assert "Together" in chart.read_text("utf-8")
    assert ran(*files).stdout.startswith("3 fair trials of 4; 1 trial left out, with the reason.")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["{f}/1.json", "--learn"], "is not given"),
        (["--book", "{f}/none.sqlite"], "there is no such book"),
        (["--book", "{f}/book.sqlite", "--learn"], "names no trial"),
        (["{f}/1.json", "--book", "{f}/book.sqlite", "--learn", "--situation", "flow"], "is not known"),
        (["{f}/1.json", "--book", "{f}/book.sqlite", "--learn", "--situation", "pollen"], "you say pollen"),
        (["--book", "{f}/book.sqlite", "--unlearn", "x", "--why", "y"], "names no trial of the book"),
        (["--chart", "{f}/a.svg"], "no trials to draw"),
    ],
)
def test_what_cannot_be_done_is_said(folder, words, said):
    result = ran(*(word.format(f=folder) for word in words))
    assert isinstance(result.exception, (RecordError, TrialError)), result.output
    assert said in str(result.exception)


def test_a_spreadsheet_gets_its_second_sentence_and_its_open_file(folder):
    sheet, out = tree.ROOT / "examples" / "first-verdict" / "colonies.csv", folder / "own.json"
    said = ["--cost", "16", "--price", "18", "--drawn", "lot", "--draws", "199", "--situation", "dearth"]
    words = ["verdict", str(sheet), *said, "--travel", str(out), "--season", "autumn 2026"]
    result = CliRunner().invoke(app, [*words, "--book", str(folder / "book.sqlite")])
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines()[1].startswith("Together with what was known before")
    assert "Tarweed" not in out.read_text("utf-8")
    assert (
        told(out, "--book", folder / "book.sqlite", "--learn")["own"]["trials"][0]["season"] == "autumn 2026"
    )
    without = CliRunner().invoke(app, [*words[:-2]])
    assert isinstance(without.exception, TrialError)
    assert "--season" in str(without.exception)
