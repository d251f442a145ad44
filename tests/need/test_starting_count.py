"""What a keeper counted, as draws; packages and nucs start on bare comb."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.errors import YardError
from breadline.knowledge.shelf import Edit, load
from breadline.need.fit.evidence import evidence, spread_of
from breadline.need.season import run
from breadline.need.start import start_colony
from breadline.need.starting_count import NO_WORD_ON_BROOD, counted_draws
from breadline.need.yard import Count, Inspection
from tests.need.colonies import drawn, place
from tests.need.fit_yards import YARD

N = 400


def draws(count: Count, colonies: int = 1_000_000):
    return counted_draws(count, colonies, load().reader(), np.random.default_rng(2), N)


def colony_count(**facts: object) -> Count:
    base = {
        "on": date(2026, 4, 1), "bread": 1.0, "bread_unit": "frames", "frames_of_bees": 6.0,
        "frame_means": "one_layer", "frames_of_brood": 3.0,
    }  # fmt: skip
    return Count(**{**base, **facts})  # type: ignore[arg-type]


def test_bees_of_a_count_centre_on_frames_times_the_definition() -> None:
    state = draws(colony_count()).state
    # 6 frames × 1,900 bees; the count's own error is symmetric on the log scale.
    assert np.median(state.adults) == pytest.approx(6 * 1900, rel=0.06)


def test_looking_in_more_hives_narrows_what_the_colonies_differ_by_and_not_the_reader() -> None:
    reader, spread = (load()[key].span.typical for key in ("reader.bees_log_sd", "colony.log_sd"))
    for looked in (1, 9, 36):
        adults = draws(colony_count(colonies_looked_in=looked)).state.adults
        assert np.log(adults).std() == pytest.approx(np.hypot(reader, spread / np.sqrt(looked)), rel=0.15)


@pytest.mark.parametrize("looked", [1, 4, 25])
def test_the_first_count_is_as_sure_as_a_fit_holds_an_inspection_to_be(looked: int) -> None:
    """One law for both: reader² + colonies²/n, here of combs that are known to the cell."""
    known = {"frame_of_brood.occupancy": 0.62, "bread.g_per_cell": 0.16}
    shelf = load({key: Edit(v, v, v, "known", date(2026, 1, 1)) for key, v in known.items()})
    reader = shelf.reader()
    count = colony_count(colonies_looked_in=looked)
    state = counted_draws(count, 1_000_000, reader, np.random.default_rng(2), 20_000).state
    again = Inspection(
        date(2026, 4, 20), looked, frames_of_bees=6.0, frames_of_brood=3.0, bread=1.0, bread_unit="frames"
    )
    yard = replace(YARD, count=count, inspections=(again,))
    said = {one.what: one.count_sd for one in evidence(yard, reader, spread_of(yard, reader))}
    for what, began in (("bees", state.adults), ("brood", state.brood), ("bread", state.bread_g)):
        assert np.log(began).std() == pytest.approx(said[what], rel=0.02), what


def test_looking_in_every_hive_leaves_only_the_readers_error() -> None:
    reader = load()["reader.bees_log_sd"].span.typical
    all_of_them = draws(colony_count(colonies_looked_in=4), colonies=4).state.adults
    assert np.log(all_of_them).std() == pytest.approx(reader, rel=0.15)
    some = draws(colony_count(colonies_looked_in=4), colonies=100).state.adults
    assert np.log(some).std() > 1.5 * np.log(all_of_them).std()


def test_a_count_without_a_word_on_brood_is_said() -> None:
    silent = colony_count(frames_of_brood=0.0, brood_counted=False)
    assert NO_WORD_ON_BROOD in draws(silent).notes
    assert NO_WORD_ON_BROOD not in draws(colony_count(frames_of_brood=0.0)).notes
    package = replace(silent, start="package", bees_kg=1.5)
    assert NO_WORD_ON_BROOD not in draws(package).notes, "it comes on bare comb"


def test_a_colony_of_no_bees_is_refused() -> None:
    with pytest.raises(YardError, match="nothing to feed"):
        draws(colony_count(frames_of_bees=0.0))


def test_bread_in_grams_cells_and_frames_agree() -> None:
    shelf = load()
    per_cell = shelf["bread.g_per_cell"].span.typical
    per_frame = shelf["bread.cells_per_deep_frame"].span.typical
    frames = np.median(draws(colony_count(bread=0.5)).state.bread_g)
    cells = np.median(draws(colony_count(bread=0.5 * per_frame, bread_unit="cells")).state.bread_g)
    grams = np.median(draws(colony_count(bread=0.5 * per_frame * per_cell, bread_unit="g")).state.bread_g)
    assert frames == pytest.approx(grams, rel=0.08)
    assert cells == pytest.approx(grams, rel=0.08)


def test_medium_frames_hold_fewer_bees_and_that_is_said() -> None:
    deep, medium = draws(colony_count()), draws(colony_count(boxes=("medium",)))
    assert np.median(medium.state.adults) < 0.75 * np.median(deep.state.adults)
    assert any("medium" in note for note in medium.notes)


def test_frames_without_a_definition_are_refused() -> None:
    with pytest.raises(YardError, match="does not choose one for you"):
        draws(colony_count(frame_means=None))


def test_a_package_has_no_brood_and_shrinks_until_its_first_brood_emerges() -> None:
    count = Count(
        on=date(2026, 4, 10), bread=0.0, bread_unit="g", bees_kg=1.36, start="package", frames_of_brood=0.0
    )
    par, const = drawn(N)
    counted = draws(count)
    assert "package" in " ".join(counted.notes).lower()
    state = start_colony(counted.state, par, const)
    course = run(state, place(par, start="2026-04-10", days=60), par, const, np.zeros(N))
    assert (course.emerged[:20] == 0).all(), "no bee can emerge before three weeks"
    middle = np.median(course.adults, axis=1)
    assert middle[20] < middle[0]
    assert middle[59] > middle[21], "and grows once they do"


def test_a_nuc_starts_from_its_frames() -> None:
    nuc = draws(colony_count(start="nuc", frames_of_bees=4.0, frames_of_brood=0.0, bread=0.0)).state
    assert (nuc.brood == 0).all()
    assert (nuc.bread_g == 0).all()
    assert np.median(nuc.adults) == pytest.approx(4 * 1900, rel=0.06)
