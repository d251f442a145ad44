"""What a trial's own yards show of the feed: fitted as they stood, run fed and unfed to the grading."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from uuid import UUID

import numpy as np

from breadline.belief.gain import Situation
from breadline.belief.survival_learnt import in_all
from breadline.errors import BreadlineError, TrialError
from breadline.jobs import foretelling
from breadline.jobs.belief_book import own_beliefs
from breadline.jobs.book import AtHand
from breadline.jobs.feed_worth import Fed, feed_worth_at
from breadline.jobs.lock_stands import set_aside
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.season import Asked, weather_ahead, with_bloom
from breadline.jobs.side_by_side import Along, side_by_side
from breadline.jobs.trial_checked import Checked
from breadline.jobs.trial_lived import deaths_of, living_ratio
from breadline.knowledge.calendars import calendar
from breadline.knowledge.shelf import load
from breadline.language import say
from breadline.need.fit.fitting import fit
from breadline.need.fit.season_counts import begun_at_first_count, of_this_season
from breadline.need.place_drivers import put_on
from breadline.need.streams import Streams
from breadline.need.yard import Given
from breadline.plan.ensemble import Ensemble, block_part, fitted_ensemble, yard_ensemble
from breadline.records import figure_edits, outlooks, yards
from breadline.records.engine import looking
from breadline.span import FloatArray
from breadline.trial.design import Unit
from breadline.verdict.log_ratio import LogRatio
from breadline.verdict.through_model import (
    Bees,
    Equivalence,
    FedYard,
    Observed,
    bees_of,
    equivalence,
    grid_of,
    log_ratio_shown,
    on_grid,
    smoothed,
)

SEED = 20261112  # the same trial gives the same answer
MEMBERS = 400  # colonies of a yard that are run
NODES, BEYOND = 33, 1.5  # of the grid, and how far beyond the high end of the shelf it reaches
LONGEST_D = 150  # before the grading, where no lock says when the feeding began [d]
BLUR = 3.0  # nodes over which the draws of the belief are blurred


@dataclass(frozen=True)
class Shown:
    """What the yards show, or why they cannot be asked.

    Parameters
    ----------
    found
        The belief about the equivalence; None where the yards cannot be asked.
    notes
        What was left out, or why there is none.
    """

    found: Equivalence | None
    notes: tuple[str, ...]


def shown_by_yards(book: RoundsBook, one: Checked, situation: Situation, along: Along | None = None) -> Shown:
    """Ask the season model of a trial's yards that stand in a book by their own names.

    Each yard is taken as it was known on the day the feed went on, fitted to the inspections before
    it, and its colonies are run through the weather that came, to the day of grading.

    Parameters
    ----------
    book
        Of the grower.
    one
        A fair trial of bees.
    situation
        What the place gave while the feed was on.
    along
        Told of each yard that is through; it may stop the work.
    """
    graded = [end.graded_on for end in one.file.finished.ended if end.graded_on is not None]
    if one.ratio is None or not graded:
        return Shown(None, (say("The day of grading is not known, so the season model is not asked."),))
    told = () if one.file.feed is None else one.file.feed.given
    locked = one.file.locked_at
    late = set_aside(locked, one.file.finished.ended, one.file.fed_on)
    since = None if locked is None or late else locked.date()
    names = Counter(colony.yard for colony in one.file.finished.design.started)
    known = {name: key for key, name, _ in book.yard_ids()}
    if not names.keys() & known.keys():
        return Shown(None, (say("None of its yards is in this book, so the season model is not asked."),))
    run = _Run(book, [Given(on, grams) for on, grams in told], (since, max(graded)), situation)
    along = along or Along()
    along.begin(one.file.name, len(names))
    each = side_by_side(tuple(names.items()), partial(_asked_of, run, known), along)
    asked = [of for of in each if isinstance(of, _Asked)]
    notes = [of for of in each if isinstance(of, str)]
    if not asked:
        return Shown(None, (say("No yard of the trial could be asked."), *notes))
    seen, left_out = _seen(one, one.ratio)
    return Shown(_found(asked, seen, run.grid), (*notes, *left_out))


def _asked_of(run: _Run, known: Mapping[str, str], yard: tuple[str, int]) -> _Asked | str:
    """A yard of the trial run through its seasons, or why it cannot be asked."""
    name, colonies = yard
    if name not in known:
        return say("{yard} is not in this book.", yard=name)
    try:
        return run.yard(known[name], colonies)
    except BreadlineError as cannot:
        return f"{name}: {cannot}"


def _seen(one: Checked, started: LogRatio) -> tuple[LogRatio, tuple[str, ...]]:
    """The ratio that the model is held against, and what it leaves out.

    Of those that lived: deaths that the model does not have would else be put down to the feed, and, where
    they are apart, teach survival once more.
    """
    design, came = one.file.finished.design, one.answer.came
    lost = in_all(deaths_of(design, came))
    if not lost.fed_lost + lost.check_lost:
        return started, ()
    living = living_ratio(design, came)
    if living is None:
        return started, (
            say("Too few lived to be compared, so what a gram replaced takes those that died as 0."),
        )
    if design.unit is Unit.COLONY:
        return living, ()
    return living, (
        say(
            "What a gram replaced goes by the colonies that lived: {fed_lost} of {fed} fed and {check_lost} "
            "of {check} check colonies were lost and are left out of it.",
            fed_lost=lost.fed_lost, fed=lost.fed, check_lost=lost.check_lost, check=lost.check,
        ),
    )  # fmt: skip


@dataclass(frozen=True)
class _Asked:
    """What a yard's colonies came to, what is believed there, and the model's own error."""

    bees: Bees
    before: FloatArray  # weights of the grid [share]
    error: float  # [log ratio]


class _Run:
    """What all yards of one trial share."""

    def __init__(
        self, book: RoundsBook, given: Sequence[Given], days: tuple[date | None, date], situation: Situation
    ) -> None:
        since, self.graded = days
        self.book, self.told, self.situation = book, tuple(given), situation
        self.since = since or self.graded - timedelta(days=LONGEST_D)
        with looking(book._engine) as session:
            self.shelf = load(figure_edits.current_edits(session))
            self.record = foretelling.record(session, book.today, self.shelf)
            self.learnt = own_beliefs(session, self.shelf)
        most = self.shelf.reader().span("feed.equivalence").high
        self.grid = grid_of(BEYOND * most, NODES)

    def yard(self, key: str, colonies: int) -> _Asked:
        """One yard of the trial."""
        given = self.told or self._written_down(key)
        first = min(one.on for one in given)
        there = self._as_it_was(key, first)
        ensemble = self._ensemble(there)
        some = block_part(ensemble.block, ensemble.few(MEMBERS))
        earlier = tuple(one for one in there.yard.given if one.on < first)
        check = put_on(earlier, ensemble.start, ensemble.days)
        fed = put_on((*earlier, *given), ensemble.start, ensemble.days)
        reader = self.shelf.reader()
        worth = feed_worth_at(
            there.yard, there.weather, ensemble.par, Fed(self.situation, learnt=self.learnt), reader,
            np.random.default_rng(SEED + 1),
        )  # fmt: skip
        own = foretelling.own_errors(self.record, key, self.shelf)
        error = own.get("bees", self.shelf["fit.model_bees_log_sd"].span.typical)
        before = smoothed(on_grid(worth.equivalence, self.grid), self.grid, BLUR)
        return _Asked(bees_of(FedYard(some, fed, check, colonies), self.grid), before, error)

    def _written_down(self, key: str) -> tuple[Given, ...]:
        """What the book has as put on in the yard, a fed colony, from the lock to the grading."""
        with looking(self.book._engine) as session:
            given = outlooks.fed(session, UUID(key), fed_alone=True).given
        of = tuple(one for one in given if self.since <= one.on < self.graded)
        if not of:
            raise TrialError(
                say("feed"), say("nothing is written down as put on for the trial"), say("day and grams")
            )
        return of

    def _as_it_was(self, key: str, first: date) -> AtHand:
        """The yard as known on the day the feed went on; the weather as it is known now."""
        now = self.book.at_hand(key)
        with looking(self.book._engine) as session:
            known = yards.yard_as_known(session, UUID(key), first)
            earlier = yards.looks_before(session, UUID(key), first)
        known, earlier = of_this_season(known, earlier, self.shelf.reader())
        yard = begun_at_first_count(known, earlier, self.shelf.reader())
        starter = calendar(yard.place.region) if yard.place.region else None
        yard, _ = with_bloom(yard, starter)
        return AtHand(yard, known, now.weather, self.shelf)

    def _ensemble(self, there: AtHand) -> Ensemble:
        reader, streams = self.shelf.reader(), Streams.of(np.random.default_rng(SEED))
        at_grading = replace(there.yard, today=self.graded - timedelta(days=1))
        ahead = weather_ahead(at_grading, there.weather, self.graded, reader, streams.weather, Asked())
        if there.yard.inspections:
            fitted = fit(there.yard, ahead, reader, streams)
            return fitted_ensemble(there.yard, ahead, reader, fitted, streams, self.graded)
        return yard_ensemble(there.yard, ahead, reader, streams, self.graded, MEMBERS)


def _found(asked: Sequence[_Asked], seen: LogRatio, grid: FloatArray) -> Equivalence:
    colonies = np.array([one.bees.colonies for one in asked], dtype=np.float64)
    weight = colonies / colonies.sum()
    before = np.einsum("y,yn->n", weight, np.array([one.before for one in asked]))
    error = float(weight @ [one.error for one in asked])
    shown = log_ratio_shown([one.bees for one in asked])
    return equivalence(grid, np.asarray(before), shown, Observed(seen.estimate, seen.se, error))
