"""Counts in words, for notes and errors."""

from __future__ import annotations

from breadline.language import Later


def counted(count: int, one: str, many: str = "") -> Later:
    """``1 hour``, ``8,760 hours``: the number with its noun; ``many`` where an s does not do.

    It is said in the language of whoever reads it.
    """
    return Later(f"{{n}} {one}", f"{{n}} {many or one + 's'}", count, (("n", f"{count:,}"),))
