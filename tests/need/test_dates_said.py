"""Every date that the advice, the outlook or a job says is said from today, so that it can carry its year."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import breadline

SOURCE = Path(breadline.__file__).parent
FILES = sorted((SOURCE / "need" / "ladder").glob("*.py")) + sorted((SOURCE / "jobs").glob("*.py"))
FILES.append(SOURCE / "need" / "outlook_words.py")
SAID = {"day": 2, "short_day": 2, "day_range": 3}  # with today


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_dates_are_said_from_today(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SAID:
            assert len(node.args) == SAID[node.func.id], f"{path.name}:{node.lineno}"
