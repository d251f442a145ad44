"""A yard's rounds: load, ask the search, and say what it rests on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from breadline.belief.carried import Carried
from breadline.belief.gain import NO_SHIFT, Situation, likely_gain
from breadline.errors import PlanError, YardError
from breadline.jobs.feed_worth import Fed, feed_worth_at
from breadline.jobs.rounds_answered import RoundsAnswer as RoundsAnswer
from breadline.jobs.rounds_answered import day_of as day_of
from breadline.jobs.rounds_answered import no_round as no_round
from breadline.jobs.rounds_answered import season_says as season_says
from breadline.jobs.rounds_feeds import FilesBeside
from breadline.jobs.rounds_file import PlanFile, read_plan
from breadline.jobs.rounds_given import who_gets_it as who_gets_it
from breadline.jobs.rounds_given import with_classes
from breadline.jobs.rounds_last_year import left_of_last_year, on_this_year
from breadline.jobs.rounds_move import Here, move_of
from breadline.jobs.rounds_portions import Allowed, allowed, warmest_fortnight
from breadline.jobs.season import Asked as SeasonAsked
from breadline.jobs.season import figures_used, weather_ahead, with_bloom
from breadline.jobs.weather_age import not_of_another_age, stale
from breadline.jobs.yard_as_of import read_yard_as_of
from breadline.knowledge.calendars import calendar
from breadline.knowledge.edits import edits_from_toml
from breadline.knowledge.shelf import Reader, Shelf, load
from breadline.language import noted, say
from breadline.need.fit.fitting import fit
from breadline.need.fit.last_look import as_last_looked
from breadline.need.forecast import DRAWS, outlook_ends
from breadline.need.place_drivers import days_before
from breadline.need.streams import Streams
from breadline.need.words import day_and_year
from breadline.need.yard import Goal, Yard
from breadline.plan.costs import Feed, Prices
from breadline.plan.ensemble import Ensemble, fitted_ensemble, yard_ensemble
from breadline.plan.move import Move
from breadline.plan.notes import PLENTY_G, without_bees
from breadline.plan.ranked import Ranked
from breadline.plan.rounds import Asked, Means, rounds
from breadline.plan.search import Look
from breadline.plan.situation import main_situation, other_situations
from breadline.plan.syrup import Kind, SyrupRound, syrup_possible, syrup_rounds
from breadline.plan.targets import WinterBees, last_day
from breadline.records.address import BookAt
from breadline.weather.read import read_weather
from breadline.weather.table import Note, SeasonWeather, WeatherFile

SEED = 20260325  # of the search; shown with every answer, so that it can be had again
NO_MOVE = noted("Moving was not tried: the season here is fitted to your own inspections.")
USUAL_SYRUP_KG_L = 1.3  # of 2:1 and 1:1 between them; only a volume goes by it [kg/L]


@dataclass(frozen=True)
class Way:
    """How the search is gone about; nothing of it changes the answer but seed and draws."""

    seed: int = SEED
    draws: int = DRAWS  # a weather path
    parts: int = 1
    on_look: Callable[[Look], None] | None = None


@dataclass(frozen=True)
class Beside:
    """Files beside yard, weather and plan: one's own figures, and a book whose recipes the plan names."""

    figures: Path | None = None
    book: BookAt | None = None
    learnt: Mapping[Situation, Carried] | None = None  # what the book's own check groups taught
    as_of: date | None = None  # the day it is asked as of, where that is not the yard file's own


def rounds_answer(
    yard: Yard,
    weather: WeatherFile,
    plan: PlanFile,
    shelf: Shelf | None = None,
    way: Way | None = None,
    learnt: Mapping[Situation, Carried] | None = None,
) -> RoundsAnswer:
    """The plan worth its money for a yard, and the few others worth a look.

    ``learnt`` is what one's own check groups taught, by situation; where it says nothing of the
    situation of this plan, the shelf's belief holds.

    Errors
    ------
    PlanError, YardError, WeatherError, FigureError
        With what to mend: a start before hives can be opened, an impossible appetite, weather that
        does not cover the season.
    """
    way, shelf = way or Way(), shelf or load()
    reader = shelf.reader()
    starter = calendar(yard.place.region) if yard.place.region else None
    yard, told = with_bloom(_for_winter(_supers(yard, plan), plan), starter)
    advice = season_says(yard, reader)
    made = _seasons(yard, weather, plan, reader, way)
    ensemble = made.ensemble
    frames = _frames(yard)
    may = allowed(yard, plan, frames, ensemble.bees_a_frame, made.outside_c, reader)
    until = ensemble.day(last_day(plan.target))
    situation, learnt = main_situation(times_ahead(ensemble, until)), learnt or {}
    own, published = learnt.get(situation), likely_gain(situation, reader).sentence
    prices = _prices((yard, weather, learnt), plan, (situation, may, ensemble), reader, way.seed)
    survival = {s: one.survival for s, one in learnt.items() if one.survival is not None}
    asked = replace(_asked(yard, plan, prices, may), move=made.move, survival=survival)
    threshold = plan.rounds.stop_share or reader.typical("stop.pollen_share")
    means = Means(parts=way.parts, on_look=way.on_look)
    answer = rounds(made.yard, asked, ensemble, reader, np.random.default_rng(way.seed + 2), means)
    left = left_of_last_year(plan.last_year, yard.today, last_day(plan.target))
    answered = RoundsAnswer(
        yard=yard,
        plan=plan,
        answer=answer,
        season=advice,
        allowed=may,
        situation=situation,
        frames=frames,
        notes=(*answer.notes, *without_bees(plan.hives), *left, *told, *(note.said for note in made.notes)),
        figures=figures_used(shelf, reader.used),
        seed=way.seed,
        reader=reader,
        likely=published if own is None else own.sentence,
        learnt=own,
        threshold=threshold,
    )
    return with_classes(answered)


def rounds_from_files(
    yard: Path, weather: Path, plan: Path | None = None, of: Beside | None = None, way: Way | None = None
) -> RoundsAnswer:
    """The same from files; the plan is ``rounds.toml`` beside the yard file where none is named."""
    of = of or Beside()
    known = read_yard_as_of(yard, of.as_of)
    beside = yard.parent / "figures.toml"
    edits = of.figures or (beside if beside.exists() else None)
    shelf = load(edits_from_toml(edits) if edits else None)
    file = plan or yard.parent / "rounds.toml"
    asked = read_plan(file, known.today, FilesBeside(file.parent, of.book, shelf))
    place = known.place
    past = read_weather(weather, latitude=place.latitude, longitude=place.longitude, today=known.today)
    return rounds_answer(known, past, asked, shelf, way, of.learnt)


def _for_winter(yard: Yard, plan: PlanFile) -> Yard:
    """The yard, wanted for winter bees where the plan is: its advice then says what trials found of that."""
    if not isinstance(plan.target, WinterBees):
        return yard
    return replace(yard, goal=Goal("winter_bees", plan.target.on, plan.target.grade))


def syrup_beside(told: RoundsAnswer, at: Ranked) -> tuple[SyrupRound, ...]:
    """What light colonies get in each round of a plan; empty where stores are not known or no syrup is named.

    Errors
    ------
    PlanError
        Where syrup would have no bread, protein or pollen beside it.
    """
    syrup, question = told.plan.syrup, told.answer.question
    if syrup is None or question.watch.honey_g >= PLENTY_G or not at.plan.pieces:
        return ()
    syrup_possible(told.yard, at.plan, told.reader)
    kind = Kind(syrup.sugar, told.plan.syrup_kg_litre or USUAL_SYRUP_KG_L)
    return syrup_rounds(question, at.plan, [piece.day for piece in at.plan.pieces], kind, told.reader)


@dataclass(frozen=True)
class _Made:
    """The seasons a plan is tried in, and the yard as they know it."""

    yard: Yard
    ensemble: Ensemble
    outside_c: float  # [°C]
    notes: tuple[Note, ...]
    move: Move | None = None


def _seasons(yard: Yard, weather: WeatherFile, plan: PlanFile, reader: Reader, way: Way) -> _Made:
    """The yard's seasons to the target, fitted to its inspections where it has some and winter allows."""
    not_of_another_age(yard, weather)
    streams, until = Streams.of(np.random.default_rng(way.seed)), last_day(plan.target)
    fits = bool(yard.inspections)
    if fits:
        try:
            outlook_ends(yard.today, yard.place.latitude, reader)
        except YardError:  # across winter nothing is fitted; the last look stands as it was counted
            yard, fits = replace(as_last_looked(yard, None), inspections=()), False
    ahead = weather_ahead(yard, weather, until, reader, streams.weather, SeasonAsked())
    move: Move | None = None
    told: tuple[Note, ...] = ()
    if fits:
        ensemble = fitted_ensemble(yard, ahead, reader, fit(yard, ahead, reader, streams), streams, until)
        told = (Note("warning", say(NO_MOVE)),) if plan.move is not None else ()
    else:
        ensemble = yard_ensemble(yard, ahead, reader, streams, until, way.draws)
        if plan.move is not None:
            move, said = move_of(Here(yard, ahead, ensemble, until, way.seed), plan.move, reader)
            told = (said,)
    outside = _outside(yard, ahead, ensemble)
    notes = (*weather.notes, *stale(yard, weather), *ahead.notes, *told)
    return _Made(yard, ensemble, outside, notes, move)


def _outside(yard: Yard, ahead: SeasonWeather, ensemble: Ensemble) -> float:
    skip = days_before(yard, ahead)
    return warmest_fortnight(ahead, skip + ensemble.today, skip + ensemble.days)


def _supers(yard: Yard, plan: PlanFile) -> Yard:
    """The plan's own day on which supers go on, where it names one."""
    on = plan.rounds.supers_from
    return yard if on is None else replace(yard, forage=replace(yard.forage, supers_from=on))


def _frames(yard: Yard) -> float:
    """Frames of bees of the average colony on the last look. [frames]"""
    frames = as_last_looked(yard, None).count.frames_of_bees
    if frames is None:
        raise PlanError(
            yard.name,
            say("no frames of bees were counted by {day}", day=day_and_year(yard.today)),
            say("frames of bees of the average colony"),
            say("Count some hives"),
        )
    return frames


def _prices(
    at: tuple[Yard, WeatherFile, Mapping[Situation, Carried]],
    plan: PlanFile,
    told: tuple[Situation, Allowed, Ensemble],
    reader: Reader,
    seed: int,
) -> Prices:
    """Every feed with what it is worth here, draw by draw; feeds share their luck."""
    (yard, weather, learnt), (situation, may, ensemble) = at, told
    feeds, known = [], {}
    also = other_situations(times_ahead(ensemble, ensemble.days - 1))
    for k, feed in enumerate(plan.feeds):
        shift = NO_SHIFT if feed.known is None else (feed.known.shift.mean, feed.known.shift.sd)
        if shift not in known:
            rng = np.random.default_rng(seed + 1)
            fed = Fed(situation, shift, also, learnt)
            known[shift] = feed_worth_at(yard, weather, ensemble.par, fed, reader, rng)
        worth = known[shift]
        feeds.append(Feed(feed.name, feed.price, worth, may.of_feeds[k].patty.mass_g, feed.sugar))
    return Prices(tuple(feeds), plan.work, plan.syrup)


def times_ahead(ensemble: Ensemble, until: int) -> np.ndarray:
    """Which of ``SITUATIONS`` each day from today to day ``until`` is, shape (days, columns)."""
    assert ensemble.situation is not None  # of every ensemble that is made of a yard
    return ensemble.situation[ensemble.today : until + 1]


def _asked(yard: Yard, plan: PlanFile, prices: Prices, may: Allowed) -> Asked:
    of, graded = plan.rounds, tuple(frames for _, frames in plan.hives)
    each = next((one.frames_each for one in reversed(yard.inspections) if one.frames_each), ())
    return Asked(
        target=plan.target,
        prices=prices,
        portions_g=may.of_feeds[0].grams,
        own_portions_g=tuple(one.grams for one in may.of_feeds),
        clears=may.clears,
        intervals=of.intervals,
        most_rounds=of.most_rounds,
        rule=of.until_pollen,
        start=of.start,
        last_year=on_this_year(plan.last_year, yard.today, last_day(plan.target)),
        last_year_feed=plan.last_year_feed,
        graded=graded or each,
        names=tuple(tag for tag, _ in plan.hives),
        losses=of.losses,
        honey_kg=of.honey_kg,
        unfed_frames=of.usual_frames,
        sugar_beside=plan.syrup is not None,
    )
