"""``breadline ration`` as a person types it: output, JSON, exit codes, files written."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from breadline.cli.app import app
from breadline.errors import FeedRefused, RecipeError, RecordError
from breadline.jobs.recipe_file import read_recipe

RECIPE = Path(__file__).parents[2] / "examples" / "first-recipe" / "recipe.toml"


def ration(*words: object) -> str:
    """What is printed."""
    done = CliRunner().invoke(app, ["ration", *map(str, words)], catch_exceptions=False)
    if done.exception is not None:
        raise done.exception
    assert done.exit_code == 0, done.output
    return done.stdout


def spoilt(folder: Path, old: str, new: str) -> Path:
    """The example with one thing changed."""
    text = RECIPE.read_text("utf-8")
    assert old in text
    path = folder / "spoilt.toml"
    path.write_text(text.replace(old, new, 1), "utf-8")
    return path


def test_analyse_says_protein_first_with_both_bases() -> None:
    lines = [line for line in ration("analyse", RECIPE).splitlines() if line.strip()]
    assert lines[0].startswith("Sorrel Bend spring patty")
    assert "crude protein as fed" in lines[1]
    assert "of dry matter" in f"{lines[1]} {lines[2]}"


def test_analyse_tells_money_by_the_pound_where_it_is_weighed_in_pounds(tmp_path: Path) -> None:
    assert "a pound as fed" in ration("analyse", RECIPE)
    kilos = spoilt(tmp_path, 'unit = "lb"\nbatch', 'unit = "kg"\nbatch')
    assert "a pound as fed" not in ration("analyse", kilos)


def test_analyse_as_json_holds_every_target_and_no_nought_for_a_blank() -> None:
    document = json.loads(ration("analyse", RECIPE, "--json"))
    assert document["shape"] == "breadline.analysis/1"
    assert len(document["targets"]) == 6
    assert {one["kept"] for one in document["targets"]} == {"yes"}
    starch = next(one for one in document["amounts"] if one["what"] == "starch")
    assert starch["high"] > starch["low"]
    assert "Yeast of the Sorrel Bend mill, dried, inactive" in starch["not_reported_by"]


def test_solve_names_the_mix_what_holds_it_up_and_what_comes_next() -> None:
    told = " ".join(ration("solve", RECIPE).split())
    assert told.startswith("The cheapest mix costs US$")
    assert "a pound" in told
    assert not any(odd in told for odd in ("a kg", "kilogram", "US$ ", "US$0.00"))
    for part in ("What holds the cost up", "instead saves", "The recipe stands", "Next best", "lb Soy flour"):
        assert part in told


def test_another_price_changes_the_mix_for_once(tmp_path: Path) -> None:
    out = tmp_path / "mix.toml"
    dear = json.loads(ration("solve", RECIPE, "--price", "soy_flour_defatted=9/kg", "--out", out, "--json"))
    plain = json.loads(ration("solve", RECIPE, "--json"))
    assert dear["mix"]["cost_per_kg"] > plain["mix"]["cost_per_kg"]
    mix = read_recipe(out)
    assert mix.name == "Sorrel Bend spring patty, cheapest mix"
    assert "soy_flour_defatted" not in [one.ingredient for one in mix.amounts]
    assert "9" not in RECIPE.read_text("utf-8").split("[[price]]")[1].split("price = ")[1].split("\n")[0]


@pytest.mark.parametrize(
    "price", ["soy_flour_defatted=0,9/kg", "soy_flour_defatted=9", "soy_flour_defatted=0/kg", "soy=9/kg"]
)
def test_a_price_that_is_none_is_refused(price: str) -> None:
    with pytest.raises(RecipeError, match=r"--price"):
        ration("solve", RECIPE, "--price", price)


def test_targets_at_odds_are_named_with_how_far_each_gives(tmp_path: Path) -> None:
    at_odds = spoilt(tmp_path, "at_least = 15", "at_least = 60")
    told = " ".join(ration("solve", at_odds).split())
    assert told.startswith("Crude protein (N × 6.25, as fed), at least 60 % cannot be had here")
    assert "The nearest mix" in told
    document = json.loads(ration("solve", at_odds, "--json"))
    assert document["answer"] == "conflict"
    assert document["conflict"]["members"]
    assert document["mix"]["parts"], "the nearest mix is offered"


def test_whole_bags_are_whole_and_the_gap_is_said(tmp_path: Path) -> None:
    bags = spoilt(
        tmp_path,
        "\n[mixing]\n",
        '\n[solve]\nwhole_bags = ["sugar_granulated"]\nfill_least_pct = 80\nseconds = 2\n\n[mixing]\n',
    )
    document = json.loads(ration("solve", bags, "--seconds", "1", "--json"))
    assert document["answer"] == "mix"
    assert document["mix"]["gap"] >= 0
    for part in document["mix"]["parts"]:
        if part["bags"] is not None:
            assert part["grams"] == pytest.approx(part["bags"] * 50 * 453.59237, rel=1e-5)


def test_a_mix_of_whole_bags_is_mixed_from_whole_bags(tmp_path: Path) -> None:
    bags = spoilt(
        tmp_path,
        "\n[mixing]\n",
        '\n[solve]\nwhole_bags = ["sugar_granulated", "soy_flour_defatted"]\n'
        "fill_least_pct = 85\n\n[mixing]\n",
    )
    out = tmp_path / "mix.toml"
    ration("solve", bags, "--seconds", "2", "--out", out)
    lines = json.loads(ration("batch", out, "--json"))["lines"]
    counted = {one["ingredient"]: (one["measured_in"], one["count"]) for one in lines}
    assert counted["sugar_granulated"] == ("bags", 1.0)
    assert counted["soy_flour_defatted"] == ("bags", 2.0)


def test_every_price_of_a_comparison_bears_its_own_money(tmp_path: Path) -> None:
    other = spoilt(tmp_path, 'money = "US$"', 'money = "€"')
    other.write_text(other.read_text("utf-8").replace('"Sorrel Bend ', '"Another '), "utf-8")
    told = " ".join(ration("compare", RECIPE, other).split())
    assert "US$0.81" in told
    assert "€0.81" in told


def test_a_comparison_says_what_is_only_a_least_or_a_most(tmp_path: Path) -> None:
    """A kilogram of soy flour for €2 in five: with the sugar unpaid, €0.40 is only the least."""
    half_priced = tmp_path / "half-priced.toml"
    half_priced.write_text(
        'name = "Half priced"\nmoney = "€"\nyear = 2026\ncountry = "DE"\n'
        '[[part]]\ningredient = "soy_flour_defatted"\namount = 1\nunit = "kg"\n'
        '[[part]]\ningredient = "sugar_granulated"\namount = 4\nunit = "kg"\n'
        '[[price]]\nof = "soy_flour_defatted"\nprice = 2\nper = "kg"\n'
        '[[feed]]\nname = "Bought"\nbasis = "as fed"\nprotein_min_pct = 20\nwater_max_pct = 15\n'
        '[[price]]\nof = "Bought"\nprice = 3\nper = "kg"\n',
        "utf-8",
    )
    told = " ".join(ration("compare", half_priced).split())
    assert "€0.40 or more" in told
    assert "Half priced costs more than that: Sugar, granulated without a price." in told
    bought, mine = json.loads(ration("compare", half_priced, "--json"))["feeds"]
    assert mine["without_a_price"] == ["Sugar, granulated"]
    values = {one["what"]: (one["low"], one["high"]) for one in mine["values"]}
    assert values["cost of feed"] == (pytest.approx(2 / 5), None)
    assert values["cost of crude protein"] == (pytest.approx(2 / (0.4701 * 6.25 / 5.71), rel=1e-5), None)
    values = {one["what"]: (one["low"], one["high"]) for one in bought["values"]}
    assert values["crude protein as fed"] == (20.0, None)
    assert values["cost of feed"] == (3.0, 3.0)
    assert values["cost of crude protein"] == (None, 15.0)
    assert values["water"] == (None, 15.0)


def test_compare_lists_by_name_and_in_ones_own_order(tmp_path: Path) -> None:
    names = ["Sorrel Bend ready patty", "Sorrel Bend spring patty"]
    assert [one["name"] for one in json.loads(ration("compare", RECIPE, "--json"))["feeds"]] == names
    own = ["--order", names[1], "--order", names[0]]
    document = json.loads(ration("compare", RECIPE, *own, "--json"))
    assert [one["name"] for one in document["feeds"]] == names[::-1]
    assert document["order"] == "your own order"
    assert "ranks no feed" in " ".join(ration("compare", RECIPE).split())


def test_batch_writes_the_sheet_and_keeps_the_batch(tmp_path: Path) -> None:
    book, sheet = tmp_path / "own.sqlite", tmp_path / "sheet.pdf"
    words = ("batch", RECIPE, "--book", book, "--on", "2026-11-25", "--out", sheet)
    told = " ".join(ration(*words, "--for", "north yards").split())
    assert sheet.read_bytes().startswith(b"%PDF")
    assert "batch 2026-001, 25 November 2026" in told
    assert "Makes about 300 lb: 300 pieces of 1 lb" in told
    again = " ".join(
        ration("batch", "Sorrel Bend spring patty", "--book", book, "--on", "2026-11-26").split()
    )
    assert "batch 2026-002" in again, "a kept recipe is named, and the next number taken"


def test_a_batch_number_is_not_given_twice(tmp_path: Path) -> None:
    book = tmp_path / "own.sqlite"
    ration("batch", RECIPE, "--book", book, "--on", "2026-11-25", "--number", "7")
    with pytest.raises(RecordError, match="this number is on a batch"):
        ration("batch", RECIPE, "--book", book, "--on", "2026-11-26", "--number", "7")


def test_a_recipe_that_the_book_does_not_hold_is_said(tmp_path: Path) -> None:
    with pytest.raises(RecordError, match="not in this book"):
        ration("analyse", "Nobody's patty", "--book", tmp_path / "own.sqlite")


@pytest.mark.parametrize("verb", ["analyse", "solve", "compare", "batch"])
def test_a_drug_is_refused_by_every_verb_and_nothing_is_written(verb: str, tmp_path: Path) -> None:
    drugged = spoilt(
        tmp_path, 'note = "Invented, to show', 'note = "Add terramycin to the batch. Invented, to show'
    )
    book = tmp_path / "own.sqlite"
    with pytest.raises(FeedRefused, match="No calculation"):
        ration(verb, drugged, "--book", book)
    assert not book.exists()


@pytest.mark.parametrize("verb", ["analyse", "solve", "compare", "batch"])
def test_pollen_without_papers_is_refused_by_every_verb(verb: str, tmp_path: Path) -> None:
    trapped = spoilt(tmp_path, "egg_yolk_dried", "bee_pollen")
    with pytest.raises(FeedRefused, match="Don't feed it"):
        ration(verb, trapped)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--on", "25.11.2026"), "--on"),
        (("--paper", "a5"), "--paper"),
    ],
)
def test_what_is_typed_wrong_is_said(words: tuple[str, str], says: str) -> None:
    with pytest.raises(RecipeError, match=says):
        ration("batch", RECIPE, *words)


def test_narrow_terminals_get_lines_instead_of_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    assert all(len(line) <= 40 for line in ration("compare", RECIPE).splitlines())


def test_targets_that_are_missed_or_open_are_counted_first(tmp_path: Path) -> None:
    told = " ".join(ration("analyse", spoilt(tmp_path, "at_least = 15\n", "at_least = 15.7\n")).split())
    assert "Your targets: 1 open of 6" in told
    told = " ".join(ration("analyse", spoilt(tmp_path, 'at_most = "5:1"', 'at_most = "1:1"')).split())
    assert "Your targets: 1 not kept of 6" in told
    assert "Your targets: all kept" in " ".join(ration("analyse", RECIPE).split())


def watered(folder: Path) -> Path:
    """The example with two pounds of water in the place of syrup, and water on offer."""
    text = RECIPE.read_text("utf-8")
    text = text.replace(
        '"syrup_67_brix"\namount = 2\nunit = "buckets"', '"water"\namount = 20\nunit = "lb"', 1
    )
    text = text.replace('[[price]]\nof = "syrup_67_brix"\nprice = 0.46\nper = "lb"\n', "", 1)
    path = folder / "watered.toml"
    path.write_text(text, "utf-8")
    return path


def test_water_without_a_price_is_said_to_count_as_free(tmp_path: Path) -> None:
    file = watered(tmp_path)
    for verb in ("analyse", "solve", "batch"):
        told = " ".join(ration(verb, file).split())
        assert "Water without a price counts as free." in told or "Water counted as free" in told, verb
    assert "counts as free" not in " ".join(ration("analyse", RECIPE).split())
    assert "Water without a price counts as free." in json.loads(ration("solve", file, "--json"))["sentences"]


def test_the_batches_of_a_book_are_listed_newest_first(tmp_path: Path) -> None:
    book = tmp_path / "own.sqlite"
    ration("batch", RECIPE, "--book", book, "--on", "2026-03-02")
    ration("batch", RECIPE, "--book", book, "--on", "2026-03-16", "--for", "Mill Shoals, round 2")
    told = ration("batches", "--book", book)
    assert told.splitlines()[0] == "2 batches are written down."
    assert told.index("Batch 2026-002, 16 March 2026") < told.index("Batch 2026-001, 2 March 2026")
    assert "Sorrel Bend spring patty" in told
    assert "300 pieces of 1 lb" in told
    assert "lb Soy flour, defatted" in told
    assert told.count("Mill Shoals, round 2") == 1
    first, second = json.loads(ration("batches", "--book", book, "--json"))["batches"]
    assert (first["number"], second["on"]) == ("2026-002", "2026-03-02")
    assert first["grams"] == pytest.approx(sum(one["grams"] for one in first["measured"]), abs=1.0)


def test_a_book_without_batches_says_so_and_none_is_made_where_there_is_none(tmp_path: Path) -> None:
    book = tmp_path / "own.sqlite"
    ration("analyse", RECIPE, "--book", book)
    assert ration("batches", "--book", book).startswith("No batch is written down in this book yet.")
    with pytest.raises(RecordError, match="there is no such book"):
        ration("batches", "--book", tmp_path / "nowhere.sqlite")
    assert not (tmp_path / "nowhere.sqlite").exists()


def test_an_order_that_does_not_fit_names_what_is_wrong_with_it(tmp_path: Path) -> None:
    mine, bought = "Sorrel Bend spring patty", "Sorrel Bend ready patty"
    given = json.loads(ration("compare", RECIPE, "--order", mine, "--order", bought, "--json"))
    assert ([one["name"] for one in given["feeds"]], given["order"]) == ([mine, bought], "your own order")
    with pytest.raises(RecipeError, match=f'"{bought}" is left out'):
        ration("compare", RECIPE, "--order", mine)
    with pytest.raises(RecipeError, match='"Nobody" is none of the feeds'):
        ration("compare", RECIPE, "--order", mine, "--order", "Nobody", "--order", bought)


@pytest.mark.parametrize("verb", ["analyse", "solve"])
def test_what_refuses_a_feed_is_said_before_what_is_in_it(verb: str, tmp_path: Path) -> None:
    file = spoilt(tmp_path, "[mixing]\nunit", "[known]\nhmf_mg_per_kg = 250\n\n[mixing]\nunit")
    told = " ".join(ration(verb, file).split())
    assert told.index("Not to be fed. HMF 250 mg/kg") < told.index("US$")
    assert "More bees died at 250 mg/kg" in told
    assert "Not to be fed" not in ration(verb, RECIPE)
