"""A season that nobody named is kept one way and told in the reader's language."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest

from breadline.belief.carried import carried
from breadline.belief.season_called import season_kept, season_said, unnamed_season, which_season
from breadline.belief.season_effects import SeasonResult
from breadline.belief.survival_learnt import Deaths
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.pooled import pooled
from breadline.jobs.pooled_told import pooled_lines
from breadline.jobs.trial_checked import checked
from breadline.jobs.verdict import Prices, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_travelled
from breadline.jobs.verdict_onward import Onward, beside_earlier, season_of, travelling
from breadline.knowledge.shelf import load
from breadline.language import speaking
from jobs.test_belief_book import LEARNT
from jobs.travelled import file


def test_a_season_by_its_year_is_told_in_the_language_of_the_reader():
    assert season_said(unnamed_season(2027)) == "season 2027"
    with speaking("es"):
        assert season_said("season 2027") == "temporada 2027"
        assert season_said("autumn 2026") == "autumn 2026", "what somebody named stays as it was typed"


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_season_that_stood_in_the_form_is_kept_as_the_same_season_in_every_language(language):
    with speaking(language):
        assert season_kept(season_said("season 2027")) == "season 2027"
        assert season_kept("otoño 2026") == "otoño 2026"
        assert season_kept("by the creek") == "by the creek"


PLAINLY = ("Temporada 2027", " season  2027 ", "SEASON 2027", "2027", "temporada de 2027", "2027 season")
OVER_TWO = ("2026/27", "season 2026-27", "Temporada 2026/2027", "2026–27 season")
MORE = ("season 2027, by the creek", "2027-11", "2026/28", "2026 2027", "the year 2027", "20270", "")


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_is_plainly_one_season_is_kept_once_whatever_the_reader_speaks(language):
    with speaking(language):
        assert {season_kept(typed) for typed in PLAINLY} == {"season 2027"}
        assert {season_kept(typed) for typed in OVER_TWO} == {"season 2026/27"}
        assert [season_kept(typed) for typed in MORE] == list(MORE), "what says more stays as it was typed"
        assert season_kept(" Otoño 2026 ") == "Otoño 2026"


def test_a_season_over_two_years_is_told_in_the_language_of_the_reader():
    with speaking("es"):
        assert season_said("season 2026/27") == "temporada 2026/27"
        assert season_said("Season 2027") == "temporada 2027", "an older book has it as it was typed"


def test_seasons_are_the_same_whatever_their_language_capitals_and_spaces():
    assert {which_season(one) for one in PLAINLY} == {"season 2027"}
    autumns = ("autumn 2026", "Fall 2026", "otoño 2026", "Otoño de 2026", "autumn  of 2026", "2026 fall")
    assert len({which_season(one) for one in autumns}) == 1
    assert which_season("By the  creek ") == which_season("by the creek")
    apart = ("season 2027", "season 2026/27", "autumn 2027", "spring 2027", "autumn 2026", "2027-11", "")
    assert len({which_season(one) for one in apart}) == len(apart)


def test_what_was_kept_as_two_names_of_one_season_has_one_luck():
    """As the belief takes two trials of one season: they share its effect, and do not count as two."""
    lost = (Deaths(20, 2, 20, 3),)

    def of(*names):
        reader = load().reader()
        return carried("dearth", [SeasonResult(name, 0.1, 0.06, lost) for name in names], reader)

    one, typed = of("season 2027", "season 2027"), of("season 2027", "Temporada 2027")
    assert (typed.values, typed.survival) == (one.values, one.survival)
    assert [each.season for each in typed.results] == ["season 2027"]
    two = of("season 2026", "Temporada 2027")
    assert len(two.results) == 2
    assert two.values != one.values
    assert two.survival != one.survival


def test_a_file_passed_on_with_the_season_in_another_language_is_of_the_same_season():
    named = [file(1, season=season) for season in ("season 2027", "Temporada 2027", "2027")]
    assert {one.season for one in named} == {"season 2027"}
    assert len({one.digest for one in named}) == 1
    assert file(1, season="Autumn 2026").season == "Autumn 2026"


@pytest.mark.parametrize("typed", ["Temporada 2026", "2026", "season 2026"])
def test_lessons_of_this_season_are_no_earlier_evidence_however_it_is_typed(tmp_path, typed):
    made = BeliefBook(tmp_path / "book.sqlite", date(2026, 12, 1))
    made.open_operation("Sorrel Bend Bees (invented)")
    made.learn(replace(LEARNT, season="season 2026"))
    made.learn(replace(LEARNT, season="autumn 2025", trial="b" * 64))
    prices = Prices(cost=2, price=180, unit="$", year=2026)
    told = verdict_of_travelled(file(3), VerdictAsked(prices))
    assert beside_earlier(told, Onward("dearth", typed, made.path)).own == 1


@pytest.mark.parametrize("living", [False, True])
def test_what_own_check_groups_taught_names_their_seasons_so(living):
    lost = (Deaths(20, 2, 20, 3),)
    seasons = [
        SeasonResult(name, 0.1, 0.06, lost if living else None) for name in ("season 2026", "season 2027")
    ]
    reader = load().reader()
    with speaking("es"):
        for results in (seasons[:1], seasons):
            told = carried("dearth", results, reader)
            for text in (told.moved, told.sentence):
                assert "season" not in text
                assert all(f"temporada {one.season[-4:]}" in text for one in results)


def test_a_trial_put_together_or_passed_on_names_its_season_so():
    one = replace(file(1), season="season 2027")
    together = pooled([checked(one), checked(file(2))])
    told = verdict_of_travelled(one, VerdictAsked(Prices(cost=2, price=180, unit="$", year=2026)))
    with speaking("es"):
        said = "\n".join(text for _, text in pooled_lines(together))
        assert "temporada 2027" in said
        assert "season 2027" not in said
        shown = season_said(season_of(told, Onward()))
        text = travelling(told, Onward("dearth", shown))
    assert shown.startswith("temporada 20")
    assert json.loads(text)["season"] == unnamed_season(int(shown[-4:]))
