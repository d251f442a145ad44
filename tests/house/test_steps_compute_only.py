"""The steps of the job compute: no file, no database, no network, no clock, no hidden dice."""

from __future__ import annotations

import ast

import pytest

from house import tree

FILES = tree.python_files(*(f"src/breadline/{step}" for step in tree.STEPS))
MAY_IMPORT = {
    "__future__", "abc", "bisect", "calendar", "collections", "dataclasses", "datetime", "enum", "functools",
    "itertools", "math", "operator", "re", "statistics", "string", "types", "typing", "warnings",
    "numpy", "scipy", "numba", "highspy", "breadline",
}  # fmt: skip
FILES_OPENED = {
    "open",
    "read_text",
    "read_bytes",
    "write_text",
    "write_bytes",
    "loadtxt",
    "genfromtxt",
    "savetxt",
}
CLOCK = {"now", "today", "utcnow"}
DICE = {"Generator", "BitGenerator", "SeedSequence"}  # as types; a generator comes in as an argument


def dotted(node: ast.expr) -> str:
    return ast.unparse(node) if isinstance(node, ast.Attribute | ast.Name) else ""


@pytest.mark.parametrize("path", FILES, ids=tree.short)
def test_a_step_imports_only_what_computes(path):
    roots = set()
    for node in ast.walk(tree.parsed(path)):
        if isinstance(node, ast.Import):
            roots |= {alias.name.split(".")[0] for alias in node.names}
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written in full"
            roots.add((node.module or "").split(".")[0])
            assert not (
                node.module == "breadline.knowledge.shelf" and "load" in {a.name for a in node.names}
            ), "the shelf is loaded in jobs and comes in as an argument"
    assert roots <= MAY_IMPORT


@pytest.mark.parametrize("path", FILES, ids=tree.short)
def test_a_step_opens_no_file_reads_no_clock_and_throws_no_hidden_dice(path):
    found = []
    for node in ast.walk(tree.parsed(path)):
        if isinstance(node, ast.Call):
            last = dotted(node.func).rsplit(".", 1)[-1]
            if last in FILES_OPENED or (last in CLOCK and not node.args):
                found.append(f"{tree.short(path)}:{node.lineno} {ast.unparse(node.func)}")
        dice = isinstance(node, ast.Attribute) and dotted(node.value) in ("np.random", "numpy.random")
        if dice and node.attr not in DICE:
            found.append(f"{tree.short(path)}:{node.lineno} {ast.unparse(node)}")
    assert not found
