"""Who in the yard gets it, in sentences: the crew's line, and what combining the smallest brings."""

from __future__ import annotations

from collections.abc import Sequence

from breadline.jobs.rounds import RoundsAnswer
from breadline.jobs.rounds_cut import patty_of
from breadline.knowledge.cautions import caution
from breadline.need.words import counted, half_frames
from breadline.plan.classes import Classes
from breadline.plan.combining import Combined, Pair
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
    seldom = "they will seldom make it, fed or not"
    if who.small:
        said.append(f"Small, {seldom}: {', '.join(who.small)}.")
    elif who.combine_below is not None:
        said.append(f"Under {half_frames(who.combine_below)} frames of bees today {seldom}.")
    if who.combine:
        said.append(
            who_is_joined(who.combine, left_over=not who.small or len(who.small) % 2 == 1 < len(who.small))
        )
    if who.combining is not None:
        said.append(combining_line(told, who.combining))
    return tuple(said)


def combining_line(told: RoundsAnswer, of: Combined) -> str:
    """What combining brings or costs, with its range, as one line."""
    question = told.answer.question

    def sure(amount: float) -> str:
        return about(amount, question.prices.money)

    return combining_words(of, sure(abs(of.gain)), sure(of.gain_low), sure(of.gain_high))


def who_is_joined(pairs: Sequence[Pair], left_over: bool = True) -> str:
    """Who goes into whom and what the joined hive then gets, and that only healthy ones are combined.

    ``left_over``: whether one of them may be in no pair.
    """
    sick = caution("combining")
    if all(pair.hives for pair in pairs):
        who = ", ".join(f"{pair.hives[0]} into {pair.hives[1]}" for pair in pairs)
    else:
        who = "the small ones two and two" if len(pairs) > 1 else "the smallest with the next smallest"
    odd = "; one left over gets what its size gets" if left_over else ""
    return (
        f"Combine {who}, then feed each joined hive by the frames of both{odd}. {sick.line} Ask {sick.ask}."
    )


def combining_words(of: Combined, money: str, low: str, high: str) -> str:
    """One line beside the colonies that are named.

    ``money``, ``low`` and ``high`` are a pair's, in words.
    """
    how = "Joining one with the smallest of the others" if of.with_next else "Combining them two and two"
    many = "" if of.with_next else f", {counted(of.pairs, 'pair')}"
    within = f"(8 seasons in 10: {low} to {high}{many})"
    if of.pays is None:
        brings = f"brings about what it costs {within}, so they get what colonies of their size get"
    elif of.pays:
        brings = f"would bring about {money} a pair more than leaving them apart {within}"
    else:
        brings = f"costs about {money} a pair more than it brings {within}, so leave them apart"
    least, middle, most = (f"{minutes:.0f}" for minutes in of.minutes)
    work = f"{middle} minutes" if least == most else f"{middle} minutes ({least} to {most})"
    return (
        f"{how} {brings}. Taken for it: the joined colony is ranked in the yard by the bees of both and "
        f"keeps {100 * of.lasts:.0f} in 100 of that rank until the day, as any here (our judgement); the "
        f"hive given up is worth nothing; the work takes {work}."
    )
