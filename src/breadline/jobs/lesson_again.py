"""A lesson of an earlier version, its class worked out again from the trial that the book itself holds."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from breadline.errors import TrialError
from breadline.jobs.belief_book import BeliefBook, Lesson, Taught
from breadline.jobs.check_group_told import stand_words
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.fed_since import fed_too, told_by_book
from breadline.jobs.own_evidence import lesson_result
from breadline.jobs.trial_book import Damaged, TrialsBook
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import Telling, TrialFile, known_again, trial_from_text, trial_text
from breadline.jobs.verdict import Told
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.records import yards
from breadline.records.address import BookAt
from breadline.records.engine import looking
from breadline.trial.design import Outcome
from breadline.verdict.answer import Finished
from breadline.verdict.fairness import Conduct

WORKED_OUT = "its class was worked out again, as the trial's own page does"


@dataclass(frozen=True)
class LearntIn:
    """The check group of a book that a lesson was learnt from, and its yards in it: key and name of each."""

    key: str
    yards: tuple[tuple[str, str], ...]


def learnt_in(book: BeliefBook) -> dict[str, LearntIn]:
    """By the digest of a trial, where it stands in the book; none of one that came as a file only."""
    with looking(book._engine) as session:
        known = {row.name: str(row.id) for row in yards.yards(session)}
    found = {}
    for kept in TrialsBook(book.path, book.today).trials():
        if isinstance(kept, Damaged) or kept.trial.without_end:
            continue
        names = dict.fromkeys(one.yard for one in kept.trial.design.started)
        there = tuple((known[name], name) for name in names if name in known)
        found[known_again(_finished(kept.trial))] = LearntIn(kept.key, there)
    return found


def held(book: BeliefBook) -> frozenset[str]:
    """Digests of the lessons of an earlier version whose trials the book holds."""
    older = [one.taught for one in book.lessons() if one.older]
    return frozenset(one.trial for one in older if _trial_of(book, one) is not None)


def work_out_again(book: BeliefBook, digest: str) -> Lesson:
    """Put the class in the place of the one that was kept; what the trial taught of bees stays as it is.

    Errors
    ------
    TrialError
        If the book does not hold the trial.
    """
    old = next((one.taught for one in book.lessons() if one.taught.trial == digest), None)
    trial = None if old is None else _trial_of(book, old)
    if old is None or trial is None:
        raise TrialError("lesson", say("the book does not hold its trial"),
                         say("a check group of this book"),
                         say("Read its trial file again, ticked as your own"))  # fmt: skip
    found = checked(fed_too(_file(trial, old), told_by_book(book.path, trial, Told(), book.today)))
    if found.left_out:
        do = say("Take it back: it teaches nothing")
        raise TrialError("lesson", found.left_out, say("a fair comparison of protein feed with none"), do)
    book.learn(replace(old, given=found.answer.given.value), WORKED_OUT)
    return next(one for one in book.lessons() if one.taught.trial == digest)


def learnt_on(book: BeliefBook, finished: Finished) -> date | None:
    """The day on which the book learnt from a trial; None where it did not."""
    found = lesson_of(book, finished)
    return None if found is None else found.learnt_on


def lesson_of(book: BeliefBook, finished: Finished) -> Lesson | None:
    """What the book learnt from a trial; None where it did not."""
    digest = known_again(finished)
    return next((one for one in book.lessons() if one.taught.trial == digest), None)


def stands(path: BookAt, trial: Trial, today: date) -> str:
    """Where a trial stands on a day: once it was learnt from, that, and no more "ask for the verdict"."""
    ended = today >= trial.design.grading and not trial.without_end
    day = learnt_on(BeliefBook(path, today), _finished(trial)) if ended else None
    if day is None:
        return stand_words(trial, today)
    return say("Learnt from on {day}: your plans go by it.", day=day_and_year(day))


def came_to(path: BookAt, trial: Trial, today: date) -> str:
    """What a trial came to, once it was learnt from; else where it stands."""
    ended = today >= trial.design.grading and not trial.without_end
    found = lesson_of(BeliefBook(path, today), _finished(trial)) if ended else None
    if found is None:
        return stand_words(trial, today)
    said = lesson_result(found)
    return f"{said[:1].upper()}{said[1:]}."


def _trial_of(book: BeliefBook, of: Taught) -> Trial | None:
    """The trial a lesson was learnt from; none of a grade line, whose class hangs on prices not kept."""
    trials = [one.trial for one in TrialsBook(book.path, book.today).trials() if not isinstance(one, Damaged)]
    done = [one for one in trials if not one.without_end and one.design.outcome is Outcome.FRAMES]
    return next((one for one in done if known_again(_finished(one)) == of.trial), None)


def _finished(trial: Trial) -> Finished:
    return Finished(trial.design, trial.ended, Conduct())


def _file(trial: Trial, of: Taught) -> TrialFile:
    telling = Telling(
        of.season, of.situation, own_names=True, locked_at=trial.locked_at, locked_as=trial.seal
    )
    return trial_from_text(trial_text(_finished(trial), telling), of.name)
