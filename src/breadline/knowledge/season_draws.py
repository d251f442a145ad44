"""The sets of season parameters that met the published facts together."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np

from breadline.errors import OurFault
from breadline.span import FloatArray


@cache
def shipped_draws() -> dict[str, FloatArray]:
    """One array a parameter, each of shape (sets,); units as on the shelf under ``season.<name>``.

    Made by the joint search in ``scripts/season_search``; how, and how well they meet
    the facts, is on the method page.

    Errors
    ------
    OurFault
        If the file that came with the program is damaged.
    """
    text = (files("breadline.knowledge") / "season_draws.csv").read_text("utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    names = lines[0].split(",")
    try:
        table = np.array([[float(cell) for cell in line.split(",")] for line in lines[1:]])
    except ValueError as not_a_number:
        raise OurFault("season_draws.csv", f"is damaged: {not_a_number}") from not_a_number
    if table.ndim != 2 or table.shape[1] != len(names) or not np.isfinite(table).all():
        raise OurFault("season_draws.csv", "is damaged", f"{len(names)} numbers on each line")
    table.setflags(write=False)
    return {name: table[:, k] for k, name in enumerate(names)}
