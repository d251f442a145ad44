"""The ends that a book of records has of a trial which came as a file: they count as on its own page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from breadline.errors import RecordError
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.trial_taken_in import kept_of
from breadline.language import say, say_counted
from breadline.records.address import BookAt
from breadline.records.engine import is_there
from breadline.trial.colonies import Ended

MOST_TAGS = 8  # named in one sentence
BOTH = "breadline check-group sheets FILE --book BOOK"  # puts the ends of file and book together


def with_book_ends(trial: Trial, at: BookAt, today: date) -> tuple[Trial, Callable[[], tuple[str, ...]]]:
    """The trial as a book has it, with what only its file knows; and what was put together, to be said.

    Where both know an end the book's counts, for its page answers by that. A trial that the book does not
    know stays as it is.

    Errors
    ------
    RecordError
        If there is no such book.
    """
    if not is_there(at):
        raise RecordError(str(at), say("there is no such book"), say("a book of records"))
    kept = kept_of(TrialsBook(at, today), trial)
    if kept is None:
        return trial, tuple
    held, typed = ({one.tag: one for one in of.ended} for of in (kept.trial, trial))
    other = otherwise(kept.trial.ended, trial.ended)
    alone = [end for tag, end in typed.items() if tag not in held]
    both = replace(kept.trial, ended=(*kept.trial.ended, *alone))
    if kept.trial.locked_at is None:
        both = replace(both, locked_at=trial.locked_at, seal=trial.seal)
    taken, only = len(held.keys() - typed.keys()), [end.tag for end in alone]
    return both, lambda: _said(taken, only, other)


def otherwise(of_book: Sequence[Ended], of_file: Sequence[Ended]) -> list[str]:
    """Tags of which a book has another end than a file."""
    held = {one.tag: one for one in of_book}
    return [end.tag for end in of_file if end.tag in held and _differ(end, held[end.tag])]


def counts_the_book_s(other: Sequence[str]) -> str:
    """Where both have an end of a colony and not the same."""
    return say("Of {tags} the book has another end than the file; the book’s counts.", tags=_named(other))


def _differ(one: Ended, another: Ended) -> bool:
    """Whether both say something and not the same; a blank says nothing."""
    if (one.became, one.merged_into) != (another.became, another.merged_into):
        return True
    read = (one.outcome, another.outcome), (one.again, another.again)
    return any(first is not None and second is not None and first != second for first, second in read)


def _said(taken: int, alone: Sequence[str], other: Sequence[str]) -> tuple[str, ...]:
    said = []
    if taken:
        said.append(
            say_counted(
                "{n} end is taken from the book; the file does not have it.",
                "{n} ends are taken from the book; the file does not have them.",
                taken,
            )
        )
    if other:
        said.append(counts_the_book_s(other))
    if alone:
        said.append(
            say("Of {tags} only the file has an end, and the page of the trial does not count it: {command} "
                "keeps it in the book.", tags=_named(alone), command=BOTH)
        )  # fmt: skip
    return tuple(said)


def _named(tags: Sequence[str]) -> str:
    few = ", ".join(tags[:MOST_TAGS])
    return few if len(tags) <= MOST_TAGS else say("{tags} and {n} more", tags=few, n=len(tags) - MOST_TAGS)
