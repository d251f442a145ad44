"""Counts in words, for notes and errors."""

from __future__ import annotations


def counted(count: int, one: str, many: str = "") -> str:
    """``1 hour``, ``8,760 hours``: the number with its noun; ``many`` where an s does not do."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"
