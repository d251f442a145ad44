"""Help, and what the reader of the command line refuses, in the language that is asked for: by one root.

The commands are described in English where they stand; whoever prints or gathers them comes through here.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from breadline.language import ENGLISH, LANGUAGES, language, noted, noted_as, say, say_as

HEADS = (
    noted_as("help", "Usage"), noted_as("help", "Options"), noted_as("help", "Arguments"),
    noted_as("help", "Commands"),
)  # fmt: skip
SHOW_HELP = noted("Show this message and exit.")
MARKS = {  # behind a line of help
    r"\[required\]": noted("[required]"),
    r"\[default: (?P<what>.*?)\]": noted("[default: {what}]"),
    r"\[env var: (?P<what>.*?)\]": noted("[env var: {what}]"),
}
REFUSALS = {  # what the reader of the command line says
    r"No such option: (?P<name>\S+?)\.?": noted("there is no option {name}"),
    r"No such option: (?P<name>\S+) (?:\(Possible options: (?P<near>.+)\)|Did you mean (?P<nearest>.+)\?)":
        noted("there is no option {name}; close to it: {near}"),
    r"No such command '(?P<name>.+?)'\.(?: Did you mean .*)?": noted("there is no command {name}"),
    r"Missing argument '(?P<name>.+?)'\.": noted("{name} is missing"),
    r"Missing option '(?P<name>.+?)'\.": noted("{name} is missing"),
    r"Missing command\.": noted("no command is named"),
    r"Option '(?P<name>.+?)' requires an argument\.": noted("a value is missing after {name}"),
    r"Got unexpected extra arguments?(?:\(s\))? \((?P<what>.+)\)":
        noted("more is typed than the command takes: {what}"),
    r"Invalid value for '?(?P<name>[^':]+)'?: (?P<what>.+)":
        noted("what is given for {name} does not fit ({what})"),
}  # fmt: skip


def asked(typed: Sequence[str], around: Mapping[str, str]) -> str:
    """The language that is typed, else the one of the surroundings; English where neither is known."""
    named = around.get("BREADLINE_LANGUAGE", ENGLISH)
    for word, after in zip(typed, [*typed[1:], ""], strict=True):
        if word == "--language":
            named = after
        elif word.startswith("--language="):
            named = word.partition("=")[2]
    return named if named in LANGUAGES else ENGLISH


def helps(command: Any) -> Iterator[str]:
    """What the help of a command says, and that of all below it."""
    yield from filter(None, [command.help, *(getattr(one, "help", None) for one in command.params)])
    for below in getattr(command, "commands", {}).values():
        yield from helps(below)


def in_their_language(command: Any) -> Any:
    """A command as it was just made, with its help and that of all below it in this language."""
    if language() == ENGLISH:
        return command
    for one in (command, *command.params):
        if getattr(one, "help", None):
            one.help = say(one.help)
    command.context_class = _context_of(command.context_class)
    for below in getattr(command, "commands", {}).values():
        in_their_language(below)
    return command


def _context_of(plain: Any) -> Any:
    class Formatter(plain.formatter_class):  # type: ignore[misc]
        def write_usage(self, prog: str, args: str = "", prefix: str | None = None) -> None:
            super().write_usage(prog, args, f"{say_as('help', 'Usage')}: " if prefix is None else prefix)

        def write_heading(self, heading: str) -> None:
            super().write_heading(say_as("help", heading))

        def write_dl(self, rows: Sequence[tuple[str, str]], *more: Any, **named: Any) -> None:
            super().write_dl([(name, marked(text)) for name, text in rows], *more, **named)

    class Context(plain):  # type: ignore[misc]
        formatter_class = Formatter

    return Context


def marked(text: str) -> str:
    """A line of help with the marks behind it, and the one of --help, in this language."""
    if text == SHOW_HELP:
        return say(SHOW_HELP)
    for mark, told in MARKS.items():
        if found := re.search(mark, text):
            text = text.replace(found[0], say(told).format(**found.groupdict()))
    return text


def refused(message: str) -> str:
    """What the reader of the command line says of what was typed; as it is where it is not known."""
    if language() == ENGLISH:
        return message
    for known, told in REFUSALS.items():
        if found := re.fullmatch(known, message.strip(), re.S):
            fields = {name: value for name, value in found.groupdict().items() if value is not None}
            if "nearest" in fields:
                fields["near"] = fields.pop("nearest")
            return say(told).format(**fields)
    return message


def show(error: Any) -> None:
    """Print what was typed wrong, with how the command is used."""
    context = getattr(error, "ctx", None)
    if context is not None:
        print(context.get_usage(), file=sys.stderr)
        print(say("What it takes: {command} --help", command=context.command_path), file=sys.stderr)
    print(f"{say('Something to mend')}: {refused(error.format_message())}", file=sys.stderr)
