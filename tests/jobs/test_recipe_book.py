"""A book of recipes on a real SQLite file: what is kept is read back as it was written."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from breadline.errors import RecordError
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.ration import batched
from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe, recipe_from_text, recipe_to_toml
from breadline.jobs.recipe_written import RecipeFile

RECIPE = Path(__file__).parents[2] / "examples" / "first-recipe" / "recipe.toml"
DAY = date(2026, 11, 25)


@pytest.fixture
def file() -> RecipeFile:
    return read_recipe(RECIPE)


@pytest.fixture
def book(tmp_path: Path) -> RecipeBook:
    return RecipeBook(tmp_path / "own.sqlite")


def test_a_recipe_comes_back_whole_and_as_a_file(book: RecipeBook, file: RecipeFile) -> None:
    kept = book.keep(file)
    assert (kept.number, kept.file) == (1, file)
    assert book.names() == (file.name,)
    assert book.text(file.name) == recipe_to_toml(file)
    assert recipe_from_text(book.text(file.name), "sent.toml") == file


def test_the_same_again_is_no_new_version_and_a_change_is(book: RecipeBook, file: RecipeFile) -> None:
    book.keep(file)
    assert book.keep(file).number == 1
    changed = replace(file, note="less sugar")
    assert book.keep(changed, "too sweet").number == 2
    first, second = book.versions(file.name)
    assert (first.file.note, second.file.note, second.because) == (file.note, "less sugar", "too sweet")
    assert second.words.startswith("version 2, ")


def test_prices_and_feeds_of_the_file_are_kept_with_it(book: RecipeBook, file: RecipeFile) -> None:
    book.keep(file)
    assert book.quotes() == {one.of: one for one in file.quotes}
    assert book.feeds() == list(file.feeds)


def test_a_newer_price_serves_a_file_without_prices(book: RecipeBook, file: RecipeFile) -> None:
    book.keep(file)
    dearer = tuple(replace(one, year=2027, price=one.price * 2) for one in file.quotes)
    book.keep(replace(file, quotes=dearer))
    bare = replace(file, quotes=(), feeds=())
    first, second = (
        batched(bare, "1", DAY, quotes).batch.recipe.prices["canola_oil"]
        for quotes in ({one.of: one for one in file.quotes}, book.quotes())
    )
    assert (second.year, second.per_kg) == (2027, pytest.approx(2 * first.per_kg))


def test_a_batch_is_kept_with_the_version_it_was_made_by(book: RecipeBook, file: RecipeFile) -> None:
    told = batched(file, book.next_number(DAY), DAY)
    book.keep_batch(told, "a little stiff")
    book.keep_batch(told, "a little stiff")
    (kept,) = book.batches()
    assert (kept.number, kept.on, kept.recipe, kept.note) == ("2026-001", DAY, file.name, "a little stiff")
    assert [key for key, _ in kept.measured] == [line.ingredient.key for line in told.batch.lines]
    assert sum(grams for _, grams in kept.measured) == pytest.approx(told.batch.load_g)
    assert book.next_number(DAY) == "2026-002"


def test_a_recipe_taken_off_the_list_leaves_its_batches(book: RecipeBook, file: RecipeFile) -> None:
    book.keep_batch(batched(file, "1", DAY))
    book.withdraw(file.name, "mouldy")
    assert book.names() == ()
    assert [one.recipe for one in book.batches()] == [file.name]
    with pytest.raises(RecordError, match=r"it was taken off the list.*below the list"):
        book.version(file.name)


def test_a_price_or_label_changed_elsewhere_outlives_the_recipe_that_had_the_old_one(
    book: RecipeBook, file: RecipeFile
) -> None:
    book.keep(file)
    newer = replace(file.quotes[0], price=file.quotes[0].price * 2)
    label = replace(file.feeds[0], protein_min_pct=20.0)
    book.keep_feed(label, newer)
    book.keep(replace(file, note="stiffer"))
    book.keep_batch(batched(file, "1", DAY))
    assert book.quotes()[newer.of] == newer
    assert book.feeds() == [label]


def test_a_file_of_somebody_else_takes_the_place_of_no_price_and_no_label(
    book: RecipeBook, file: RecipeFile
) -> None:
    book.keep(file)
    theirs = replace(
        file,
        name="From a friend",
        quotes=tuple(replace(one, price=one.price * 2, year=2030) for one in file.quotes),
        feeds=(replace(file.feeds[0], protein_min_pct=20.0), replace(file.feeds[0], name="Their cake")),
    )
    book.keep(theirs, theirs=True)
    assert book.version("From a friend").file == theirs
    assert book.quotes() == {one.of: one for one in file.quotes}
    assert {one.name for one in book.feeds()} == {file.feeds[0].name, "Their cake"}
    assert file.feeds[0] in book.feeds()


def test_a_desk_reads_once_and_sees_all_that_it_wrote_and_what_another_desk_wrote(
    book: RecipeBook, file: RecipeFile, tmp_path: Path
) -> None:
    book.keep(file)
    desk = FeedDesk(tmp_path / "own.sqlite")
    (first,) = desk.recipes()
    assert desk.recipes()[0] is first
    quote = replace(file.quotes[0], price=file.quotes[0].price + 1.0)
    desk.keep(replace(file, note="changed", quotes=(quote, *file.quotes[1:])))
    assert [(one.number, one.file.note) for one in desk.recipes()] == [(2, "changed")]
    assert desk.quotes()[quote.of].price == quote.price
    desk.keep(replace(file, name="Another"))
    assert {one.file.name for one in desk.recipes()} == {file.name, "Another"}
    desk.withdraw("Another")
    assert {one.file.name for one in desk.recipes()} == {file.name}
    book.withdraw(file.name)
    assert FeedDesk(tmp_path / "own.sqlite").recipes() == []
