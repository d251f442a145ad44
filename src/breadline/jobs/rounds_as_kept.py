"""The sheets of a plan that a book keeps: as it was chosen; of an older book, as today's search has it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from breadline.errors import PlanError
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.check_hives import with_check_group
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds import RoundsAnswer, day_of
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_done import given_words
from breadline.jobs.rounds_yard_paper import YardPaper, yard_paper
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.plan.ranked import Ranked


def kept_paper(
    of: RoundsBook,
    yard_id: str,
    kept: PlanKept,
    changed: str,
    searched: Callable[[], RoundsAnswer],
    running: Sequence[Trial] | None = None,
) -> YardPaper:
    """What its sheets are printed from, with the check groups that run left out, whenever they were locked.

    Parameters
    ----------
    of, yard_id
        The book, and the yard in it.
    kept
        The plan.
    changed
        What changed since it was chosen, in words.
    searched
        Searches by the plan file it was chosen from; asked only of a plan of an older book.
    running
        The trials that run, where they are at hand.

    Errors
    ------
    PlanError
        If an older book kept nothing to print from, and it is not among the plans of today.
    """
    if (paper := kept.sheets) is None:
        told = searched()
        paper = yard_paper(told, as_kept(told, kept, changed))
    given = {one.on: one.given_on for one in kept.rounds if one.given_on is not None}
    done = {one.on: given_words(one) for one in kept.rounds if one.given_on is not None}
    paper = with_check_group(of, yard_id, paper, given, running)
    visits = (one if one.locked_later else replace(one, done=done.get(one.on, "")) for one in paper.visits)
    return replace(paper, visits=tuple(visits))


def as_kept(told: RoundsAnswer, kept: PlanKept, changed: str = "") -> Ranked:
    """The chosen plan among those of today's search; PlanError with what changed where it is not there."""
    wanted = [(one.on, round(one.grams, 3)) for one in kept.rounds]
    feeds = [feed.name for feed in told.plan.feeds]
    for one in (*told.plans, *told.answer.found.finalists):
        if not one.plan.pieces and one.plan.kind != kept.foretold.get("kind"):
            continue
        if one.plan.pieces and feeds[one.plan.feed] != kept.feed:
            continue
        if [(day_of(told, p.day), round(p.grams, 3)) for p in one.plan.pieces] == wanted:
            return one
    why = changed or say("the day did, since {day}: plans begin today.", day=day_and_year(kept.chosen_on))
    raise PlanError(
        "plan", say("it is not among the plans of today. {why}", why=why), say("a plan of today"),
        say("Ask for plans again and choose one; the plan that was chosen stays in the book"),
    )  # fmt: skip
