"""Who in the yard gets it, in sentences: the crew's line, and what combining the smallest brings."""

from __future__ import annotations

from breadline.jobs.rounds import RoundsAnswer
from breadline.jobs.rounds_cut import patty_of
from breadline.need.words import half_frames
from breadline.plan.classes import Classes
from breadline.plan.combining import Combined, combining_words
from breadline.plan.money import about
from breadline.plan.ranked import Ranked
from breadline.plan.strength_classes import steps_line, steps_of


def crew_words(told: RoundsAnswer, at: Ranked, who: Classes | None) -> str:
    """Who gets it, as the one line a crew can remember, in pieces that people cut."""
    if who is None:
        return ""
    patty = patty_of(told, at)
    steps = steps_of(who.bands, at.plan.pieces[0].grams, patty)
    if len(steps) == 1 and not steps[0].cut:
        return "By colony: none is worth feeding."
    return steps_line(steps, patty)


def who_words(told: RoundsAnswer, who: Classes | None) -> tuple[str, ...]:
    """What the classes bring, which colonies to combine, and what that brings."""
    if who is None:
        return ()
    said, question = [], told.answer.question
    if who.more > question.close:
        more = about(who.more, question.prices.money)
        said.append(f"Sorted so it brings {more} a colony more than a full piece for all.")
    joined = combine_pays(told, who)
    if who.combine and joined:
        said.append(f"Combine rather than feed: {', '.join(who.combine)}.")
    elif who.combine:
        said.append(f"Too small to feed, they will seldom make it: {', '.join(who.combine)}.")
    elif who.combine_below is not None:
        said.append(f"Under {half_frames(who.combine_below)} frames of bees today they will seldom make it, "
                    f"fed or not{': combine them' if joined else ''}.")  # fmt: skip
    if who.combining is not None:
        said.append(combining_line(told, who.combining))
    return tuple(said)


def combine_pays(told: RoundsAnswer, who: Classes) -> bool:
    """Whether colonies that will not make it are to be combined; they are where no sum speaks against it."""
    return who.combining is None or who.combining.gain > -told.answer.question.close


def combining_line(told: RoundsAnswer, of: Combined) -> str:
    """What combining brings or costs, with its range, as one line."""
    question = told.answer.question

    def sure(amount: float) -> str:
        return about(amount, question.prices.money)

    pays = None if abs(of.gain) <= question.close else of.gain > 0.0
    return combining_words(of, sure(abs(of.gain)), sure(of.gain_low), sure(of.gain_high), pays)
