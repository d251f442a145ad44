"""A recipe as the fields of a form, read by the reader of recipe files: one set of checks serves both.

Fields are called by table, line and key of a recipe file: ``part-0-amount``, ``mixing-batch``, ``name``.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from breadline.errors import BreadlineError, FeedRefused, InputToMend, RecipeError
from breadline.jobs.recipe_file import recipe_from_text, recipe_to_toml
from breadline.jobs.recipe_written import RecipeFile
from breadline.jobs.two_ways import asked_which, two_readings
from breadline.jobs.yard_text import section
from breadline.language import say
from breadline.web.field_words import field_name, in_form_words
from breadline.web.recipe_units import as_in_file

Tables = dict[str, Any]
LISTS = ("part", "ingredient", "feed", "price", "target")
SINGLES = ("solve", "mixing", "pollen", "known")
# A line of a list counts as written where one of these is.
WRITTEN = {
    "part": ("ingredient", "amount"), "price": ("price",), "target": ("at_least", "at_most"),
    "ingredient": ("key", "name", "protein_pct"), "feed": ("name",),
}  # fmt: skip
TEXTS = {"name", "note", "country", "money", "ingredient", "unit", "of", "to", "per", "bag_unit", "basis",
         "protein_on", "key", "origin", "rays", "certificate", "patty_unit", "bucket_level",
         "counted"}  # fmt: skip
TRUTHS = {"free_of_foulbrood", "frozen", "honey_own", "for_sale"}
MANY = {"ingredients", "whole_bags", "traits"}
LONGEST, LONGEST_LIST = 400, 8000  # letters of a field, and of all ticked boxes of one name together
_FIELD = re.compile(r"^([a-z]+)-(\d+)-([a-z_0-9]+)$")
_SINGLE = re.compile(r"^([a-z]+)-([a-z_0-9]+)$")
_COMMA = re.compile(r"(?<![\d.,])(\d+),(\d+)(?![\d.,])")
_THOUSANDS = re.compile(r"^[1-9]\d{0,2},\d{3}$")
_RANGE = re.compile(r"^(\d+(?:\.\d+)?)\s*(?:-|–|to)\s*(\d+(?:\.\d+)?)$")
_SPOT = re.compile(r"\[\[?(\w+)\]\]?(?: (\d+))?(?:, (\w+))?$")


def tables_of(file: RecipeFile) -> Tables:
    """A recipe as the tables of its file."""
    return tomllib.loads(recipe_to_toml(file))


def text_of(tables: Tables) -> str:
    """The tables as the text of a recipe file."""
    parts = [section("", {k: v for k, v in tables.items() if k not in LISTS + SINGLES}).strip()]
    parts += [section(f"[[{name}]]", one) for name in LISTS for one in tables.get(name, [])]
    parts += [section(f"[{name}]", tables[name]) for name in SINGLES if tables.get(name)]
    return "\n\n".join(part for part in parts if part) + "\n"


def fields_of(tables: Tables) -> dict[str, str]:
    """What the form shows: every value of the tables as it is typed."""
    typed: dict[str, str] = {}
    for key, value in tables.items():
        if key in LISTS:
            for n, one in enumerate(value):
                typed |= {f"{key}-{n}-{inner}": typed_value(v) for inner, v in one.items()}
        elif key in SINGLES:
            typed |= {f"{key}-{inner}": typed_value(v) for inner, v in value.items()}
        else:
            typed[key] = typed_value(value)
    return typed


def typed_value(value: Any) -> str:
    """One value as a person would type it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " to ".join(typed_value(v) for v in value) if _numbers(value) else "|".join(value)
    if isinstance(value, float):
        return f"{value:.10g}"
    return str(value)


def _numbers(value: list[Any]) -> bool:
    return bool(value) and all(isinstance(v, int | float) for v in value)


class Typed:
    """What a form sent, and where each line of it came to stand."""

    def __init__(self, sent: Mapping[str, str]) -> None:
        self.sent = {key: value for key, value in sent.items() if len(key) < 80}
        self.rows: dict[str, list[int]] = {}

    def tables(self, kept: Tables, sections: Sequence[str]) -> Tables:
        """``kept`` with the sections that this form is about replaced by what was typed.

        Errors
        ------
        RecipeError
            Where a number has a comma or a field is too long; names the field.
        """
        made = {key: value for key, value in kept.items() if key not in sections}
        for name in sections:
            if name in LISTS:
                if lines := self._lines(name):
                    made[name] = lines
            elif name in SINGLES:
                if single := self._single(name):
                    made[name] = single
            elif (value := self._value(name, name, self.sent.get(name, ""))) is not None:
                made[name] = value
        return made

    def field(self, error: BreadlineError) -> str:
        """The field that an error is about; empty where it is about none."""
        if error.where in self.sent:
            return error.where
        found = _SPOT.search(error.where)
        if found is None:
            last = error.where.rsplit(", ", 1)[-1]
            return last if last in self.sent else ""
        name, n, key = found[1], found[2], found[3] or ""
        if n is None:
            return f"{name}-{key}"
        rows = self.rows.get(name, [])
        row = rows[int(n) - 1] if int(n) <= len(rows) else int(n) - 1
        for once in (
            key,
            f"mixing-{key}",
        ):  # said once for all lines, as money and the bucket are
            if f"{name}-{row}-{key}" not in self.sent and once in self.sent:
                return once
        return f"{name}-{row}-{key}" if key else f"{name}-{row}-{WRITTEN[name][0]}"

    def _lines(self, name: str) -> list[Tables]:
        by_row: dict[int, Tables] = {}
        for key, text in self.sent.items():
            found = _FIELD.match(key)
            if found and found[1] == name:
                if name == "price" and found[3] == "price":
                    self._one_price(key, found[2], text)
                value = self._value(key, found[3], text)
                if value is not None:
                    by_row.setdefault(int(found[2]), {})[found[3]] = value
        for one in by_row.values():
            if name == "price" and one.get("of") == "water" and one.get("price") == 0:
                del one["price"]  # water for nothing is water without a price; of all else 0 is a slip
        written = {n: one for n, one in sorted(by_row.items()) if any(key in one for key in WRITTEN[name])}
        self.rows[name] = list(written)
        return list(written.values())

    def _one_price(self, field: str, row: str, text: str) -> None:
        """That a price is one number, with no point between thousands; RecipeError names the field."""
        money = self.sent.get(f"price-{row}-money") or self.sent.get("money", "")
        if readings := two_readings(text, money):
            raise RecipeError(field, *asked_which(text, readings))

    def _single(self, name: str) -> Tables:
        made = {}
        for key, text in self.sent.items():
            found = _SINGLE.match(key)
            if found and found[1] == name and (value := self._value(key, found[2], text)) is not None:
                made[found[2]] = value
        return made

    def _value(self, field: str, key: str, text: str) -> Any:
        """What was typed as a value of the file; None where the field was left empty."""
        text = text.strip()
        if not text:
            return None
        if len(text) > (LONGEST_LIST if key in MANY else LONGEST):
            raise RecipeError(
                field,
                say("it is too long"),
                say("at most {longest} letters", longest=LONGEST),
                say("Shorten it"),
            )
        if key in TEXTS:
            return text
        if key in TRUTHS:
            return text == "yes"
        if key in MANY:
            return [one for one in text.split("|") if one]
        return as_in_file(self.sent, field, _number(field, text))


def _number(field: str, text: str) -> Any:
    plain = _with_points(field, text.replace("\u2212", "-").removesuffix("%").strip())
    if found := _RANGE.match(plain):
        return [float(found[1]), float(found[2])]
    if re.fullmatch(r"-?\d{1,9}", plain):
        return int(plain)
    try:
        return float(plain)
    except ValueError:
        return text  # the reader says what it makes of a text here


def _with_points(field: str, plain: str) -> str:
    """1,5 is one and a half; of 1,500 nobody knows, so it is asked.

    Errors
    ------
    RecipeError
        Where a comma may stand between thousands; names the field.
    """
    for found in _COMMA.finditer(plain):
        if _THOUSANDS.match(found[0]):
            whole, part = found[1] + found[2], f"{found[1]}.{found[2]}".rstrip("0").rstrip(".")
            raise RecipeError(
                field,
                say('"{found}" can be read in two ways', found=found[0]),
                say("a number with a point or with neither"),
                say(
                    "Is that {spaced}? Write {whole}. Or {found} and a bit? Write {part}",
                    spaced=_spaced(whole),
                    whole=whole,
                    found=found[1],
                    part=part,
                ),
            )
    return _COMMA.sub(r"\1.\2", plain)


def _spaced(whole: str) -> str:
    return f"{whole[:-3]}\u202f{whole[-3:]}"


def read_typed(tables: Tables, where: str) -> RecipeFile:
    """The recipe that the tables say.

    Errors
    ------
    RecipeError
        As of ``recipe_from_text``; ``where`` is how the recipe is called in it.
    """
    try:
        return recipe_from_text(text_of(tables), where)
    except InputToMend as error:
        raise in_form_words(error) from None


@dataclass(frozen=True)
class Trouble:
    """An error as a page tells it; of a refusal the first sentence comes before the rest."""

    where: str
    what: str
    expected: str
    do: str
    refuses: bool

    @property
    def first(self) -> str:
        """Its first sentence."""
        head, stop, _ = self.what.partition(". ")
        return head + stop.strip()

    @property
    def rest(self) -> str:
        """What follows the first sentence."""
        return self.what.removeprefix(self.first).strip()


def trouble_of(error: BreadlineError, where: str = "") -> Trouble:
    """An error in the words of a page; ``where`` is what its field is called there."""
    refuses = isinstance(error, FeedRefused)
    return Trouble(where or said_where(error), error.what, error.expected, error.do, refuses)


def said_where(
    error: BreadlineError, field: str = "", sent: Mapping[str, str] | None = None,
    names: Mapping[str, str] | None = None,
) -> str:  # fmt: skip
    """Where an error is, by what the field is called; without the lines of a file that nobody sees."""
    if called := field_name(field or error.where, sent or {}, names or {}):
        return called
    if row := _FIELD.match(error.where):
        return f"{row[1]} {int(row[2]) + 1}, {row[3].replace('_', ' ')}"
    if one := _SINGLE.match(error.where):
        return f"{one[1]}, {one[2].replace('_', ' ')}"
    parts = [p for p in error.where.split(", ") if not p.startswith("line ")]
    return ", ".join(re.sub(r"\[\[?(\w+)\]\]?", r"\1", p).replace("_", " ") for p in parts)
