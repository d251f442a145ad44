"""All of a book taken out: equal when read back, by the standards' own rules, and never a formula."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
import zipfile
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path
from xml.etree import ElementTree

import pytest
from jsonschema import Draft202012Validator

from breadline.errors import RecordError
from breadline.jobs.export import FORMULA, guarded, taken_out, unguarded
from breadline.jobs.export_json import book_from_json
from breadline.jobs.export_schema import schema_text
from breadline.jobs.safe_copy import backed_up
from breadline.jobs.verdict_cells import table_of
from breadline.jobs.verified import verified
from breadline.need.yard import Count, Place, Yard
from breadline.records import readings, weather_kept, yards
from breadline.records.engine import open_book, writing
from breadline.records.plain_rows import tables_kept
from breadline.records.units import UNITS_OF
from house import tree
from tests.records.conftest import MILL_LANE, fill

NOW = datetime(2026, 3, 10, 12, tzinfo=UTC)
NASTY = '=HYPERLINK("http://elsewhere","x")'
SCHEMA = tree.ROOT / "docs" / "schema" / "book-1.schema.json"
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def yard(name: str, longitude: float | None) -> Yard:
    return Yard(name, Place(-33.25, longitude), 12, date(2026, 3, 10), Count(date(2026, 3, 9), 1.5, "frames"))


@pytest.fixture(scope="module")
def book(tmp_path_factory) -> Path:
    """An invented book with a correction, a withdrawal, a yard without longitude and texts like formulas."""
    path = tmp_path_factory.mktemp("export") / "book.db"
    engine = open_book(path)
    with writing(engine) as session:
        first = yards.add_yard(session, yard("Mill Lane", 151.5))
        yards.add_yard(session, yard("Ärztehaus, “Nord”", None))
        hive = readings.add_colony(session, first, NASTY)
        visit = readings.add_visit(session, first, readings.Look(date(2026, 3, 11), note='a "b", c\r\nd'))
        one = readings.add(session, visit.id, readings.Seen("frames_of_bees", 0.1 + 0.2), hive.id)
        readings.correct(session, one.id, readings.Seen("frames_of_bees", 7.5), "-misread")
        two = readings.add(session, visit.id, readings.Seen("note", note="@cmd\x01"))
        readings.withdraw(session, two.id, "\tnever said")
        weather_kept.keep(session, weather_kept.Came("w.csv", bytes(range(256)), source="+me"), first)
    engine.dispose()
    return path


@pytest.fixture(scope="module")
def out(book: Path, tmp_path_factory) -> Path:
    """The folder with everything taken out."""
    folder = tmp_path_factory.mktemp("out")
    taken_out(book, folder / "csv", "csv", NOW)
    for form in ("xlsx", "json", "geojson"):
        taken_out(book, folder / f"all.{form}", form, NOW)
    return folder


def rows(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(path)) as raw:
        names = [n for (n,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: sorted(raw.execute(f"SELECT * FROM {name}"), key=repr) for name in names}


def test_a_book_made_from_the_json_equals_the_book_row_by_row(book: Path, out: Path, tmp_path: Path) -> None:
    new = tmp_path / "new.db"
    whole = book_from_json(out / "all.json", new)
    assert rows(new) == rows(book)
    assert whole.records == sum(len(each) for name, each in rows(book).items() if name != "alembic_version")
    assert verified(new).findings == ()
    with pytest.raises(RecordError, match="there is a book already"):
        book_from_json(out / "all.json", new)


def test_the_json_fits_its_published_schema(out: Path) -> None:
    published = json.loads(SCHEMA.read_text("utf-8"))
    Draft202012Validator.check_schema(published)
    told = json.loads((out / "all.json").read_text("utf-8"))
    Draft202012Validator(published).validate(told)
    for spoilt in (told | {"tables": {}}, told | {"shape": "other/1"}, told | {"more": 1}):
        assert not Draft202012Validator(published).is_valid(spoilt)


def test_the_published_schema_is_that_of_the_tables() -> None:
    assert SCHEMA.read_text("utf-8") == schema_text(), (
        "python -m breadline.jobs.export_schema writes it again"
    )


CHANGED = {
    "a number": lambda told: told["tables"]["yard_fact"][0].update(colonies=13),
    "a row less": lambda told: told["tables"]["reading"].pop(0),
    "text for a number": lambda told: told["tables"]["yard_fact"][0].update(colonies="12"),
    "a day that is none": lambda told: told["tables"]["visit"][0].update(on="2026-02-31"),
    "a table of its own": lambda told: told["tables"].update(songs=[]),
    "a newer version": lambda told: told.update(database_shape="9999"),
    "another shape": lambda told: told.update(shape="breadline.season/1"),
    "a column of its own": lambda told: told["tables"]["yard"][0].update(songs=1),
}


@pytest.mark.parametrize("what", CHANGED)
def test_an_export_that_was_changed_is_refused_and_makes_no_book(
    out: Path, tmp_path: Path, what: str
) -> None:
    told = json.loads((out / "all.json").read_text("utf-8"))
    CHANGED[what](told)
    changed, new = tmp_path / "changed.json", tmp_path / "new.db"
    changed.write_text(json.dumps(told), "utf-8")
    with pytest.raises(RecordError):
        book_from_json(changed, new)
    assert not new.exists()


def test_an_export_cut_short_is_refused(out: Path, tmp_path: Path) -> None:
    half = tmp_path / "half.json"
    half.write_text((out / "all.json").read_text("utf-8")[:2000], "utf-8")
    with pytest.raises(RecordError, match="no whole JSON document"):
        book_from_json(half, tmp_path / "new.db")


def read_csv(path: Path) -> list[dict[str, str]]:
    text = path.read_bytes().decode("utf-8")
    assert "\n" not in text.replace("\r\n", "")  # RFC 4180, section 2, rule 1
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def test_csv_marks_corrected_and_withdrawn_and_has_units_and_names(out: Path) -> None:
    found = [
        row for row in read_csv(out / "csv" / "reading.csv") if row["kind"] in ("frames_of_bees", "note")
    ]
    assert [(r["kind"], r["value [see unit]"], r["stands"]) for r in found] == [
        ("frames_of_bees", "0.30000000000000004", "corrected"), ("frames_of_bees", "7.5", "holds"),
        ("note", "", "corrected"), ("note", "", "withdrawn"),
    ]  # fmt: skip
    assert {row["yard"] for row in found} == {"Mill Lane"}
    assert found[0]["day of the visit"] == "2026-03-11"
    facts = read_csv(out / "csv" / "yard_fact.csv")
    assert [(f["name"], f["latitude [°]"], f["longitude [°]"]) for f in facts] == [
        ("Mill Lane", "-33.25", "151.5"), ("Ärztehaus, “Nord”", "-33.25", ""),
    ]  # fmt: skip
    (visit,) = [v for v in read_csv(out / "csv" / "visit.csv") if v["note"]]
    assert visit["note"] == 'a "b", c\r\nd'


def test_the_yards_name_stands_beside_every_key_that_leads_to_one(tmp_path: Path) -> None:
    """Every table of a book with something of each kind; what stands there is looked up by SQL alone."""
    path, folder = tmp_path / "book.db", tmp_path / "csv"
    engine = open_book(path)
    fill(engine, MILL_LANE)
    engine.dispose()
    taken_out(path, folder, "csv", NOW)
    with closing(sqlite3.connect(path)) as raw:
        names = dict(raw.execute("SELECT yard_id, name FROM yard_fact"))
        ways = {  # from a key to the key of its yard
            "yard_id": "SELECT id, id FROM yard", "visit_id": "SELECT id, yard_id FROM visit",
            "colony_id": "SELECT id, yard_id FROM colony", "plan_id": "SELECT id, yard_id FROM plan",
            "entry_id": "SELECT id, yard_id FROM field_entry",
        }  # fmt: skip
        yard_of = {column: dict(raw.execute(sql)) for column, sql in ways.items()}
    held = set()
    for file in folder.glob("*.csv"):
        for row in csv.DictReader(io.StringIO(file.read_text("utf-8"), newline="")):
            for column in ways.keys() & row.keys():
                if key := row[column].replace("-", ""):
                    assert row["yard"] == names[yard_of[column][key]], (file.name, column)
                    held.add((file.stem, column))
    assert {("round", "plan_id"), ("colony_fact", "colony_id"), ("field_reading", "entry_id"),
            ("reading", "colony_id"), ("visit", "yard_id")} <= held  # fmt: skip
    assert [row["yard"] for row in read_csv(folder / "yard.csv")] == list(names.values())
    (placed,) = read_csv(folder / "colony_fact.csv")
    assert placed["colony"] == "A1"


def test_the_weather_file_comes_out_byte_for_byte(out: Path) -> None:
    (row,) = read_csv(out / "csv" / "weather.csv")
    assert (out / "csv" / row["file"]).read_bytes() == bytes(range(256))


def test_no_text_in_the_csv_begins_a_formula(out: Path) -> None:
    for path in (out / "csv").glob("*.csv"):
        for row in read_csv(path):
            for head, cell in row.items():
                number = cell.lstrip("-").replace(".", "").isdigit()
                assert number or not cell.startswith(FORMULA), (path.name, head, cell)
    (named,) = read_csv(out / "csv" / "colony.csv")
    assert named["name"] == "'" + NASTY
    for text in (NASTY, "'quoted", "''=x", "'=x", "-1", "+1", "@x", "\tx", "\rx", "plain", "", "'"):
        assert unguarded(str(guarded(text))) == text
    assert guarded(-1.5) == -1.5
    assert guarded("-122.0700") == "-122.0700"
    assert guarded("-1+cmd") == "'-1+cmd"


def test_the_workbook_holds_texts_and_no_formula(out: Path) -> None:
    with zipfile.ZipFile(out / "all.xlsx") as packed:
        assert packed.testzip() is None
        book = ElementTree.fromstring(packed.read("xl/workbook.xml"))
        names = [one.get("name") for one in book.iter(f"{MAIN}sheet")]
        parts = {name: packed.read(f"xl/worksheets/sheet{n}.xml") for n, name in enumerate(names, 1)}
    for name, part in parts.items():
        assert not list(ElementTree.fromstring(part).iter(f"{MAIN}f")), name
    texts = [t.text for t in ElementTree.fromstring(parts["colony"]).iter(f"{MAIN}t")]
    assert NASTY in texts
    notes = [t.text for t in ElementTree.fromstring(parts["reading"]).iter(f"{MAIN}t")]
    assert "@cmd_x0001_" in notes  # ECMA-376, part 1, 22.9.2.19: a letter that XML cannot hold
    first = table_of("all.xlsx", (out / "all.xlsx").read_bytes())  # the reader of verdicts, apart from this
    assert first.heads[0] == "stands" or "id" in first.heads


def test_yards_are_geojson(out: Path) -> None:
    told = json.loads((out / "all.geojson").read_text("utf-8"))
    assert set(told) == {"type", "features"}
    assert told["type"] == "FeatureCollection"
    mill, other = told["features"]
    assert all(set(one) == {"type", "id", "geometry", "properties"} for one in (mill, other))
    assert mill["geometry"] == {"type": "Point", "coordinates": [151.5, -33.25]}  # RFC 7946, 3.1.1
    assert other["geometry"] is None  # RFC 7946, 3.2: an unlocated feature
    assert other["properties"] == {
        "name": "Ärztehaus, “Nord”", "colonies": 12, "kept_for": mill["properties"]["kept_for"],
        "latitude": -33.25,
    }  # fmt: skip


def test_nothing_is_written_over_and_what_fails_leaves_nothing(book: Path, out: Path, tmp_path: Path) -> None:
    for form, name in (("csv", "csv"), ("json", "all.json")):
        with pytest.raises(RecordError, match="of this name already"):
            taken_out(book, out / name, form, NOW)
    with pytest.raises(RecordError, match="no such book"):
        taken_out(tmp_path / "nowhere.db", tmp_path / "x.json", "json", NOW)
    packed = tmp_path / "all.zip"
    taken_out(book, packed, "csv", NOW)
    with zipfile.ZipFile(packed) as files:
        assert {n for n in files.namelist() if "/" not in n} == {p.name for p in (out / "csv").glob("*.csv")}
    assert [p.name for p in tmp_path.iterdir()] == ["all.zip"]


def test_every_quantity_has_its_unit() -> None:
    """Every column with a fraction says in what, and no unit stands for a column that is not there."""
    columns = {t.name: {c.name: str(c.type) for c in t.columns} for t in tables_kept()}
    assert all(set(units) <= set(columns[table]) for table, units in UNITS_OF.items())
    bare = {
        f"{table}.{name}" for table, each in columns.items() for name, kind in each.items()
        if kind.startswith("DOUBLE") and name not in UNITS_OF.get(table, {})
    }  # fmt: skip
    assert not bare


def test_a_book_with_a_copy_has_as_many_records_in_every_count(book: Path, tmp_path: Path) -> None:
    """What a book notes of its own copies is no record of the yards."""
    copied = backed_up(book, tmp_path / "copy.db", date(2026, 5, 2)).contents.records
    for form in ("json", "csv", "xlsx"):
        assert taken_out(book, tmp_path / f"all.{form}", form, NOW).records == copied
    told = json.loads((tmp_path / "all.json").read_text("utf-8"))
    assert told["records"] == sum(map(len, told["tables"].values())) > copied
    assert book_from_json(tmp_path / "all.json", tmp_path / "again.db").records == copied
