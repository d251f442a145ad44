"""Fields of the form that were changed, written into the plan file: what only the file says stays."""

from __future__ import annotations

import hashlib
import json
import re
import tomllib
from collections.abc import Mapping
from datetime import date

from breadline.errors import PlanError
from breadline.jobs.rounds_form import BY, FEEDS, a_year_on, as_value, keys_of, text_of, typed_of
from breadline.jobs.rounds_form_errors import PRICES
from breadline.jobs.two_ways import asked_which, two_readings
from breadline.language import say

_HEAD = re.compile(r"^\s*\[\[?\s*([\w-]+)\s*\]\]?\s*(#.*)?$")
WAS = "was"  # fields and file as the form was first shown, so that what was changed since is known


def shown_first(typed: Mapping[str, str]) -> str:
    """What the form was shown with, to go with it."""
    said = {key: value for key, value in typed.items() if value and key not in (WAS, "file")}
    return json.dumps(said | {"file": _digest(typed.get("file", ""))}, ensure_ascii=False)


def _digest(file: str) -> str:
    return hashlib.sha256("\n".join(file.strip().splitlines()).encode()).hexdigest()[:12]


def file_a_year_on(text: str, today: date) -> str:
    """A plan file with the days that the form asks moved to the season ahead."""
    _, typed = typed_of(text)
    moved = a_year_on(typed, today)
    return merged(text, {key: value for key, value in moved.items() if value != typed.get(key, "")})


def asked_text(kind: str, typed: Mapping[str, str]) -> str:
    """The plan file that is asked: of the fields; or the pasted one, with every field that was changed since.

    Errors
    ------
    PlanError
        If a price can be read in two ways; both were changed and do not say the same; or a field has no place
        in the file.
    """
    _one_number_each(kind, typed)
    text = text_of(kind, typed)
    if not typed.get("file", "").strip():
        return text
    try:
        before = {str(key): str(value) for key, value in json.loads(typed.get(WAS) or "{}").items()}
        _, in_file = typed_of(text)
    except (
        ValueError,
        AttributeError,
        TypeError,
        RecursionError,
    ):  # the file's own checks say it
        return text
    edits = _edits(kind, typed, before, in_file)
    if edits and before.get("file") != _digest(text):
        _ask_which(edits, in_file)
    return merged(text, edits) if edits else text


def _one_number_each(kind: str, typed: Mapping[str, str]) -> None:
    for key in keys_of(kind):
        if key.partition(".")[2] in PRICES and (
            readings := two_readings(typed.get(key, ""), typed.get("money", ""))
        ):
            raise PlanError(key, *asked_which(typed[key], readings))


def _edits(
    kind: str, typed: Mapping[str, str], before: Mapping[str, str], in_file: Mapping[str, str]
) -> dict[str, str]:
    """The fields that were changed and that the file says otherwise; none without what was there."""
    if not before:
        return {}
    return {
        key: typed[key].strip()
        for key in keys_of(kind)
        if key in typed and typed[key].strip() not in (before.get(key, ""), in_file.get(key, ""))
    }


def _ask_which(edits: Mapping[str, str], in_file: Mapping[str, str]) -> None:
    key = next(iter(edits))
    raise PlanError(
        key,
        say("is {typed} in its field and {other} in the plan file, and both were changed",
            typed=edits[key] or "–", other=in_file.get(key, "–")),
        say("one of the two"),
        say("Write the same in both, or empty the box of the plan file to ask by the fields"),
    )  # fmt: skip


def merged(text: str, edits: Mapping[str, str]) -> str:
    """A plan file with these fields in it; comments and what the form does not ask stay.

    Errors
    ------
    PlanError
        If a field has no line of its own in the file, as in a table written within braces.
    """
    lines = text.splitlines()
    for key, value in edits.items():
        table, _, name = key.rpartition(".")
        if name == "known":
            name, _, value = value.partition(":") if value else ("", "", "")
            for other in BY:
                _put(lines, table, other, value if other == name else "")
            continue
        _put(lines, table, name, value)
        if f"{key}_year" not in edits and key != "target.fee":  # the fee's year has its own field
            _put(lines, table, f"{name}_year", "")
    made = "\n".join(lines) + "\n"
    _check(made, edits)
    return made


def _put(lines: list[str], table: str, name: str, value: str) -> None:
    """One key of one table set, added or, where the value is empty, taken out."""
    begin, end = _part(lines, table)
    said = f"{name} = {as_value(f'{table}.{name}' if table else name, value)}"
    own = re.compile(rf"^\s*[\"']?{re.escape(name)}[\"']?\s*=")
    at = next((n for n in range(begin, end) if own.match(lines[n])), None) if begin >= 0 else None
    if at is not None:
        lines[at : at + 1] = [said] if value else []
    elif value and begin >= 0:
        lines.insert(begin, said)
    elif value:
        lines += ["", "[[feed]]" if table in FEEDS else f"[{table}]", said]


def _part(lines: list[str], table: str) -> tuple[int, int]:
    """From where to where the lines of a table go; (-1, -1) where the file has none."""
    heads = [(n, found[1]) for n, line in enumerate(lines) if (found := _HEAD.match(line))]
    starts = [n for n, _ in heads] + [len(lines)]
    if not table:
        return 0, starts[0]
    name, which = ("feed", FEEDS.index(table)) if table in FEEDS else (table, 0)
    own = [n for n, head in heads if head == name]
    if which >= len(own):
        return -1, -1
    return own[which] + 1, next(n for n in starts if n > own[which])


def _check(made: str, edits: Mapping[str, str]) -> None:
    """That the file says now what the fields say."""
    try:
        said = typed_of(made)[1]
    except tomllib.TOMLDecodeError:
        said = {}
    for key, value in edits.items():
        same = said.get(key, "") == value or _number(said.get(key)) == _number(value) is not None
        if not same:
            raise PlanError(
                key,
                say("{value} has no line of its own in the plan file", value=value or "–"),
                say("a line of its own under the head of its table"),
                say("Change it in the plan file, or empty the box of the plan file to ask by the fields"),
            )


def _number(text: str | None) -> float | None:
    try:
        return float(text or "")
    except ValueError:
        return None
