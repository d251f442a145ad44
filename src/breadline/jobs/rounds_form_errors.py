"""An error of a plan that was typed into the form, in the words of the form and not of the plan file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from breadline.errors import BreadlineError
from breadline.jobs.rounds_form import Field
from breadline.language import noted, say

PRICES = ("price", "fee", "premium", "value", "wage", "mile", "a_km", "load_cost")  # that have a year
YEAR = noted("year = 2026 at the top, or {key}_year")
FORM: tuple[tuple[str, str], ...] = (  # of the file, of the form
    (noted('Say what the price is for: per = "lb"'), noted("Choose what the price is for")),
    (noted("a number without quotes and without a unit"), noted("a number without a unit")),
    (
        noted("Write what you are paid or were quoted, or leave the line out"),
        noted("Write what you are paid or were quoted, or leave it empty"),
    ),
    (
        noted("A count can't be below 0; leave the line out if you don't know it"),
        noted("It can't be below 0; leave it empty if you don't know it"),
    ),
    (noted("for the unit in per"), noted("for the unit beside it")),
    (noted("what was quoted, with per"), noted("what was quoted, and for what")),
    (noted("what honey sells for, with per"), noted("what honey sells for, and for what")),
    (noted("the usual crop of a colony: usual_lb or usual_kg"), noted("the usual crop of a colony")),
)


@dataclass(frozen=True)
class Wrong:
    """What is wrong with a field, as a form says it."""

    where: str
    what: str
    expected: str
    do: str


def in_form_words(error: BreadlineError, fields: Sequence[Field]) -> Wrong:
    """The same error; ``fields`` are those that the error may be of, with the words of their choices."""
    return Wrong(error.where, error.what, _of_form(error.expected, fields), _of_form(error.do, ()))


def _of_form(text: str, fields: Sequence[Field]) -> str:
    for key in PRICES:
        text = text.replace(say(YEAR, key=key), say("the year of the prices"))
    for of_file, of_form in FORM:
        text = text.replace(say(of_file), say(of_form))
    for value, words in (choice for field in fields for choice in field.choices):
        text = text.replace(value, words)
    return text
