"""Words that the repository never carries, and words that a user never reads."""

from __future__ import annotations

import ast
import re

import pytest

from house import tree

TEXT = {
    ".py", ".toml", ".md", ".txt", ".csv", ".html", ".css", ".js", ".json", ".ini", ".mako", ".sh", ".svg",
    ".dly", ".yaml", ".yml", ".cfg", "",
}  # fmt: skip
# put together here, so that this file does not carry them itself
REGISTRIES = [".".join(parts) for parts in (
    ("pypi", "org"), ("files", "pythonhosted", "org"), ("pypi", "python", "org"),
    ("registry", "npmjs", "org"),
    ("deb", "debian", "org"), ("archive", "ubuntu", "com"), ("conda", "anaconda", "org"),
)]  # fmt: skip
MACHINE = re.compile(
    "(?<![\\w.<>])(?:" + "|".join(("/wo" + "rk/", "/ro" + "ot/", "/ho" + "me/\\w", "/Us" + "ers/\\w")) + ")"
)
NEVER_READ = re.compile(r"\bsignifican(?:t|ce|tly)\b|\bcontrol (?:group|colon|hive)", re.I)


def kept_text():
    vendored = ("vendor", "vendored", "fonts")
    return [
        path
        for path in tree.kept_files()
        if path.suffix in TEXT and not set(tree.relative(path).parts) & set(vendored)
    ]


@pytest.mark.parametrize("path", kept_text(), ids=tree.short)
def test_a_file_names_no_registry_and_no_path_of_one_machine(path):
    text = path.read_bytes().decode("utf-8", errors="replace")
    assert not [host for host in REGISTRIES if host in text.lower()]
    assert not MACHINE.search(text)


def shown_strings(path):
    """String literals of a module that are no docstrings."""
    module = tree.parsed(path)
    documented = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    plain = {
        id(n.body[0].value)
        for n in ast.walk(module)
        if isinstance(n, documented) and n.body and isinstance(n.body[0], ast.Expr)
    }
    return [
        n.value
        for n in ast.walk(module)
        if isinstance(n, ast.Constant) and isinstance(n.value, str) and id(n) not in plain
    ]


@pytest.mark.parametrize("path", tree.python_files("src"), ids=tree.short)
def test_no_sentence_of_the_program_uses_a_word_of_the_statistician(path):
    assert not [text for text in shown_strings(path) if NEVER_READ.search(text)]


def pages():
    rooms = (tree.SOURCE / "web", tree.ROOT / "docs" / "guide")
    return [
        path
        for path in kept_text()
        if path.suffix in {".html", ".md", ".js"} and any(path.is_relative_to(room) for room in rooms)
    ] + [tree.ROOT / "README.md"]


@pytest.mark.parametrize("path", pages(), ids=tree.short)
def test_no_page_uses_a_word_of_the_statistician(path):
    assert not NEVER_READ.search(path.read_text(encoding="utf-8"))


FROM_ELSEWHERE = re.compile(
    r"""<(?:script|link|img|iframe)[^>]*(?:src|href)=["']?(?:https?:)?//|url\(["']?https?:""", re.I
)


@pytest.mark.parametrize(
    "path",
    [p for p in kept_text() if p.suffix in {".html", ".css"}] or [tree.ROOT / "README.md"],
    ids=tree.short,
)
def test_a_page_loads_nothing_from_elsewhere(path):
    assert not FROM_ELSEWHERE.search(path.read_text(encoding="utf-8"))
