"""Writes docs/guide/notebook-functions.md from the docstrings of ``breadline.notebook``.

uv run python -m scripts.notebook_page
"""

from __future__ import annotations

import inspect
import re
from dataclasses import is_dataclass
from pathlib import Path
from typing import Any

from breadline import notebook

PAGE = Path(__file__).resolve().parents[1] / "docs" / "guide" / "notebook-functions.md"
ORDER = ("season", "analyse", "solve", "compare", "rounds", "check_group_size", "verdict_of", "pooled",
         "evidence", "figures", "weather_of")  # fmt: skip
BESIDE = ("Prices", "Told", "Table")
HEAD = """# Functions for a notebook

What `import breadline` offers, from the docstrings; written by `scripts/notebook_page.py`, so change those.
Examples stand [beside](notebook.md). A unit stands in brackets. Every answer also has `sentence`, `document`
(what the command prints with `--json`) and `table("part.of.the.document")`.
"""
RULE = re.compile(r"^-+$")


def page() -> str:
    """The whole page."""
    functions = "\n".join(_function(getattr(notebook, name), name) for name in ORDER)
    beside = "\n".join(_type(getattr(notebook, name), f"`breadline.{name}`") for name in BESIDE)
    return f"{HEAD}\n{functions}\n## What is handed in and comes back\n\n{beside}".rstrip() + "\n"


def parts(docstring: str) -> dict[str, str]:
    """A docstring by its sections; "" is what stands before the first."""
    lines, told, at = inspect.cleandoc(docstring).splitlines(), {"": ""}, ""
    for n, line in enumerate(lines):
        if n + 1 < len(lines) and line and RULE.match(lines[n + 1]):
            at = line
            told[at] = ""
        elif not RULE.match(line):
            told[at] += line + "\n"
    return told


def entries(section: str) -> list[tuple[str, str]]:
    """Names with what is said of each."""
    found: list[tuple[str, str]] = []
    for line in section.splitlines():
        if line and not line.startswith(" "):
            found.append((line, ""))
        elif line.strip():
            found[-1] = (found[-1][0], f"{found[-1][1]} {line.strip()}".strip())
    return found


def _function(function: Any, name: str) -> str:
    asked = inspect.signature(function)
    typed = ", ".join(_parameter(one) for one in asked.parameters.values())
    told = parts(function.__doc__)
    lines = [f"## `breadline.{name}({typed})`", "", _plain(told[""]), ""]
    lines += _table("asked", told.get("Parameters", ""))
    answer = inspect.signature(function, eval_str=True).return_annotation
    if is_dataclass(answer) and answer.__module__.startswith("breadline.notebook"):
        back = parts(answer.__doc__)
        lines += [f"**Comes back**: {_plain(back[''])}", "", *_table("part", back["Parameters"])]
    for errors, why in entries(told.get("Errors", "")):
        lines += [f"**Errors** {_code(errors)}: {_plain(why)}", ""]
    return "\n".join(lines)


def _type(kind: Any, head: str) -> str:
    told = parts(kind.__doc__)
    return "\n".join([f"### {head}", "", _plain(told[""]), "", *_table("part", told.get("Parameters", ""))])


def _parameter(one: inspect.Parameter) -> str:
    if one.default is inspect.Parameter.empty:
        return one.name
    number = isinstance(one.default, int) and not isinstance(one.default, bool)
    return f"{one.name}=…" if number else f"{one.name}={one.default!r}"


def _table(head: str, section: str) -> list[str]:
    rows = [f"| {_code(name)} | {_plain(what)} |" for name, what in entries(section)]
    return [f"| {head} | |", "|---|---|", *rows, ""] if rows else []


def _code(names: str) -> str:
    return ", ".join(f"`{name.strip()}`" for name in names.split(","))


def _plain(text: str) -> str:
    return " ".join(text.replace("``", "`").split()).replace("|", "\\|")


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(PAGE)
