"""The piece for a colony: cut as people cut, never more than they clear, less or none for small ones."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import YardError
from breadline.plan.cuts import QUARTERS, Patty, cut_down, cut_words, larger, mass_words, rim, smaller
from breadline.plan.portions import Step, crew_line, grams_for, portion, portion_words, steps
from plan.feeding import a_round, reader

HALF_POUND = 226.8  # [g]


@pytest.mark.parametrize("means", ["mean_occupied", "one_layer", "liebefeld", "full"])
@pytest.mark.parametrize("frames", [5.0, 5.5, 6.0])
def test_scenario_3_half_a_pound_or_less_gone_within_a_week(frames: float, means: str) -> None:
    # 5 to 6 frames in Georgia on 20 January, beetles last year; visits every ten days
    of = a_round("seen", outside_c=9.0, visit=10, means=means)
    piece = portion(frames, of, reader())
    assert piece.grams <= HALF_POUND
    assert piece.days <= 7
    if means != "mean_occupied":  # 7,000 bees by that definition: some of them clear not even a quarter
        assert piece.given
        assert "to be gone in 6 days" in portion_words(piece, of.patty)


def test_a_deep_full_of_bees_gets_the_pound_that_sellers_say() -> None:
    of = a_round("none", visit=7)
    assert portion(10.0, of, reader()).cut == 1.0
    assert portion(9.0, of, reader()).cut == 0.5
    assert portion(10.0, a_round("about", outside_c=9.0), reader()).cut == 0.5  # in 6 days, not 7
    assert portion_words(portion(10.0, of, reader()), of.patty).startswith(
        "10 frames of bees: 1 patty (1 lb)"
    )


def test_small_colonies_get_less_or_none() -> None:
    seen, about, none = (a_round(b, outside_c=9.0) for b in ("seen", "about", "none"))
    assert not portion(4.5, seen, reader()).given
    assert not portion(2.5, about, reader()).given
    assert portion(4.0, about, reader()).cut == 0.25
    assert portion(4.0, none, reader()).given
    august_nuc = a_round("seen", outside_c=28.0)
    assert not portion(4.0, august_nuc, reader()).given


@settings(max_examples=60)
@given(frames=st.floats(0, 30), more=st.floats(0, 10), visit=st.integers(1, 28), later=st.integers(0, 14))
def test_more_bees_or_time_never_get_less_and_no_limit_is_passed(frames, more, visit, later) -> None:
    for beetles in ("seen", "none"):
        of, longer = (a_round(beetles, visit=v) for v in (visit, visit + later))
        piece = portion(frames, of, reader())
        assert portion(frames + more, of, reader()).grams >= piece.grams
        assert portion(frames, longer, reader()).grams >= piece.grams
        assert piece.days <= of.limit.days
        assert piece.cut in (0.0, *QUARTERS)
        assert piece.grams <= of.appetite.typical * frames * of.bees_a_frame * piece.days / 1000 + 1e-6


@settings(max_examples=30)
@given(outside=st.floats(-5, 40), warmer=st.floats(0, 10), frames=st.floats(0, 25))
def test_warmer_weather_never_gets_a_bigger_piece(outside, warmer, frames) -> None:
    cool, warm = (
        portion(frames, a_round("seen", outside_c=c), reader()) for c in (outside, outside + warmer)
    )
    assert warm.grams <= cool.grams


@given(outside=st.floats(-5, 40), frames=st.floats(0, 25))
@settings(max_examples=30)
def test_without_a_rim_never_a_bigger_piece(outside, frames) -> None:
    with_rim, without = (
        portion(frames, a_round("about", outside_c=outside, rim=r), reader()) for r in (True, False)
    )
    assert without.grams <= with_rim.grams


def test_never_more_than_is_laid_on_at_a_time() -> None:
    of = a_round("none", visit=28)
    assert portion(40.0, of, reader()).cut == 2.0


def test_the_crew_gets_one_line() -> None:
    of = a_round("about", outside_c=9.0)
    found = steps(of, 12, reader())
    line = crew_line(found, of.patty)
    assert line.startswith("Under 3 frames none; from 3: ¼ patty (¼ lb)")
    for step in found[1:]:
        assert portion(step.from_frames, of, reader()).cut == step.cut
        assert portion(step.from_frames - 0.5, of, reader()).cut < step.cut
    assert crew_line((Step(0.0, 0.5),), of.patty) == "Every colony: ½ patty (½ lb)."


def test_the_order_is_the_sum_of_the_pieces() -> None:
    of = a_round("about", outside_c=9.0)
    frames = [2.0, 4.0, 6.0, 10.0]
    cuts = [portion(f, of, reader()).cut for f in frames]
    assert cuts == [0.0, 0.25, 0.5, 0.5]
    assert grams_for(frames, of, reader()) == pytest.approx(1.25 * of.patty.mass_g)
    assert grams_for([], of, reader()) == 0.0


def test_pieces_are_said_as_they_are_cut() -> None:
    pound, metric = Patty(453.59237, "lb"), Patty(400, "g")
    assert cut_words(0.5, pound) == "½ patty (½ lb)"
    assert cut_words(1.5, pound) == "1½ patties (1½ lb)"
    assert cut_words(0.5, metric) == "½ patty (200 g)"
    assert cut_words(0.25, Patty(500, "g")) == "¼ patty (125 g)"
    assert cut_words(0.0, metric) == "none"
    assert [mass_words(g, "lb") for g in (56.7, 150, 700, 4500)] == ["2 oz", "5 oz", "1½ lb", "10 lb"]
    assert [mass_words(g, "g") for g in (57, 1840, 45_200)] == ["60 g", "1,800 g", "45 kg"]


@given(could=st.floats(0, 5000), mass=st.floats(100, 1000))
def test_a_cut_is_the_largest_that_fits(could: float, mass: float) -> None:
    patty = Patty(mass, "g")
    cut = cut_down(could, patty, 6.0)
    assert cut * mass <= could + 1e-3
    bigger = larger(cut, 6.0)
    assert bigger == cut or bigger * mass > could
    assert smaller(bigger) <= cut or cut == 0.0


def test_a_rim_where_the_patty_is_thick_or_has_to_be_patrolled() -> None:
    thin, thick = Patty(450, "lb", 13.0), Patty(450, "lb", 25.0)
    assert rim(thick, False, reader()).needed
    assert rim(thin, True, reader()).needed
    assert "¾ in (19 mm)" in rim(thin, True, reader()).sentence
    assert not rim(thin, False, reader()).needed


def test_facts_that_cannot_be_are_told() -> None:
    with pytest.raises(YardError, match="1 lb is 454 g"):
        Patty(1.0, "lb")
    with pytest.raises(YardError, match="days to the next visit"):
        portion(6.0, a_round(visit=0), reader())
    with pytest.raises(YardError, match="frames of bees"):
        portion(-1.0, a_round(), reader())


@pytest.mark.parametrize(
    ("grams", "said"),
    [(500.0, "1 lb 2 oz"), (453.6, "1 lb"), (680.4, "1½ lb"), (1500.0, "3 lb 5 oz"), (1361.0, "3 lb"),
     (63_000.0, "139 lb"), (250.0, "9 oz")],
)  # fmt: skip
def test_a_mass_in_pounds_is_never_off_by_more_than_people_would_see(grams, said):
    assert mass_words(grams, "lb") == said
