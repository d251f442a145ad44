"""Dry feed put out in the open after a draw: which check groups it feeds, written down or not yet."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from breadline.errors import RecordError
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.rounds_dry_feed import barred_of
from breadline.jobs.trial_book import Damaged, TrialsBook
from breadline.jobs.trial_file import TrialFile
from breadline.jobs.verdict import Told
from breadline.language import LANGUAGES, say, speaking
from breadline.need.words import counted, day_and_year
from breadline.need.yard import Place
from breadline.plan.dry_feed import Inside, NoCheckGroup
from breadline.records import stocks, yards
from breadline.records.address import BookAt
from breadline.records.engine import is_there, looking
from breadline.trial.colonies import CHECK
from breadline.trial.design import Unit

MOST_NAMED = 4  # yards


@dataclass(frozen=True)
class FedSince:
    """What dry feed in the open means for a trial: facts that make it unfair, and what is doubtful."""

    facts: str = ""
    doubts: str = ""

    @property
    def sentence(self) -> str:
        """As it is said on the page of the trial; "" where nothing is."""
        if self.facts:
            return say("Spoilt: {facts}. It can no longer say whether feeding paid.", facts=self.facts)
        return say("In doubt: {doubts}.", doubts=self.doubts) if self.doubts else ""


def fed_since(book: TrialsBook, trial: Trial) -> FedSince:
    """What the dry feed written down from the draw to the grading means for a trial of the book."""
    return _since(book, trial)()


def _since(book: TrialsBook, trial: Trial) -> Callable[[], FedSince]:
    """What the book knows of it now, to be said in the language then spoken."""
    known = _known(book)
    since, until = trial.drawn_at.date(), trial.design.grading
    return partial(_told, trial, [one for one in known.stood if since <= one.since < until], known.places)


def told_by(book: TrialsBook, trial: Trial, told: Told) -> Told:
    """How a trial of the book was done, as people say it and with the dry feed that the book knows of."""
    return replace(told, by_book=partial(_facts_and_doubts, _since(book, trial))).in_this_language


def _facts_and_doubts(since: Callable[[], FedSince]) -> tuple[str, str]:
    """Facts that make a trial unfair, and what is doubtful where there are none, in this language."""
    said = since()
    return said.facts, "" if said.facts else said.sentence


def told_by_book(at: BookAt, of: Trial | TrialFile, told: Told, today: date) -> Told:
    """The same of a trial that came as a file; as it was said where the book does not know the trial.

    It knows a draw by the yards that stand in it, and any trial that is locked in it by its seal.
    """
    if not is_there(at):
        raise RecordError(str(at), say("there is no such book"), say("a book of records"))
    book = TrialsBook(at, today)
    if isinstance(of, Trial) and {one.yard for one in of.design.started} & set(_known(book).places):
        return told_by(book, of, told)
    seal = of.seal if isinstance(of, Trial) else of.locked_as
    kept = [one.trial for one in book.trials() if not isinstance(one, Damaged)]
    known = next((one for one in kept if seal is not None and one.seal == seal), None)
    return told if known is None else told_by(book, known, told)


def fed_too(file: TrialFile, told: Told) -> TrialFile:
    """A trial that came as a file, with the dry feed that a book knows to have fed its unfed colonies."""
    conduct = file.finished.conduct
    told = told.in_this_language
    if not told.fed_in_open or any(text in conduct.differently for text in _in_any_language(told)):
        return file  # it says so itself, in the language in which it was passed on
    conduct = replace(conduct, fed_in_open=told.fed_in_open)
    return replace(file, finished=replace(file.finished, conduct=conduct))


def _in_any_language(told: Told) -> Iterator[str]:
    """What dry feed did to unfed colonies, in each language that a file may have it in."""
    for code in LANGUAGES:
        with speaking(code):
            yield told.in_this_language.fed_in_open


def would_feed(book: TrialsBook, feed: NoCheckGroup, place: Place) -> tuple[str, ...]:
    """Locked check groups whose unfed colonies dry feed would feed, a sentence each, before it is kept."""
    said = []
    known = _known(book)
    if any((one.yard, one.since) == (feed.yard, feed.since) for one in known.stood):
        return ()  # written down already: the trial itself says so
    places = known.places | {feed.yard: place}
    for kept in book.trials():
        if isinstance(kept, Damaged) or kept.trial.locked_at is None or not kept.trial.without_end:
            continue
        if not kept.trial.drawn_at.date() <= feed.since < kept.trial.design.grading:
            continue
        told = _told(kept.trial, [feed], places)
        if told.facts:
            said.append(
                say(
                    "It would spoil the check group {name}: its unfed colonies in flight "
                    "range would be fed too, and it could no longer say whether feeding paid.",
                    name=kept.trial.name,
                )
            )
        elif told.doubts:
            said.append(say("It may reach unfed colonies of the check group {name}.", name=kept.trial.name))
    return tuple(said)


@dataclass(frozen=True)
class _Known:
    """Where the yards of a book stand by name, and where dry feed stood."""

    places: dict[str, Place]
    stood: tuple[NoCheckGroup, ...]


def _known(book: TrialsBook) -> _Known:
    with looking(book._engine) as session:
        listed = yards.yards(session)
        lasting = {row.name: yards.fact(session, row.id) for row in listed}
        names = {row.id: row.name for row in listed}
        rows = [(row.yard_id, stocks.stood(row)) for row in stocks.dry_feeds(session)]
    places = {name: Place(of.latitude, of.longitude) for name, of in lasting.items()}
    return _Known(places, barred_of([(names[key], one) for key, one in rows if key in names]))


def _told(trial: Trial, stood: Sequence[NoCheckGroup], places: dict[str, Place]) -> FedSince:
    facts, doubts = [], []
    for feed in stood:
        reach: dict[Inside, list[str]] = {"inside": [], "doubtful": [], "unknown": []}
        for name in _unfed_yards(trial):
            where = feed.holds(name, places.get(name, Place(feed.place.latitude, None)))
            if where != "outside":
                reach[where].append(name)
        since = say(
            "since {day} dry feed stands in the open at {yard}", day=day_and_year(feed.since), yard=feed.yard
        )
        if reach["inside"]:
            facts.append(
                say(
                    "{since}, and feeds the unfed colonies of {named} too",
                    since=since,
                    named=_named(reach["inside"]),
                )
            )
        elif near := [*reach["doubtful"], *reach["unknown"]]:
            doubts.append(
                say("{since}, and unfed colonies of {named} may fetch of it", since=since, named=_named(near))
            )
    return FedSince("; ".join(facts), "; ".join(doubts))


def _unfed_yards(trial: Trial) -> list[str]:
    """Yards in which unfed colonies stand; of whole yards only those left unfed."""
    unfed = [one.yard for one in trial.design.started if one.arm == CHECK]
    if trial.design.unit is Unit.YARD:
        return list(dict.fromkeys(unfed))
    return list(dict.fromkeys(one.yard for one in trial.design.started))


def _named(names: Sequence[str]) -> str:
    if len(names) > MOST_NAMED:
        return counted(len(names), "yard")
    if len(names) == 1:
        return names[0]
    return say("{some} and {last}", some=", ".join(names[:-1]), last=names[-1])
