"""What the deaths of own check groups teach, by hand, by quadrature and against scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, stats

from breadline.belief.carried import carried
from breadline.belief.season_effects import SeasonResult
from breadline.belief.survival_learnt import Deaths, in_all, likelihood, survival_learnt
from breadline.errors import TrialError
from breadline.knowledge.shelf import load
from breadline.span import Z95, Span

FLAT = Span(-0.4 * Z95, 0.0, 0.4 * Z95)  # normal around nothing, 0.4 wide


def test_one_fed_colony_lived_and_one_check_colony_died():
    """By hand: one of the two died; that it was the check colony has the chance odds/(1 + odds)."""
    found = likelihood(Deaths(1, 0, 1, 1), np.array([0.0, np.log(3.0)]))
    assert found == pytest.approx([1 / 2, 3 / 4])


def test_deaths_are_as_likely_as_fishers_noncentral_hypergeometric_has_them():
    deaths = Deaths(fed=20, fed_lost=2, check=15, check_lost=6)
    for log_odds in (-0.7, 0.0, 0.9):
        # of 35 colonies 8 die; those fed are drawn with the odds of dying, fed to check
        scipys = stats.nchypergeom_fisher(35, 20, 8, np.exp(-log_odds)).pmf(2)
        assert likelihood(deaths, np.array(log_odds)) == pytest.approx(scipys)


def test_where_one_season_says_all_of_the_next_it_is_bayes_by_quadrature():
    deaths = Deaths(20, 2, 15, 6)
    found = survival_learnt(FLAT, 0.0, [("autumn", deaths)])

    def weight(d: float) -> float:
        return float(stats.norm(0, 0.4).pdf(d) * likelihood(deaths, np.array(d)))

    whole = integrate.quad(weight, -3, 3)[0]
    below = integrate.quad(weight, -3, float(found.at(np.array(0.0))))[0] / whole
    assert below == pytest.approx(0.5, abs=0.003)
    assert float(found.at(np.array(0.0))) > 0.1


def test_a_season_of_its_own_luck_says_half_and_only_luck_says_nothing():
    deaths = [("autumn", Deaths(2000, 200, 2000, 400))]
    at = np.array([-1.0, 0.0, 1.0])
    all_of_it, half, none = (survival_learnt(FLAT, share, deaths).at(at) for share in (0.0, 0.5, 1.0))
    # by hand: so many colonies show the season's own log odds, ln(0.9/0.1) − ln(0.8/0.2) = 0.811
    assert all_of_it[1] == pytest.approx(0.811, abs=0.06)
    assert half[1] == pytest.approx(all_of_it[1] / 2, abs=0.01)
    # what is left of the next season: 0.4² (1 − ½²) of the two that hang together by a half
    assert (half[2] - half[0]) / 2 == pytest.approx(0.4 * np.sqrt(0.75), abs=0.02)
    assert none == pytest.approx(FLAT.at(at), abs=0.005)


def test_alike_deaths_leave_the_middle_and_none_leave_everything():
    alike = survival_learnt(FLAT, 0.5, [("autumn", Deaths(10, 2, 10, 2))])
    assert float(alike.at(np.array(0.0))) == pytest.approx(0.0, abs=1e-6)
    for nobody in (Deaths(10, 0, 10, 0), Deaths(10, 10, 10, 10), Deaths(0, 0, 0, 0)):
        kept = survival_learnt(FLAT, 0.5, [("autumn", nobody)])
        at = np.array([-1.5, 0.0, 2.0])
        assert kept.at(at) == pytest.approx(FLAT.at(at), abs=1e-6)


def test_yards_are_held_each_against_itself():
    """By hand: in the deadly yard a half of each died, and in the other nobody: feeding did nothing.

    Of its four fed and six check colonies five died, two of them fed: as many ways for 2 - k as for 2 + k
    (6, 60, 120, 60, 6), so the belief stays in its middle. Taken together, 2 of 60 fed and 3 of 12 check
    colonies are lost, and feeding would seem to save.
    """
    safe, deadly = Deaths(56, 0, 6, 0), Deaths(4, 2, 6, 3)
    by_yard = survival_learnt(FLAT, 0.5, [("2025", safe), ("2025", deadly)])
    assert float(by_yard.at(np.array(0.0))) == pytest.approx(0.0, abs=1e-6)
    assert by_yard.sentence.startswith("Of 60 fed colonies 2 were lost, of 12 check colonies 3 (dead")
    assert "10 are believed to die fed, as before" in by_yard.sentence
    together = survival_learnt(FLAT, 0.5, [("2025", in_all([safe, deadly]))])
    assert float(together.at(np.array(0.0))) > 0.1


def test_two_yards_of_a_season_are_bayes_with_the_product_of_both():
    """By quadrature, the season's effect shared: with no effect of its own, prior times both likelihoods."""
    yards = [Deaths(8, 1, 4, 2), Deaths(12, 1, 3, 1)]
    found = survival_learnt(FLAT, 0.0, [("autumn", of) for of in yards])

    def weight(d: float) -> float:
        both = likelihood(yards[0], np.array(d)) * likelihood(yards[1], np.array(d))
        return float(stats.norm(0, 0.4).pdf(d) * both)

    whole = integrate.quad(weight, -3, 3)[0]
    assert integrate.quad(weight, -3, float(found.at(np.array(0.0))))[0] / whole == pytest.approx(
        0.5, abs=3e-3
    )


def test_two_trials_of_one_odd_season_say_less_than_those_of_two():
    deaths = Deaths(200, 10, 200, 40)
    one = survival_learnt(FLAT, 0.5, [("2025", deaths), ("2025", deaths)])
    two = survival_learnt(FLAT, 0.5, [("2025", deaths), ("2026", deaths)])
    assert float(one.at(np.array(0.0))) < float(two.at(np.array(0.0)))


def test_a_figure_set_to_nothing_stays_nothing():
    nothing = survival_learnt(Span(0.0, 0.0, 0.0), 0.5, [("2025", Deaths(20, 1, 20, 9))])
    assert nothing.at(np.array([-2.0, 2.0])) == pytest.approx([0.0, 0.0])


def test_a_result_with_its_dead_in_it_lays_nothing_on_losses():
    reader = load().reader()
    apart = SeasonResult("2025", 0.1, 0.1, (Deaths(20, 1, 20, 6),))
    inside = SeasonResult("2024", 0.1, 0.1)
    both = [carried("pollen", results, reader).survival for results in ([apart], [apart, inside])]
    at = np.array([-1.0, 0.0, 1.0])
    assert both[0].at(at)[1] > 0
    assert both[1].at(at) == pytest.approx([0.0, 0.0, 0.0])
    assert carried("pollen", [], reader).survival is None


def test_it_is_told_in_colonies():
    said = survival_learnt(FLAT, 0.5, [("2025", Deaths(20, 1, 20, 6))]).sentence
    assert said.startswith("Of 20 fed colonies 1 was lost, of 20 check colonies 6 (dead, gone, merged or ")
    assert "under a frame). So where 10 in 100 die unfed" in said
    dead = survival_learnt(FLAT, 0.5, [("2025", Deaths(20, 0, 0, 0)), ("2025", Deaths(3, 3, 2, 2))]).sentence
    assert dead.endswith(
        "No yard with both groups lost some and kept some, so that says nothing of survival."
    )
    with pytest.raises(TrialError, match="no more than there were"):
        Deaths(4, 5, 4, 0)
