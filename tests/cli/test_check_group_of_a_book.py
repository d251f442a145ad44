"""A check group drawn, locked and graded by commands from a book, which knows of it. All invented."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta

import pytest
from fastapi.testclient import TestClient

from breadline.errors import RecordError, TrialError
from breadline.jobs import rounds_paper
from breadline.jobs.book import Book, key_of
from breadline.jobs.check_group_ends import ends_from_text
from breadline.jobs.check_group_file import read_trial
from breadline.jobs.check_group_said import retold
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.field_paper import FieldPaper
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_paper import Printing
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yard_file import read_yard
from breadline.jobs.yard_text import yard_to_toml
from breadline.language import speaking
from breadline.need.words import day_and_year
from breadline.records import stocks
from breadline.records.engine import open_book, writing
from breadline.sheets.truck_sheet import truck_sheet_data
from breadline.trial.colonies import CHECK, Became
from breadline.web.app import create_app
from cli.test_check_group import run
from cli.typed import breadline
from jobs.test_check_hives import ALL_ALIKE, chosen, printed
from web.conftest import HERE
from web.test_evidence_page import plain

TODAY = date.today()
GRADED = TODAY + timedelta(90)
YARD = replace(read_yard(FIRST_YARD / "yard.toml"), name="Named", colonies=12)
WISHES = ["--check", "4", "--break-even", "0.9", "--margin", "0.5", "--grading", GRADED.isoformat(),
          "--rescue-below", "3", "--seed", "7"]  # fmt: skip
ROUND = replace(ALL_ALIKE, on=TODAY + timedelta(2))


@pytest.fixture
def book(tmp_path):
    """A yard of twelve hives whose plan has one round for all of them, two days from now."""
    made = FieldPaper(tmp_path / "own.sqlite", TODAY)
    key = made.add_yard(replace(YARD, today=TODAY))
    made.place_hives(key, [(f"{n}", "") for n in range(1, 13)])
    chosen(made, ROUND)
    return made


@pytest.fixture
def drawn(book, tmp_path):
    """The file of a draw from it."""
    run("draw", book.path, "--out", tmp_path / "cg.json", *WISHES)
    return tmp_path / "cg.json"


def fed_by_the_truck_sheet(book):
    (load,) = rounds_paper.papers([printed(book, TODAY)], Printing(TODAY)).loads
    return load.visits[0].fed, truck_sheet_data(load, "us-letter")["yards"][0]["borders"]


def test_after_draw_and_lock_the_sheets_leave_out_its_hives_and_dry_feed_is_refused(book, drawn, tmp_path):
    assert fed_by_the_truck_sheet(book)[0] == 12, "a draw keeps nobody back before its lock"
    run("lock", drawn, "--book", book.path)
    trial = read_trial(drawn)
    check = [one for one in trial.design.started if one.arm == CHECK]
    fed, said = fed_by_the_truck_sheet(book)
    assert (len(check), fed) == (4, 8)
    assert said.startswith("Give nothing: check hives " + ", ".join(one.tag for one in check))
    yard = tmp_path / "yard.toml"
    yard.write_text(yard_to_toml(replace(YARD, today=TODAY)), encoding="utf-8")
    dry = ("rounds", "dry-feed", str(yard), "--around", "100", "--book", str(book.path))
    refused = breadline(*dry)
    assert refused.returncode == 2
    assert "It would spoil the check group" in " ".join(refused.stderr.split())
    assert not RoundsBook(book.path, TODAY).barred()
    assert breadline(*dry, "--anyway").returncode == 0


def test_file_and_book_hold_one_trial_however_often_the_commands_are_given(book, drawn):
    def held():
        (kept,) = TrialsBook(book.path, TODAY).trials()
        return kept.trial

    assert held() == read_trial(drawn)
    with pytest.raises(TrialError, match="drawn already"):
        run("draw", book.path, "--out", drawn, *WISHES)
    run("draw", book.path, "--out", drawn.with_name("twice.json"), *WISHES)
    assert held() == read_trial(drawn), "the same lot gives the same draw, kept once"
    run("draw", book.path, "--out", drawn, *WISHES[:-1], "8", "--again")
    assert held() == read_trial(drawn)
    assert held().draws == 2
    with pytest.raises(TrialError, match="another draw took its place"):
        run("lock", drawn.with_name("twice.json"), "--book", book.path)
    run("lock", drawn, "--book", book.path)
    first = held()
    assert first.locked_at is not None
    assert first == read_trial(drawn)
    run("lock", drawn, "--book", book.path)
    assert held() == first == read_trial(drawn)


def test_without_its_book_a_lock_and_ends_are_refused_unless_the_file_alone_is_meant(book, drawn, tmp_path):
    with pytest.raises(TrialError, match=r"a book keeps this trial too.*--book BOOK.*--file-alone"):
        run("lock", drawn)
    assert read_trial(drawn).locked_at is None
    with pytest.raises(RecordError, match="there is no such book"):
        run("lock", drawn, "--book", tmp_path / "none.sqlite")
    run("lock", drawn, "--file-alone")
    assert fed_by_the_truck_sheet(book)[0] == 12
    ends = tmp_path / "ends.csv"
    ends.write_text("hive,status,frames\n1,dead,\n", "utf-8")
    with pytest.raises(TrialError, match="none is named to keep its ends in"):
        run("sheets", drawn, "--out", tmp_path / "paper", "--ends", ends)
    run("lock", drawn, "--book", book.path)
    (kept,) = TrialsBook(book.path, TODAY).trials()
    assert kept.trial.locked_at == read_trial(drawn).locked_at, (
        "the book has it from when the file was locked"
    )
    assert fed_by_the_truck_sheet(book)[0] == 8


def test_ends_by_a_command_are_in_the_book_and_those_of_the_book_come_into_the_file(book, drawn, tmp_path):
    run("lock", drawn, "--book", book.path)
    ends, out = tmp_path / "ends.csv", tmp_path / "paper"
    only = ("--out", out, "--only", "protocol", "--book", book.path)
    ends.write_text("hive,status,frames\n1,dead,\n2,graded,6.5\n", "utf-8")
    assert len(json.loads(run("sheets", drawn, *only, "--ends", ends, "--json"))["without_end"]) == 10
    run("sheets", drawn, *only, "--ends", ends)
    there = TrialsBook(book.path, TODAY)
    (kept,) = there.trials()
    assert len(kept.trial.ended) == 2
    ends.write_text("hive,status,frames\n1,sold,\n", "utf-8")
    with pytest.raises(TrialError, match="has another end kept already"):
        run("sheets", drawn, *only, "--ends", ends)
    run("sheets", drawn, *only, "--ends", ends, "--because", "it was next to it")
    left = there.trials()[0].trial.without_end[0]
    there.keep_ends(kept.key, [replace(kept.trial.ended[0], tag=left.tag)])
    run("sheets", drawn, *only)
    assert {one.tag for one in read_trial(drawn).ended} == {one.tag for one in there.trials()[0].trial.ended}
    assert [one.became for one in read_trial(drawn).ended].count(Became.SOLD) == 1


def test_a_draw_from_a_table_is_kept_in_the_book_that_is_named(book, tmp_path):
    table, out = tmp_path / "hives.csv", tmp_path / "t.json"
    table.write_text("hive,yard\n" + "".join(f"{n},Named\n" for n in range(1, 13)), "utf-8")
    run("draw", table, "--out", out, *WISHES)
    assert TrialsBook(book.path, TODAY).trials() == []
    run("lock", out)
    run("lock", out, "--book", book.path)
    assert fed_by_the_truck_sheet(book)[0] == 8
    run("draw", table, "--out", tmp_path / "b.json", *WISHES, "--name", "Second", "--book", book.path)
    assert [kept.trial.name for kept in TrialsBook(book.path, TODAY).trials()] == ["Check group", "Second"]
    table.write_text("hive,yard\n" + "".join(f"{n},Elsewhere\n" for n in range(1, 13)), "utf-8")
    run("draw", table, "--out", tmp_path / "e.json", *WISHES)
    with pytest.raises(TrialError, match="none of the yards of this trial"):
        run("lock", tmp_path / "e.json", "--book", book.path)


def test_a_book_in_which_dry_feed_stands_takes_in_no_draw_near_it(book, tmp_path):
    table, out = tmp_path / "hives.csv", tmp_path / "t.json"
    table.write_text("hive,yard\n" + "".join(f"{n},Named\n" for n in range(1, 13)), "utf-8")
    run("draw", table, "--out", out, *WISHES)
    stood = stocks.Stood(TODAY, YARD.place.latitude, YARD.place.longitude, 3.2, 8.0, None, 24)
    with writing(open_book(book.path)) as session:
        stocks.keep_dry_feed(session, key_of(book.yard_named("Named")), stood)
    with pytest.raises(TrialError, match=r"(?i)dry feed"):
        run("lock", out, "--book", book.path)


def test_the_file_from_the_page_names_the_draw_that_its_book_keeps(book, drawn):
    there = TrialsBook(book.path, TODAY)
    (kept,) = there.trials()
    page = TestClient(create_app(book.path, lambda p: Book(p, TODAY)), base_url=HERE)
    drawn.write_bytes(page.get(f"/check-group/{kept.key}/file").content)
    run("lock", drawn, "--book", book.path)
    assert there.trial(kept.key).trial == read_trial(drawn)
    assert read_trial(drawn).kept_as == kept.key


def test_a_verdict_takes_the_ends_that_the_book_has_of_the_trial_and_says_so(book, drawn, tmp_path):
    run("lock", drawn, "--book", book.path)
    trial = read_trial(drawn)
    tags = [one.tag for one in trial.design.started]
    ask = ("verdict", str(drawn), "--cost", "9", "--price", "10", "--as-of", GRADED.isoformat())
    alone = breadline(*ask)
    assert alone.returncode == 2
    assert "12 colonies have no end in it. Expected --book BOOK" in alone.stderr
    said = "tag,frames,graded on\n" + "".join(f"{tag},{6 + n % 4},{GRADED}\n" for n, tag in enumerate(tags))
    kept = TrialsBook(book.path, GRADED)
    kept.keep_ends(trial.kept_as, ends_from_text(said, "ends.csv", trial.design))
    answer = breadline(*ask, "--book", str(book.path))
    assert answer.returncode == 0, answer.stderr
    assert "12 ends are taken from the book; the file does not have them." in plain(answer.stdout)
    # the file's own end of one colony is another, and one is known to it alone
    of_file = tmp_path / "ends.csv"
    of_file.write_text(f"tag,frames\n{tags[0]},1.5\n{tags[1]},{6 + 1}\n", encoding="utf-8")
    both = json.loads(breadline(*ask, "--book", str(book.path), "--ends", str(of_file), "--json").stdout)
    told = json.loads(breadline(*ask, "--book", str(book.path), "--json").stdout)
    assert both["here"] == told["here"], "the book's page answers by the book's ends"
    assert f"Of {tags[0]} the book has another end than the file; the book’s counts." in both["remarks"]
    assert "10 ends are taken from the book; the file does not have them." in both["remarks"]


def test_where_the_book_has_another_end_than_the_file_the_sheets_say_so_before_the_file_is_written(
    book, drawn, tmp_path
):
    run("lock", drawn, "--book", book.path)
    trial = read_trial(drawn)
    one, two = (started.tag for started in trial.design.started[:2])
    for of, ends in (("book", f"{one},7\n{two},6\n"), ("file", f"{one},1.5\n{two},6\n")):
        table = tmp_path / f"{of}.csv"
        table.write_text(f"tag,frames\n{ends}", encoding="utf-8")
        where = ("--book", book.path) if of == "book" else ("--file-alone",)
        run("sheets", drawn, "--out", tmp_path / of, "--only", "tags", "--ends", table, *where)
    said = f"Of {one} the book has another end than the file; the book’s counts."
    told = run("sheets", drawn, "--out", tmp_path / "both", "--only", "tags", "--book", book.path)
    assert said in plain(told)
    (end,) = [end for end in read_trial(drawn).ended if end.tag == one]
    assert end.outcome == 7.0
    told = run("sheets", drawn, "--out", tmp_path / "both", "--only", "tags", "--book", book.path)
    assert "another end" not in told


def test_an_end_that_only_the_file_has_counts_and_the_command_that_keeps_it_is_named(book, drawn, tmp_path):
    run("lock", drawn, "--book", book.path)
    trial = read_trial(drawn)
    tags = [one.tag for one in trial.design.started]
    rows = [f"{tag},{6 + n % 4},{GRADED}\n" for n, tag in enumerate(tags)]
    head = "tag,frames,graded on\n"
    TrialsBook(book.path, GRADED).keep_ends(
        trial.kept_as, ends_from_text(head + "".join(rows[1:]), "e.csv", trial.design)
    )
    of_file = tmp_path / "ends.csv"
    of_file.write_text(head + rows[0], encoding="utf-8")
    asked = ("--cost", "9", "--price", "10", "--as-of", GRADED.isoformat(), "--ends", str(of_file))
    found = json.loads(breadline("verdict", str(drawn), *asked, "--book", str(book.path), "--json").stdout)
    assert sum(arm["started"] - arm["unknown"] for arm in found["arms"]) == 12
    (line,) = [one for one in found["remarks"] if "only the file has an end" in one]
    assert tags[0] in line
    assert "breadline check-group sheets FILE --book BOOK" in line


def test_a_lock_that_came_with_its_file_says_that_its_time_is_the_file_s_own_word(book, tmp_path):
    table, file = tmp_path / "hives.csv", tmp_path / "own.json"
    table.write_text("hive,yard\n" + "".join(f"{n},Named\n" for n in range(1, 13)), encoding="utf-8")
    run("draw", table, "--out", file, *WISHES)
    run("lock", file)
    told = json.loads(file.read_text("utf-8"))
    told["locked_at"] = f"{TODAY - timedelta(200)}T12:00:00+00:00"  # no seal covers it
    file.write_text(json.dumps(told), encoding="utf-8")
    taken = run("lock", file, "--book", book.path)
    said = (
        f"Locked on {day_and_year(TODAY - timedelta(200))} by the word of its file, which the book took in "
        f"on {day_and_year(TODAY)}: the seal covers what was settled, and not when."
    )
    assert said in plain(taken)
    (kept,) = TrialsBook(book.path).trials()
    assert kept.trial.said.count(said) == 1
    assert read_trial(file).said.count(said) == 1
    run("lock", file, "--book", book.path)
    assert read_trial(file).said.count(said) == 1, "once, however often it is typed"
    client = TestClient(create_app(book.path), base_url=HERE)
    assert said in plain(client.get(f"/check-group/{kept.key}").text)
    with speaking("es"):
        (spanish,) = [line for line in retold(kept.trial.said) if "sello" in line]
    assert spanish.startswith("Cerrado el ")


def test_a_lock_made_in_the_book_has_no_such_word(book, drawn):
    run("lock", drawn, "--book", book.path)
    assert not [line for line in read_trial(drawn).said if "by the word of its file" in line]
