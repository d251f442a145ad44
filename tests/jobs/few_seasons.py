"""Few seasons of weather are run where a test does not hang on how many."""

from __future__ import annotations

from functools import lru_cache

import pytest

from breadline.jobs import book as books
from breadline.jobs.season import Asked


def run_few_seasons(patch: pytest.MonkeyPatch) -> None:
    """Five draws for the yards of a book, in a memory of their own: others are not to meet these answers."""
    patch.setattr(books, "Asked", lambda **more: Asked(draws=5, **more))
    patch.setattr(books, "_answer", lru_cache(books.ANSWERS)(books._answer.__wrapped__))
