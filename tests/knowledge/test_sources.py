"""Nothing on the shelf is without a source, and no source stands there for nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

from breadline.knowledge.data import figure_files, shipped, sources
from breadline.knowledge.evidence import comparisons
from breadline.knowledge.figure import Read
from breadline.knowledge.ingredients import rows

FILES = (
    *figure_files(),
    "calendars.toml",
    "countries.toml",
    "cautions.toml",
    "common_but_wrong.toml",
    "feed_rules.toml",
    "amino_pattern.toml",
)
ROOT = Path(__file__).parents[2]
PROGRAM = ROOT / "src" / "breadline"


def _fields(table: Any) -> Iterator[tuple[str, Any]]:
    for name, value in table.items():
        if isinstance(value, dict):
            yield from _fields(value)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for row in value:
                yield from _fields(row)
        else:
            yield name, value


def _cited() -> set[str]:
    keys: set[str] = set()
    for name in FILES:
        for field, value in _fields(shipped(name)):
            if field in ("source", "first_pollen_source", "critique_source"):
                keys.add(value)
            if field == "sources":
                keys.update(value)
    keys |= {row.source for row in comparisons()}
    for row in rows():
        keys.update(key for key in (row["source"], row["bulk_source"]) if key)
    return keys


def test_every_source_named_exists():
    assert _cited() - set(sources()) == set()


def test_every_way_of_reading_is_one_of_four():
    read = {v for name in FILES for field, v in _fields(shipped(name)) if field.endswith("read")}
    assert read <= set(get_args(Read))


def test_no_source_stands_for_nothing():
    orphans = {
        key
        for key, entry in shipped("sources.toml").items()
        if key not in _cited() and "named_in" not in entry
    }
    assert orphans == set()


def test_a_source_that_only_notes_or_advice_name_is_really_named():
    notes = " ".join(
        str(value) for name in FILES for field, value in _fields(shipped(name)) if field == "note"
    )
    code = " ".join(path.read_text("utf-8") for path in PROGRAM.rglob("*.py"))
    for key, entry in shipped("sources.toml").items():
        if "named_in" in entry:
            page = ROOT / entry["named_in"]
            where = code if entry["named_in"] == "the advice" else notes
            if page.suffix == ".md":
                where = page.read_text("utf-8")
            assert re.search(rf"\b{key}\b", where), f"{key} is named nowhere"


def test_sources_in_square_brackets_of_notes_exist():
    for name in FILES:
        for field, value in _fields(shipped(name)):
            if field == "note":
                for key in re.findall(r"\[([a-z_]+\d*)", value):
                    assert key in sources() or key == "quoted", f"{name}: [{key}]"


def test_a_bloom_date_from_memory_never_names_a_paper_as_read():
    from_memory = {"north_calendar", "south_calendar"}
    for calendar in shipped("calendars.toml").values():
        for window in calendar["windows"]:
            assert (window["read"] == "memory") == (window["source"] in from_memory), window
