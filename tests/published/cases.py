"""Reads the files of expected values beside it and runs what they check."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib import import_module, resources
from pathlib import Path
from typing import Any

import numpy as np

from . import elsewhere

HERE = Path(__file__).parent
PUBLISHED = "published"
BESIDE = ("independent implementation", "hand-worked")
KINDS = (PUBLISHED, *BESIDE)
READ = ("itself", "quoted")  # how a published value may have been read
OF_THE_ROW = ("expected", "pick", "tolerance")  # what a row says besides inputs


@dataclass(frozen=True)
class Sheet:
    """One file: a source, what it says, and which of our functions has to agree."""

    file: str
    source: str
    table: str
    checks: str
    tolerance: float
    row: tuple[dict[str, Any], ...]
    kind: str = PUBLISHED
    read: str = ""  # itself or quoted; only for published values
    by: str = ""  # who else computed it: name and version, or the working by hand
    against: str = ""  # dotted name of the other implementation, instead of ``expected``
    tolerance_why: str = ""
    fixed: dict[str, Any] = field(default_factory=dict)

    @property
    def values(self) -> int:
        """Expected numbers in this file."""
        return len(self.row)


def sheets() -> tuple[Sheet, ...]:
    """Every file of expected values, by name."""
    return tuple(_sheet(path) for path in sorted(HERE.glob("*.toml")) if path.name != "sources.toml")


def _sheet(path: Path) -> Sheet:
    table = tomllib.loads(path.read_text("utf-8"))
    return Sheet(file=path.stem, row=tuple(table.pop("row")), **table)


def bibliography() -> dict[str, str]:
    """Key to citation: the shelf's own and those that only the tests need."""
    shelf = resources.files("breadline.knowledge").joinpath("sources.toml")
    known: dict[str, str] = {}
    for text in (shelf.read_text("utf-8"), (HERE / "sources.toml").read_text("utf-8")):
        known |= {key: str(entry["cite"]) for key, entry in tomllib.loads(text).items()}
    return known


def rows() -> Iterator[tuple[Sheet, int]]:
    """Every row of every file."""
    for sheet in sheets():
        for i in range(sheet.values):
            yield sheet, i


def found_and_expected(sheet: Sheet, row: dict[str, Any]) -> tuple[float, float]:
    """What our function gives for a row, and what it should give."""
    given = {key: value for key, value in row.items() if key not in OF_THE_ROW}
    inputs = {key: _usable(value) for key, value in (sheet.fixed | given).items()}
    found = _number(named(sheet.checks)(**inputs), row.get("pick"))
    if sheet.against:
        return found, _number(named(sheet.against)(**inputs), row.get("pick"))
    return found, float(row["expected"])


def tolerance(sheet: Sheet, row: dict[str, Any]) -> float:
    """The row's own tolerance, else that of its file."""
    return float(row.get("tolerance", sheet.tolerance))


def printed_half_step(expected: float) -> float:
    """Half of the last digit that was printed."""
    _, _, decimals = str(expected).partition(".")
    return float(0.5 * 10.0 ** -len(decimals))


def named(dotted: str) -> Any:
    """The function of this dotted name; ``elsewhere.…`` is the file beside this one."""
    module, _, name = dotted.rpartition(".")
    if module == "elsewhere":
        return getattr(elsewhere, name)
    return getattr(import_module(module), name)


def _usable(value: Any) -> Any:
    """Lists as arrays; a table that names its type as that type; the rest as it is."""
    if isinstance(value, dict) and "type" in value:
        return named(value["type"])(**{key: v for key, v in value.items() if key != "type"})
    return np.array(value) if isinstance(value, list) else value


def _number(result: Any, pick: int | None) -> float:
    values = np.asarray(result, dtype=np.float64).reshape(-1)
    if pick is None:
        assert values.size == 1, f"{values.size} numbers came back and no row says which to pick"
        return float(values[0])
    return float(values[pick])
