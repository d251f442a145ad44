"""Recipes in their versions, feeds, quotes and batches, in a real SQLite file. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from uuid import UUID

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import Engine

from breadline.errors import RecordError
from breadline.records import recipes
from breadline.records.engine import checked, looking, open_book, writing
from breadline.records.recipes import Made, Quoted
from breadline.records.shape import migrate, migrations

DAY = date(2026, 3, 12)
MADE = Made("2026-001", DAY, 2, (("syrup_67_brix", 50_000.0), ("soy_flour_defatted", 20_000.5)), 453.6, 300)
SOY = Quoted("soy_flour_defatted", 38.0, "bag", "US$", 2026, 50.0, "lb")


def test_a_recipe_comes_back_as_it_was_written(book: Engine) -> None:
    text = 'name = "Patty"\nnote = "ω6:ω3 …"\n'
    with writing(book) as session:
        recipes.keep_recipe(session, "Patty", text)
    with looking(book) as session:
        assert recipes.recipe(session, "Patty").text == text


def test_a_new_version_takes_the_place_and_the_old_one_stays(book: Engine) -> None:
    with writing(book) as session:
        recipes.keep_recipe(session, "Patty", "first")
        again = recipes.keep_recipe(session, "Patty", "first")
        changed = recipes.keep_recipe(session, "Patty", "second", "less soy")
        assert changed.replaces == again.id
        recipes.keep_recipe(session, "Another", "third")
    with looking(book) as session:
        assert [row.name for row in recipes.recipes(session)] == ["Another", "Patty"]
        line = recipes.versions(session, "Patty")
        assert [(row.text, row.because) for row in line] == [("first", ""), ("second", "less soy")]


def test_a_recipe_taken_off_the_list_can_be_written_anew(book: Engine) -> None:
    with writing(book) as session:
        recipes.keep_recipe(session, "Patty", "first")
        recipes.withdraw_recipe(session, "Patty", "mouldy")
        assert recipes.recipes(session) == []
        with pytest.raises(RecordError, match=r"it was taken off the list.*below the list"):
            recipes.recipe(session, "Patty")
        assert [row.name for row in recipes.off_the_list(session)] == ["Patty"]
        assert recipes.keep_recipe(session, "Patty", "first").replaces is None
        assert recipes.off_the_list(session) == []


def test_the_versions_before_a_recipe_was_taken_off_the_list_stay_with_those_after(book: Engine) -> None:
    with writing(book) as session:
        for text in ("first", "second"):
            recipes.keep_recipe(session, "Patty", text)
        recipes.withdraw_recipe(session, "Patty", "mouldy")
        assert [row.text for row in recipes.versions(session, "Patty")] == ["first", "second"]
        again = recipes.keep_recipe(session, "Patty", "third")
        recipes.withdraw_recipe(session, "Patty", "mouldy again")
        (gone,) = recipes.off_the_list(session)
        assert (gone.replaces, gone.because) == (again.id, "mouldy again")
        assert [row.text for row in recipes.versions(session, "Patty")] == ["first", "second", "third"]
        with pytest.raises(RecordError, match="not in this book"):
            recipes.versions(session, "Party")


def test_a_recipe_that_is_not_there_names_those_that_are(book: Engine) -> None:
    with writing(book) as session:
        recipes.keep_recipe(session, "Patty", "first")
        with pytest.raises(RecordError, match='one of these: "Patty"'):
            recipes.recipe(session, "Party")


def test_a_feed_keeps_its_label_and_what_it_did_not_state_stays_out(book: Engine) -> None:
    with writing(book) as session:
        recipes.keep_feed(session, "Ready", {"protein_min_pct": 15.0, "ingredients": ["sugar"]})
        recipes.keep_feed(session, "Ready", {"protein_min_pct": 15.0, "ingredients": ["sugar"]})
        recipes.keep_feed(session, "Ready", {"protein_min_pct": 16.0}, "new label")
    with looking(book) as session:
        (row,) = recipes.feeds(session)
        assert row.label == {"protein_min_pct": 16.0}
        assert row.replaces is not None


def test_quotes_of_another_year_stand_beside_and_the_newest_is_known(book: Engine) -> None:
    with writing(book) as session:
        for one in (SOY, replace(SOY, year=2025, price=30.0), SOY, replace(SOY, price=39.0)):
            recipes.keep_price(session, one)
    with looking(book) as session:
        assert [(row.year, row.price) for row in recipes.prices(session)] == [(2025, 30.0), (2026, 39.0)]
        newest = recipes.newest_prices(session)["soy_flour_defatted"]
        assert (newest.price, newest.per, newest.bag, newest.bag_unit) == (39.0, "bag", 50.0, "lb")


@pytest.mark.parametrize("price", [0.0, -1.0, float("nan"), float("inf")])
def test_a_price_that_is_none_is_refused(book: Engine, price: float) -> None:
    with writing(book) as session, pytest.raises(RecordError, match="soy_flour_defatted"):
        recipes.keep_price(session, replace(SOY, price=price))


def test_a_batch_comes_back_with_its_number_day_and_version(book: Engine) -> None:
    with writing(book) as session:
        first = recipes.keep_recipe(session, "Patty", "first")
        recipes.keep_batch(session, first.id, MADE)
        recipes.keep_batch(session, first.id, MADE)
        recipes.keep_recipe(session, "Patty", "second")
    with looking(book) as session:
        (row,) = recipes.batches(session)
        assert (row.recipe_id, row.number, row.on, row.pieces) == (first.id, "2026-001", DAY, 300)
        assert [tuple(one) for one in row.measured] == list(MADE.measured)


def test_a_batch_number_is_given_once(book: Engine) -> None:
    with writing(book) as session:
        patty = recipes.keep_recipe(session, "Patty", "first")
        assert recipes.next_number(session, DAY) == "2026-001"
        recipes.keep_batch(session, patty.id, MADE)
        assert recipes.next_number(session, DAY) == "2026-002"
        assert recipes.next_number(session, date(2027, 1, 1)) == "2027-001"
        with pytest.raises(RecordError, match="Take 2026-002"):
            recipes.keep_batch(session, patty.id, replace(MADE, pieces=299))


@pytest.mark.parametrize("name", ["", "  "])
def test_nothing_is_kept_without_a_name(book: Engine, name: str) -> None:
    with writing(book) as session:
        for ask in (
            lambda: recipes.keep_recipe(session, name, "x"),
            lambda: recipes.keep_feed(session, name, {}),
            lambda: recipes.keep_batch(session, UUID(int=1), replace(MADE, number=name)),
        ):
            with pytest.raises(RecordError, match="it has no name"):
                ask()


def test_a_batch_of_no_recipe_is_refused(book: Engine) -> None:
    with writing(book) as session, pytest.raises(RecordError, match="there is no recipe"):
        recipes.keep_batch(session, UUID(int=1), MADE)


def test_an_older_book_gets_the_tables_and_keeps_what_it_held(tmp_path: Path) -> None:
    path = tmp_path / "old.db"
    engine = open_book(path)
    migrate(engine, "0004")
    engine.dispose()
    engine = open_book(path)
    with writing(engine) as session:
        recipes.keep_recipe(session, "Patty", "first")
    checked(engine)
    engine.dispose()
    head = ScriptDirectory.from_config(migrations()).get_current_head()
    assert (tmp_path / f"old.before-{head}.db").exists()
