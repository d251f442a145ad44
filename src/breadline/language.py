"""The language of whoever reads: messages with named fields, out of a catalogue (gettext).

English stands in the code and is what a message says where no catalogue has it. The language belongs to
the context (a request, a command, a sheet), so that one reader never changes another's. Text that is kept
in a book stays English and is looked up when it is shown.
"""

from __future__ import annotations

import gettext
import json
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

ENGLISH, PRETENDED = "en", "xx"
PHONE = "web/static/field/"  # where messages of the phone pages stand
LANGUAGES = {ENGLISH: "English", "es": "Español"}
_LANGUAGE: ContextVar[str] = ContextVar("language", default=ENGLISH)
_FIELD_OR_TAG = re.compile(r"(\{[^{}]*\}|%\(\w+\)s|%%|<[^<>]+>|&\w+;|;)")
_LINE = re.compile(r'(?:(msg\w+(?:\[\d\])?) )?("(?:[^"\\]|\\.)*")')  # of a catalogue
_TWO_WORDS = re.compile(r"\b([Aa]|[Dd]e) el (?=[a-záéíóúñü])")  # Spanish has one: al, del
_LETTERS = re.compile(r"[^\W\d_]")


def language() -> str:
    """The language of this context, "en" unless somebody chose another."""
    return _LANGUAGE.get()


@contextmanager
def speaking(code: str) -> Iterator[None]:
    """All within is said in that language; one that is not known leaves it as it is."""
    before = _LANGUAGE.set(code if code in LANGUAGES or code == PRETENDED else language())
    try:
        yield
    finally:
        _LANGUAGE.reset(before)


def speak(code: str) -> None:
    """That language from here on: of a whole command; a part of a program takes ``speaking``."""
    _LANGUAGE.set(code)


def chosen(wanted: str) -> str:
    """The first language we have of those that a browser accepts ("es-MX,es;q=0.9"), else this context's."""
    told = []
    for n, part in enumerate(wanted.split(",")):
        name, _, rest = part.partition(";")
        found = re.search(r"q=([01](?:\.\d+)?)", rest)
        told.append((-float(found[1]) if found else -1.0, n, name.strip().lower().partition("-")[0]))
    return next((code for worth, _, code in sorted(told) if code in LANGUAGES and worth < 0), language())


def say(message: str, **fields: Any) -> str:
    """A message in this language with its fields filled in: ``say("{yard} is short", yard=name)``."""
    return _filled(_catalogue(language()).gettext(message), fields)


def _filled(told: str, fields: Mapping[str, Any]) -> str:
    """The message with its fields; in Spanish "a" and "de" join the "el" that a field begins with."""
    if not fields:
        return told
    said = told.format(**fields)
    return said if language() != "es" else _TWO_WORDS.sub(lambda of: f"{of[1]}l ", said)


def say_as(context: str, message: str, **fields: Any) -> str:
    """The same where one English word has two meanings; ``context`` tells them apart."""
    return _filled(_catalogue(language()).pgettext(context, message), fields)


def say_counted(one: str, many: str, count: int, **fields: Any) -> str:
    """The form for that number; it is the field ``n`` unless ``n`` is given as it is to be written."""
    return _filled(_catalogue(language()).ngettext(one, many, count), {"n": count} | fields)


@dataclass(frozen=True)
class Later:
    """A message that is kept as it is and said where it is shown, in the language spoken there."""

    one: str
    many: str = ""
    n: int = 1
    fields: tuple[tuple[str, Any], ...] = ()

    def __str__(self) -> str:
        fields = dict(self.fields)
        if self.many:
            return say_counted(self.one, self.many, self.n, **fields)
        return say(self.one, **fields)

    def __format__(self, spec: str) -> str:
        return format(str(self), spec)


def say_later(message: str, **fields: Any) -> Later:
    """As ``say``, but said where it is shown; for what is worked out once and read by several."""
    return Later(message, fields=tuple(fields.items()))


def noted(message: str) -> str:
    """The message itself, marked for the catalogue: it is looked up where it is shown."""
    return message


def noted_as(context: str, message: str) -> str:
    """The same, for ``say_as``."""
    return message


def found(message: str) -> str:
    """As ``say`` without fields, for a template, whose fields are its own affair."""
    return _catalogue(language()).gettext(message)


def found_counted(one: str, many: str, count: int) -> str:
    """As ``say_counted``, for a template."""
    return _catalogue(language()).ngettext(one, many, count)


def for_phones() -> Mapping[str, Any]:
    """The messages of the phone pages in this language; none for English, which stands in their script."""
    if language() == PRETENDED:
        return {key: _pretended_all(told) for key, told in _phones("es").items()}
    return {} if language() == ENGLISH else _phones(language())


@cache
def _phones(code: str) -> Mapping[str, Any]:
    of = _read(code)
    told = {one: of.several[one] if one in of.several else of.single["", one] for one in of.of_phones}
    return dict(sorted(told.items()))


@cache
def _catalogue(code: str) -> gettext.NullTranslations:
    if code == PRETENDED:
        return _Pretended()
    return gettext.NullTranslations() if code == ENGLISH else _read(code)


@cache
def _read(code: str) -> _Catalogue:
    kept = files("breadline").joinpath("locale", code, "LC_MESSAGES", "breadline.po")
    return _Catalogue(kept.read_text(encoding="utf-8"))


class _Catalogue(gettext.NullTranslations):
    """A catalogue read from its text, so that no compiled copy of it can be out of date.

    Languages here have two forms, one for 1 and one for any other number.
    """

    def __init__(self, text: str) -> None:
        super().__init__()
        self.single: dict[tuple[str, str], str] = {}
        self.several: dict[str, list[str]] = {}
        self.of_phones: set[str] = set()
        for entry in text.split("\n\n"):
            self._take(entry)

    def _take(self, entry: str) -> None:
        told: dict[str, str] = {}
        at = ""
        for line in entry.splitlines():
            if found := _LINE.fullmatch(line):
                at = found[1] or at
                told[at] = told.get(at, "") + json.loads(found[2])
        one = told.get("msgid", "")
        if not one or "fuzzy" in entry.partition("msgid")[0]:
            return
        if PHONE in entry.partition("msgid")[0]:
            self.of_phones.add(one)
        if "msgid_plural" in told:
            self.several[one] = [told["msgstr[0]"], told["msgstr[1]"]]
        else:
            self.single[told.get("msgctxt", ""), one] = told["msgstr"]

    def gettext(self, message: str) -> str:
        return self.single.get(("", message)) or message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        one, many = self.several.get(msgid1) or (msgid1, msgid2)
        return one if n == 1 else many

    def pgettext(self, context: str, message: str) -> str:
        return self.single.get((context, message)) or message


class _Pretended(gettext.NullTranslations):
    """A language for the tests: English, with brackets round all that comes out of the catalogue."""

    def gettext(self, message: str) -> str:
        return _pretended(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return _pretended(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:
        return _pretended(message)


def _pretended(message: str) -> str:
    parts = _FIELD_OR_TAG.split(message)
    return "".join(
        part if n % 2 or not _LETTERS.search(part) else f"⟦{part}⟧" for n, part in enumerate(parts)
    )


def _pretended_all(told: Any) -> Any:
    return _pretended(told) if isinstance(told, str) else [_pretended(one) for one in told]
