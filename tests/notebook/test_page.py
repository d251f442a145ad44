"""Every example of docs/guide/notebook.md runs; every function has its row and its docstring."""

from __future__ import annotations

import inspect
import re

import pytest
from scripts import notebook_page

import breadline
from breadline import notebook
from house import tree

PAGE = (tree.ROOT / "docs" / "guide" / "notebook.md").read_text("utf-8")
BLOCKS = re.findall(r"^```python\n(.*?)^```", PAGE, re.M | re.S)
FUNCTIONS = [name for name in notebook.__all__ if inspect.isfunction(getattr(notebook, name))]


def test_every_example_runs(monkeypatch, capsys):
    monkeypatch.chdir(tree.ROOT)
    told: dict[str, object] = {}
    for block in BLOCKS:
        exec(compile(block, "notebook.md", "exec"), told)
        if "print" in block:
            assert capsys.readouterr().out.strip(), block
    assert len(BLOCKS) > 10


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_has_its_row_and_its_docstring(name):
    assert f"breadline.{name}(" in PAGE.split("##")[0]
    told = inspect.getdoc(getattr(notebook, name)) or ""
    asked = inspect.signature(getattr(notebook, name)).parameters
    described = [one for one in asked if re.search(rf"^(?:\w+, )*{one}\b(?:, \w+)*$", told, re.M)]
    assert described == list(asked)
    assert len(asked) <= 6


def test_the_page_of_functions_is_that_of_the_docstrings():
    assert notebook_page.PAGE.read_text("utf-8") == notebook_page.page(), "python -m scripts.notebook_page"
    assert set(notebook_page.ORDER) == set(FUNCTIONS)


def test_an_answer_describes_every_part_that_it_has():
    for name in FUNCTIONS:
        answer = inspect.signature(getattr(notebook, name), eval_str=True).return_annotation
        if answer.__module__.startswith("breadline.notebook") and answer is not notebook.Table:
            told = notebook_page.entries(notebook_page.parts(answer.__doc__)["Parameters"])
            described = {one.strip() for names, _ in told for one in names.split(",")}
            assert described == set(answer.__dataclass_fields__) - {"sentence", "document"}, name


def test_a_row_names_a_function_and_parts_that_are_there():
    rows = re.findall(r"^\| [^|]+ \| `breadline\.(\w+)\([^|]*` \| ([^|]*) \|$", PAGE, re.M)
    assert {name for name, _ in rows} == set(FUNCTIONS)
    for name, parts in rows:
        answer = inspect.signature(getattr(notebook, name), eval_str=True).return_annotation
        for part in re.findall(r"`(\w+)`", parts):
            assert part in getattr(answer, "__dataclass_fields__", {part: 0} if part in FUNCTIONS else {}), (
                part
            )


def test_what_import_breadline_offers_is_what_the_notebook_has():
    assert set(breadline.NOTEBOOK) <= set(notebook.__all__)
    assert set(FUNCTIONS) <= set(breadline.NOTEBOOK)
    assert breadline.season is notebook.season
    stub = (tree.SOURCE / "__init__.pyi").read_text("utf-8")
    assert set(re.findall(r"import (\w+) as", stub)) == set(breadline.NOTEBOOK)
    with pytest.raises(AttributeError):
        breadline.nothing_of_this_name  # noqa: B018
