"""The published trials: every row with its class, its reason and how it was read."""

from __future__ import annotations

from collections import Counter

import pytest

from breadline.errors import OurFault
from breadline.knowledge import evidence
from breadline.knowledge.evidence import IN_WORDS, comparisons, voting


def test_as_many_rows_and_studies_as_were_read():
    rows = comparisons()
    assert len(rows) == 80
    assert len({row.study for row in rows}) >= 34
    assert Counter(row.verdict for row in rows) == {
        "positive": 50, "neutral": 24, "negative": 4, "not read": 2,
    }  # fmt: skip


def test_every_row_has_a_class_and_says_why():
    for row in comparisons():
        assert row.forage_class in IN_WORDS
        assert len(row.forage_reason) > 8, row.study
        assert row.place
        assert row.feed
        assert row.outcome


def test_a_class_read_off_the_authors_own_result_is_marked():
    after = {row.source for row in comparisons() if row.class_read == "after"}
    assert after == {"hoover2022", "grabownice2005", "madras2005"}


def test_what_comes_from_memory_never_votes_and_a_row_that_does_not_vote_says_why():
    for row in comparisons():
        assert row.votes == (not row.why_no_vote)
        assert not (row.votes and (row.read == "memory" or row.verdict == "not read"))
        assert not row.votes or row.measures in ("bees", "brood", "both")


def test_three_rows_say_that_no_test_stands_behind_them():
    untested = {row.source: row.note for row in comparisons() if not row.tested}
    assert set(untested) == {"aboushaara2024", "taha2024", "tesfaye2019"}
    assert "no test" in untested["tesfaye2019"]


def test_a_log_ratio_stands_only_where_both_means_were_printed():
    printed = [row for row in comparisons() if row.log_ratio is not None]
    assert len(printed) == 14
    assert len({row.source for row in printed}) == 4
    (bees,) = [row for row in printed if row.source == "cerana_india" and row.measures == "bees"]
    assert bees.log_ratio == pytest.approx(0.204, abs=5e-4)  # by hand: 35.66 / 29.08 = 1.2263 = e^0.204


def test_the_words_of_a_row_are_those_of_the_trade():
    text = " ".join(f"{r.note} {r.feed} {r.forage_reason} {r.p_printed}" for r in comparisons()).lower()
    assert "signific" not in text
    assert "control" not in text
    assert "treatment" not in text


def test_voting_takes_any_rows():
    assert len(voting()) < len(comparisons())
    assert voting(()) == ()


def test_a_damaged_row_is_named_by_its_line():
    row = dict.fromkeys(evidence.Comparison.__dataclass_fields__, "") | {"forage_class": "drouth"}
    with pytest.raises(OurFault, match=r"line 7.*drouth"):
        evidence._comparison(row, 7)
