"""The jobs of the ration on invented recipes: what is asked of the steps, and what is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from breadline.errors import FeedRefused, RecipeError
from breadline.jobs import ration_terms as terms
from breadline.jobs.ration import TargetHeld, analysed, batched, compared, paper_of, solved, solved_file
from breadline.jobs.ration_targets import target_lines
from breadline.jobs.recipe_file import read_recipe, recipe_from_text, recipe_to_toml
from breadline.jobs.recipe_written import Aim, Amount, RecipeFile, Solving
from breadline.knowledge.ingredient import Content
from breadline.ration.targets import ratio

RECIPE = Path(__file__).parents[2] / "examples" / "first-recipe" / "recipe.toml"
DAY = date(2026, 11, 25)
POLLEN = Amount("bee_pollen", 5, "lb")


@pytest.fixture(scope="module")
def file() -> RecipeFile:
    return read_recipe(RECIPE)


def test_the_mix_that_was_found_keeps_its_targets_as_a_recipe_of_its_own(file: RecipeFile) -> None:
    assert file.mixing is not None
    for unit in ("lb", "kg"):
        mix = solved_file(solved(replace(file, mixing=replace(file.mixing, unit=unit))))
        assert mix is not None
        assert recipe_from_text(recipe_to_toml(mix), "mix.toml") == mix
        assert [one.kept for one in analysed(mix).targets] == ["yes"] * len(file.aims)


def test_the_solver_chooses_among_what_is_named_for_it(file: RecipeFile) -> None:
    chosen = Solving(("syrup_67_brix", "sorrel_yeast", "canola_oil"))
    named = replace(file, solving=chosen, aims=tuple(one for one in file.aims if one.of != "egg_yolk_dried"))
    found = solved(named).mix
    assert found is not None
    assert set(found.shares) <= {"syrup_67_brix", "sorrel_yeast", "canola_oil"}


def test_what_may_not_be_fed_is_refused_before_the_solver_is_asked(file: RecipeFile) -> None:
    offered = replace(file, solving=Solving(("syrup_67_brix", "bee_pollen")))
    with pytest.raises(FeedRefused):
        solved(offered)


@pytest.mark.parametrize("job", [analysed, solved, lambda f: compared([f]), lambda f: batched(f, "1", DAY)])
def test_every_job_asks_the_pollen_gate(job, file: RecipeFile) -> None:
    with pytest.raises(FeedRefused, match="Freezing does not kill"):
        job(replace(file, amounts=(*file.amounts, POLLEN)))


def test_targets_are_kept_missed_or_open(file: RecipeFile) -> None:
    aims = (
        Aim("protein", 15.7, None, "%", "as fed", "N x 6.25"),
        Aim("protein", 20.0, None, "%", "as fed", "N x 6.25"),
        Aim("protein", 17.5, None, "%", "dry matter", "N x 6.25"),
        Aim("protein", 17.5, None, "%", "dry matter", "own factor"),
        Aim("lactose", None, 1.0, "%", "as fed"),
    )
    held = analysed(replace(file, aims=aims)).targets
    assert [one.kept for one in held] == ["open", "no", "yes", "no", "yes"]


@pytest.mark.parametrize(
    ("low", "high", "least", "most", "kept"),
    [
        (14.9996, 14.9996, 15.0, None, "yes"),  # told as 15 %
        (14.94, 14.94, 15.0, None, "no"),  # told as 14.9 %
        (14.94, 15.2, 15.0, None, "open"),
        (16.9, 17.0004, None, 17.0, "yes"),
        (17.06, 17.2, None, 17.0, "no"),
        (0.96, 0.96, 1.0, None, "no"),  # told as 0.96
        (120.3, 120.3, None, 120.0, "yes"),  # mg, told whole
        (2.0, np.inf, 2.0, 5.0, "open"),
        (0.0, 0.0, 0.0, None, "yes"),
    ],
)
def test_a_target_is_kept_to_the_digits_that_are_shown(low, high, least, most, kept) -> None:
    target = ratio("sugars", "water", least, most)
    assert TargetHeld(target, Content(low, high)).kept == kept


def test_a_ratio_over_nothing_cannot_be_formed() -> None:
    text = 'name = "x"\n[[part]]\ningredient = "sugar_granulated"\namount = 1\nunit = "kg"\n'
    text += '[[target]]\nof = "linoleic"\nto = "linolenic"\nat_most = 5\n'
    assert [one.kept for one in analysed(recipe_from_text(text, "x")).targets] == ["cannot be formed"]
    with pytest.raises(RecipeError):
        solved(recipe_from_text(text, "x"))


def test_a_ratio_to_what_the_mix_has_none_of_cannot_be_formed(file: RecipeFile) -> None:
    aims = (Aim("linoleic", None, 5.0, to="lactose"),)
    held = analysed(replace(file, aims=aims)).targets
    assert [one.kept for one in held] == ["cannot be formed"]
    assert target_lines(analysed(replace(file, aims=aims))) == (
        "ω6:lactose, at most 5 to 1: cannot be formed: there is nothing below the line.",
    )


def test_nothing_is_solved_without_a_target_or_without_a_price(file: RecipeFile) -> None:
    with pytest.raises(RecipeError, match="no target is written down"):
        solved(replace(file, aims=()))
    with pytest.raises(RecipeError, match="price of"):
        solved(replace(file, quotes=file.quotes[1:]))


def test_feeds_of_two_files_stand_once_and_by_name(file: RecipeFile) -> None:
    other = replace(file, name="Another", amounts=file.amounts[:-1])
    names = [one.name for one in compared([file, other]).comparison.columns]
    assert names == ["Another", "Sorrel Bend ready patty", "Sorrel Bend spring patty"]
    changed = replace(other, feeds=(replace(file.feeds[0], protein_min_pct=16.0),))
    with pytest.raises(RecipeError, match="two files tell it differently"):
        compared([file, changed])


def test_a_feed_that_a_rule_refuses_gets_no_batch(file: RecipeFile) -> None:
    raw = replace(
        file, amounts=(replace(file.amounts[0], ingredient="soy_flour_full_fat_raw"), *file.amounts[1:])
    )
    told = analysed(raw)
    if any(one.level == "refuse" for one in told.remarks):
        with pytest.raises(FeedRefused):
            batched(raw, "1", DAY)
    else:
        assert any("raw" in one.line for one in told.remarks)


@pytest.mark.parametrize(
    ("units", "country", "system"),
    [(("kg", "g"), "US", "kg"), (("lb",), "NZ", "lb"), (("%",), "NZ", "kg"), (("%",), "US", "lb")],
)
def test_pounds_or_kilograms_as_it_is_written_then_by_country(units, country: str, system: str) -> None:
    amounts = tuple(Amount("water", 1, unit) for unit in units)
    assert terms.system_of(RecipeFile("x", amounts, country=country)) == system


def test_a_batch_without_mixing_facts_is_the_recipe_itself(file: RecipeFile) -> None:
    bare = replace(file, mixing=None)
    told = batched(bare, "1", DAY)
    assert told.batch.mixed_g == pytest.approx(sum(one.grams for one in file.amounts), rel=0.02)
    assert told.batch.loads == 1


def test_a_recipe_weighed_at_home_is_mixed_as_it_is_written() -> None:
    text = """name = "kitchen"
        [[part]]\ningredient = "soy_flour_defatted"\namount = 2\nunit = "kg"
        [[part]]\ningredient = "sugar_granulated"\namount = 4\nunit = "kg"
        [[part]]\ningredient = "water"\namount = 1.5\nunit = "kg"
        [mixing]\nunit = "kg"\npatty = 250\npatty_unit = "g"\nlost_pct = 2\n"""
    batch = batched(recipe_from_text(text, "kitchen.toml"), "1", DAY).batch
    grams = {line.ingredient.key: line.grams for line in batch.lines}
    assert grams == pytest.approx({"soy_flour_defatted": 2000, "sugar_granulated": 4000, "water": 1500})
    assert batch.finished_g == pytest.approx(0.98 * 7500)


def test_an_ingredient_that_is_not_on_offer_keeps_its_most(file: RecipeFile) -> None:
    few = replace(
        file, solving=Solving(("soy_flour_defatted", "sugar_granulated", "syrup_67_brix", "canola_oil"))
    )
    assert solved_file(solved(few)) is not None


def test_a_recipe_in_shares_is_mixed_once_it_is_said_how_much(file: RecipeFile) -> None:
    shares = (Amount("sugar_granulated", 80, "%"), Amount("water", 20, "%"))
    bare = replace(file, amounts=shares, mixing=None)
    with pytest.raises(RecipeError, match="how much is mixed"):
        batched(bare, "1", DAY)
    assert file.mixing is not None
    told = batched(replace(bare, mixing=replace(file.mixing, mixer_holds=None, batch=100)), "1", DAY)
    assert told.batch.load_g == pytest.approx(100 * 453.59237, rel=0.05)


def test_a_bucket_needs_its_level(file: RecipeFile) -> None:
    assert file.mixing is not None
    with pytest.raises(RecipeError, match="bucket_level"):
        batched(replace(file, mixing=replace(file.mixing, bucket_level="")), "1", DAY)


@pytest.mark.parametrize(("country", "paper"), [("US", "us-letter"), ("NZ", "a4"), ("DE", "a4")])
def test_the_paper_of_a_country(country: str, paper: str) -> None:
    assert paper_of(country) == paper


@pytest.mark.parametrize(
    ("stated", "answer"),
    [
        ({"pollen_pct": 0.0}, None),
        ({"pollen_pct": None}, None),
        ({"pollen_pct": 4.0}, "refused"),
        ({"pollen_pct": 4.0, "rays": "gamma", "dose_kgy": 20.0, "certificate": "no. 1"}, "passes"),
    ],
)
def test_a_bought_feed_that_states_real_pollen_meets_the_gate(stated, answer, file: RecipeFile) -> None:
    feed = replace(file.feeds[0], **stated)
    gates = compared([replace(file, feeds=(feed,))]).gates
    assert (gates[feed.name].answer if gates else None) == answer
