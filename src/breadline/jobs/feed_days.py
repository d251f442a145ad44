"""On which days feed went on in a trial, from all that knows of it, and the one rule of the lock by them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from breadline.jobs.book import Book
from breadline.jobs.trial_shape import Feed
from breadline.jobs.verdict import Verdict
from breadline.jobs.verdict_departures import lock_departure
from breadline.records import yard_readings, yards
from breadline.records.address import BookAt
from breadline.records.engine import is_there, looking
from breadline.trial.design import Design


def with_feed_days(verdict: Verdict, feed: Feed | None, book: BookAt | None = None) -> Verdict:
    """The verdict with its lock held against every known day of feed.

    Parameters
    ----------
    verdict
        Of a trial, locked or not.
    feed
        What was typed of the feed; None where nothing was.
    book
        In which the trial's yards stand; asked only of a trial that was drawn by the program, since the
        day of the draw tells its feed from what was fed before.
    """
    if verdict.lock is None:
        return verdict
    days = {on for one in (feed, verdict.feed) if one is not None for on, _ in one.given}
    if book is not None and verdict.drawn_on is not None:
        days |= set(noted_days(book, verdict.finished.design, verdict.drawn_on))
    known = tuple(sorted({*verdict.fed_on, *days}))
    at, ended = verdict.lock[0], verdict.finished.ended
    late = lock_departure(at, ended, known)
    return replace(verdict, locked=verdict.locked and not late).in_this_language.with_asides(known)


def noted_days(book: BookAt, design: Design, drawn_on: date) -> tuple[date, ...]:
    """Days from the draw to the grading on which a book has feed put on in the yards of a trial."""
    names = {one.yard for one in design.started}
    if not is_there(book):
        return ()
    own = Book(book)
    with looking(own._engine) as session:
        known = [row.id for row in yards.yards(session) if row.name in names]
        given = [on for key in known for on in yard_readings.days_fed(session, key)]
    return tuple(sorted({on for on in given if drawn_on <= on < design.grading}))
