"""The fit to a yard's own counts: likelihood, weights, and what is given back."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import lognorm, norm

from breadline.errors import YardError
from breadline.knowledge.season_draws import shipped_draws
from breadline.knowledge.shelf import load
from breadline.need.fit import before, weighing
from breadline.need.fit.astray import astray
from breadline.need.fit.checks import check_agreement
from breadline.need.fit.evidence import Seen, Spread, evidence, spread_of
from breadline.need.fit.misfit import chance_of_misfit, surprises
from breadline.need.fit.ready import made_ready, parameters_before
from breadline.need.fit.unknowns import unknowns
from breadline.need.fit.weighing import begun, chosen, effective_number, weighed
from breadline.need.parameters import NAMES
from breadline.need.streams import Streams
from breadline.need.yard import Given
from tests.need.fit_yards import FIRST, YARD, fitted, inspection, recovered, weather

READER = load().reader()
SPREAD = Spread(0.37, {"bees": 0.15, "brood": 0.3, "bread": 0.6})
GOOD = (inspection(14, 6.5, 3.5), inspection(28, 8, 5))


def yard(*inspections, **more):
    return replace(YARD, inspections=inspections, **more)


def seen(value=10.0, least=1.0, count_sd=0.2, model_sd=0.15) -> Seen:
    return Seen(14, inspection(14, 6), "bees", value, least, "", count_sd, model_sd)


def test_a_count_is_log_normal_about_what_the_draw_would_show() -> None:
    # The same density from another implementation: scipy's lognorm with s = √(0.2² + 0.15²) = 0.25.
    would = np.array([4.0, 9.0, 10.0, 25.0])
    assert seen().log_likelihood(would) == pytest.approx(lognorm.logpdf(10.0, s=0.25, scale=would))


def test_a_count_of_none_is_a_count_below_the_least_that_is_seen() -> None:
    would = np.array([0.2, 1.0, 3.0])
    expected = norm.logcdf(np.log(1.0 / would) / 0.25)
    assert seen(value=0.0).log_likelihood(would) == pytest.approx(expected)


def test_the_error_of_a_count_has_reader_colonies_and_model() -> None:
    # By hand: bees 0.13² + 0.37²/6 + 0.15² = 0.0169 + 0.02282 + 0.0225 = 0.06222, whose root is 0.2494;
    # brood 0.185² + 0.37²/6 + 0.3² = 0.03423 + 0.02282 + 0.09 = 0.14704, whose root is 0.3835.
    bees, brood = evidence(yard(inspection(14, 6.5, 3.5)), READER, SPREAD)
    assert bees.log_sd == pytest.approx(0.2494, abs=1e-4)
    assert brood.log_sd == pytest.approx(0.3835, abs=1e-4)
    assert bees.value == pytest.approx(6.5 * 1900)


def test_counts_of_one_day_share_one_error_of_the_model() -> None:
    twice = evidence(yard(inspection(14, 6.0), inspection(14, 6.5)), READER, SPREAD)
    assert [one.model_sd for one in twice] == pytest.approx([0.15 * np.sqrt(2)] * 2)


def test_what_lasts_of_an_error_is_a_part_of_it_and_not_on_top() -> None:
    lasting = Spread(0.37, {"bees": 0.15, "brood": 0.3, "bread": 0.6}, 0.5)
    twice = evidence(yard(inspection(14, 6.5), inspection(28, 6.5)), READER, lasting)
    alone = evidence(yard(inspection(14, 6.5), inspection(28, 6.5)), READER, SPREAD)
    for one, same in zip(twice, alone, strict=True):
        assert one.log_sd == same.log_sd
        assert one.lasting_sd**2 == pytest.approx(0.5 * 0.06222, abs=1e-5)
        assert one.passing_sd**2 == pytest.approx(0.5 * 0.06222, abs=1e-5)


def test_two_counts_that_miss_alike_surprise_less_than_two_that_do_not() -> None:
    # Two counts with one lasting error of variance 0.03 and 0.03 of their own are normal with correlation ½;
    # the second, given the first at z, has mean z/2 and variance ¾: hand calculation.
    rng = np.random.default_rng(8)
    lasting = np.exp(np.sqrt(0.03) * rng.standard_normal(100_000))
    count = replace(seen(10.0, 1.0, np.sqrt(0.06), 0.0), lasting_sd=np.sqrt(0.03))
    at = [replace(count, value=10 * np.exp(z * np.sqrt(0.06))) for z in (1.5, 1.5)]
    first, second = surprises(at, [10 * lasting] * 2)
    assert first == pytest.approx(1.5, abs=0.02)
    assert second == pytest.approx((1.5 - 0.75) / np.sqrt(0.75), abs=0.03)


def test_surprise_takes_no_law_of_the_draws_for_granted() -> None:
    # Half of the draws starve (1,000 bees), half do well (10,000): 1,000 bees counted is no surprise at all.
    would = np.repeat([1_000.0, 10_000.0], 500)
    (low,) = surprises([seen(value=1_000.0, least=50.0)], [would])
    assert low == pytest.approx(norm.ppf(0.25), abs=1e-6)
    (none,) = surprises([seen(value=0.0, least=1.0)], [np.full(9, 0.1)])
    assert abs(none) < 0.01, "a count of none where none is foretold"
    (gone,) = surprises([seen(value=0.0, least=1.0)], [np.full(9, 1e4)])
    assert gone < -30
    assert chance_of_misfit([gone]) < 1e-100


def test_the_average_colony_lies_off_its_draw_by_the_models_error_and_its_last_count_tells_how() -> None:
    # By hand: of a count's 0.15² + 0.13² + 0.37²/6 the model's share is 0.0225 / 0.06222 = 0.3616, so bees
    # lie 0.3616 of what the count is off, give or take 0.15 × √(1 − 0.3616) = 0.1198. Brood has 0.3.
    case, _ = made_ready(
        yard(inspection(28, 8.0)), weather(), READER, Streams.of(np.random.default_rng(4)),
        parameters_before(READER, np.random.default_rng(5)),
    )  # fmt: skip
    values = case.all_of.values(case.all_of.drawn)
    course = before.lived(values, case.at)
    off = astray(case, course, values, np.random.default_rng(6))
    assert np.log(off["brood"]).std() == pytest.approx(0.3, rel=0.06)
    assert np.log(off["brood"]).mean() == pytest.approx(0.0, abs=0.03)
    missed = np.log(8.0 * 1900 / course.adults[27])
    left = np.log(off["bees"]) - 0.3616 * missed
    assert left.std() == pytest.approx(0.1198, rel=0.06)
    assert left.mean() == pytest.approx(0.0, abs=0.01)


def test_the_ranges_after_a_fit_hold_the_models_own_error() -> None:
    told = fitted(yard(*GOOD)).told
    after = told.after.adults
    assert np.log(after.high[-1] / after.low[-1]) > 2 * 1.2816 * 0.1, "never surer than the model is"
    count_day = told.before.adults
    assert after.high[0] / after.low[0] <= count_day.high[0] / count_day.low[0] * 1.1


def test_colonies_graded_one_by_one_give_the_yards_own_spread() -> None:
    each = (5.0, 6.0, 7.0, 6.0, 8.0, 5.5)
    own = spread_of(yard(inspection(14, frames_each=each)), READER).colonies
    assert own == pytest.approx(np.log(each).std(ddof=1))
    few = spread_of(yard(inspection(14, frames_each=each[:3])), READER).colonies
    assert few == READER.typical("colony.log_sd")


def test_the_record_of_foretelling_replaces_the_models_error_but_not_below_the_least() -> None:
    own = spread_of(yard(), READER, {"bees": 0.22, "brood": 0.01})
    assert own.model["bees"] == 0.22
    assert own.model["brood"] == READER.span("fit.model_brood_log_sd").low
    assert own.model["bread"] == READER.typical("fit.model_bread_log_sd")


@given(st.lists(st.floats(1e-6, 1e3), min_size=1, max_size=40))
def test_effective_number_lies_between_one_and_the_number_of_draws(weights: list[float]) -> None:
    w = np.array(weights)
    assert 1 - 1e-9 <= effective_number(w) <= len(w) + 1e-9
    assert effective_number(np.full(len(w), w[0])) == pytest.approx(len(w))


def test_effective_number_of_a_known_case() -> None:
    # (½ + ¼ + ¼)² ÷ (¼ + 1/16 + 1/16) = 1 ÷ 3/8
    assert effective_number(np.array([0.5, 0.25, 0.25])) == pytest.approx(8 / 3)


def test_copies_of_one_draw_count_once() -> None:
    cloud = begun(np.array([[1.0, 1.0, 2.0, 2.0]]), np.zeros((1, 4)))
    assert cloud.effective == pytest.approx(2.0)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.floats(-400, 400), min_size=2, max_size=60), st.integers(0, 1000))
def test_weights_add_up_to_one_and_draws_are_chosen_by_them(logs: list[float], seed: int) -> None:
    cloud = begun(np.arange(len(logs), dtype=float)[None, :], np.array([logs]))
    cloud = weighing._with(cloud, np.ones(1))
    assert cloud.weights.sum() == pytest.approx(1.0)
    many = 1000
    times = np.bincount(chosen(cloud.weights, many, np.random.default_rng(seed)), minlength=len(logs))
    assert (np.abs(times - many * cloud.weights) < 1 + 1e-6).all()


def test_moved_draws_stand_for_the_law_that_can_be_worked_out_by_hand() -> None:
    # A normal belief N(0, 1) and a count of 3 with error 0.1 give N(3/1.01, 0.01/1.01): hand calculation.
    rng = np.random.default_rng(5)
    scores = rng.standard_normal((4, 2000))

    def look(at):
        return norm.logpdf(3.0, at[:1], 0.1)

    after = weighed(begun(scores, look(scores)), np.ones(1), look, rng)
    assert after.moved
    assert after.effective > 500
    assert after.scores[0].mean() == pytest.approx(3 / 1.01, abs=0.01)
    assert after.scores[0].std() == pytest.approx(0.1 / np.sqrt(1.01), rel=0.1)
    assert np.abs(after.scores[1:].mean(axis=1)).max() < 0.15, "what was told nothing stays as it was"
    assert after.scores[1:].std(axis=1) == pytest.approx([1, 1, 1], rel=0.1)


def test_scores_of_the_draws_give_the_draws_back_and_none_leaves_their_range() -> None:
    rng = np.random.default_rng(2)
    a = rng.lognormal(size=400)
    values = {"a": a, "b": a + rng.normal(0, 0.3, 400), "still": np.full(400, 7.0)}
    way = unknowns(values, rng)
    back = way.values(way.drawn)
    for name, drawn in values.items():
        assert back[name] == pytest.approx(drawn, rel=1e-3, abs=0.05)
    far = way.values(10 * rng.standard_normal((3, 5000)))
    assert far["a"].min() == a.min()
    assert far["a"].max() == a.max()
    assert (far["still"] == 7.0).all()


def test_fresh_scores_keep_what_belongs_together() -> None:
    rng = np.random.default_rng(3)
    a = rng.standard_normal(2000)
    way = unknowns({"a": a, "b": 0.8 * a + 0.6 * rng.standard_normal(2000)}, rng)
    fresh = way.values(rng.standard_normal((2, 5000)))
    assert np.corrcoef(fresh["a"], fresh["b"])[0, 1] == pytest.approx(0.8, abs=0.05)
    assert fresh["a"].std() == pytest.approx(a.std(), rel=0.05)


@settings(max_examples=5, deadline=None)
@given(st.floats(4, 9), st.floats(2, 7), st.integers(5, 45))
def test_counts_that_say_nothing_leave_the_ensemble_as_it_was(bees: float, brood: float, day: int) -> None:
    case, _ = made_ready(
        yard(inspection(day, bees, brood)), weather(), READER, Streams.of(np.random.default_rng(4)),
        parameters_before(READER, np.random.default_rng(5), 300),
    )  # fmt: skip
    # None of the error lasts here: what lasts would itself be told something.
    case = replace(case, seen=tuple(replace(one, model_sd=1e3, lasting_sd=0.0) for one in case.seen))
    first = case.look(case.all_of.drawn)
    after = weighed(begun(case.all_of.drawn, first), np.ones(1), case.look, np.random.default_rng(6))
    assert not after.moved
    assert after.weights == pytest.approx(np.full(300, 1 / 300), rel=1e-4)


def test_the_order_of_inspections_in_the_file_does_not_matter() -> None:
    a, b = fitted(yard(*GOOD)).told, fitted(yard(*GOOD[::-1])).told
    assert np.array_equal(a.after.adults.middle, b.after.adults.middle)
    assert a.foretold == b.foretold
    assert a.effective == b.effective


def test_moved_draws_stay_within_the_published_ranges() -> None:
    rich = (inspection(14, 7.5, 5), inspection(28, 10.5, 7.5), inspection(42, 15, 10))
    fit = fitted(yard(*rich))
    assert fit.told.moved
    for name in NAMES:
        span, drawn = READER.span(f"season.{name}"), getattr(fit.ensemble.par, name)
        published = shipped_draws().get(name, np.array([span.low, span.high]))
        assert published.min() <= drawn.min(), name
        assert drawn.max() <= published.max(), name


def test_inspections_narrow_the_colony_and_pull_it_towards_themselves() -> None:
    told = fitted(yard(*GOOD)).told
    assert told.fits
    day = 27  # the evening before the second inspection
    was, now = (np.log(b.adults.high[day] / b.adults.low[day]) for b in (told.before, told.after))
    assert now < was
    counted = 8 * 1900
    assert abs(told.after.adults.middle[day] - counted) < abs(told.before.adults.middle[day] - counted)
    assert len(told.dates) == len(told.after.adults.middle) == (YARD.today - FIRST).days + 1


def test_the_last_inspection_is_foretold_from_those_before_it_only() -> None:
    low, high = (fitted(yard(GOOD[0], inspection(28, bees, 5))).told for bees in (7.0, 9.0))
    for a, b in zip(low.last_foretold, high.last_foretold, strict=True):
        assert (a.on, a.what) == (b.on, b.what)
        assert a.middle == b.middle, "what was counted on the day plays no part in what was foretold for it"
    assert low.last_foretold[0].counted == 7 * 1900
    assert low.last_foretold[0].inside
    assert [f.on for f in low.foretold] == [GOOD[0].on] * 2 + [GOOD[1].on] * 2
    assert low.from_inspections == 1


def test_counts_that_nothing_explains_get_wide_ranges_and_no_sharp_answer() -> None:
    told = fitted(yard(*GOOD, inspection(32, 30, 5))).told
    assert not told.fits
    assert told.chance_of_misfit < 0.01
    last = -1
    assert told.after.adults.high[last] / told.after.adults.low[last] > (
        told.before.adults.high[last] / told.before.adults.low[last]
    )
    assert told.after.adults.low[last] < told.before.adults.low[last]


def test_a_count_in_the_bands_of_the_model_is_no_misfit() -> None:
    assert fitted(yard(*GOOD)).told.chance_of_misfit > 0.05


def of_brood(counted: bool):
    """A count of no brood, or without a word on it, and an inspection of the same day with five frames."""
    none = replace(YARD.count, frames_of_brood=0.0, brood_counted=counted)
    both = yard(inspection(0, brood=5.0), count=none)
    return both, READER, SPREAD, evidence(both, READER, SPREAD)


def test_two_inspections_of_one_day_that_disagree_are_refused() -> None:
    with pytest.raises(YardError, match=r"two on one day disagree on frames of bees: 8 and 3 \(B\)"):
        fitted(yard(inspection(28, 8, 5), inspection(28, 3, 5, reader="B")))
    with pytest.raises(YardError, match="two on one day disagree"):
        fitted(yard(inspection(0, 14)))  # against the count itself
    with pytest.raises(YardError, match="two on one day disagree on frames of brood: 0 and 5"):
        check_agreement(*of_brood(counted=True))
    check_agreement(
        *of_brood(counted=False)
    )  # nobody wrote a word on brood: there is nothing to disagree with
    near = fitted(yard(inspection(28, 8, 5), inspection(28, 7, 5))).told
    assert near.fits
    assert not any("lie far apart" in note for note in near.notes)
    told = fitted(yard(inspection(28, 9, 5), inspection(28, 5.5, 5, reader="B"))).told
    assert any(
        note.startswith("Two counts of 29 April lie far apart, 9 and 5.5 frames") for note in told.notes
    )


def test_inspections_outside_the_days_of_the_fit_are_refused() -> None:
    with pytest.raises(YardError, match="lies before the first count"):
        fitted(yard(inspection(-3, 6)))
    with pytest.raises(YardError, match="lies after today"):
        fitted(yard(inspection(90, 6)))
    with pytest.raises(YardError, match="begins on 10 April 2027, after the first count"):
        fitted(yard(*GOOD), sky=weather(start="2027-04-10"))
    with pytest.raises(YardError, match="dead"):
        fitted(yard(inspection(14, 0.0)))
    with pytest.raises(YardError, match="dead"), np.errstate(all="raise"):
        fitted(yard(inspection(14, frames_each=(7, 8, 0, 6, 9, 7))))


def test_no_fit_reaches_across_winter() -> None:
    autumn = replace(YARD.count, on=FIRST - timedelta(days=170))
    with pytest.raises(YardError, match="across winter"):
        fitted(yard(*GOOD, count=autumn), sky=weather(start="2026-09-01", days=400))


def test_frames_of_another_definition_or_box_are_turned_into_bees_by_their_own() -> None:
    medium = READER.typical("frame_size.medium_of_deep")
    other = inspection(14, 6.0, boxes=("medium",), frame_means="full")
    (bees,) = evidence(yard(other), READER, SPREAD)
    assert bees.value == pytest.approx(6 * 2430 * medium)
    told = fitted(yard(other)).told
    assert any("by its own definition and boxes" in note for note in told.notes)


def test_feed_without_a_record_leaves_the_place_wider_and_says_so() -> None:
    rich = (inspection(14, 7, 5), inspection(28, 9.5, 7), inspection(42, 13, 8))
    known, unknown = fitted(yard(*rich)).told, fitted(yard(*rich, fed_without_record=True)).told
    assert unknown.after.site.low < known.after.site.low
    assert not unknown.feed_known
    assert any("cannot be told apart" in note for note in unknown.notes)


def test_feed_that_was_written_down_takes_part_in_the_fit() -> None:
    fed = tuple(Given(FIRST + timedelta(days=n), 450) for n in (0, 14, 28))
    rich = (inspection(14, 7, 5), inspection(28, 9.5, 7))
    with_feed, without = fitted(yard(*rich, given=fed)).told, fitted(yard(*rich)).told
    assert with_feed.after.site.middle < without.after.site.middle


def test_weather_that_is_not_measured_is_said() -> None:
    told = fitted(yard(*GOOD), sky=weather(alike=False)).told
    assert any("not in the weather file" in note for note in told.notes)


def test_what_is_known_comes_back_in_its_bands() -> None:
    # Twenty yards made from known figures; chance alone leaves fewer than these inside once in a thousand.
    found = [recovered(seed) for seed in range(20)]
    for name in ("site", "adults", "brood"):
        at = np.array([getattr(one, name) for one in found])
        assert ((at > 0.05) & (at < 0.95)).sum() >= 13
        assert ((at > 0.1) & (at < 0.9)).sum() >= 10
