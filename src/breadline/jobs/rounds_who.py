"""Who in the yard gets it, in sentences: the crew's line, and what combining the smallest brings."""

from __future__ import annotations

from collections.abc import Sequence

from breadline.jobs.rounds_answered import RoundsAnswer
from breadline.jobs.rounds_cut import patty_of
from breadline.jobs.rounds_given import bands_of, who_gets_it
from breadline.knowledge.cautions import caution
from breadline.language import say
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
    return steps_line(steps_of(bands_of(who), at.plan.pieces[0].grams, patty), patty)


def by_size(told: RoundsAnswer, at: Ranked) -> str:
    """Who gets less than the piece that a plan is named by, beside its name; empty where all get it."""
    if not at.plan.pieces or at.piece > 1.0 - 1e-9:
        return ""
    who = who_gets_it(told, at)
    line = crew_words(told, at, who)
    if who is not None and len(bands_of(who)) == 1:
        return say("small ones joined first")
    return say("by size, {line}", line=f"{line[0].lower()}{line[1:].rstrip('.')}")


def who_words(told: RoundsAnswer, who: Classes | None) -> tuple[str, ...]:
    """What the classes bring, which colonies to combine, and what that brings."""
    if who is None:
        return ()
    said, question = [], told.answer.question
    if who.none_pays:
        said.append(say("By colony: none is worth feeding."))
    if who.more > question.close:
        more = about(who.more, question.prices.money)
        said.append(say("Sorted so it brings {more} a colony more than a full piece for all.", more=more))
    if who.small:
        said.append(say("Small, they will seldom make it, fed or not: {small}.", small=", ".join(who.small)))
    elif who.combine_below is not None:
        said.append(
            say(
                "Under {frames} frames of bees today they will seldom make it, fed or not.",
                frames=half_frames(who.combine_below),
            )
        )
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
        who = ", ".join(
            say("{small} into {large}", small=pair.hives[0], large=pair.hives[1]) for pair in pairs
        )
    elif len(pairs) > 1:
        who = say("the small ones two and two")
    else:
        who = say("the smallest with the next smallest")
    said = (
        say(
            "Combine {who}, then feed each joined hive by the frames of both; one left over gets "
            "what its size "
            "gets.",
            who=who,
        )
        if left_over
        else say("Combine {who}, then feed each joined hive by the frames of both.", who=who)
    )
    return f"{said} {say('{line} Ask {ask}.', line=say(sick.line), ask=say(sick.ask))}"


def combining_words(of: Combined, money: str, low: str, high: str) -> str:
    """One line beside the colonies that are named.

    ``money``, ``low`` and ``high`` are a pair's, in words.
    """
    many = "" if of.with_next else f", {counted(of.pairs, 'pair')}"
    told = {
        "money": money,
        "within": say("(8 seasons in 10: {low} to {high}{many})", low=low, high=high, many=many),
    }
    least, middle, most = (f"{minutes:.0f}" for minutes in of.minutes)
    work = (
        say("{middle} minutes", middle=middle)
        if least == most
        else say("{middle} minutes ({least} to {most})", middle=middle, least=least, most=most)
    )
    taken = say(
        "Taken for it: the joined colony is ranked in the yard by the bees of both and keeps "
        "{lasts:.0f} in 100 "
        "of that rank until the day, as any here (our judgement); the hive given up is worth "
        "nothing; the work "
        "takes {work}.",
        lasts=100 * of.lasts,
        work=work,
    )
    return f"{_brings(of, told)} {taken}"


def _brings(of: Combined, told: dict[str, str]) -> str:
    if of.with_next:
        if of.pays is None:
            return say(
                "Joining one with the smallest of the others brings about what it costs {within}, so "
                "they get what "
                "colonies of their size get.",
                **told,
            )
        if of.pays:
            return say(
                "Joining one with the smallest of the others would bring about {money} a pair more "
                "than leaving "
                "them apart {within}.",
                **told,
            )
        return say(
            "Joining one with the smallest of the others costs about {money} a pair more than it "
            "brings {within}, "
            "so leave them apart.",
            **told,
        )
    if of.pays is None:
        return say(
            "Combining them two and two brings about what it costs {within}, so they get what "
            "colonies of their "
            "size get.",
            **told,
        )
    if of.pays:
        return say(
            "Combining them two and two would bring about {money} a pair more than leaving them "
            "apart {within}.",
            **told,
        )
    return say(
        "Combining them two and two costs about {money} a pair more than it brings {within}, so "
        "leave them apart.",
        **told,
    )
