"""Drugs and pollen without papers are refused before anything is worked out. Scenarios 10 and 14."""

from __future__ import annotations

import pytest

from breadline.errors import FeedRefused, RecipeError
from breadline.jobs.recipe_file import recipe_from_text
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_refusals import feed_gate, refuse_pollen, refuse_request
from breadline.knowledge import shelf
from breadline.knowledge.shelf import Reader

SOY = '[[part]]\ningredient = "soy_flour_defatted"\namount = 3\nunit = "kg"\n'
POLLEN = '[[part]]\ningredient = "bee_pollen"\namount = 1\nunit = "kg"\n'


def read(text: str):
    return recipe_from_text(text, "recipe.toml")


def gate(papers: str):
    recipe = read(f'name = "x"\n{SOY}{POLLEN}{papers}')
    return refuse_pollen(recipe, ("bee_pollen",), all_ingredients(recipe), Reader(shelf.load()))


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (f'name = "x"\n{SOY}[[part]]\ningredient = "terramycin"\namount = 2\nunit = "g"\n', "line 7"),
        (f'name = "x"\nnote = "add oxytetracycline"\n{SOY}', "line 2"),
        (f'name = "Tylosin patty"\n{SOY}', "line 1"),
        (f'name = "x"\n{SOY}[[feed]]\nname = "y"\ningredients = ["sugar", "lincomycin"]\n', "line 8"),
    ],
)
def test_a_drug_is_refused_wherever_it_stands(text: str, line: str) -> None:
    with pytest.raises(FeedRefused) as raised:
        read(text)
    told = str(raised.value)
    assert line in raised.value.where
    assert "No calculation" in told
    assert "veterinarian" in told
    said = f"{raised.value.what} {raised.value.do}"
    assert not any(char.isdigit() for char in said), "no amount of it is said"
    assert not any(
        drug in said.lower() for drug in ("terramycin", "oxytetracycline", "tylosin", "lincomycin")
    )


def test_a_drug_is_refused_before_other_mistakes_are_told() -> None:
    with pytest.raises(FeedRefused):
        read(f'name = "terramycin patty"\ncountry = "Ohio"\n{SOY.replace("3", "-3")}')


def test_the_countrys_own_rule_stands_in_the_refusal() -> None:
    with pytest.raises(FeedRefused, match="United States"):
        read(f'name = "terramycin patty"\ncountry = "US"\n{SOY}')


def test_a_request_for_a_drug_is_refused() -> None:
    with pytest.raises(FeedRefused, match="veterinarian"):
        refuse_request("Add terramycin to the batch.", "US")
    refuse_request("Add sugar to the batch.", "US")


@pytest.mark.parametrize(
    "papers",
    [
        "",
        '[pollen]\norigin = "unknown"\n',
        '[pollen]\norigin = "bought"\nfrozen = true\n',
        '[pollen]\norigin = "own"\n',
        '[pollen]\norigin = "bought"\nrays = "gamma"\ndose_kgy = 20\n',
    ],
)
def test_pollen_without_papers_is_refused_frozen_or_not(papers: str) -> None:
    with pytest.raises(FeedRefused) as raised:
        gate(papers)
    assert "Freezing does not kill foulbrood spores" in str(raised.value)
    assert "Ask: " in str(raised.value)


@pytest.mark.parametrize(
    ("papers", "answer"),
    [
        ('[pollen]\norigin = "own"\nfree_of_foulbrood = true\n', "passes"),
        ('[pollen]\norigin = "bought"\nrays = "gamma"\ndose_kgy = 20\ncertificate = "no. 1"\n', "passes"),
        ('[pollen]\norigin = "bought"\nrays = "gamma"\ndose_kgy = 10\ncertificate = "no. 1"\n', "warned"),
    ],
)
def test_pollen_with_papers_passes_or_is_warned_of(papers: str, answer: str) -> None:
    found = gate(papers)
    assert found is not None
    assert found.answer == answer


def test_a_recipe_without_pollen_meets_no_gate() -> None:
    recipe = read(f'name = "x"\n{SOY}')
    assert (
        refuse_pollen(recipe, ("soy_flour_defatted",), all_ingredients(recipe), Reader(shelf.load())) is None
    )


def test_a_refusal_is_an_error_that_the_command_line_knows() -> None:
    assert issubclass(FeedRefused, RecipeError)
    assert FeedRefused("a", "b").exit_code == 2


@pytest.mark.parametrize(
    "name", ["Pollen", "Blütenpollen", "Polen seco", "Polline", "Pyłek", "Bee bread", "Bienenbrot", "Perga"]
)
def test_an_own_ingredient_called_pollen_or_bee_bread_has_to_say_it_is(name: str) -> None:
    own = f'[[ingredient]]\nkey = "own"\nname = "{name}"\nbasis = "as fed"\n'
    own += "protein_pct = 20\nprotein_factor = 6.25\n"
    part = '[[part]]\ningredient = "own"\namount = 1\nunit = "kg"\n'
    with pytest.raises(RecipeError, match="its name says pollen"):
        read(f'name = "x"\n{part}{own}traits = ["powder"]\n')
    assert read(f'name = "x"\n{part}{own}traits = ["pollen"]\n').own


@pytest.mark.parametrize(
    ("label", "answer"),
    [
        ('ingredients = ["soy flour", "bee pollen"]', "refused"),
        ("pollen_pct = 4", "refused"),
        ('ingredients = ["bee pollen"]\nrays = "gamma"\ndose_kgy = 20\ncertificate = "no. 1"', "passes"),
        ('ingredients = ["soy flour", "pollen substitute"]', None),
        ('ingredients = ["soy flour"]\npollen_pct = 0', None),
    ],
)
def test_a_bought_feed_with_real_pollen_on_its_label_meets_the_gate(label: str, answer: str | None) -> None:
    file = read(f'name = "x"\n[[feed]]\nname = "Cake"\nbasis = "as fed"\nprotein_min_pct = 15\n{label}\n')
    found = feed_gate(file.feeds[0], "", Reader(shelf.load()))
    assert (found.answer if found else None) == answer
