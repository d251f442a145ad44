"""What a refusal says is looked up in the reader's language: no sentence of one goes past the catalogue."""

from __future__ import annotations

import ast
import re

import pytest

import breadline.errors as errors
from breadline.language import found, speaking
from house import tree

KINDS = {
    name for name, kind in vars(errors).items()
    if isinstance(kind, type) and issubclass(kind, errors.InputToMend)
} | {"Unreadable", "HalfWritten"}  # fmt: skip
PARTS = ("what", "expected", "do")
PLAIN = {"EXAMPLE"}  # heads of a weather file, which stay as they are
SENTENCE = re.compile(r"[a-z]{2,} [a-z]{2,}")


def bare(node: ast.AST) -> list[str]:
    """Sentences of an argument that stand in it as they are."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value] if SENTENCE.search(node.value) else []
    if isinstance(node, ast.JoinedStr):
        told = "".join(str(one.value) if isinstance(one, ast.Constant) else "…" for one in node.values)
        return [told] if SENTENCE.search(told) else []
    if isinstance(node, ast.IfExp):
        return [*bare(node.body), *bare(node.orelse)]
    if isinstance(node, ast.BinOp):
        return [*bare(node.left), *bare(node.right)]
    if isinstance(node, ast.Name) and node.id.isupper() and node.id not in PLAIN:
        return [node.id]  # a sentence of the module, which is noted there and has to be said here
    return []


def past_the_catalogue(module: ast.Module) -> list[str]:
    found = []
    for node in ast.walk(module):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if name in KINDS or name == "error":  # of a table of a file
            named = [one.value for one in node.keywords if one.arg in PARTS]
            found += [text for part in (*node.args[1:], *named) for text in bare(part)]
    return found


@pytest.mark.parametrize("path", tree.python_files("src"), ids=tree.short)
def test_no_sentence_of_a_refusal_goes_past_the_catalogue(path):
    assert past_the_catalogue(tree.parsed(path)) == []


def test_one_that_does_is_seen():
    text = """
raise YardError("yard", "it is too long", do=f"write {n} letters at most")
raise PlanError("plan", say("it is too long"), "a year such as 2026" if one else "2026")
raise RecordError("book", DAMAGED, say("a whole log"), say(SAVE_BOTH))
raise table.error("bread", "it is missing", say("a number"))
raise ValueError("where", "no user reads this one")
"""
    assert past_the_catalogue(ast.parse(text)) == [
        "it is too long", "write … letters at most", "a year such as 2026", "DAMAGED", "it is missing",
    ]  # fmt: skip


SYMBOLS = {"kg", "g", "lb", "km", "°C", "°C·day", "%", "g/g", "g/100 g", "mg/kg"}  # of every language
FIELDS = {"number": 3, "numbers": 3, "whole": 3, "needed_number": 3, "above": 2}  # place of the unit


def units_of_ranges(module: ast.Module) -> set[str]:
    """Words of units with which a number of a file or a form is asked."""
    calls = [node for node in ast.walk(module) if isinstance(node, ast.Call)]
    given = [(FIELDS.get(getattr(node.func, "attr", ""), 99), node.args) for node in calls]
    units = [args[at] for at, args in given if at < len(args)]
    return {one.value for one in units if isinstance(one, ast.Constant) and isinstance(one.value, str)} - {""}


def test_unit_words_of_ranges_are_in_the_catalogue():
    units = set().union(
        *(units_of_ranges(tree.parsed(one)) for one in tree.python_files("src/breadline/jobs"))
    )
    assert {"colonies", "frames"} <= units
    with speaking("es"):
        assert not {unit for unit in units - SYMBOLS if found(unit) == unit}
