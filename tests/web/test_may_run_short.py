"""What fewer than half of the seasons leave short: said as that, and from today where some begin today."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from breadline.need.outlook_words import season_headline, short_from_words
from breadline.web.pages.yards import sentence
from need.advice_yards import IN_NEED, TODAY, outlook, told
from web.pretend_book import PretendBook


def perhaps(days: int):
    """An outlook of which 45 in 100 seasons run short, the first of them on a day from today."""
    return outlook(0.45, (days, None, None))


def test_nothing_is_not_before_today():
    today, later = (told(IN_NEED, perhaps(days)).sentence for days in (0, 40))
    assert "Not yet: 45 in 100 seasons run short, some from today on. Look again about" in today
    assert "45 in 100 seasons run short, not before" in later
    first = perhaps(0).short_from
    assert short_from_words(first, TODAY).startswith("from today on in some seasons; 45 in 100")
    assert season_headline(perhaps(0), "Home") == "Home may be short of bread from today on."
    day = (TODAY + timedelta(days=40)).day
    assert f"not before {day} " in season_headline(perhaps(40), "Home")


@pytest.fixture
def listed():
    """The list's lines and answers, with every yard's shortage put in its place."""

    book = PretendBook()
    lines = [one for one in book.yards() if one.answer is not None and one.answer.outlook is not None]

    def with_short(*shorts):
        answers = [
            replace(one.answer, outlook=replace(one.answer.outlook, short_from=short))
            for one, short in zip(lines, shorts, strict=False)
        ]
        return sentence(lines[: len(answers)], answers)

    return with_short


def test_the_list_does_not_say_unlikely_of_a_yard_that_may_run_short(listed):
    may, never = perhaps(0).short_from, outlook(0.0, None).short_from
    assert "may run short of bread: 45 in 100 seasons do." in listed(may)
    assert "may run short of bread: 45 in 100 seasons do." in listed(never, may)
    less = replace(may, chance=0.2)
    assert "Two yards may run short of bread: the most likely in 45 in 100 seasons." in listed(may, less)
    assert "No yard is likely to run short of bread in the season ahead." in listed(never, never)
