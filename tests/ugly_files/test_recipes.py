"""Recipe files as people really send them: each gets its error, names the line, and loses nothing."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from breadline.errors import RecipeError
from breadline.jobs.recipe_file import read_recipe

FOLDER = Path(__file__).parent / "recipes"
EXPECTED = tomllib.loads((FOLDER / "expectations.toml").read_text("utf-8"))


@pytest.mark.parametrize("name", EXPECTED)
def test_an_ugly_recipe_file_says_what_where_and_what_to_do(name):
    path = FOLDER / f"{name}.toml"
    before = path.read_bytes()
    with pytest.raises(RecipeError) as raised:
        read_recipe(path)
    error, wanted = raised.value, EXPECTED[name]
    assert error.where == ", ".join(part for part in (path.name, wanted["where"]) if part)
    for fragment in wanted["says"]:
        assert fragment in str(error)
    assert error.expected, "an error says what would be right"
    assert error.exit_code == 2
    assert path.read_bytes() == before


def test_every_file_has_an_expectation():
    files = {path.stem for path in FOLDER.glob("*.toml")} - {"expectations", "sound"}
    assert files == set(EXPECTED)


def test_the_file_they_were_spoilt_from_is_sound():
    assert len(read_recipe(FOLDER / "sound.toml").amounts) == 3


def test_a_file_that_is_not_there_is_named():
    with pytest.raises(RecipeError, match=r"nowhere\.toml"):
        read_recipe(FOLDER / "nowhere.toml")
