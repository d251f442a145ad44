"""A trial that came as a file, and the book of records that keeps it too."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

from breadline.errors import RecordError, TrialError
from breadline.jobs.book import key_of
from breadline.jobs.check_group_trial import Trial, seal_of
from breadline.jobs.lock_stands import local_day
from breadline.jobs.trial_book import Kept, TrialsBook, keep_locked, told_of, trial_at
from breadline.language import ENGLISH, say, speaking
from breadline.need.words import day_and_year
from breadline.need.yard import Place
from breadline.records import trials, yards
from breadline.records.engine import looking, writing
from breadline.trial.unit import Stand


def taken_in(book: TrialsBook, trial: Trial) -> Kept:
    """Keep a draw that came as a file, and its lock where it has one; the one that is kept already stays.

    That the time of such a lock is the word of its file is kept with the draw.

    Errors
    ------
    TrialError
        If another draw took its place in the book, none of its yards is in it, or dry feed that stood
        in the open feeds one of them.
    """
    if (kept := kept_of(book, trial)) is None:
        _fits_in(book, trial)
    with writing(book._engine) as session:
        if kept is None:
            told = told_of(replace(trial, locked_at=None, seal=None))
            row = trials.keep_draw(session, trial.name, told, trial.design.started)
        else:
            row = trials.trial_of(session, key_of(kept.key))
        if trial.locked_at is None or row.seal is not None:
            return Kept(str(row.id), trial_at(session, row))
        held = trial_at(session, row)
        said = (*held.said, _lock_of_file(trial.locked_at, book.today))
        sealed = replace(held, locked_at=trial.locked_at, seal=trial.seal, said=said)
        return keep_locked(session, row, sealed)


def _lock_of_file(locked_at: datetime, today: date) -> str:
    """That the time of a lock is the file's own word, in English as it is kept with the draw."""
    with speaking(ENGLISH):
        by, on = day_and_year(local_day(locked_at)), day_and_year(today)
        return (
            f"Locked on {by} by the word of its file, which the book took in on {on}: the seal covers what "
            "was settled, and not when."
        )


def kept_of(book: TrialsBook, trial: Trial) -> Kept | None:
    """The trial of the book that is the very draw of a file; None where the book does not know it."""
    there = [one for one in book.trials() if isinstance(one, Kept)]
    alike = [one for one in there if seal_of(one.trial) == seal_of(trial)]
    mine = [one for one in alike if one.trial.kept_as == trial.kept_as]
    return next(iter([*mine, *alike]), None)


def _fits_in(book: TrialsBook, trial: Trial) -> None:
    if trial.kept_as and _is_known(book, trial.kept_as):
        raise TrialError(
            trial.name, say("another draw took its place in the book"), say("the draw that holds"),
            say("Take its file from its page under Check group"),
        )  # fmt: skip
    yards_of = dict.fromkeys(one.yard for one in trial.design.started)
    with looking(book._engine) as session:
        facts = {row.name: yards.fact(session, row.id) for row in yards.yards(session)}
    there = [name for name in yards_of if name in facts]
    if not there:
        raise TrialError(
            str(book.path), say("it has none of the yards of this trial"),
            say("the book in which they are kept"), say("Name that book, or draw from this one"),
        )  # fmt: skip
    book.fed_in_open([Stand(name, Place(facts[name].latitude, facts[name].longitude)) for name in there])


def _is_known(book: TrialsBook, key: str) -> bool:
    with looking(book._engine) as session:
        try:
            return bool(trials.trial_of(session, key_of(key)))
        except RecordError:
            return False
