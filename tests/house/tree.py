"""The source tree as the house tests read it."""

from __future__ import annotations

import ast
import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "breadline"
STEPS = ("need", "ration", "plan", "trial", "verdict", "belief")


NOT_KEPT = {"__pycache__", "var", "dist", "build"}


@cache
def kept_files() -> tuple[Path, ...]:
    """Every file that belongs to the repository: tracked, or new and not ignored."""
    if not (ROOT / ".git").exists():  # unpacked from an archive
        found = [path for path in ROOT.rglob("*") if path.is_file() and not ignored(relative(path).parts)]
        return tuple(sorted(found))
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
        timeout=60,
    ).stdout.decode()
    return tuple(path for name in listed.split("\0") if name and (path := ROOT / name).is_file())


def ignored(parts: tuple[str, ...]) -> bool:
    """True for what programs make in a folder: environments, caches, records."""
    return bool(NOT_KEPT & set(parts)) or any(part.startswith(".") and part != ".ci" for part in parts[:-1])


def python_files(*under: str) -> list[Path]:
    """Python files of the repository, or of some of its folders only."""
    rooms = [ROOT / name for name in under] or [ROOT]
    return [
        path for path in kept_files() if path.suffix == ".py" and any(path.is_relative_to(r) for r in rooms)
    ]


def relative(path: Path) -> Path:
    """A path as seen from the top of the repository."""
    return path.relative_to(ROOT)


def short(path: Path) -> str:
    """A path for a message or a test's name."""
    return relative(path).as_posix()


@cache
def parsed(path: Path) -> ast.Module:
    """The syntax tree of a Python file."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))
