"""A season that nobody named is kept one way and told in the reader's language."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from breadline.belief.carried import carried
from breadline.belief.season_called import season_kept, season_said, unnamed_season
from breadline.belief.season_effects import SeasonResult
from breadline.belief.survival_learnt import Deaths
from breadline.jobs.pooled import pooled
from breadline.jobs.pooled_told import pooled_lines
from breadline.jobs.trial_checked import checked
from breadline.jobs.verdict import Prices, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_travelled
from breadline.jobs.verdict_onward import Onward, season_of, travelling
from breadline.knowledge.shelf import load
from breadline.language import speaking
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
