"""Names of the trade: no drawer for odds and ends, no function named after nothing."""

from __future__ import annotations

import ast

import pytest

from house import tree

DRAWERS = {"utils", "util", "common", "helpers", "helper", "core", "manager", "managers", "misc"}
EMPTY_VERBS = ("calculate_", "get_", "process_", "handle_")
NAMED_BY_OTHERS = {"process_bind_param", "process_result_value"}  # what SQLAlchemy calls on a column type
LONGEST = 400  # lines


@pytest.mark.parametrize("path", tree.python_files(), ids=tree.short)
def test_a_file_is_named_after_its_subject_and_stays_readable(path):
    parts = set(tree.relative(path).with_suffix("").parts)
    assert not parts & DRAWERS
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST


@pytest.mark.parametrize(
    "path",
    [*tree.ROOT.glob("src/breadline/web/**/*.css"), *tree.ROOT.glob("src/breadline/web/**/*.html")],
    ids=tree.short,
)
def test_a_style_sheet_and_a_template_stay_readable_too(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST


@pytest.mark.parametrize("path", tree.python_files(), ids=tree.short)
def test_functions_are_named_after_the_answer_or_the_job(path):
    named = [
        f"{tree.short(path)}:{node.lineno} {node.name}"
        for node in ast.walk(tree.parsed(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.name.lstrip("_").startswith(EMPTY_VERBS)
        and node.name not in NAMED_BY_OTHERS
    ]
    assert not named
