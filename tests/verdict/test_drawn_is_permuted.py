"""What is permuted is what could have been drawn, arrangement for arrangement: by going through all of them.

A row of three times six hives in six sets, of which each gives one check and one fed colony to the trial.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from itertools import product

import numpy as np
import pytest
from scipy import stats

from breadline.trial import draw
from breadline.trial.classes import Lines
from breadline.trial.colonies import CHECK, Became, Ended, Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.trial.draw import Drawn, Groups, draw_colonies
from breadline.trial.matching import Candidate, ColonySet, colony_sets
from breadline.verdict.amounts import FRAMES
from breadline.verdict.answer import Finished, answer
from breadline.verdict.ends_of import ends_of
from breadline.verdict.fairness import Conduct
from breadline.verdict.permutation import PermutationP, permutation_tests
from breadline.verdict.within_rows import rows_not_told, rules_of
from breadline.verdict.words_behind import ROWS_NOT_TOLD, sure_lines
from breadline.verdict.words_next import next_season

SETS, OF_A_SET = 6, 3
HIVES = SETS * OF_A_SET
BY_STRENGTH = np.random.default_rng(8).permutation(HIVES)
LEVELS = np.arange(1, 100) / 100


def yard(name: str = "y") -> list[Candidate]:
    return [Candidate(f"{name}{n}", name, float(BY_STRENGTH[n]), 1, n + 1) for n in range(HIVES)]


def drawn(colonies: list[Candidate], seed: int, check: int = SETS, fed_each: int = 1) -> Drawn:
    tags = [c.hive for c in colonies]
    groups = Groups(2, 1, fed_each)
    return draw_colonies(colonies, colony_sets(colonies, check, 2), tags, groups, np.random.default_rng(seed))


def designed(started: tuple[Started, ...], apart: tuple[str, ...] | None, staggered: bool | None) -> Design:
    return Design(
        Outcome.FRAMES, CheckArm.SAME_CARE, Unit.COLONY, Allocation.DRAWN, ("check", "fed"), 1,
        Lines(1.0, 1.0), date(2026, 9, 1), started, seed=5, staggered=staggered, apart=apart,
    )  # fmt: skip


def told(design: Design, frames: dict[str, float]) -> PermutationP:
    """The test of feed that does nothing, where each hive has its frames whatever it got."""
    ended = tuple(Ended(one.tag, Became.GRADED, frames[one.tag]) for one in design.started)
    came = ends_of(design, ended)
    bare = replace(came.ends, baseline=np.empty((len(ended), 0)))
    return permutation_tests(bare, (0.0,), np.random.default_rng(1), 999, rules_of(design, came))[0]


def by_hand(places: list[int], arms: list[int]) -> bool:
    """The rule read off a row: no three check hives side by side, of its two ends as many as their share."""
    check = {place for place, arm in zip(places, arms, strict=True) if arm == CHECK}
    three = any({place, place + 1, place + 2} <= check for place in places)
    share = 2 * len(check) / len(places)
    at_ends = (min(places) in check) + (max(places) in check)
    return not three and np.floor(share) <= at_ends <= np.ceil(share)


def labelled(started: tuple[Started, ...]) -> list[tuple[Started, ...]]:
    """The same colonies with every way in which one of each set stays unfed."""
    of_set = [[n for n, s in enumerate(started) if s.block == block] for block in
              dict.fromkeys(s.block for s in started)]  # fmt: skip
    check, fed = (tuple(replace(s, arm=arm) for s in started) for arm in (CHECK, 1))
    return [
        tuple(check[n] if n in unfed else fed[n] for n in range(len(started))) for unfed in product(*of_set)
    ]


def allowed(started: tuple[Started, ...]) -> list[tuple[Started, ...]]:
    """Those that the rule lets stand."""
    places = [s.place or 0 for s in started]
    return [one for one in labelled(started) if by_hand(places, [s.arm for s in one])]


def gradients() -> list[dict[str, float]]:
    """Frames that go by the place in the row, with a little luck."""
    rng, places = np.random.default_rng(3), range(HIVES)
    ends = [n in (0, HIVES - 1) for n in places]
    along = [[n % 2 for n in places], [n // 2 % 2 for n in places], ends, places]
    return [{f"y{n}": 9.0 + v + rng.normal(0, 0.01) for n, v in enumerate(one)} for one in along]


def test_a_draw_with_hives_left_out_is_any_of_those_that_the_rule_lets_stand() -> None:
    """Each as often: where the draw stands among all of its hives, in an order it knows nothing of."""
    at = []
    for seed in range(150):
        one = drawn(yard(), seed)
        assert one.staggered is True
        assert one.apart == ("y",)
        ways = [tuple(s.arm for s in way) for way in allowed(one.started)]
        number = ways.index(tuple(s.arm for s in one.started))
        at.append((number + np.random.default_rng(seed).random()) / len(ways))
    assert stats.kstest(at, "uniform").pvalue > 0.01


def test_who_takes_part_is_drawn_by_lot() -> None:
    sets = [ColonySet("a", "y", (0, 1, 2)), ColonySet("b", "y", (3, 4))]
    rng = np.random.default_rng(4)
    seen = Counter(draw._taking_part(sets, Groups(2, 1, 1), rng)[0].members for _ in range(900))
    assert set(seen) == {(0, 1), (0, 2), (1, 2)}
    assert stats.chisquare(list(seen.values())).pvalue > 0.01
    assert draw._taking_part(sets, Groups(2, 1), rng) == tuple(sets)


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_all_that_could_have_been_drawn_is_permuted_and_nothing_else(seed: int) -> None:
    """Over all of them the p value takes each of 1/n, 2/n … once: that is what exact means."""
    one = drawn(yard(), seed)
    ways = allowed(one.started)
    for frames in gradients():
        p = [told(designed(way, one.apart, True), frames) for way in ways]
        assert {found.arrangements for found in p} == {len(ways)}
        assert np.allclose(sorted(found.p_above for found in p), np.arange(1, len(ways) + 1) / len(ways))


@pytest.mark.parametrize("seed", [0, 1])
@pytest.mark.parametrize("kept_by", ["the rule of all hives", "no rule"])
def test_where_the_rule_was_not_written_down_nothing_is_told_too_often(seed, kept_by) -> None:
    """Drawn by the rule read off all hives of the row, as once, or freely: at every level."""
    started = drawn(yard(), seed).started
    ways = labelled(started)
    if kept_by != "no rule":
        row = list(range(1, HIVES + 1))
        arms = [{s.place: s.arm for s in way} for way in ways]
        ways = [ways[k] for k, of in enumerate(arms) if by_hand(row, [of.get(n, 1) for n in row])]
    assert len(ways) > 20
    for frames in gradients():
        p = np.array([told(designed(way, None, None), frames).p_above for way in ways])
        assert np.all((p[:, None] <= LEVELS + 1e-9).mean(axis=0) <= LEVELS + 1e-9)
        assert len(set(p.round(9))) > 4  # and not by never telling


def test_a_yard_that_could_not_be_kept_apart_does_not_free_the_others(monkeypatch) -> None:
    colonies = [*yard("y"), *yard("z")]
    honest = draw.apart_in_rows
    monkeypatch.setattr(
        draw, "apart_in_rows",
        lambda own, arms: honest(own, arms) & (own[0].yard == "y"),
    )  # fmt: skip
    one = drawn(colonies, 3, 2 * SETS)
    monkeypatch.undo()
    assert (one.staggered, one.apart) == (False, ("y",))
    assert one.said == ("z: no draw keeps check hives apart in their rows; it was drawn freely.",)
    design = designed(one.started, one.apart, one.staggered)
    came = ends_of(design, tuple(Ended(s.tag, Became.GRADED, 9.0) for s in one.started))
    assert [{c.yard for c in rule.colonies} for rule in rules_of(design, came)] == [{"y"}]
    assert rules_of(replace(design, apart=()), came) == ()


def test_what_is_not_known_of_an_old_draw_is_said() -> None:
    one = drawn(yard(), 1)
    rng = np.random.default_rng(2)
    ended = tuple(Ended(s.tag, Became.GRADED, float(rng.integers(8, 20))) for s in one.started)
    for apart, lines in ((None, 1), (one.apart, 0)):
        design = designed(one.started, apart, True)
        assert rows_not_told(design) == bool(lines)
        found = answer(Finished(design, ended, Conduct()), rng, 999)
        assert sure_lines(found, design, FRAMES).count(ROWS_NOT_TOLD) == lines
    unplaced = tuple(replace(s, place=None) for s in one.started)
    assert not rows_not_told(designed(unplaced, None, None))


def test_an_old_draw_of_few_sure_ways_is_to_be_drawn_anew_and_not_to_be_ten_times_as_large() -> None:
    """Eight pairs in two rows, three frames more in every fed hive: with ends held few ways are left."""
    places = np.random.default_rng(1)
    row = [
        Candidate(f"{y}{n}", y, float(places.integers(8, 20)) / 2, 1, n + 1) for y in "ab" for n in range(8)
    ]
    sets = colony_sets(row, 8, 2)
    one = draw_colonies(row, sets, [c.hive for c in row], Groups(2, 1, 1), np.random.default_rng(3))
    ended = tuple(
        Ended(s.tag, Became.GRADED, 6.0 + 3.0 * s.arm + 0.5 * (n % 2)) for n, s in enumerate(one.started)
    )
    now, before = (designed(one.started, apart, True) for apart in (one.apart, None))
    clear, held = (
        answer(Finished(d, ended, Conduct()), np.random.default_rng(2), 999) for d in (now, before)
    )
    assert clear.weakened == ""
    assert held.weakened == "permutation"
    assert "drawn anew, may settle it" in next_season(held, before)


def test_feed_that_does_nothing_along_a_gradient_is_told_as_often_as_it_may() -> None:
    """From the program's own draw to the p value, 24 hives in a row; seeded, within three standard errors."""
    trials, hives = 400, 24
    rng = np.random.default_rng(11)
    seen = []
    for _ in range(trials):
        strength = rng.permutation(hives)
        row = [Candidate(f"y{n}", "y", float(strength[n]), 1, n + 1) for n in range(hives)]
        one = drawn(row, int(rng.integers(2**31)), 8)
        frames = {f"y{n}": 9.0 + n / 8 + rng.normal(0, 0.2) for n in range(hives)}
        found = told(designed(one.started, one.apart, one.staggered), frames)
        seen.append((found.p_above <= 0.05 + 1e-12, found.p_below <= 0.05 + 1e-12))
    assert np.all(np.mean(seen, axis=0) <= 0.05 + 3 * np.sqrt(0.05 * 0.95 / trials))
