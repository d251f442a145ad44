"""Help and refusals of the command line in the language that is asked for before it is read."""

from __future__ import annotations

import os
import re
import subprocess
import sys

import pytest
from typer.main import get_command

from breadline.cli.app import TypedWrong, app
from breadline.cli.help_words import asked, helps, in_their_language, refused
from breadline.language import PRETENDED, say, speaking

TYPED_WRONG = (
    ["seasonn"], ["season", "--frobnicate"], ["season", "a", "b", "c"], ["backup"], ["season", "--weather"],
    ["season", "--seed", "x"], ["serve", "--port", "0"], ["ration", "analyze"],
)  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "around", "code"),
    [
        (["season", "--help"], "", "en"),
        (["season", "--help"], "es", "es"),
        (["--language", "es", "season"], "", "es"),
        (["--language=es", "season"], "en", "es"),
        (["--units", "kg", "--language", "en", "season"], "es", "en"),
        (["--language"], "", "en"),
        (["--language", "xy"], "", "en"),
    ],
)
def test_the_language_is_known_before_the_command_is_read(typed, around, code):
    assert asked(typed, {"BREADLINE_LANGUAGE": around} if around else {}) == code


def commands(command, name="breadline"):
    yield name, command
    for word, below in getattr(command, "commands", {}).items():
        yield from commands(below, f"{name} {word}")


def help_of(command, name: str) -> str:
    context = command.make_context(name, [], resilient_parsing=True)
    return command.get_help(context)


def test_every_help_is_whole_in_spanish():
    english = dict(commands(get_command(app)))
    with speaking("es"):
        spanish = dict(commands(in_their_language(get_command(app))))
        shown = {name: help_of(command, name) for name, command in spanish.items()}
    assert spanish.keys() == english.keys()
    for name, text in shown.items():
        assert text.startswith(f"Uso: {name}")
        assert "Muestra este mensaje y termina." in text
        assert not re.search(
            r"^(?:Usage|Options|Arguments|Commands):|\[default|\[required|if not given", text, re.M
        )
        whole = "".join(text.split())
        for told in filter(
            None, [english[name].help, *(getattr(p, "help", None) for p in english[name].params)]
        ):
            with speaking("es"):
                assert "".join(say(told).split()) in whole


def test_no_help_goes_past_the_catalogue():
    with speaking(PRETENDED):
        assert all(say(text).startswith("⟦") or not text[0].isalpha() for text in helps(get_command(app)))
        assert all(
            text.startswith("⟦") or not text[0].isalpha()
            for text in helps(in_their_language(get_command(app)))
        )


def test_english_stays_as_it_is_written():
    command = get_command(app)
    assert in_their_language(command) is command
    assert help_of(command, "breadline").startswith("Usage: breadline")


@pytest.mark.parametrize("typed", TYPED_WRONG, ids=" ".join)
def test_what_is_typed_wrong_is_said_in_spanish(typed):
    with pytest.raises(TypedWrong) as wrong:
        get_command(app)(typed, standalone_mode=False)
    with speaking("es"):
        said = refused(wrong.value.format_message())
    assert said != wrong.value.format_message()
    assert re.match(r"no hay |falta |se escribió |lo que se da ", said)
    assert refused("something that nobody knows") == "something that nobody knows"


def test_at_the_terminal():
    around = os.environ | {"BREADLINE_LANGUAGE": "es", "COLUMNS": "100"}
    run = [sys.executable, "-c", "from breadline.cli.app import main; main()"]
    told = subprocess.run([*run, "season", "--help"], env=around, capture_output=True, text=True, check=True)
    assert "El archivo del apiario (TOML)." in told.stdout
    wrong = subprocess.run([*run, "season", "--frobnicate"], env=around, capture_output=True, text=True)
    assert wrong.returncode == 2
    assert "Algo que corregir: no hay opción --frobnicate" in wrong.stderr
    assert "Lo que toma:" in wrong.stderr
    named = subprocess.run([*run, "season"], env=around, capture_output=True, text=True)
    assert "necesita un archivo de apiario y un archivo de clima" in named.stderr
