"""Every shipped figure says what it means, in which unit, from where and how that was read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

import numpy as np
import pytest

from breadline.knowledge.data import figure_files, shipped, sources
from breadline.knowledge.figure import Figure, Read
from breadline.knowledge.shelf import load

FIGURES = load().figures()
every_figure = pytest.mark.parametrize("figure", FIGURES, ids=[f.key for f in FIGURES])


@every_figure
def test_a_figure_is_complete(figure: Figure):
    assert figure.meaning
    assert figure.unit
    assert figure.source in sources()
    assert figure.read in get_args(Read)
    assert figure.span.low <= figure.span.typical <= figure.span.high
    least, most = figure.bounds
    assert least <= figure.span.low <= figure.span.high <= most
    assert not figure.edited


@every_figure
def test_a_judgement_of_ours_is_never_called_read(figure: Figure):
    ours = figure.source in {"judged", "season_search"}
    assert not ours or figure.read == "judged"


@every_figure
def test_a_figure_from_memory_names_what_is_remembered(figure: Figure):
    assert figure.read != "memory" or figure.source != "judged"


def test_every_table_of_a_figure_file_is_a_figure():
    found = {key for name in figure_files() for key in _leaves("", shipped(name))}
    assert found == {figure.key for figure in FIGURES}


def _leaves(path: str, table: dict[str, Any]) -> Iterator[str]:
    """Dotted keys of the tables that hold no other table."""
    inner = {name: part for name, part in table.items() if isinstance(part, dict)}
    if not inner:
        yield path
    for name, part in inner.items():
        yield from _leaves(f"{path}.{name}" if path else name, part)


def test_the_brood_survival_chain_is_the_published_one():
    # Fukuda & Sakagami 1968, abstract: of 100 eggs 94.2 hatch, 86.4 are sealed, 85.1 emerge.
    shelf = load().reader()
    hatch, sealed, emerge = np.cumprod(
        [shelf.typical(f"season.{stage}_survival") for stage in ("egg", "larva", "sealed")]
    )
    assert (round(100 * hatch, 1), round(100 * sealed, 1), round(100 * emerge, 1)) == (94.2, 86.4, 85.1)


def test_a_larvas_food_is_shared_out_whole():
    reader = load().reader()
    assert sum(reader.typical(f"season.wk{day}") for day in range(1, 7)) == pytest.approx(1.0)
