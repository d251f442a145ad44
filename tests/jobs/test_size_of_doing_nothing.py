"""How many colonies, asked by a plan that is to do nothing: that is said, not that there is no plan."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace

import pytest

from breadline.errors import RecordError
from breadline.jobs import check_group_book


class OneYard:
    """A book of one yard whose plan, if any, has these rounds."""

    kept: object = None

    def __init__(self, path, today):
        pass

    def yard_ids(self):
        return [("key", "North", 12)]

    def plan(self, key, fed=None):
        return self.kept


@pytest.mark.parametrize(
    ("kept", "said"),
    [
        (SimpleNamespace(rounds=()), "what was chosen is to do nothing"),
        (None, "none was chosen for any yard"),
    ],
)
def test_what_is_said(tmp_path, monkeypatch, kept, said):
    monkeypatch.setattr(check_group_book, "is_there", lambda path: True)
    monkeypatch.setattr(check_group_book, "RoundsBook", OneYard)
    monkeypatch.setattr(OneYard, "kept", kept)
    with pytest.raises(RecordError) as refused:
        check_group_book.asked_of_book(tmp_path / "b.sqlite", (), date(2026, 3, 1))
    assert refused.value.what == said
