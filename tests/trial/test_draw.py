"""The draw: every set holds its arms, counts are exact, any allowed arrangement is as likely as another."""

from __future__ import annotations

from collections import Counter
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from breadline.errors import TrialError
from breadline.trial import draw
from breadline.trial.colonies import CHECK, Started
from breadline.trial.draw import Groups, draw_colonies, draw_units, units_started
from breadline.trial.matching import Candidate, arms_of_set, check_a_yard, colony_sets, yard_sets
from breadline.trial.rows import apart_in_rows
from breadline.trial.tags import LOOKS_ELSE, graded_twice, grading_order, tags

TWO = Groups(2, 1)


def yard(name: str, hives: int, strength=None, row=None, begin=1) -> list[Candidate]:
    """Hives of one yard, in one row where one is named."""
    return [
        Candidate(
            f"{name} {n}", name, None if strength is None else strength(n), row, n if row else None,
        )
        for n in range(begin, begin + hives)
    ]  # fmt: skip


def drawn(colonies, check, groups=TWO, seed=0, by_queen_line=False):
    rng = np.random.default_rng(seed)
    worn = tags(len(colonies), rng)
    sets = colony_sets(colonies, check, groups.arms, by_queen_line)
    return draw_colonies(colonies, sets, worn, groups, rng)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(20, 30), min_size=1, max_size=4), st.integers(2, 4), st.integers(0, 2**31), st.data()
)
def test_every_yard_and_set_holds_its_arms_and_counts_are_exact(sizes, arms, seed, data):
    colonies = [c for n, size in enumerate(sizes) for c in yard(f"Yard {n}", size, lambda k: k % 7 + 2.0)]
    most = sum(size // arms for size in sizes)
    check = data.draw(st.integers(len(sizes) + 4, most))
    told = drawn(colonies, check, Groups(arms, arms - 1), seed)
    assert [s.hive for s in told.started] == [c.hive for c in colonies]
    assert sum(s.arm == CHECK for s in told.started) == check
    for block in {s.block for s in told.started}:
        inside = [s for s in told.started if s.block == block]
        assert len({s.yard for s in inside}) == 1
        assert Counter(s.arm for s in inside) == Counter(
            {arm: n for arm, n in enumerate(arms_of_set(len(inside), arms, arms - 1)) if n}
        )
        assert sum(s.arm == CHECK for s in inside) == 1


def test_a_set_may_give_only_some_of_its_fed_colonies_to_the_trial():
    colonies = yard("Home", 60, float, row=1)
    started = drawn(colonies, 6, Groups(3, 1, fed_each=2)).started
    assert len(started) == 6 * (1 + 2 * 2)
    for block in {s.block for s in started}:
        assert Counter(s.arm for s in started if s.block == block) == {0: 1, 1: 2, 2: 2}
    # a set smaller than that gives what it has
    assert Counter(s.arm for s in drawn(yard("Home", 13, float), 5, Groups(2, 1, 2)).started) == {0: 5, 1: 8}


def test_sets_hold_colonies_of_like_strength_and_of_one_queen_line_where_wanted():
    colonies = yard("Home", 12, lambda n: float((n * 5) % 12))
    sets = colony_sets(colonies, 6, 2)
    strengths = [sorted(colonies[m].baseline for m in one.members) for one in sets]
    assert strengths == [[10, 11], [8, 9], [6, 7], [4, 5], [2, 3], [0, 1]]
    lined = [
        Candidate(c.hive, c.yard, c.baseline, queen_line="Ada" if n % 2 else "Bo")
        for n, c in enumerate(colonies)
    ]
    for one in colony_sets(lined, 6, 2, by_queen_line=True):
        assert len({lined[m].queen_line for m in one.members}) == 1


def test_without_strength_neighbours_make_a_set():
    colonies = yard("Home", 12, row=1)
    assert [one.members for one in colony_sets(colonies, 6, 2)][:2] == [(0, 1), (2, 3)]


def test_the_same_seed_gives_the_same_draw_and_another_seed_another():
    colonies = yard("Home", 30, lambda n: n / 2, row=1)
    assert drawn(colonies, 10, seed=5) == drawn(colonies, 10, seed=5)
    assert drawn(colonies, 10, seed=5) != drawn(colonies, 10, seed=6)


def by_hand(row: tuple[int, ...]) -> bool:
    """The rule read off a row: no three checks side by side, one of the two ends a check."""
    text = "".join(map(str, row))
    return "000" not in text and (row[0] == CHECK) != (row[-1] == CHECK)


def test_every_allowed_arrangement_is_as_likely_as_any_other():
    colonies = yard("Home", 12, lambda n: 20.0 - n, row=1)  # sets of neighbours: (1, 2), (3, 4) …
    allowed = [sum(pairs, ()) for pairs in product([(0, 1), (1, 0)], repeat=6)]
    allowed = [row for row in allowed if by_hand(row)]
    rng, sets = np.random.default_rng(11), colony_sets(colonies, 6, 2)
    worn = tags(12, rng)
    seen = Counter(
        tuple(s.arm for s in draw_colonies(colonies, sets, worn, TWO, rng).started) for _ in range(3000)
    )
    assert set(seen) == set(allowed)
    assert stats.chisquare([seen[row] for row in allowed]).pvalue > 0.001


def test_rows_without_places_are_drawn_freely_and_nothing_is_claimed_of_them():
    colonies = yard("Home", 10, lambda n: 20.0 - n)
    assert drawn(colonies, 5).staggered is None
    told = drawn(yard("Home", 12, lambda n: 20.0 - n, row=1), 6)
    assert told.staggered is True
    row = np.array([[s.arm for s in told.started]])
    assert apart_in_rows(told.started, row).all()
    assert not apart_in_rows(told.started, np.array([[0] * 6 + [1] * 6])).any()


def test_where_no_draw_keeps_hives_apart_it_is_drawn_freely_and_says_so(monkeypatch):
    monkeypatch.setattr(draw, "apart_in_rows", lambda colonies, arms: np.zeros(len(arms), dtype=bool))
    monkeypatch.setattr(draw, "TRIES", 2)
    told = drawn(yard("Home", 10, float, row=1), 5)
    assert told.staggered is False
    assert told.said == ("Home: no draw keeps check hives apart in their rows; it was drawn freely.",)
    assert sum(s.arm == CHECK for s in told.started) == 5


def test_with_three_groups_rows_leave_ways_enough_between_the_two_that_are_compared():
    """Five sets of three in one row: check hives may stand in 3^5 = 243 ways, but beside the third group as
    it fell in 2^5 = 32 at most; where rows leave fewer than 20 of them no p of 1 in 20 could come."""
    groups, apart = Groups(3, 1), 0
    for seed in range(12):
        rng = np.random.default_rng(seed)
        colonies = yard("Home", 15, dict(enumerate(rng.permutation(16).tolist())).__getitem__, row=1)
        told = draw_colonies(colonies, colony_sets(colonies, 5, 3), tags(15, rng), groups, rng)
        assert told.staggered or "drawn freely" in told.said[0]
        apart += bool(told.staggered)
        arms, block = (np.array([getattr(s, of) for s in told.started]) for of in ("arm", "block"))
        pairs = [np.flatnonzero((arms < 2) & (block == one)) for one in dict.fromkeys(block.tolist())]
        ways = np.tile(arms, (32, 1))
        for row, flips in zip(ways, product((0, 1), repeat=5), strict=True):
            for at, flip in zip(pairs, flips, strict=True):
                row[at] = (flip, 1 - flip)
        assert not told.staggered or apart_in_rows(told.started, ways).sum() >= draw.FEWEST_WAYS
    assert 0 < apart < 12


@pytest.mark.parametrize(
    ("colonies", "check", "says"),
    [
        ([*yard("Home", 10), *yard("Home", 1)], 5, "listed 2 times (Home)"),
        ([*yard("Home", 10), Candidate("Home 3", "Away")], 5, "listed 2 times (Away, Home)"),
        ([*yard("Home", 10, row=1), Candidate("x", "Home", None, 1, 4)], 5, "two hives stand in row 1, "),
        ([*yard("Home", 10), *yard("Away", 1)], 5, "1 colonies for 2 groups"),
        ([*yard("Home", 5), *yard("Away", 5)], 1, "1 in 2 yards of 10 colonies"),
        (yard("Home", 10), 6, "6 in 1 yards of 10 colonies"),
        (yard("Home", 2), 1, "could fall in 2 ways only"),
        (yard("Home", 8), 4, "could fall in 16 ways only"),
        ([*yard("Home", 10, float), Candidate("x", "Home")], 5, "1 of 11 colonies have none: x"),
        ([*yard("Home", 10, float), Candidate("x", "Home", -1.0)], 5, "-1.0 before the draw"),
        ([*yard("Home", 10, float), Candidate("x", "Home", float("nan"))], 5, "nan before the draw"),
    ],
)  # fmt: skip
def test_a_list_that_cannot_be_drawn_is_refused_in_words(colonies, check, says):
    with pytest.raises(TrialError) as refused:
        drawn(colonies, check)
    assert says in str(refused.value)


def test_check_colonies_are_spread_over_yards_by_their_size():
    assert check_a_yard({"a": 100, "b": 100, "c": 100, "d": 100}, 24, 2) == dict.fromkeys("abcd", 6)
    spread = check_a_yard({"big": 300, "small": 4}, 10, 2)
    assert spread["small"] == 1
    assert spread["big"] == 9


def test_whole_yards_are_drawn_in_pairs_of_like_strength():
    strength = {f"Y{n}": float(n) for n in range(10)}
    sets = yard_sets(strength, 2)
    assert sets[0] == ("Y9", "Y8")
    found = draw_units(sets, TWO, np.random.default_rng(3))
    for n, pair in enumerate(sets, 1):
        assert {found[unit][0] for unit in pair} == {f"pair {n}"}
        assert sorted(found[unit][1] for unit in pair) == [0, 1]
    colonies = [c for unit in strength for c in yard(unit, 3)]
    started = units_started(colonies, {u: u for u in strength}, found, tags(30, np.random.default_rng(0)))
    assert all(s.arm == found[s.yard][1] and s.unit == "" for s in started)


# 4 pairs fall in 2^4 = 16 ways, 4 of 8 yards in 70, 3 of 6 in 20, 5 pairs in 32
@pytest.mark.parametrize(("units", "matched", "ways"), [(8, True, 16), (5, False, 10), (2, False, 2)])
def test_too_few_yards_are_refused_with_the_way_out(units, matched, ways):
    strength = {f"Y{n}": float(n) for n in range(units)}
    sets = yard_sets(strength, 2) if matched else [tuple(strength)]
    with pytest.raises(TrialError, match=f"in {ways} ways only") as refused:
        draw_units(sets, TWO, np.random.default_rng(0))
    # by hand: three and three fall in 20 ways, two and two in 6; eight yards need no more, only no pairs
    assert ("without pairs" if matched else "6 at least, 3 of them unfed") in refused.value.do


@pytest.mark.parametrize(("units", "matched"), [(6, False), (8, False), (10, True)])
def test_enough_yards_are_drawn_half_and_half(units, matched):
    strength = {f"Y{n}": float(n) for n in range(units)}
    sets = yard_sets(strength, 2) if matched else [tuple(strength)]
    found = draw_units(sets, TWO, np.random.default_rng(0))
    assert sum(arm for _, arm in found.values()) == units // 2


def test_one_yard_only_cannot_be_drawn_whole():
    with pytest.raises(TrialError, match="1 to draw from for 2 groups"):
        yard_sets({"Home": 5.0}, 2)


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 4000), st.integers(0, 2**31))
def test_tags_are_words_with_small_numbers_none_twice_and_none_that_reads_upside_down(count, seed):
    worn = tags(count, np.random.default_rng(seed))
    assert len(set(worn)) == count
    assert all(t.split()[0].isalpha() and not set(t.split()[1]) <= LOOKS_ELSE for t in worn)


def test_tags_tell_nothing_of_the_arm():
    told = drawn(yard("Home", 4000, float), 2000)
    even = [s.arm for s in told.started if int(s.tag.split()[1]) % 2 == 0]
    early = [s.arm for s in told.started if s.tag < "H"]
    for some in (even, early):
        assert stats.binomtest(sum(some), len(some)).pvalue > 0.001
    few, many = (drawn(yard("Home", 30, float), check).started for check in (10, 15))
    assert [s.tag for s in few] == [s.tag for s in many]


def test_grading_goes_yard_by_yard_in_a_drawn_order_and_a_tenth_twice():
    started = drawn([*yard("Home", 31, float), *yard("Away", 12, float)], 20).started
    rng = np.random.default_rng(1)
    order, twice = grading_order(started, rng), graded_twice(started, rng)
    where = {s.tag: s.yard for s in started}
    assert [where[tag] for tag in order] == ["Home"] * 31 + ["Away"] * 12
    assert set(order) == set(where)
    assert order != tuple(where)
    assert len(twice) == 5  # a tenth of 43
    assert 3 <= Counter(where[tag] for tag in twice)["Home"] <= 4


@pytest.mark.parametrize(("yards", "each", "many"), [(16, 2, 4), (1, 8, 3), (1, 2, 2), (4, 50, 20)])
def test_a_second_reader_reads_a_tenth_of_all_and_not_one_in_every_small_yard(yards, each, many):
    started = [Started(f"T{n}", f"yard {n // each}", "", n % 2) for n in range(yards * each)]
    seen = Counter()
    for seed in range(200):
        twice = graded_twice(started, np.random.default_rng(seed))
        assert len(twice) == many
        seen.update(twice)
    assert stats.chisquare([seen[one.tag] for one in started]).pvalue > 0.001  # each as likely as another
