"""Phones, certificates and phones' files at the terminal, in this process. All invented."""

from __future__ import annotations

import json
import socket
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fastapi import FastAPI

from breadline.cli import phones, serving, yards
from breadline.errors import RecordError
from breadline.jobs.field_book import FieldBook
from breadline.jobs.phones import HOST_KEY
from breadline.jobs.yard_file import read_yard
from breadline.records.ids import new_id

YARD = Path(__file__).parents[2] / "examples" / "first-yard" / "yard.toml"
TODAY = datetime.now(UTC).date()


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "own.sqlite"
    made = FieldBook(path, TODAY)
    made.place_hives(made.add_yard(read_yard(YARD)), [("A1", "")])
    return path


def test_another_address_is_refused_until_access_is_set_up(book: Path, tmp_path: Path) -> None:
    where = serving.Where(8417, "127.0.0.2")
    with pytest.raises(RecordError, match="no phone may send"):
        serving.serve(book, where, None, as_json=False)
    with pytest.raises(RecordError, match="is not there"):
        serving.serve(book, serving.Where(8417, None, tmp_path), None, as_json=False)
    phones.run(book, "Crew 1", None, False)
    serving._may_be_reached(book, where)
    with pytest.raises(RecordError, match="not known"):
        serving._may_be_reached(book, serving.Where(8417, "no such name"))


def test_a_new_book_is_begun_only_where_it_is_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[Path] = []
    monkeypatch.setattr(serving, "_open", lambda path, *_, **__: opened.append(path))
    where = serving.Where(8417)
    mistyped = tmp_path / "owm.sqlite"
    with pytest.raises(RecordError, match="--new"):
        serving.serve(mistyped, where, None, as_json=False)
    assert not mistyped.exists()
    serving.serve(mistyped, where, None, as_json=False, begin=True)
    assert FieldBook(mistyped, TODAY).yards() == []
    assert opened == [mistyped]


def test_a_code_is_said_once_and_a_phone_revoked(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    phones.run(book, "Crew 1", None, True)
    told = json.loads(capsys.readouterr().out)
    assert len(told["code"]) == 8
    phones.run(book, None, None, False)
    assert "offered a code, not paired yet" in capsys.readouterr().out
    phones.run(book, None, "Crew 1", False)
    assert "let in no longer" in capsys.readouterr().out


def test_a_file_of_a_phone_is_taken_in_once(
    book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    yard, now = FieldBook(book).yards_for_phones()["yards"][0]["id"], datetime.now(UTC).isoformat()
    record = {"id": str(new_id()), "work": "look", "yard": yard, "tag": "A1", "at": now, "seen": {}}
    told = {"shape": "breadline.field/1", "phone": "one", "now": now, "records": [record]}
    file = tmp_path / "visit.json"
    file.write_text(json.dumps(told), encoding="utf-8")
    assert phones.take(book, file, False) == 0
    assert "1 written down" in capsys.readouterr().out
    assert phones.take(book, file, False) == 0
    assert "1 were in the book already" in capsys.readouterr().out
    file.write_text(json.dumps(told | {"records": [record | {"tag": ""}]}), encoding="utf-8")
    assert phones.take(book, file, False) == 2
    with pytest.raises(RecordError, match="can't be read"):
        phones.take(book, tmp_path / "none.json", False)


def test_a_certificate_says_what_to_do_with_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    phones.certificate(tmp_path / "mine", ["192.168.1.20"], False, False)
    said = " ".join(capsys.readouterr().out.split())
    assert "the .key files stay here" in said
    assert "It can vouch for 192.168.1.20 only" in said


@pytest.mark.parametrize("on", ["127.0.0.1", "localhost", "0.0.0.0", "::1"])
def test_an_address_at_which_no_phone_finds_this_machine_is_refused(book: Path, on: str) -> None:
    phones.run(book, "Crew 1", None, False)
    with pytest.raises(RecordError, match="no address at which a phone") as told:
        serving._may_be_reached(book, serving.Where(8417, on))
    assert "leave --on out" in told.value.do


@pytest.mark.parametrize("at", ["127.0.0.1", "127.0.0.2"])
def test_a_port_that_another_program_uses_is_told_before_anything_is_opened(
    book: Path, at: str, capsys: pytest.CaptureFixture[str]
) -> None:
    phones.run(book, "Crew 1", None, False)
    capsys.readouterr()
    with socket.socket() as other:
        other.bind((at, 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(RecordError, match="another program uses it") as told:
            serving.serve(book, serving.Where(port, "127.0.0.2"), None, as_json=False)
    assert f"--port {port + 1}" in told.value.do
    assert "Open http" not in capsys.readouterr().out


def test_a_certificate_that_its_key_does_not_fit_is_told(book: Path, tmp_path: Path) -> None:
    phones.certificate(tmp_path / "one", ["192.168.1.20"], False, False)
    phones.certificate(tmp_path / "two", ["192.168.1.20"], False, False)
    (tmp_path / "two" / HOST_KEY).replace(tmp_path / "one" / HOST_KEY)
    with pytest.raises(RecordError, match="can't be used"):
        serving._door(FastAPI(), serving.Where(8417, "192.168.1.20", tmp_path / "one"))


def test_a_phone_is_given_an_address_that_a_browser_opens(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert serving.Where(8417, "2001:db8::5").for_phones == "http://[2001:db8::5]:8417/pair"
    phones.certificate(tmp_path / "mine", ["2001:db8::5"], False, False)
    assert "https://[2001:db8::5]:8417/pair" in "".join(capsys.readouterr().out.split())
    for mistyped in ("300.1.1.1", "192.168.1", "fe80::1%eth0"):
        with pytest.raises(RecordError, match="no name of a machine"):
            phones.certificate(tmp_path / "other", [mistyped], False, False)


def test_a_mistyped_name_begins_no_book(tmp_path: Path) -> None:
    none = tmp_path / "owm.sqlite"
    (tmp_path / "visit.json").write_text("{}", encoding="utf-8")
    for command in (
        lambda: phones.run(none, "Crew 1", None, False),
        lambda: phones.take(none, tmp_path / "visit.json", False),
        lambda: yards.run(none, yards.Adding(None, None), None, False),
    ):
        with pytest.raises(RecordError, match="there is no such book"):
            command()
    assert not none.exists()


def test_a_record_of_a_file_that_is_refused_says_of_which_hive_it_is(
    book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    yard, now = FieldBook(book).yards_for_phones()["yards"][0]["id"], datetime.now(UTC).isoformat()
    sound = {"id": str(new_id()), "work": "look", "yard": yard, "tag": "A1", "at": now, "seen": {}}
    bad = [
        sound | {"id": str(new_id()), "tag": "B7", "at": "yesterday"},
        sound | {"id": str(new_id()), "tag": "C\x1b[31m9", "at": "2031-01-01T10:00:00+00:00"},
        {"id": str(new_id())},
        sound | {"id": "1b4e28ba-2fa1-41d2-883f-0016d3cca427", "tag": "D2"},
    ]
    file = tmp_path / "visit.json"
    told = {"shape": "breadline.field/1", "phone": "one", "now": now, "records": [sound, *bad]}
    file.write_text(json.dumps(told), encoding="utf-8")
    assert phones.take(book, file, False) == 2
    said = capsys.readouterr().out
    assert "\x1b" not in said
    refused = " ".join(said.split()).partition("could not be taken. ")[2].split(" - ")
    assert [one.partition(":")[0].removeprefix("- ") for one in refused] == [
        "hive B7", "hive C[31m9", "record 4 of the file", "hive D2",
    ]  # fmt: skip
