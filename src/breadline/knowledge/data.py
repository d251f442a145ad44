"""The data files that ship with the program, read once."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from importlib import resources
from typing import Any


@lru_cache(maxsize=64)
def shipped(name: str) -> dict[str, Any]:
    """The tables of one shipped TOML file, by its path below ``knowledge/``."""
    return tomllib.loads(resources.files("breadline.knowledge").joinpath(name).read_text("utf-8"))


@lru_cache(maxsize=1)
def figure_files() -> tuple[str, ...]:
    """Paths of the shipped figure files below ``knowledge/``, sorted."""
    folder = resources.files("breadline.knowledge").joinpath("figures")
    return tuple(
        sorted(f"figures/{entry.name}" for entry in folder.iterdir() if entry.name.endswith(".toml"))
    )


@lru_cache(maxsize=1)
def sources() -> dict[str, str]:
    """The bibliography: key to full citation."""
    return {key: str(entry["cite"]) for key, entry in shipped("sources.toml").items()}
