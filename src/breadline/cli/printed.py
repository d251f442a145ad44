"""What the commands print: lines for people, one JSON document for programs."""

from __future__ import annotations

import codecs
import json
import re
import sys
import textwrap
import unicodedata
from collections.abc import Iterable
from typing import Any, NoReturn, TextIO

from rich.console import Console
from rich.text import Text

from breadline.language import say as worded

WIDEST, NARROWEST = 96, 24  # letters a line

READER_GONE = 141  # what a shell calls a program that its closed pipe ended: 128 + SIGPIPE
ORDERS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")  # control letters but tab and line end
ITEM = re.compile(r" +(?:\d+\.|-)? *")  # the indent of a line, with the number or dash of a list

# where the terminal's own letters lack ours; NFKD would turn 5½ into 51⁄2
SPELLED = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "−": "-", "–": "-", "×": "x", "÷": "/", "°": "deg "} | {
    "…": "...", "·": "*", "“": '"', "”": '"', "’": "'",
}  # fmt: skip


def first_season() -> str:
    """Why the first season on a machine takes longer."""
    return worded("(the first one on a machine takes longer, it is compiled)")


class Paper(Console):
    """Standard output; ends quietly where the reader of a pipe has left, as in ``| head``."""

    def __init__(self) -> None:
        super().__init__(highlight=False, emoji=False, markup=False)

    def on_broken_pipe(self) -> NoReturn:
        """Nothing more is written, and no complaint made."""
        try:
            super().on_broken_pipe()
        except SystemExit:
            raise SystemExit(READER_GONE) from None
        raise SystemExit(READER_GONE)

    @property
    def letters(self) -> int:
        """How many go in a line: the terminal's width, within what reads well."""
        return max(NARROWEST, min(self.width, WIDEST))


def shown(document: dict[str, Any]) -> None:
    """Print a JSON document, in ASCII where the output is not UTF-8: the document stays the same."""
    utf8 = codecs.lookup(sys.stdout.encoding or "utf-8").name == "utf-8"
    Paper().out(json.dumps(document, ensure_ascii=not utf8, indent=2, allow_nan=False), highlight=False)


def told(lines: Iterable[tuple[str, str]]) -> None:
    """Print lines with their style, wrapped under their own first letter."""
    paper = Paper()
    for style, line in lines:
        line = without_orders(line)
        lead = ITEM.match(line)
        indent = " " * len(lead[0]) if lead else ""
        text = textwrap.fill(
            line, paper.letters, subsequent_indent=indent, break_long_words=False,
            break_on_hyphens=False,  # a path or an option would no longer be one when it is copied
        )  # fmt: skip
        paper.print(Text(text, style=style), soft_wrap=True)


def without_orders(text: str) -> str:
    """A text without the letters that order a terminal about: a tag of somebody's file may hold any."""
    return ORDERS.sub("", text)


def say(*lines: str) -> None:
    """Print plain lines."""
    told(("", line) for line in lines)


def spell_out(stream: TextIO) -> None:
    """Let a stream that knows fewer letters write "5 1/2" for "5½" instead of breaking off."""
    codecs.register_error("breadline.spelled", _spelled)
    reconfigure = getattr(stream, "reconfigure", None)  # a stream put in its place may have none
    if reconfigure is not None:
        reconfigure(errors="breadline.spelled")


def _spelled(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(_plain(c) for c in error.object[error.start : error.end]), error.end


def _plain(letter: str) -> str:
    bare = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode()
    return SPELLED.get(letter, bare or "?")
