"""When a yard is short, said the same on the page and in the terminal."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from breadline.need.outlook import Outlook, Range, ShortFrom, Spell
from breadline.need.outlook_words import spell_sentences
from pictures.made_up import made_up_outlook

TODAY = date(2026, 2, 10)
FEB, JUL, AUG = date(2026, 2, 19), date(2026, 7, 9), date(2026, 8, 7)
IN_JULY = Spell(JUL, AUG, 0.9, Range(120.0, 900.0, 2950.0))


def weigh(grams: float) -> str:
    return f"{grams:.0f} g"


def outlook(middle: date | None, *spells: Spell, few_years: int | None = None) -> Outlook:
    """Up to 45 in 100 members short in the first month, each on days of its own, and 90 in a spell."""
    made = replace(made_up_outlook(start=TODAY, days=180), today=TODAY)
    short = np.full(180, 0.02)
    short[9:30] = 0.45
    short[149:179] = 0.9
    first = ShortFrom(0.95, TODAY, middle, JUL, TODAY, False, few_years)
    return replace(made, short=short, short_from=first, spells=spells)


def test_a_spell_says_when_how_many_seasons_at_once_and_what_is_missing() -> None:
    (said,) = spell_sentences(outlook(JUL, IN_JULY), weigh)
    assert said == (
        "Short about 9 July to 7 August: up to 90 in 100 seasons at once; "
        "120 g to 2950 g of pollen missing a colony"
    )


def test_seasons_short_on_different_days_are_told_before_the_first_spell() -> None:
    """Else "short from about 19 February" stands beside "short about 9 July" and nobody knows why."""
    first, second = spell_sentences(outlook(FEB, IN_JULY), weigh)
    assert first == (
        "By about 19 February half of the seasons have been short, but not all on the same days: "
        "up to 45 in 100 seasons at once before 9 July"
    )
    assert second.startswith("Short about 9 July")


def test_without_any_spell_they_are_told_alone_and_a_spell_within_the_week_needs_no_word() -> None:
    (alone,) = spell_sentences(outlook(FEB), weigh)
    assert alone.endswith("up to 90 in 100 seasons at once")
    close = replace(IN_JULY, start=FEB + timedelta(days=7))
    assert len(spell_sentences(outlook(FEB, close), weigh)) == 1
    assert spell_sentences(outlook(None), weigh) == ()


def test_from_few_years_the_chance_of_the_worst_day_is_a_range() -> None:
    few = replace(IN_JULY, few_years=4)
    scattered, spell = spell_sentences(outlook(FEB, few, few_years=4), weigh)
    assert "on the worst day 20 to 75 in 100 seasons at once before 9 July" in scattered
    assert "on the worst day 60 or more in 100 seasons" in spell


def test_a_range_of_weights_with_one_name_is_said_once() -> None:
    (said,) = spell_sentences(
        outlook(JUL, replace(IN_JULY, missing_g=Range(1, 20, 45))), lambda _: "under ½ lb"
    )
    assert said.endswith("; under ½ lb of pollen missing a colony")
