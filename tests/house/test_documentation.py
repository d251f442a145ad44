"""Every command has its section in docs/guide/commands.md, with its options and the shape of its --json."""

from __future__ import annotations

import json
import re

import pytest

from house import tree

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
    assert not [name for name, command in program.items() if "--json" not in options(command)]
    shapes = {name: json_shapes(section) for name, section in sections().items()}
    assert not [name for name, found in shapes.items() if not found], "show each shape in a ```json block"
    assert not [name for name, found in shapes.items() if any("version" not in shape for shape in found)]


def test_every_command_says_what_it_is_for(program):
    assert not [name for name, command in program.items() if not (command.help or "").strip()]
