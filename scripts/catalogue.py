"""Gathers every message of the program into its catalogues.

./scripts/catalogue: gathers, keeps what is translated; names what is missing or doubtful.
"""

from __future__ import annotations

import ast
import csv
import io
import json
import re
import sys
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po
from typer.main import get_command

from breadline.cli.app import app
from breadline.cli.help_words import helps
from breadline.language import PHONE
from breadline.web.views import ENVIRONMENT, TEMPLATES

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "breadline"
LOCALE = SOURCE / "locale"
OTHERS = ("es",)
SAYS = {"say", "say_later", "worded", "noted", "say_as", "noted_as", "say_counted", "counted"}
IN_TEMPLATES = ("gettext", "ngettext", "pgettext", "npgettext", "_", *sorted(SAYS))
IN_SCRIPTS = re.compile(r'\b(say|sayCounted)\(("(?:[^"\\]|\\.)*")(?:, ("(?:[^"\\]|\\.)*"))?')
ON_THE_SHELF = {  # table, its part, and the fields that are shown as they stand
    "knowledge/cautions.toml": ("", ("line", "ask", "short")),
    "knowledge/countries.toml": ("", ("name", "why", "ask", "drugs", "imports", "movement", "selling")),
    "knowledge/feed_rules.toml": ("", ("line", "why", "ask")),
    "knowledge/amino_pattern.toml": ("", ("label", "in_short", "critique")),
}
INGREDIENTS = "knowledge/ingredients.csv"
CALENDARS = "knowledge/calendars.toml"  # regions, and what sources say otherwise
TRIALS = "knowledge/evidence.csv"
OF_A_TRIAL = ("place", "when", "forage_reason", "feed", "outcome", "why_no_vote")  # as they are shown
HELP = "cli/help_words.py"  # which asks every command for its help
FIGURES = "knowledge/figures"  # what each means; units that are words
OF_LETTERS = re.compile(r"[a-z]{2,}", re.IGNORECASE)
WORD = re.compile(r"[a-z]{3,}", re.IGNORECASE)
HEAD = "# Messages of Breadline. No native beekeeper has read the Spanish yet."
FIELD = re.compile(r"\{(\w+)[^{}]*\}|%\((\w+)\)s")
FIRST = datetime(
    2026, 11, 26, tzinfo=UTC
)  # written into the catalogues, so that they change with their words only


@dataclass(frozen=True)
class Message:
    """One message where it stands; ``many`` is its form for several."""

    one: str
    file: str
    many: str = ""
    context: str = ""


def messages() -> list[Message]:
    """All messages, in the order of their files."""
    found: list[Message] = []
    for path in sorted(SOURCE.rglob("*.py")):
        found += of_python(path.read_text(encoding="utf-8"), place(path))
    found += [Message(text, HELP) for text in dict.fromkeys(helps(get_command(app)))]
    for path in sorted(TEMPLATES.rglob("*")):
        found += of_template(path.read_text(encoding="utf-8"), place(path))
    for path in sorted((SOURCE / PHONE).glob("*.js")):
        found += of_script(path.read_text(encoding="utf-8"), place(path))
    for name, (part, fields) in ON_THE_SHELF.items():
        found += of_shelf(name, part, fields)
    table = list(csv.DictReader((SOURCE / INGREDIENTS).read_text(encoding="utf-8").splitlines()))
    found += [Message(row["name"], INGREDIENTS) for row in table]
    found += [Message(row["note"], INGREDIENTS) for row in table if row["note"]]
    found += of_trials()
    for told in tomllib.loads((SOURCE / CALENDARS).read_text(encoding="utf-8")).values():
        found += [Message(told["name"], CALENDARS)]
        found += [Message(other["what"], CALENDARS) for other in told.get("disagrees", ())]
    for path in sorted((SOURCE / FIGURES).glob("*.toml")):
        found += of_figures(tomllib.loads(path.read_text(encoding="utf-8")), place(path))
    return found


def place(path: Path) -> str:
    """A file as the catalogue names it."""
    return path.relative_to(SOURCE).as_posix()


def of_python(text: str, file: str) -> Iterator[Message]:
    """Calls with their words in full; what is looked up at run time is marked elsewhere by ``noted``."""
    says = (
        SAYS if re.search(r"from breadline(\.language import| import language\b)", text) else {"counted"}
    )  # the terminal has a say of its own
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call):
            name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
            if name in says:
                given = [one.value if isinstance(one, ast.Constant) else None for one in node.args]
                yield from _called(name, given, file)


def _called(name: str, given: list[object], file: str) -> Iterator[Message]:
    words = [one if isinstance(one, str) else None for one in given]
    if name == "counted":  # a number and its noun
        noun, many = [*words, None, None][1:3]
        if noun is not None:
            yield Message(f"{{n}} {noun}", file, f"{{n}} {many or noun + 's'}")
    elif name in ("say_as", "noted_as", "pgettext"):
        if len(words) > 1 and words[0] and words[1]:
            yield Message(words[1], file, context=words[0])
    elif name in ("say_counted", "ngettext"):
        if len(words) > 1 and words[0] and words[1]:
            yield Message(words[0], file, words[1])
    elif words and words[0]:
        yield Message(words[0], file)


def of_template(text: str, file: str) -> Iterator[Message]:
    """Blocks and calls of a template."""
    for _, name, told in ENVIRONMENT.extract_translations(text, IN_TEMPLATES):  # type: ignore[attr-defined]
        yield from _called(name, list(told) if isinstance(told, tuple) else [told], file)


def of_script(text: str, file: str) -> Iterator[Message]:
    """Calls of a script, one inside another too."""
    for name, one, many in IN_SCRIPTS.findall(text):
        if name == "sayCounted":
            yield Message(json.loads(one), file, json.loads(many))
        else:
            yield Message(json.loads(one), file)


def of_shelf(name: str, part: str, fields: tuple[str, ...]) -> Iterator[Message]:
    """Lines of a table of the shelf; of a table of names alone all of them."""
    told = tomllib.loads((SOURCE / name).read_text(encoding="utf-8"))
    for row in (told[part] if part else told).values():
        found = [row[field] for field in fields if field in row] or list(row.values())
        found += [text for field in fields if isinstance(row.get(field), list) for text in row[field]]
        yield from (Message(one, name) for one in found if isinstance(one, str) and one)


def of_trials() -> Iterator[Message]:
    """What published trials fed and measured, where, when and at what forage."""
    table = list(csv.DictReader((SOURCE / TRIALS).read_text(encoding="utf-8").splitlines()))
    shown = [row[field] for row in table for field in OF_A_TRIAL]
    yield from (Message(text, TRIALS) for text in dict.fromkeys(shown) if OF_LETTERS.search(text))
    units = (row["unit"] for row in table)
    yield from (Message(unit, TRIALS, context="unit") for unit in dict.fromkeys(units) if WORD.search(unit))


def of_figures(table: Mapping[str, Any], name: str) -> Iterator[Message]:
    """What each figure of a file means, its note, and its unit where that is a word."""
    for inner in table.values():
        if not isinstance(inner, Mapping):
            continue
        if "meaning" not in inner:
            yield from of_figures(inner, name)
            continue
        yield Message(inner["meaning"], name)
        if note := inner.get("note"):
            yield Message(note, name)
        if WORD.search(inner["unit"]):
            yield Message(inner["unit"], name, context="unit")


def gathered() -> Catalog:
    """An empty catalogue of all messages."""
    made = Catalog(project="Breadline", version="1", creation_date=FIRST, fuzzy=False, header_comment=HEAD)
    for one in messages():
        key = (one.one, one.many) if one.many else one.one
        made.add(key, locations=[(one.file, 0)], context=one.context or None)
    return made


def path_of(code: str) -> Path:
    """The catalogue of a language."""
    return LOCALE / code / "LC_MESSAGES" / "breadline.po"


def kept(code: str) -> Catalog:
    """The catalogue of a language as it is kept."""
    path = path_of(code)
    if not path.exists():
        return Catalog(locale=code, creation_date=FIRST)
    with path.open("rb") as file:
        return read_po(file, locale=code, domain="breadline")


def brought_up(code: str) -> Catalog:
    """The kept catalogue with the messages of today; what nobody says any more is dropped."""
    of, now = kept(code), gathered()
    of.update(now, no_fuzzy_matching=True, update_creation_date=False)
    of.obsolete.clear()
    of.creation_date = of.revision_date = FIRST
    of.fuzzy = False
    return of


def written(of: Catalog) -> bytes:
    """The catalogue as text."""
    out = io.BytesIO()
    write_po(out, of, width=110, sort_by_file=True, include_lineno=False, ignore_obsolete=True)
    return out.getvalue()


def faults(of: Catalog) -> list[str]:
    """What is missing, doubtful, or has other fields than the English."""
    found = []
    for one in of:
        if not one.id:
            continue
        ids = [one.id] if isinstance(one.id, str) else list(one.id)
        told = [one.string or ""] if not isinstance(one.string, tuple | list) else list(one.string)
        if one.fuzzy or not all(told):
            found.append(f"{'doubtful' if one.fuzzy else 'missing'}: {ids[0]}")
            continue
        wanted = [fields_of(text) for text in ids]
        wrong = [text for n, text in enumerate(told) if fields_of(text) != wanted[min(n, len(wanted) - 1)]]
        found += [f"other fields: {text}" for text in wrong]
    return found


def fields_of(text: str) -> set[str]:
    """The names of a message's fields, with the tags of its markup."""
    named = {a or b for a, b in FIELD.findall(text)}
    return named | set(re.findall(r"<[^<>]+>", text))


def main() -> int:
    """Bring every catalogue up to date; 1 where something is missing."""
    left = 0
    for code in OTHERS:
        of = brought_up(code)
        path_of(code).parent.mkdir(parents=True, exist_ok=True)
        path_of(code).write_bytes(written(of))
        wrong = faults(of)
        print(f"{code}: {len(of)} messages, {len(wrong)} to mend", *wrong, sep="\n  ")
        left += len(wrong)
    return 1 if left else 0


if __name__ == "__main__":
    sys.exit(main())
