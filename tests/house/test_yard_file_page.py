"""Every key of the yard file has its word in docs/guide/yard-file.md."""

from __future__ import annotations

from breadline.jobs import yard_bloom, yard_file
from house import tree


def test_the_page_names_every_key() -> None:
    page = (tree.ROOT / "docs" / "guide" / "yard-file.md").read_text(encoding="utf-8")
    lists = ("TOP", "PLACE", "COUNT", "HEALTH", "FORAGE", "GOAL", "GIVEN")
    keys = {key for name in lists for key in getattr(yard_file, name)}
    keys |= {*yard_bloom.BLOOM, *yard_bloom.DEGREE_DAYS}
    assert not sorted(key for key in keys if key not in page)
