"""Early feeding where nobody's contract asks for it: two hives in Ohio, and a normal spring."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.belief.gain import SITUATIONS, gain_draws
from breadline.errors import PlanError
from breadline.knowledge.shelf import Edit, load
from breadline.need.forecast import constants
from breadline.need.streams import Streams
from breadline.plan.costs import Feed, Prices, Syrup, Work
from breadline.plan.ensemble import yard_ensemble
from breadline.plan.equivalence import feed_worth
from breadline.plan.move import Load, Move, There
from breadline.plan.plans import NOTHING
from breadline.plan.reference import reference_run, reference_span
from breadline.plan.rounds import Asked, rounds
from breadline.plan.syrup import Kind
from breadline.plan.targets import HoneyFlow, KeepAlive, Splits, last_day
from breadline.plan.tried import tried
from plan import ohio
from plan.spring_yard import CLOSE, dollars

DRAWS = 40
POLLEN = date(2027, 3, 27)
TARGETS = (
    KeepAlive(date(2027, 5, 1), 3.0, dollars(200.0)),
    HoneyFlow(date(2027, 5, 20), date(2027, 6, 30), 25.0, dollars(8.0)),
    Splits(date(2027, 5, 1), 5.0, 7.0, dollars(150.0)),
)


def worth_in(situation, yard, ensemble, reader):
    """A feed in the reference run of a situation; every situation has the same luck."""
    span = reference_span(situation, yard.place.latitude, yard.today, reader)
    hours = ohio.weather(span.first, span.days).flight_h
    run = reference_run(span, yard.place.latitude, hours, (ensemble.par, constants(reader)), reader)
    gain = gain_draws(situation, reader, np.random.default_rng(3), DRAWS)
    return feed_worth(run, situation, gain, reader)


def answered(yard, aim, situation, kg, colder=0.0, edits=None, **more):
    """The rounds of a yard, with the belief of a situation or of each day's, and a hobby keeper's prices."""
    reader, until = load(edits).reader(), last_day(aim)
    ahead = ohio.weather(yard.today, (until - yard.today).days + 2, colder)
    ensemble = yard_ensemble(yard, ahead, reader, Streams.of(np.random.default_rng(1)), until, DRAWS)
    by_day = situation == "each day's"
    known = SITUATIONS if by_day else (situation,)
    main, *others = (worth_in(one, yard, ensemble, reader) for one in known)
    feed = Feed("patty", dollars(11.0), replace(main, others=tuple(others)), 454.0)
    work = Work(5.0, dollars(15.0), anyway=True)
    asked = Asked(aim, Prices((feed,), work, Syrup(dollars(1.5), 0.6)), (113.0, 227.0, 454.0),
                  losses=0.1, honey_kg=kg, most_rounds=4)  # fmt: skip
    return rounds(yard, replace(asked, **more), ensemble, reader, np.random.default_rng(4))


def early(answer):
    """Plans whose first round comes before the first reliable pollen."""
    ensemble = answer.question.ensemble
    told = (*answer.found.finalists, answer.found.best)
    struck = [one for one in answer.found.struck if ensemble.on(one.plan.start) < POLLEN]
    fair = [one for one in told if one.plan.pieces and ensemble.on(one.plan.start) < POLLEN]
    assert struck or fair, "early plans were looked at"
    return fair


@pytest.mark.parametrize("target", TARGETS, ids=lambda t: type(t).__name__)
@pytest.mark.parametrize("situation", ["poor_spring", "each day's"])
def test_two_hives_in_the_snow_are_best_left_alone(target, situation):
    answer = answered(ohio.yard(), target, situation, 2.0)
    assert not answer.found.best.plan.pieces
    assert all(one.gain <= CLOSE for one in early(answer))
    assert answer.found.best.plan.kind == "nothing"


@pytest.mark.parametrize("target", TARGETS, ids=lambda t: type(t).__name__)
@pytest.mark.parametrize("situation", ["pollen", "poor_spring", "each day's"])
def test_in_a_normal_spring_no_early_plan_beats_doing_nothing(target, situation):
    answer = answered(ohio.yard(7.0, honey="enough"), target, situation, 15.0)
    assert all(one.gain <= CLOSE for one in early(answer))
    assert answer.found.best.plan.kind == "nothing"


def test_what_is_struck_out_says_why():
    answer = answered(ohio.yard(), TARGETS[0], "poor_spring", 12.0)
    said = " ".join(one.struck for one in answer.found.struck) + " ".join(answer.bars.starts.values())
    assert "more than 4 weeks before reliable pollen, about 27 March 2027" in said
    assert "under 5 frames of bees" in said
    light = answered(ohio.yard(), TARGETS[2], "poor_spring", None)
    assert any("out of stores" in one.struck for one in light.found.struck), "light, so the shelf's 2 kg"


def test_heating_of_brood_is_an_assumption_that_can_be_edited():
    """A sugar ten times as high a cell makes the same plan dearer, by what its extra brood eats."""
    dear = Edit(60.0, 60.0, 60.0, "a test", date(2027, 2, 20))
    one, other = (fed_yard(edits=edits, start=date(2027, 3, 20))
                  for edits in (None, {"plan.sugar_cell_mg": dear}))  # fmt: skip
    plan = next(told.plan for told in one.found.finalists if told.rounds >= 1.0 and told.sugar_g > 0.0)
    cost = [
        tried(of.question, [NOTHING, plan], np.arange(of.question.ensemble.members)) for of in (one, other)
    ]
    assert cost[1].sugar_g[1].mean() > 1.5 * cost[0].sugar_g[1].mean()
    assert cost[1].costs.syrup[1].mean() > 1.5 * cost[0].costs.syrup[1].mean()


def test_a_start_before_hives_can_be_opened_is_an_error_of_its_own():
    with pytest.raises(PlanError, match="hives cannot be opened"):
        answered(ohio.yard(), TARGETS[0], "poor_spring", 12.0, colder=15.0, start=date(2027, 2, 22))


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"start": date(2027, 1, 1)}, "before today"),
        ({"honey_kg": 400.0}, "60 lb is 27 kg"),
        ({"target": KeepAlive(date(2027, 2, 1), 3.0, dollars(200.0))}, "not ahead of today"),
        ({"target": KeepAlive(date(2027, 5, 1), 3.0, dollars(0.0))}, "0 is not a price"),
    ],
)
def test_what_cannot_be_asked_says_what_to_mend(more, says):
    with pytest.raises(PlanError, match=says):
        answered(ohio.yard(), TARGETS[0], "poor_spring", None, **more)


def test_supers_for_harvest_are_warned_of():
    yard = ohio.yard(7.0, honey="enough")
    yard = replace(yard, forage=replace(yard.forage, supers_from=date(2027, 3, 1)))
    target = KeepAlive(date(2027, 5, 1), 6.0, dollars(2000.0))
    answer = answered(yard, target, "poor_spring", 20.0)
    assert answer.found.best.plan.pieces
    assert any("Supers for harvest" in text for text in answer.warnings)


def fed_yard(**more):
    """Colonies of a value that makes feeding worth it, whatever else is asked."""
    yard = ohio.yard(7.0, honey="enough")
    return answered(yard, KeepAlive(date(2027, 5, 1), 6.0, dollars(2000.0)), "poor_spring", 20.0, **more)


def test_an_answer_holds_all_that_is_told():
    answer = fed_yard(graded=(5.0, 8.0), names=("1", "2"), syrup=Kind(0.6, 1.29))
    best = answer.found.best
    assert best.plan.pieces
    assert answer.break_even.startswith("Feeding at US$")
    assert answer.why[0].startswith("It brings US$")
    assert "One thing changed" in answer.why[1]
    assert any("stops paying" in text for text in answer.turns)
    assert answer.classes is not None
    assert answer.classes.line.endswith(".")
    assert len(answer.syrup) == best.plan.rounds
    assert "plan.sugar_bee_mg" in answer.figures


def test_where_nothing_is_best_the_reason_is_what_feeding_brings_and_costs():
    answer = answered(ohio.yard(7.0, honey="enough"), TARGETS[0], "pollen", 15.0)
    assert not answer.found.best.plan.pieces
    assert "brings" in answer.why[0]
    assert "costs" in answer.why[0]
    assert answer.classes is None
    assert answer.warnings == ()
    assert "begins to pay" in answer.turns[-1] or "At no price" in answer.turns[0]


def test_the_same_seed_gives_the_same_answer_and_so_does_a_start_of_ones_own():
    one, two = (fed_yard(start=date(2027, 3, 20)) for _ in range(2))
    assert one.found.best == two.found.best
    starts = {plan.plan.start for plan in one.found.finalists if plan.plan.pieces}
    assert starts == {(date(2027, 3, 20) - date(2027, 2, 20)).days}


def test_moving_stands_beside_feeding():
    answer = fed_yard()
    ensemble = answer.question.ensemble
    rich = replace(ensemble.block.drivers, pollen=np.full_like(ensemble.block.drivers.pollen, 0.9))
    again = fed_yard(move=Move(There(5, rich), Load(dollars(100.0), 10)))
    assert again.move is not None
    assert again.move.cost.travel == pytest.approx(50.0)
    assert "Moving brings" in again.why[-1]


def test_names_without_counts_are_refused():
    with pytest.raises(PlanError, match="2 names for 1"):
        fed_yard(graded=(5.0,), names=("1", "2"))
