"""From one's own trial file to a lesson in the book: judged, asked of its yards' season model, kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breadline.belief.carried import Carried
from breadline.belief.gain import Situation
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.fed_since import fed_too, told_by_book
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.side_by_side import Along
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import TrialFile
from breadline.jobs.trial_model import shown_by_yards
from breadline.jobs.trial_taught import taught_by
from breadline.jobs.verdict import Told
from breadline.records.address import BookAt


@dataclass(frozen=True)
class Learning:
    """Where a lesson goes, and what is said of it.

    Parameters
    ----------
    book
        The book of records.
    today
        The day on which it is learnt.
    situation
        What the place gave while the feed was on, where a file does not say it.
    because
        Why, where it takes the place of an earlier entry of the same trial.
    """

    book: BookAt
    today: date | None = None
    situation: Situation | None = None
    because: str = ""


@dataclass(frozen=True)
class Learnt:
    """The belief after a lesson, and what could not be asked of the season model."""

    now: Carried
    notes: tuple[str, ...]


def learn_from(file: TrialFile, to: Learning, along: Along | None = None) -> Learnt:
    """Keep what one's own trial teaches; ``along`` is told of each yard whose seasons are through.

    Errors
    ------
    TrialError
        If it teaches nothing: unfair, by what the book knows of it too, of honey, or of a forage nobody
        noted.
    InputToMend
        If it was stopped; nothing of it is kept then.
    """
    today = to.today or date.today()
    one = checked(fed_too(file, told_by_book(to.book, file, Told(), today)))
    plain = taught_by(one, to.situation)  # refused before any season is run
    along = along or Along(file.name)
    seen = shown_by_yards(RoundsBook(to.book, to.today), one, plain.situation, along)
    modes = () if seen.found is None else seen.found.modes
    taught = taught_by(one, to.situation, modes)
    along.go_on()  # stopped while the last yard was run, it keeps nothing either
    now = BeliefBook(to.book, to.today).learn(taught, to.because)
    return Learnt(now, tuple(f"{file.name}: {text}" for text in seen.notes))
