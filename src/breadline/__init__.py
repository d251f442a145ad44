"""Breadline: does this yard need protein, with what, when, and did it pay?

In a notebook: ``breadline.season``, ``analyse``, ``solve``, ``compare``, ``rounds``, ``check_group_size``,
``verdict_of``, ``pooled``, ``evidence``, ``figures``; see docs/guide/notebook.md.
"""

from importlib import import_module

__version__ = "0.1.0"

NOTEBOOK = frozenset(
    ("analyse", "check_group_size", "compare", "evidence", "figures", "pooled", "rounds", "season", "solve",
     "verdict_of", "weather_of", "Table", "Prices", "Told")
)  # fmt: skip


def __getattr__(name: str) -> object:
    """What a notebook calls, brought in only when it is asked for: the steps alone need none of it."""
    if name in NOTEBOOK:
        return getattr(import_module("breadline.notebook"), name)
    raise AttributeError(f"module 'breadline' has no attribute '{name}'")


def __dir__() -> list[str]:
    return sorted({*globals(), *NOTEBOOK})
