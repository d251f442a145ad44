"""Strength classes, colonies to combine, syrup beside the feed, moving instead, and breeding arithmetic."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.belief.gain import SITUATIONS
from breadline.errors import PlanError
from breadline.need.yard import Count, Forage, Place, Yard
from breadline.plan.bands import Band
from breadline.plan.breeding import breeding
from breadline.plan.classes import classes, crew_line
from breadline.plan.move import Load, There, moved
from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.ruled_out import bars, out_of_stores
from breadline.plan.syrup import Kind, syrup_possible, syrup_rounds
from breadline.plan.targets import HoneyFlow, KeepAlive, Splits, WinterBees
from breadline.plan.tried import tried
from plan.spring_yard import (
    DAYS,
    DRAWS,
    TODAY,
    contract,
    dollars,
    ensemble,
    feed_worth,
    prices,
    question,
    reader,
    with_honey,
)

PLAN = Plan("search", (Piece(0, 454.0), Piece(14, 454.0)), interval=14)


def yard(bread: float = 0.1, frames: float = 5.0, **forage) -> Yard:
    count = Count(TODAY, bread, "frames", frames, "one_layer")
    return Yard("made up", Place(38.0), 40, TODAY, count, forage=Forage(**forage))


def test_small_colonies_get_none_where_they_cannot_make_grade():
    of = question(contract(grade=8.0))
    who = classes(of, PLAN, 4.5, reader(), [("17", 1.5), ("18", 6.0)])
    assert who.bands[0].gets == "none"
    assert {band.gets for band in who.bands} - {"none"}
    assert who.over_none > 0
    assert who.more > 0
    assert who.small == ("17",)
    assert sum(band.share for band in who.bands) == pytest.approx(1.0)


def test_no_other_border_on_a_half_frame_brings_more():
    of, shelf = question(contract(grade=7.0)), reader()
    who = classes(of, PLAN, 4.5, shelf)
    assert who.more >= -1e-9, "giving all of them the full piece is one of the choices"
    assert who.over_none >= -1e-9, "so is giving none"


@pytest.mark.parametrize("grade", [6.0, 7.0, 8.0, 12.0])
def test_bands_lie_one_above_the_other_where_small_ones_are_combined(grade):
    who = classes(replace(question(contract(grade=grade)), close=-1e9), PLAN, 4.5, reader())
    assert who.combine_below is not None
    assert who.combine
    assert sum(band.share for band in who.bands) == pytest.approx(1.0)
    assert [band.from_frames for band in who.bands[1:]] == [band.to_frames for band in who.bands[:-1]]


def test_a_line_that_a_crew_can_remember():
    bands = (Band(0.0, 4.0, "none", 0.3), Band(4.0, 7.0, "half", 0.4), Band(7.0, np.inf, "full", 0.3))
    assert crew_line(bands) == "Under 4 frames none, 4 to 6½ a half piece, 7 and more a full piece."
    assert crew_line((Band(0.0, np.inf, "full", 1.0),)) == "Every colony: a full piece."


def test_where_the_average_is_paid_every_frame_counts_the_same():
    of = question(contract("sample_average", 5.0))
    who = classes(of, PLAN, 4.5, reader())
    done = tried(of, [NOTHING, PLAN], of.ensemble.few(300))
    gain = float((done.money[1] - done.money[0]).mean())
    assert who.over_none - who.more == pytest.approx(gain), "all in full is the plan itself"
    assert who.more >= -1e-9


def test_hive_by_hive_all_in_full_is_about_the_plan_itself():
    """About, since the yard is 48 colonies here and a whole curve there."""
    of = question(contract(grade=5.0))
    who = classes(of, PLAN, 4.5, reader())
    done = tried(of, [NOTHING, PLAN], of.ensemble.few(300))
    gain = float((done.money[1] - done.money[0]).mean())
    assert who.over_none - who.more == pytest.approx(gain, rel=0.05)


def test_syrup_alone_on_empty_combs_is_refused_with_the_reason():
    with pytest.raises(PlanError, match="their own bodies"):
        syrup_possible(yard(), NOTHING, reader())
    syrup_possible(yard(bread=1.0), NOTHING, reader())
    syrup_possible(yard(), PLAN, reader())
    syrup_possible(yard(coming_in="plenty"), NOTHING, reader())


def test_syrup_makes_up_what_is_eaten_and_no_more():
    of = with_honey(question(), 2.0)
    given = syrup_rounds(of, PLAN, (0, 14, 28), Kind(0.6, 1.29), reader())
    assert [one.day for one in given] == [0, 14, 28]
    assert given[0].stores_kg == pytest.approx(2.0)
    assert all(one.sugar_kg > 0 and not one.dry for one in given)
    assert all(one.syrup_kg == pytest.approx(one.sugar_kg / 0.6) for one in given)
    assert all(one.litres == pytest.approx(one.syrup_kg / 1.29) for one in given)
    assert all(one.stores_kg == pytest.approx(3.0) for one in given[1:]), "the reserve of the shelf"
    full = syrup_rounds(with_honey(question(), 30.0), PLAN, (0, 14, 28), Kind(0.6, 1.29), reader())
    assert all(one.sugar_kg == 0 for one in full)


def test_syrup_goes_by_what_feed_does_in_the_time_in_which_it_is_eaten():
    """All days a dearth, where this feed is worth nothing: as much sugar as if it never were."""
    idle = replace(feed_worth(), equivalence=np.zeros(DRAWS))
    in_dearth = replace(feed_worth(), others=(replace(idle, situation="dearth"),))
    bare = replace(ensemble(), situation=np.full((DAYS, 1), SITUATIONS.index("dearth")))
    kilos = [
        [one.sugar_kg for one in syrup_rounds(
            replace(with_honey(question(of=prices(worth=worth)), 2.0), ensemble=bare),
            PLAN, (0, 14, 28), Kind(0.6, 1.29), reader())]
        for worth in (in_dearth, idle, feed_worth())
    ]  # fmt: skip
    assert kilos[0] == pytest.approx(kilos[1])
    assert kilos[2][2] > kilos[1][2], "more bees eat more"


def test_where_it_is_cold_sugar_goes_on_dry():
    of = replace(with_honey(question(), 2.0), ensemble=ensemble(tmax=5.0))
    given = syrup_rounds(of, PLAN, (0,), Kind(0.6, 1.29), reader())
    assert given[0].dry
    assert (given[0].syrup_kg, given[0].litres) == (0.0, 0.0)
    assert given[0].sugar_kg > 0


def test_stores_that_nobody_weighed_give_no_amounts():
    with pytest.raises(PlanError, match="not known"):
        syrup_rounds(question(), PLAN, (0,), Kind(0.6, 1.29), reader())


def test_sugar_eaten_is_eleven_milligrams_a_worker_and_day():
    """[huang_nutrition]: 50,000 bees take about 1.1 L of 50 % syrup a day, that is 0.55 kg of sugar."""
    assert 50_000 * reader().typical("plan.sugar_bee_mg") / 1e6 == pytest.approx(0.55, abs=0.005)


def test_moving_to_bloom_is_one_more_plan():
    of = question()
    here = of.ensemble.block.drivers
    rich = replace(here, pollen=np.full_like(here.pollen, 0.8))
    load = Load(dollars(1200.0), 400)
    assert load.a_colony(40) == pytest.approx(30.0)
    assert load.a_colony(800) == pytest.approx(3.0)
    gone = moved(of, There(7, rich), load, np.arange(DRAWS))
    assert gone.plan.kind == "move"
    assert gone.cost.travel == pytest.approx(30.0)
    assert gone.chance > tried(of, [NOTHING], np.arange(DRAWS)).making[0].mean()
    stays = moved(of, There(7, here), load, np.arange(DRAWS))
    assert stays.gain == pytest.approx(-30.0)
    with pytest.raises(PlanError, match="1 or more"):
        Load(dollars(100.0), 0).a_colony(40)


def test_three_six_and_nine_weeks_before_the_date():
    """Worked by hand for 10 February, as the trade counts them back."""
    told = breeding(date(2027, 1, 5), contract_on(date(2027, 2, 10)), reader())
    assert (told.adults_from, told.field_from, told.two_from) == (
        date(2027, 1, 20), date(2026, 12, 30), date(2026, 12, 9),
    )  # fmt: skip
    assert not told.too_late
    assert "seldom several frames" in told.sentences[1]


def contract_on(on: date):
    return replace(contract(), on=on)


@pytest.mark.parametrize(
    ("target", "today", "late"),
    [
        (contract_on(date(2027, 2, 10)), date(2027, 1, 20), False),
        (contract_on(date(2027, 2, 10)), date(2027, 1, 21), True),
        (Splits(date(2027, 3, 25), 4.0, 6.0, dollars(150)), date(2027, 2, 11), False),
        (Splits(date(2027, 3, 25), 4.0, 6.0, dollars(150)), date(2027, 2, 12), True),
        (HoneyFlow(date(2027, 5, 10), date(2027, 6, 10), 30.0, dollars(4)), date(2027, 3, 30), True),
    ],
)
def test_too_late_by_itself_is_an_answer(target, today, late):
    told = breeding(today, target, reader())
    assert told.too_late is late
    assert any("Too late by itself" in text for text in told.sentences) is late


def test_a_contract_date_lets_feed_go_on_early():
    """More than four weeks before pollen only where somebody else set the date."""
    early = ensemble(days=90, pollen=0.0)
    at = yard(first_reliable_pollen=date(2027, 4, 20), frames=8.0)
    alone = KeepAlive(date(2027, 4, 30), 3.0, dollars(200))
    assert "more than 4 weeks" in bars(at, alone, early, [0, 63], reader()).starts[0]
    assert 63 not in bars(at, alone, early, [0, 63], reader()).starts
    assert not bars(at, contract_on(date(2027, 4, 30)), early, [0], reader()).starts


@pytest.mark.parametrize(
    ("target", "last"),
    [
        (contract_on(date(2027, 2, 10)), date(2027, 1, 20)),
        (WinterBees(date(2027, 2, 10), 5.0, dollars(90)), date(2027, 1, 20)),
        (HoneyFlow(date(2027, 2, 10), date(2027, 2, 24), 30.0, dollars(4)), date(2027, 2, 3)),
        (Splits(date(2027, 2, 10), 4.0, 6.0, dollars(150)), None),  # its brood counts
        (KeepAlive(date(2027, 2, 10), 3.0, dollars(200)), None),
    ],
)
def test_a_plan_of_which_no_bee_counts_any_more_is_struck_out(target, last):
    """Three weeks counted back by hand; of a flow from its end."""
    at, ahead = yard(frames=8.0), ensemble(days=80)
    barred = bars(at, target, ahead, range(ahead.today, ahead.days), reader()).starts
    late = {ahead.on(day) for day, why in barred.items() if "no bee raised on it is out" in why}
    every = [ahead.on(day) for day in range(ahead.today, ahead.days)]
    assert late == {day for day in every if last is not None and day > last}


def test_hives_that_cannot_be_opened_bar_a_start():
    cold = ensemble(tmax=4.0)
    barred = bars(yard(frames=8.0), contract(), cold, range(DAYS), reader())
    assert "cannot be opened" in barred.starts[0]


def test_a_later_round_in_a_cold_week_bars_the_plan_too():
    turns_cold = ensemble()
    turns_cold.tmax_c[:, 20:] = 4.0
    barred = bars(yard(frames=8.0), contract(), turns_cold, range(DAYS), reader())
    assert barred.why(Plan("search", (Piece(0, 454.0), Piece(7, 454.0)))) == ""
    said = barred.why(Plan("search", (Piece(0, 454.0), Piece(21, 454.0))))
    assert said.startswith("round 2: hives cannot be opened")


def test_the_chance_of_empty_stores_is_that_of_the_seasons():
    of = with_honey(question(), 4.5)
    done = tried(of, [NOTHING, PLAN], np.arange(DRAWS))
    said = out_of_stores(done, of.ensemble, reader())
    share = float((done.bare_on[1] < DAYS).mean())
    assert bool(said[1]) is (share >= 0.1)
    assert said[0] == "", "doing nothing is never struck out"


def test_a_load_price_needs_its_year():
    with pytest.raises(PlanError, match="not a year"):
        Load(replace(dollars(100.0), year=0), 400).a_colony(40)
    assert prices().money == "US$"


def test_the_seasons_that_an_answer_keeps_give_the_same_classes_and_the_same_syrup(monkeypatch):
    for module in ("classes", "syrup"):
        monkeypatch.setattr(f"breadline.plan.{module}.MEMBERS", DRAWS // 2)
    of = with_honey(question(contract(grade=7.0)), 2.0)
    own = replace(of.watch, sugar_bee_g=np.linspace(0.008, 0.014, DRAWS))
    of = replace(of, watch=own, unfed_frames=np.linspace(3.0, 9.0, DRAWS))
    kept = of.of(of.ensemble.few(DRAWS // 2))
    assert kept.ensemble.members == DRAWS // 2
    assert classes(kept, PLAN, 4.5, reader()) == classes(of, PLAN, 4.5, reader())
    kind = Kind(0.6, 1.29)
    assert syrup_rounds(kept, PLAN, (0, 14), kind, reader()) == syrup_rounds(
        of, PLAN, (0, 14), kind, reader()
    )
