"""Every command has its section in docs/guide/commands.md, with its options and the shape of its --json."""

from __future__ import annotations

import json
import re

import pytest

from house import tree

VERSIONED = r"breadline\.\w+/\d+$"
PAGE = tree.ROOT / "docs" / "guide" / "commands.md"


def commands(group, above: str = "breadline"):
    """Every command of the program by its full name; a command without commands below it is a leaf."""
    below = getattr(group, "commands", None)
    if below is None:
        yield above, group
        return
    for name, command in below.items():
        if not command.hidden:
            yield from commands(command, f"{above} {name}")


def sections() -> dict[str, str]:
    """The page's sections by the command in their heading: ``## `breadline season` ``."""
    parts = re.split(r"^##+ `(breadline[^`]*)`[^\n]*\n", PAGE.read_text(encoding="utf-8"), flags=re.M)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


@pytest.fixture(scope="module")
def program():
    """Every command by its full name."""
    from typer.main import get_command

    from breadline.cli.app import app

    return dict(commands(get_command(app)))


def options(command) -> list[str]:
    return [flag for p in command.params for flag in p.opts if flag.startswith("--") and flag != "--help"]


def json_shapes(section: str) -> list[dict]:
    return [json.loads(block) for block in re.findall(r"```json\n(.*?)```", section, re.S)]


def test_the_page_has_a_section_for_every_command_and_none_for_one_that_is_gone(program):
    assert sorted(sections()) == sorted(program)


def test_a_section_names_every_option_of_its_command(program):
    missing = {
        name: left
        for name, section in sections().items()
        if (left := [flag for flag in options(program[name]) if f"`{flag}" not in section])
    }
    assert not missing


def test_every_command_speaks_json_and_the_page_shows_its_versioned_shape(program):
    speaks = {name for name, command in program.items() if "--json" in options(command)}
    assert set(program) == speaks
    shapes = {name: json_shapes(section) for name, section in sections().items()}
    assert not [name for name in speaks if not shapes[name]], "show each shape in a ```json block"
    assert not [n for n in speaks for shape in shapes[n] if not re.match(VERSIONED, shape.get("shape", ""))]


def test_every_command_says_what_it_is_for(program):
    assert not [name for name, command in program.items() if not (command.help or "").strip()]


def differences(documented, printed, at: str = "") -> list[str]:
    """Fields that only one of two shapes has; a null or an empty list says nothing about what is below."""
    if isinstance(documented, dict) and isinstance(printed, dict):
        only = [f"{at}.{key}" for key in documented.keys() ^ printed.keys()]
        both = documented.keys() & printed.keys()
        return only + [d for key in both for d in differences(documented[key], printed[key], f"{at}.{key}")]
    if isinstance(documented, list) and isinstance(printed, list) and documented and printed:
        return differences(documented[0], printed[0], f"{at}[]")
    return []


RECIPE = "examples/first-recipe/recipe.toml"
ROUNDS = ["examples/first-rounds/yard.toml", "--weather", "examples/first-yard/weather.csv"]
EXAMPLE = ["examples/first-yard/yard.toml", "--weather", "examples/first-yard/weather.csv"]


@pytest.mark.parametrize(
    "typed",
    [
        ["figures", "flight"],
        ["weather", EXAMPLE[-1]],
        ["season", *EXAMPLE],
        ["season", "--record", "{demo}"],
        ["yards", "{book}", "--add", *EXAMPLE],
        *(["ration", verb, RECIPE] for verb in ("analyse", "solve", "compare")),
        ["ration", "solve", "{at_odds}"],
        ["ration", "batch", RECIPE, "--out", "{sheet}"],
        ["evidence"],
        ["evidence", "examples/first-verdict/trial.json"],
        ["rounds", "search", *ROUNDS],
        ["rounds", "plan", *ROUNDS],
        ["rounds", "sheet", *ROUNDS, "--out", "{sheet}"],
        ["verdict", "examples/first-verdict/colonies.csv", "--cost", "16", "--price", "18"],
        ["check-group", "size", "examples/first-check-group/size.toml", "--unfed", "3", "--unfed", "24"],
        ["rounds", "stop", ROUNDS[0], "--bees-in", "200", "--with-pollen", "90", "--arcs", "6/6"],
    ],
    ids=lambda typed: "-".join(word for word in typed[:3] if word.strip("{}-_").isalpha()),
)
def test_what_a_command_prints_has_the_shape_on_the_page(typed, tmp_path, monkeypatch):
    from typer.testing import CliRunner

    from breadline.cli.app import app
    from breadline.jobs.demo import make_demo

    monkeypatch.chdir(tree.ROOT)
    book, demo = str(tmp_path / "book.sqlite"), tmp_path / "demo.sqlite"
    if "{demo}" in typed:
        make_demo(demo)
    at_odds, sheet = tmp_path / "at-odds.toml", tmp_path / "sheet.pdf"
    at_odds.write_text(
        tree.ROOT.joinpath(RECIPE).read_text("utf-8").replace("at_least = 15", "at_least = 60")
    )
    words = [word.format(book=book, demo=demo, at_odds=at_odds, sheet=sheet) for word in typed]
    result = CliRunner().invoke(app, [*words, "--json"])
    assert result.exit_code == 0, result.output
    printed = json.loads(result.stdout)
    command = max((n for n in sections() if f"breadline {' '.join(typed)} ".startswith(f"{n} ")), key=len)
    shapes = json_shapes(sections()[command])
    (documented,) = [shape for shape in shapes if shape["shape"] == printed["shape"]]
    assert not differences(documented, printed)
