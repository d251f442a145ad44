"""Every quantity says its unit in brackets, and every public function says what it is for.

The rule: in the packages below, a field, a parameter or an answer that is a
float (or an array of floats) has its unit in [brackets]: a field beside it or in
its class's docstring, a parameter in the Parameters section or, where there is
none, in the docstring. A pure number is [1] or [share].
"""

from __future__ import annotations

import ast
import re

import pytest

from house import tree

PACKAGES = [f"src/breadline/{name}" for name in (*tree.STEPS, "weather")]
FILES = tree.python_files(*PACKAGES)
UNIT = re.compile(r"\[[^\]\n]{1,40}\]|\bunit of\b|'s unit\b|\bunit \w+ (?:is|are) given\b")
NEUTRAL = (0.0, 1.0)  # nothing added, all of it: no figure of the trade
BOX = re.compile(r"^(?:dict|Mapping|MutableMapping|Callable)\b")  # its values are described in words
FLOAT = re.compile(r"\b(float|FloatArray|np\.float64)\b")


def public(nodes):
    return [n for n in nodes if not n.name.startswith("_")]


def functions(module):
    """Functions of a module and methods of its classes, as (name, node)."""
    for node in module.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and not only_a_promise(node):
            yield node.name, node
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            inner = [n for n in node.body if isinstance(n, ast.FunctionDef) and not only_a_promise(n)]
            yield from ((f"{node.name}.{n.name}", n) for n in public(inner))


def is_float(annotation) -> bool:
    written = ast.unparse(annotation) if annotation is not None else ""
    return bool(FLOAT.search(written)) and not BOX.match(written)


def only_a_promise(node) -> bool:
    """True for the signature of an overload or a protocol: its body is three dots."""
    last = node.body[-1]
    return isinstance(last, ast.Expr) and isinstance(last.value, ast.Constant) and last.value.value is ...


def described(docstring: str, name: str) -> str:
    """What a Parameters section says of one parameter; empty where it is not listed."""
    entry = re.compile(rf"^(?:\w+, )*\*{{0,2}}{re.escape(name)}\b[^\n]*\n((?:    [^\n]*\n?|\n)*)", re.M)
    found = entry.search(docstring)
    return found[0] if found else ""


@pytest.mark.parametrize("path", FILES, ids=tree.short)
def test_every_public_function_and_class_has_a_docstring(path):
    module = tree.parsed(path)
    classes = [(n.name, n) for n in module.body if isinstance(n, ast.ClassDef)]
    wanted = [*functions(module), *((name, n) for name, n in classes if not name.startswith("_"))]
    assert ast.get_docstring(module), f"{tree.short(path)} does not say what it is about"
    assert not [f"{tree.short(path)}:{n.lineno} {name}" for name, n in wanted if not ast.get_docstring(n)]


@pytest.mark.parametrize("path", FILES, ids=tree.short)
def test_every_float_field_has_its_unit_in_brackets(path):
    lines = path.read_text(encoding="utf-8").splitlines()
    without = []
    for node in public([n for n in tree.parsed(path).body if isinstance(n, ast.ClassDef)]):
        if UNIT.search(ast.get_docstring(node) or ""):
            continue
        for field in node.body:
            if isinstance(field, ast.AnnAssign) and is_float(field.annotation):
                beside = " ".join(
                    line.partition("#")[2] for line in lines[field.lineno - 1 : field.end_lineno]
                )
                if not UNIT.search(beside):
                    without.append(
                        f"{tree.short(path)}:{field.lineno} {node.name}.{ast.unparse(field.target)}"
                    )
    assert not without


@pytest.mark.parametrize("path", FILES, ids=tree.short)
def test_every_float_parameter_and_answer_has_its_unit_in_brackets(path):
    without = []
    for name, node in functions(tree.parsed(path)):
        docstring = (ast.get_docstring(node) or "") + "\n"
        asked = [a for a in (*node.args.args, *node.args.kwonlyargs) if is_float(a.annotation)]
        if re.search(r"^Parameters\n-+$", docstring, re.M):
            missing = [a.arg for a in asked if not UNIT.search(described(docstring, a.arg))]
        else:
            missing = [a.arg for a in asked] if not UNIT.search(docstring) else []
        if is_float(node.returns) and not UNIT.search(docstring):
            missing.append("the answer")
        without += [f"{tree.short(path)}:{node.lineno} {name}: {what}" for what in missing]
    assert not without


@pytest.mark.parametrize(
    "path", tree.python_files(*(f"src/breadline/{s}" for s in tree.STEPS)), ids=tree.short
)
def test_no_figure_hides_in_a_default_argument(path):
    hidden = []
    for node in ast.walk(tree.parsed(path)):
        if isinstance(node, ast.FunctionDef | ast.Lambda):
            for default in (*node.args.defaults, *filter(None, node.args.kw_defaults)):
                numbers = [n.value for n in ast.walk(default) if isinstance(n, ast.Constant)]
                if any(isinstance(value, float) and value not in NEUTRAL for value in numbers):
                    hidden.append(f"{tree.short(path)}:{default.lineno} {ast.unparse(default)}")
    assert not hidden
