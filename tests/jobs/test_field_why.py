"""Amounts of an entry in the words and units of the country: ounces and pounds by their definition."""

from __future__ import annotations

import pytest

from breadline.jobs.field_book import POUNDS
from breadline.jobs.field_why import in_pieces, in_pounds, why_said
from breadline.language import noted
from breadline.records.whys import asking, told_by


@pytest.mark.parametrize(
    ("says", "reads"),
    [
        ("bees 6; put on 340.194 g", "bees 6; put on 12 oz"),  # 12 × 28.349523125 g
        ("put on 567 g", "put on 1.25 lb"),  # 1.25 × 453.59237 g
        ("put on 454 g; “robbed”", "put on 1 lb; “robbed”"),
        ("put on 0 g", "put on nothing"),
        ("weight 45.36 kg", "weight 100 lb"),
    ],
)
def test_amounts_are_said_as_they_were_keyed(says, reads) -> None:
    assert in_pounds(in_pieces(says, POUNDS)) == reads


def test_a_reason_keeps_its_days_and_numbers_beside_its_english() -> None:
    large = asking(noted("{n} {what} in one hive: is it so?"), n=75.0, what="kg")
    why = asking(noted("{has}: which one holds?"), has=large)
    assert why == "75 kg in one hive: is it so?: which one holds?"
    assert why_said(why, told_by(why), lambda kind, one: kind) == why
    assert told_by("a text of an older book") is None
