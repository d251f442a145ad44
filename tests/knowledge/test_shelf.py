"""The shelf hands out figures, remembers which, and keeps a user's edits apart."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import FigureError
from breadline.knowledge.edits import edits_from_toml, edits_to_toml
from breadline.knowledge.shelf import Edit, load

KEYS = tuple(load())
EDIT = Edit(110.0, 120.0, 140.0, 'our own weighing, "2025"', date(2026, 2, 20))


def test_an_unknown_key_names_the_nearest():
    with pytest.raises(FigureError, match=r"season\.Lmax"):
        load()["season.lmax"]
    with pytest.raises(FigureError, match="no figure"):
        load()["zzzz"]


def test_the_reader_remembers_what_it_handed_out():
    reader = load().reader()
    assert reader.used == ()
    reader.typical("season.v")
    reader.span("season.Lmax")
    reader.draws("season.c0", np.random.default_rng(1), 3)
    assert reader.used == ("season.Lmax", "season.c0", "season.v")


def test_an_unknown_key_is_not_remembered():
    reader = load().reader()
    with pytest.raises(FigureError):
        reader.typical("season.nothing")
    assert reader.used == ()


def test_an_edit_is_used_marked_and_undone():
    shipped = load()["season.cL"]
    edited = load({"season.cL": EDIT})
    figure = edited["season.cL"]
    assert figure.edited
    assert (figure.span.low, figure.span.typical, figure.span.high) == (110.0, 120.0, 140.0)
    assert figure.shipped == shipped.span
    assert figure.read_words == "your own figure"
    assert [f.key for f in edited.figures() if f.edited] == ["season.cL"]
    assert edited.reader().typical("season.cL") == 120.0
    assert edited.with_edits({})["season.cL"] == shipped


@pytest.mark.parametrize(
    ("low", "typical", "high"), [(-1.0, 120.0, 140.0), (110.0, 120.0, 99999.0), (130.0, 120.0, 140.0)]
)
def test_an_impossible_edit_is_refused_by_name(low: float, typical: float, high: float):
    with pytest.raises(FigureError, match=r"season\.cL"):
        load({"season.cL": Edit(low, typical, high, "typo", date(2026, 2, 20))})


def test_an_edit_of_an_unknown_figure_is_refused():
    with pytest.raises(FigureError, match="no figure"):
        load({"season.cX": EDIT})


def test_edits_survive_the_file(tmp_path: Path):
    edits = {"season.cL": EDIT, "season.v": Edit(4000.0, 4000.0, 4000.0, "Größe", date(2026, 3, 1))}
    path = tmp_path / "figures.toml"
    path.write_text(edits_to_toml(edits), "utf-8")
    assert edits_from_toml(path) == edits


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ('["season.cL"]\nlow = 1.0\nhigh = 2.0\nwhy = "x"\non = 2026-01-01', "typical is None"),
        ('["season.cL"]\ntypical = "8,5"\nwhy = "x"\non = 2026-01-01', "8,5"),
        ('["season.cL"]\ntypical = 120\non = 2026-01-01', "why is missing"),
        ('["season.cL"]\ntypical = 120\nwhy = "x"', "on is None"),
        ("season.cL = 3", "not a table|typical"),
        ("not toml at all", "not TOML"),
        ('["season.cL"]\ntypical = 8,5\nwhy = "x"', r"Write decimals with a point: 8\.5"),
    ],
)
def test_a_faulty_file_of_edits_says_what_is_wrong(tmp_path: Path, text: str, complaint: str):
    path = tmp_path / "figures.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(FigureError, match=complaint):
        edits_from_toml(path)


@pytest.mark.parametrize("head", ['["season.cL"]', "[season.cL]", '\ufeff["season.cL"]'])
def test_a_table_without_quotes_and_a_mark_of_byte_order_are_read(tmp_path: Path, head: str):
    path = tmp_path / "figures.toml"
    path.write_text(f'{head}\ntypical = 120\nwhy = "x"\non = 2026-01-01', "utf-8")
    assert edits_from_toml(path) == {"season.cL": Edit(120.0, 120.0, 120.0, "x", date(2026, 1, 1))}


def test_a_folder_in_place_of_a_file_of_edits_is_refused(tmp_path: Path):
    with pytest.raises(FigureError, match="can't be read"):
        edits_from_toml(tmp_path)


def test_per_cent_typed_for_a_share_is_recognised():
    with pytest.raises(FigureError, match=r"enter a share \(0\.35\)"):
        load({"season.phi": Edit(35.0, 35.0, 35.0, "our test", date(2026, 2, 20))})


def test_a_missing_file_of_edits_is_named(tmp_path: Path):
    with pytest.raises(FigureError, match=r"gone\.toml"):
        edits_from_toml(tmp_path / "gone.toml")


def test_find_needs_every_word():
    keys = {f.key for f in load().find("most eggs queen")}
    assert "season.Lmax" in keys
    assert load().find("most eggs zebra") == ()


RANGES = [f.key for f in load().figures() if f.shipped.low < f.shipped.high]


@pytest.mark.parametrize("key", RANGES)
def test_draws_have_the_shipped_percentiles(key: str):
    span = load()[key].span
    got = np.quantile(load().reader().draws(key, np.random.default_rng(7), 20_000), [0.05, 0.5, 0.95])
    # sampling error of a percentile at this n, on the scale of the half-width
    assert np.allclose(got, [span.low, span.typical, span.high], atol=0.05 * (span.high - span.low))


@settings(max_examples=60, deadline=None)
@given(key=st.sampled_from(KEYS), seed=st.integers(0, 2**32 - 1))
def test_draws_repeat_with_the_seed_and_stay_possible(key: str, seed: int):
    shelf = load()
    one = shelf.reader().draws(key, np.random.default_rng(seed), 50)
    again = shelf.reader().draws(key, np.random.default_rng(seed), 50)
    assert np.array_equal(one, again)
    assert np.all(np.isfinite(one))
    if shelf[key].span.scale == "log":
        assert np.all(one > 0)
    if shelf[key].span.scale == "share":
        assert np.all((one > 0) & (one < 1))


def test_a_fraction_typed_for_per_cent_is_recognised():
    edit = Edit(0.2, 0.24, 0.28, "our test", date(2026, 2, 20))
    with pytest.raises(FigureError, match=r"enter per cent \(20\)"):
        load({"pollen.brassica_napus": edit})
