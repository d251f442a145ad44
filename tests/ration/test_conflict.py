"""Targets at odds: an irreducible set, how far each gives, and the nearest mix."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.errors import RecipeError
from breadline.ration.bases import AS_FED, DRY
from breadline.ration.conflict import at_odds
from breadline.ration.problem import Making
from breadline.ration.rows import rows_of
from breadline.ration.solver import Conflict, Solved, cheapest
from breadline.ration.targets import nutrient, protein, ratio, share
from tests.ration.larder import BEAN, SUGAR, problem


def only(asked, members):
    """The question with nothing but some members of the conflict."""
    making = asked.making
    for limit in ("whole bags", "most ingredients", "least if used"):
        if limit not in [m.limit for m in members]:
            making = making.without(limit)
    targets = tuple(one_sided(m) for m in members if m.target)
    return replace(asked, targets=targets, making=making)


def one_sided(member):
    keep = member.target.bound(member.side)
    other = "most" if member.side == "least" else "least"
    return replace(member.target, **{member.side: keep, other: None})


def possible(asked):
    """Whether a mix exists, be it nearly all water."""
    try:
        return isinstance(cheapest(asked), Solved)
    except RecipeError as told:
        return "all water" in told.what


ODDS = [
    problem(protein(AS_FED, least=30.0), making=Making()),
    problem(share("sugar", least=70.0)),
    problem(ratio("sugars", "water", least=9.0), share("bean", least=24.0)),
    problem(targets=(protein(DRY, least=30.0), share("sugar", least=60.0), nutrient("fat", "as fed", 20.0))),
    problem(nutrient("sodium", "as fed", most=5.0), protein(AS_FED, least=24.0)),
]


@pytest.mark.parametrize("asked", ODDS, ids=["protein", "sugar", "ratio", "three", "sodium"])
def test_without_any_one_member_the_rest_can_be_had(asked):
    conflict = cheapest(asked)
    assert isinstance(conflict, Conflict)
    assert conflict.proven
    assert conflict.irreducible
    assert len(conflict.members) >= 2
    assert not possible(only(asked, conflict.members))
    for member in conflict.members:
        assert possible(only(asked, [m for m in conflict.members if m is not member])), member


@pytest.mark.parametrize("asked", ODDS, ids=["protein", "sugar", "ratio", "three", "sodium"])
def test_giving_way_alone_by_what_is_said_is_just_enough(asked):
    conflict = cheapest(asked)
    for member in conflict.members:
        if not member.enough:
            continue
        assert not isinstance(cheapest(moved(asked, member, member.alone, out=1e-6)), Conflict), member
        assert isinstance(cheapest(moved(asked, member, member.alone, out=-1e-4)), Conflict), member


def moved(asked, member, bound, out):
    """The question with one bound moved, and a hair further ``out`` or in."""
    by = out * max(1.0, bound)
    new = max(0.0, bound - by) if member.side == "least" else bound + by
    return replace(
        asked,
        targets=tuple(replace(t, **{member.side: new}) if t == member.target else t for t in asked.targets),
    )


@pytest.mark.parametrize("asked", ODDS, ids=["protein", "sugar", "ratio", "three", "sodium"])
def test_the_nearest_mix_misses_only_what_it_says(asked):
    conflict = cheapest(asked)
    assert conflict.gives
    near = conflict.nearest
    assert isinstance(near, Solved)
    gives = {(g.target, g.side): g for g in conflict.gives}
    for target, there in zip(asked.targets, near.reached, strict=True):
        least = gives[target, "least"].reached if (target, "least") in gives else target.least
        most = gives[target, "most"].reached if (target, "most") in gives else target.most
        assert least is None or there.value.low >= least - 1e-4
        assert most is None or there.value.high <= most + 1e-4


def test_two_of_two_worked_by_hand():
    """20 % protein needs 40.6 % bean; at most 30 % bean reaches 14.777 %."""
    per_bean = 45 * 6.25 / 5.71
    asked = problem(
        ingredients=(BEAN, SUGAR), targets=(protein(AS_FED, least=20.0), share("bean", most=30.0))
    )
    conflict = cheapest(asked)
    first, second = conflict.members
    assert first.alone == pytest.approx(0.3 * per_bean)
    assert second.alone == pytest.approx(100 * 20.0 / per_bean)
    # A point of bean is a step of its own, and 0.49 points of protein: the protein gives.
    assert [g.target.of for g in conflict.gives] == ["protein"]
    assert conflict.nearest.shares["bean"] == pytest.approx(0.3, abs=1e-4)


def test_whole_bags_that_cannot_fill_the_mixer_are_named():
    making = Making(batch_kg=50.0, whole_bags=frozenset({"bean", "sugar"}))
    conflict = cheapest(problem(ingredients=(BEAN, SUGAR), targets=(), making=making))
    assert [m.limit for m in conflict.members] == ["whole bags"]
    assert conflict.members[0].enough


def test_too_few_ingredients_are_named_with_the_targets_they_stand_against():
    conflict = cheapest(problem(making=Making(most_ingredients=2)))
    assert isinstance(conflict, Conflict)
    assert "most ingredients" in [m.limit for m in conflict.members]
    assert any(m.target for m in conflict.members)
    assert not possible(only(conflict.problem, conflict.members))
    for member in conflict.members:
        assert possible(only(conflict.problem, [m for m in conflict.members if m is not member])), member


def test_why_there_is_no_mix_of_whole_bags_is_left_open_when_told_to_stop():
    making = Making(batch_kg=50.0, whole_bags=frozenset({"bean", "sugar"}), most_ingredients=2)
    asked = problem(ingredients=(BEAN, SUGAR), targets=(), making=making)
    rows = rows_of(asked)
    assert at_odds(asked, rows).irreducible
    assert not at_odds(asked, rows, stop=lambda: True).irreducible


def test_shares_that_cannot_sum_to_the_whole_are_at_odds():
    asked = problem(ingredients=(BEAN, SUGAR), targets=(share("bean", most=40.0), share("sugar", most=35.0)))
    conflict = cheapest(asked)
    assert [m.alone for m in conflict.members] == pytest.approx([65.0, 60.0])
    over = problem(ingredients=(BEAN, SUGAR), targets=(share("bean", least=70.0), share("sugar", least=50.0)))
    assert [m.alone for m in cheapest(over).members] == pytest.approx([50.0, 30.0])
