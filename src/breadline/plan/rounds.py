"""A yard's rounds: what is asked, what it rests on, and the answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np

from breadline.belief.gain import even_scores
from breadline.errors import PlanError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.measures import Units, units_of
from breadline.need.season_tree import Watch
from breadline.need.starting_count import frame_size
from breadline.need.yard import Yard
from breadline.plan.asked import Asked as Asked
from breadline.plan.asked import checked_asked
from breadline.plan.break_even import break_even
from breadline.plan.breeding import Breeding, breeding
from breadline.plan.classes import MEMBERS, Classes, Giving, classes
from breadline.plan.crop import crop_power
from breadline.plan.ensemble import Ensemble
from breadline.plan.money import about, told
from breadline.plan.move import moved
from breadline.plan.notes import PLENTY_G, graded_apart, notes
from breadline.plan.plans import Grid, Piece, Plan, as_last_year, plans_of, weekly
from breadline.plan.ranked import Ranked
from breadline.plan.ruled_out import Bars, bars, out_of_stores
from breadline.plan.search import Found, Look, Search, search, with_best
from breadline.plan.starving import Stores
from breadline.plan.surviving import survival_belief
from breadline.plan.syrup import SyrupRound, syrup_possible, syrup_rounds
from breadline.plan.targets import HoneyFlow, Splits, Target, amounts
from breadline.plan.tried import Question, Spreading
from breadline.plan.value import spread_of
from breadline.plan.warnings import warnings
from breadline.plan.why import best_fed, struck_pays, turns, why_best
from breadline.span import FloatArray

LONG_AHEAD = 120  # days to the target from which a second series is tried as well [d]
SECOND_SERIES = 42  # before the target, when it begins: nurses and field bees take six weeks [d]


@dataclass(frozen=True)
class Answer:
    """What is told of a yard's rounds."""

    found: Found
    question: Question
    bars: Bars
    break_even: str  # stands above every chance
    breeding: Breeding
    why: tuple[str, ...]  # the best plan is the best
    turns: tuple[str, ...]  # at what price, fee or belief the answer is another
    classes: Classes | None  # who gets it; None where nobody does or no frames were counted
    syrup: tuple[SyrupRound, ...]  # beside the rounds, where it was asked for
    move: Ranked | None  # the other place, where there is one
    warnings: tuple[str, ...]
    notes: tuple[str, ...]  # what the answer rests on
    figures: tuple[str, ...]  # keys of the shelf
    costs: float  # of the plan that the break-even is told of [money/colony]
    choose: Callable[[Ranked], Answer] | None = field(default=None, repr=False, compare=False)  # another best

    def told(self) -> Answer:
        """The same with the few seasons alone that any plan's classes and syrup are worked out in.

        Of a whole search's 15,000 seasons an answer holds 80 MB, without them half of one.
        """
        few = self.question.ensemble.few(MEMBERS)
        return replace(self, found=self.found.told(), question=self.question.of(few), choose=None)


@dataclass(frozen=True)
class Means:
    """With what the search is done."""

    spreading: Spreading = map
    parts: int = 1
    on_look: Callable[[Look], None] | None = None


def rounds(
    yard: Yard,
    asked: Asked,
    ensemble: Ensemble,
    reader: Reader,
    rng: np.random.Generator,
    means: Means | None = None,
) -> Answer:
    """The plan that is worth its money for a yard, and the few others worth a look.

    Parameters
    ----------
    yard
        The yard.
    asked
        Target, prices, portions.
    ensemble
        Its seasons to the target's last day, of ``plan.ensemble.yard_ensemble``; the feeds' worth is drawn
        for its ``par``, as ``jobs.feed_worth`` does.
    reader
        The shelf: ``plan.*``, ``ladder.*``.
    rng
        For the unfed yard beyond the season model; the same generator gives the same answer.
    means
        Processes and progress; they change nothing in the answer.

    Errors
    ------
    PlanError
        For a target before today, no feed, a price of 0, a start before hives can be opened, syrup with
        nothing beside it.
    """
    means = means or Means()
    asked = checked_asked(yard, asked, ensemble, reader)
    one = question(yard, asked, ensemble, reader, rng)
    plans = planned(asked, ensemble)
    ruled = bars(yard, asked.target, ensemble, range(ensemble.today, ensemble.days), reader)
    ruled = replace(ruled, clears=asked.clears)
    stores = partial(out_of_stores, ensemble=ensemble, reader=reader, sugar_beside=one.stores.sugar_beside)
    way = Search(one, ruled, stores, means.spreading, means.parts, means.on_look, asked.start is not None)
    found = search(way, plans)
    moved_there = None
    if asked.move is not None:
        fresh = np.flatnonzero(~ensemble.half(asked.prices.feeds[0].worth.gain))
        moved_there = moved(one, asked.move.there, asked.move.load, fresh)
    at = _At(yard, asked, way, reader, moved_there)
    return replace(_answer(at, found), choose=lambda best: _answer(at, with_best(way, found, best)))


@dataclass(frozen=True)
class _At:
    """All that an answer is told from beside what the search found."""

    yard: Yard
    asked: Asked
    way: Search
    reader: Reader
    move: Ranked | None


def _answer(at: _At, found: Found) -> Answer:
    yard, asked, one, reader = at.yard, at.asked, at.way.question, at.reader
    pays, units = amounts(asked.target)[0], units_of(yard.place.country)
    shown = found.best if found.best.plan.pieces else best_fed(found) or _any_fed(found)
    best = found.best.plan
    return Answer(
        found=found,
        question=one,
        bars=at.way.bars,
        break_even=break_even(asked.target, shown.cost.total, pays.money, pays.year, units),
        breeding=breeding(yard.today, asked.target, reader),
        why=(*why_best(found, one, reader), *_moving(at.move, found, one)),
        turns=turns(found.flips, one, units, struck_pays(found, one.close)),
        classes=_classes(yard, asked, one, best, reader),
        syrup=_syrup(yard, asked, one, best, reader),
        move=at.move,
        warnings=warnings(yard, asked.target, found, one.ensemble),
        notes=(*graded_apart(asked.graded, yard.count.frames_of_bees), *notes(asked, one, found)),
        figures=reader.used,
        costs=shown.cost.total,
    )


def retold(answer: Answer, found: Found, who: Classes | None, reader: Reader, units: Units | None) -> Answer:
    """The same answer with plans told otherwise: break-even and reasons go by what is told."""
    shown, target = (
        found.best if found.best.plan.pieces else best_fed(found) or _any_fed(found),
        answer.question.target,
    )
    pays = amounts(target)[0]
    return replace(
        answer,
        found=found,
        classes=who,
        break_even=break_even(target, shown.cost.total, pays.money, pays.year, units),
        why=(*why_best(found, answer.question, reader), *_moving(answer.move, found, answer.question)),
        turns=turns(found.flips, answer.question, units, struck_pays(found, answer.question.close)),
        costs=shown.cost.total,
    )


def question(
    yard: Yard, asked: Asked, ensemble: Ensemble, reader: Reader, rng: np.random.Generator
) -> Question:
    """All that a plan's worth rests on."""
    spread = spread_of(yard.colonies, asked.graded, asked.losses, reader)
    sugar = asked.sugar_beside or asked.syrup is not None
    return Question(
        ensemble=ensemble,
        target=_with_nurses(asked.target, reader),
        spread=spread,
        prices=asked.prices,
        watch=_watch(yard, asked, ensemble, reader, rng.spawn(1)[0]),
        unfed_frames=_unfed(yard, asked, ensemble, reader, rng),
        rule_from=reader.typical("plan.pollen_in"),
        fades_days=reader.typical("plan.gain_fades_days"),
        crop_power=crop_power(asked.target, ensemble, reader),
        stores=Stores(reader.typical("plan.stores_log_sd"), sugar, not ensemble.because),
        close=reader.typical("plan.close"),
        survival=survival_belief(reader, asked.survival),
    )


def _with_nurses(target: Target, reader: Reader) -> Target:
    """Splits with the nurse bees they need: a share of their bees, where the keeper named none."""
    if not isinstance(target, Splits) or target.nurses is not None:
        return target
    return replace(target, nurses=target.bees * reader.typical("plan.split_nurses"))


def planned(asked: Asked, ensemble: Ensemble) -> tuple[Plan, ...]:
    """Every plan that is looked at, "do nothing" first."""
    ahead = ensemble.days - 1 - ensemble.today
    starts = weekly(0, ahead) if asked.start is None else ((asked.start - ensemble.on(ensemble.today)).days,)
    again = ahead - SECOND_SERIES if asked.start is None and ahead > LONG_AHEAD else None
    most_at = {} if asked.clears is None else {days: asked.clears.most_g(days) for days in asked.intervals}
    grid = Grid(
        starts, asked.portions_g, asked.intervals, asked.most_rounds, asked.rule, again, most_at,
        asked.own_portions_g,
    )  # fmt: skip
    pieces = [Piece(ensemble.day(g.on), g.grams) for g in asked.last_year]
    kept = tuple(p for p in pieces if ensemble.today <= p.day < ensemble.days - 1)
    last_year = as_last_year(kept, asked.last_year_feed)
    return plans_of(grid, ensemble.today, ensemble.days - 1, len(asked.prices.feeds), last_year)


def _watch(yard: Yard, asked: Asked, ensemble: Ensemble, reader: Reader, rng: np.random.Generator) -> Watch:
    """What is looked at; what colonies eat and bring is drawn with the model, a draw of each for its own."""
    count, flow = yard.count, (1, 0)
    if isinstance(asked.target, HoneyFlow):
        flow = (max(0, ensemble.day(asked.target.on)), ensemble.day(asked.target.until))
    frames = len(count.boxes) * count.frames_per_box
    light = reader.typical("plan.light_kg") if yard.health.honey == "light" else None
    honey = asked.honey_kg if asked.honey_kg is not None else light

    def drawn_g(key: str) -> FloatArray:
        mg = reader.span(key).at(even_scores(rng, ensemble.par.draws))
        return np.asarray(mg[ensemble.draw] / 1000.0)

    return Watch(
        today=ensemble.today,
        sugar_bee_g=drawn_g("plan.sugar_bee_mg"),
        sugar_cell_g=drawn_g("plan.sugar_cell_mg"),
        feed_sugar=0.0,
        honey_g=PLENTY_G if honey is None else 1000.0 * honey,
        nectar_from=reader.typical("plan.nectar_from"),
        room_bees=frames * reader.typical("plan.crowded_share") * ensemble.bees_a_frame,
        flow=flow,
        nectar_bee_g=drawn_g("plan.nectar_bee_mg"),
        whole_day_h=reader.typical("plan.whole_day_h"),
    )


def _unfed(
    yard: Yard, asked: Asked, ensemble: Ensemble, reader: Reader, rng: np.random.Generator
) -> FloatArray | None:
    """What stands in for the unfed yard where no frames are foretold; shape (members,). [frames]"""
    if not ensemble.because:
        return None
    median = asked.unfed_frames
    if median is None:
        counted = yard.count.frames_of_bees
        if counted is None:
            raise PlanError(
                "frames on the date",
                say("none are foretold: {because}", because=ensemble.because),
                say("your usual count on that date without feed"),
                say("Enter it"),
            )
        median = counted * frame_size(yard.count, reader)
    spread = reader.typical("plan.unfed_log_sd")
    return np.asarray(median * np.exp(spread * rng.standard_normal(ensemble.members)))


def _classes(yard: Yard, asked: Asked, one: Question, best: Plan, reader: Reader) -> Classes | None:
    frames = yard.count.frames_of_bees
    if not best.pieces or frames is None:
        return None
    named = tuple(zip(asked.names, asked.graded, strict=True)) if asked.names else ()
    return classes(one, best, frames, reader, named, Giving(asked.clears))


def _syrup(yard: Yard, asked: Asked, one: Question, best: Plan, reader: Reader) -> tuple[SyrupRound, ...]:
    if asked.syrup is None:
        return ()
    syrup_possible(yard, best, reader)
    days = tuple(piece.day for piece in best.pieces) or (one.ensemble.today,)
    return syrup_rounds(one, best, days, asked.syrup, reader)


def _moving(moved_there: Ranked | None, found: Found, one: Question) -> tuple[str, ...]:
    if moved_there is None:
        return ()
    more = moved_there.money - found.best.money
    of = {
        "money": about(abs(more), one.prices.money), "loads": told(moved_there.cost.travel, one.prices.money),
        "than": say("the best plan of feeding") if found.best.plan.pieces else say("doing nothing here"),
    }  # fmt: skip
    if more > 0:
        return (say("Moving brings {money} a colony more than {than}, after {loads} for the loads.", **of),)
    return (say("Moving brings {money} a colony less than {than}, after {loads} for the loads.", **of),)


def _any_fed(found: Found) -> Ranked:
    """The plan whose cost is told where none of feeding is left: of those struck out the best chance."""
    fed = [one for one in (*found.finalists, *found.struck) if one.rounds > 0.0]
    return max(fed, key=lambda one: (one.rounds >= 1.0, not one.struck, one.chance), default=found.best)
