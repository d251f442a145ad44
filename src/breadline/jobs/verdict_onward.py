"""Where a verdict goes on to: its second sentence, and the open file in which its trial travels."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from breadline.belief.gain import Situation
from breadline.belief.season_called import season_kept, unnamed_season, which_season
from breadline.belief.season_effects import SeasonResult
from breadline.errors import TrialError
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.feed_days import with_feed_days
from breadline.jobs.lock_stands import set_aside
from breadline.jobs.season import FigureUsed, figures_used
from breadline.jobs.trial_file import Telling, TrialFile, known_again, trial_from_text, trial_text
from breadline.jobs.trial_lessons import Learning
from breadline.jobs.trial_shape import Feed
from breadline.jobs.trial_shape import Prices as SharedPrices
from breadline.jobs.verdict import MEASURES, Verdict
from breadline.jobs.verdict_also import POUND
from breadline.jobs.verdict_before import Known, pays_here
from breadline.knowledge.shelf import load
from breadline.language import say
from breadline.plan.targets import Frames
from breadline.records.address import BookAt
from breadline.trial.value_path import MakingGrade, PerUnit
from breadline.verdict import words_drift
from breadline.verdict.answer import Finished


@dataclass(frozen=True)
class Onward:
    """What is asked of a verdict beside itself.

    Parameters
    ----------
    situation
        What the place gave while the feed was on; None where it was not noted.
    season
        As people say it; "" takes the year of grading.
    book
        Whose earlier seasons count; None where only published trials do.
    travel
        Where the trial's open file is written; None where it is not.
    own_names
        Whether hives, yards, queen lines and graders keep their own names in it.
    own_prices
        Whether cost and price go along.
    feed
        What was fed, without its name; None takes what the trial's own file says.
    """

    situation: Situation | None = None
    season: str = ""
    book: BookAt | None = None
    travel: Path | None = None
    own_names: bool = False
    own_prices: bool = False
    feed: Feed | None = None


@dataclass(frozen=True)
class BesideEarlier:
    """A verdict with its second sentence, and what that is told by.

    Parameters
    ----------
    verdict
        Without the sentence where there is none.
    figures
        Of the belief; none where there is no sentence.
    own
        How many earlier results of one's own stand in it.
    """

    verdict: Verdict
    figures: tuple[FigureUsed, ...] = ()
    own: int = 0


def with_second_sentence(verdict: Verdict, onward: Onward) -> Verdict:
    """The verdict with what these colonies and earlier evidence say together, where forage was noted.

    Its lock is held against the days of feed that are known, as in everything that goes on from here.
    What the trial itself has taught already, in whatever season it was said to be, is no earlier evidence.
    """
    verdict = replace(with_feed_days(verdict, onward.feed, onward.book), noted=onward.situation or "")
    return beside_earlier(verdict, onward).verdict


def beside_earlier(verdict: Verdict, onward: Onward) -> BesideEarlier:
    """The second sentence anew, by the figures and the own seasons as the book has them now."""
    if onward.situation is None:
        return BesideEarlier(verdict)
    shelf, earlier, season = load(), tuple[SeasonResult, ...](), season_of(verdict, onward)
    if onward.book is not None:
        book = BeliefBook(onward.book)
        shelf, own = book.shelf(), [one.taught for one in book.lessons()]
        this = known_again(_weighed(verdict))
        season = next((one.season for one in own if one.trial == this), season)
        of = [one for one in own if one.situation == onward.situation and one.trial != this]
        earlier = tuple(one.as_started for one in of if which_season(one.season) != which_season(season))
    reader = shelf.reader()
    found = pays_here(verdict, Known(onward.situation, season, earlier), reader)
    if found is None:
        return BesideEarlier(verdict)
    said = replace(verdict, together=found.sentence, second=lambda: found.sentence)
    return BesideEarlier(said, figures_used(shelf, reader.used), len(earlier))


def travelling(verdict: Verdict, onward: Onward) -> str:
    """The text of the open file in which the trial of a verdict travels.

    A lock that came after feed which only a book knows of is left out: another copy, which cannot see
    the book, would let it stand.

    Errors
    ------
    TrialError
        If its season is not known.
    """
    season = season_of(verdict, onward)
    if not season:
        raise TrialError(
            "--season", say("is not given, and no day of grading says it"), say("such as “autumn 2026”")
        )
    verdict = with_feed_days(verdict, onward.feed, onward.book)
    feed = onward.feed or verdict.feed
    lock = verdict.lock if _seen_elsewhere(verdict, feed) else None
    return trial_text(
        _weighed(verdict),
        Telling(
            season=season,
            situation=onward.situation,
            own_names=onward.own_names,
            locked_at=None if lock is None else lock[0],
            locked_as=None if lock is None else lock[1],
            feed=feed,
            prices=_prices(verdict) if onward.own_prices else None,
        ),
    )


def _weighed(verdict: Verdict) -> Finished:
    """The trial of a verdict as its file has it: honey in kilograms."""
    return _in_kg(verdict.finished) if verdict.measure == MEASURES["lb"] else verdict.finished


def _prices(verdict: Verdict) -> SharedPrices:
    """Cost and price of a verdict as its file has them: honey by the kilogram.

    Errors
    ------
    TrialError
        If nobody said them.
    """
    worth = verdict.worth
    if worth is None:
        raise TrialError("prices", say("are ticked to go along, and nobody said them"),
                         say("cost and price"), say("Say them, or leave them out of the file"))  # fmt: skip
    path = worth.path
    if isinstance(path, PerUnit):
        price = path.price.amount / (POUND if verdict.measure == MEASURES["lb"] else 1.0)
    elif isinstance(path, MakingGrade) and isinstance(path.target, Frames):
        price = path.target.fee.amount
    else:
        raise TrialError("prices", say("are of another kind than a trial file holds"), say("a price of one"))
    return SharedPrices(cost=worth.cost.amount, price=price, money=worth.unit, year=worth.cost.year)


def _seen_elsewhere(verdict: Verdict, feed: Feed | None) -> bool:
    """Whether a copy that reads the file comes to the same word on its lock."""
    if verdict.lock is None:
        return False
    at, ended = verdict.lock[0], verdict.finished.ended
    told = () if feed is None else tuple(on for on, _ in feed.given)
    return bool(set_aside(at, ended, verdict.fed_on)) == bool(set_aside(at, ended, told))


def _in_kg(of: Finished) -> Finished:
    """Honey that was graded in pounds as the file has it, in kilograms; lines that were settled go along."""

    def kg(pounds: float | None) -> float | None:
        return None if pounds is None else pounds * POUND

    ends = tuple(replace(one, outcome=kg(one.outcome), again=kg(one.again)) for one in of.ended)
    lines = of.design.lines
    scaled = replace(lines, break_even=lines.break_even * POUND, margin=lines.margin * POUND)
    return replace(of, design=replace(of.design, lines=scaled), ended=ends)


def teaches(verdict: Verdict) -> bool:
    """Whether the trial of a verdict can move the belief about bees."""
    return words_drift.teaches(verdict.answer, verdict.finished.design)


def to_learn_from(verdict: Verdict, onward: Onward, today: date) -> tuple[TrialFile, Learning]:
    """The file that the trial of a verdict teaches by, and where its lesson goes.

    Errors
    ------
    TrialError
        If there is no book, or as of ``travelling``.
    """
    if onward.book is None:
        raise TrialError(say("book"), say("there is none"), say("a book of records"))
    priced = verdict.worth is not None
    text = travelling(verdict, replace(onward, own_names=True, own_prices=priced))  # it stays at home
    file = replace(trial_from_text(text, verdict.source), name=verdict.source)
    return file, Learning(onward.book, today, onward.situation)


def season_of(verdict: Verdict, onward: Onward) -> str:
    """The season as it was said, else the year of grading; "" where neither is known."""
    if onward.season:
        return season_kept(onward.season)
    days = [end.graded_on for end in verdict.finished.ended if end.graded_on is not None]
    on = max(days, default=verdict.finished.design.grading)
    return "" if on == date.min else unnamed_season(on.year)
