"""The words of a template that stand in it bare, so that no catalogue can change them."""

from __future__ import annotations

import re
from pathlib import Path

from jinja2 import nodes
from jinja2.lexer import (
    TOKEN_BLOCK_BEGIN,
    TOKEN_BLOCK_END,
    TOKEN_DATA,
    TOKEN_VARIABLE_BEGIN,
    TOKEN_VARIABLE_END,
)

from breadline.web.views import ENVIRONMENT

SAYS = {"say", "say_as", "say_counted"}
READ_ALOUD = re.compile(r"\b(?:aria-label|placeholder|title|alt|data-head)=\"([^\"]*)\"")
NOT_WORDS = re.compile(r"<(script|style|code)\b.*?</\1>|<!--.*?-->|&\w+;", re.S)
MARKUP = re.compile(r"<[^<>]*>| [a-z-]+=\"[^\"]*\"")  # a tag, or attributes that a macro puts into one
WORD = re.compile(r"[^\W\d_]{2,}")
# what is the same in every language
NAMES = {
    "Breadline",
    "English",
    "Español",
    "PDF",
    "JSON",
    "CSV",
    "GeoJSON",
    "SQLite",
    "lb",
    "kg",
    "oz",
    "km",
    "mm",
}


def bare_words(path: Path) -> list[str]:
    """Words of a template's text, of what is read aloud, and of its expressions, outside the catalogue."""
    text = path.read_text(encoding="utf-8")
    plain = NOT_WORDS.sub(" ", _outside_jinja(text))
    shown = [MARKUP.sub(" ", plain), *READ_ALOUD.findall(plain)]
    found = [word for part in shown for word in WORD.findall(part)]
    return [word for word in [*found, *_in_expressions(text)] if word not in NAMES]


def _outside_jinja(text: str) -> str:
    """The template without its code and without what its trans blocks hold."""
    kept, inside, translated, begins = [], False, False, False
    for _, kind, value in ENVIRONMENT.lex(text):
        if kind in (TOKEN_BLOCK_BEGIN, TOKEN_VARIABLE_BEGIN):
            inside = begins = True
        elif kind in (TOKEN_BLOCK_END, TOKEN_VARIABLE_END):
            inside = False
        elif inside and begins and kind == "name":
            begins = False
            translated = (translated or value == "trans") and value != "endtrans"
        elif kind == TOKEN_DATA and not translated:
            kept.append(value)
    return "".join(kept)


def _in_expressions(text: str) -> list[str]:
    """Strings of expressions that read like words: with a space between, or a capital at the head."""
    tree = ENVIRONMENT.parse(text)
    said = {
        id(const)
        for call in tree.find_all(nodes.Call)
        if isinstance(call.node, nodes.Name) and call.node.name in SAYS | {"gettext", "ngettext"}
        for const in call.args
    }
    said |= {
        id(const)
        for test in tree.find_all((nodes.Compare, nodes.Test))
        for const in test.find_all(nodes.Const)
    }
    return [
        const.value
        for const in tree.find_all(nodes.Const)
        if isinstance(const.value, str)
        and id(const) not in said
        and re.search(r"[a-z,:] [a-z]|^[A-Z][a-z]", const.value)
        and "<" not in const.value
    ]
