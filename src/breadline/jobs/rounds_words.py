"""Rounds in sentences: what to do, each plan's name and line, who gets it."""

from __future__ import annotations

from collections.abc import Sequence

from breadline.jobs.rounds import RoundsAnswer, day_of
from breadline.need.words import counted, day_and_year, day_range, half_frames, in_hundred, short_day
from breadline.plan.break_even import break_even
from breadline.plan.classes import Classes
from breadline.plan.cuts import GRAMS_A_POUND, cut_words, mass_words
from breadline.plan.money import told as money_told
from breadline.plan.plans import pieces_words
from breadline.plan.ranked import Ranked
from breadline.plan.strength_classes import steps_line, steps_of
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, Target, WinterBees, amounts

CLOSE = 0.5  # money nearer than this is told as the same [money/colony]


def aim_words(target: Target) -> str:
    """What is wanted: "8 frames of bees on 10 February 2027, paid by the sample's average"."""
    on = day_and_year(target.on)
    if isinstance(target, Frames):
        by = "hive by hive" if target.paid == "hive_by_hive" else "by the sample's average"
        return f"{half_frames(target.grade)} frames of bees on {on}, paid {by}"
    if isinstance(target, Splits):
        return (f"splits on {on}, {half_frames(target.brood)} frames of brood and {half_frames(target.bees)} "
                "of bees for one")  # fmt: skip
    if isinstance(target, HoneyFlow):
        return f"a flow from {on} to {day_and_year(target.until)}"
    if isinstance(target, WinterBees):
        return f"{half_frames(target.grade)} frames of bees to winter on, by {on}"
    return f"colonies alive on {on}"


def chance_head(target: Target) -> str:
    """What the chance is of, as a column's head."""
    if isinstance(target, Frames) and target.paid == "sample_average":
        return "Sample makes it"
    heads = {
        Splits: "Give a split",
        HoneyFlow: "Bring the usual crop",
        WinterBees: "Winter",
        KeepAlive: "Live",
    }
    return heads.get(type(target), "Make grade")


def plan_name(told: RoundsAnswer, at: Ranked) -> str:
    """A plan as people call it: "3 rounds of ¼ patty (¼ lb), 10 days apart"."""
    if not at.plan.pieces:
        return "Do nothing"
    lead = "As last year: " if at.plan.kind == "last_year" else ""
    return f"{lead}{pieces_words(at.plan, told.allowed.patty)}"


def when_words(told: RoundsAnswer, at: Ranked) -> str:
    """When its rounds fall: "20 January to 10 February"; empty for "do nothing"."""
    if not at.plan.pieces:
        return ""
    days = [day_of(told, piece.day) for piece in at.plan.pieces]
    if len(days) == 1:
        return short_day(days[0], told.yard.today)
    return day_range(days[0], days[-1], told.yard.today)


def feed_name(told: RoundsAnswer, at: Ranked) -> str:
    """Which feed, where there is a choice; else nothing."""
    feeds = told.answer.question.prices.feeds
    return feeds[at.plan.feed].name if len(feeds) > 1 and at.plan.pieces else ""


def decision(told: RoundsAnswer) -> str:
    """What to do, in a sentence."""
    if told.before is not None:
        return told.before.sentence
    best = told.answer.found.best
    if not best.plan.pieces:
        if told.answer.found.flips.feeding_now:  # all that would pay are struck out
            return "Do nothing: every plan that would pay is struck out, for the reasons below."
        return "Do nothing: no plan of feeding is expected to bring back what it costs."
    first = day_and_year(day_of(told, best.plan.pieces[0].day))
    of = f" {feed_name(told, best)}," if feed_name(told, best) else ""
    return f"Worth its money:{of} {plan_name(told, best)}, the first on {first}."


def break_even_of(told: RoundsAnswer, at: Ranked) -> str:
    """The break-even of one plan; the answer's own where it is to do nothing."""
    if not at.plan.pieces:
        return told.answer.break_even
    pays = amounts(told.plan.target)[0]
    return break_even(told.plan.target, at.cost.total, pays.money, pays.year)


def money(told: RoundsAnswer, amount: float) -> str:
    """Money of the answer. [money]"""
    return money_told(amount, told.answer.question.prices.money)


def gain_words(told: RoundsAnswer, at: Ranked) -> str:
    """What it brings over doing nothing, a colony: "US$12 more", "US$4 less", "about the same"."""
    if not at.plan.pieces:
        return "–"
    if abs(at.gain) < CLOSE:
        return "about the same"
    return f"{money(told, abs(at.gain))} {'more' if at.gain > 0 else 'less'}"


def range_words(told: RoundsAnswer, at: Ranked) -> str:
    """8 seasons in 10 of that: "−US$20 to US$31"; empty for "do nothing"."""
    if not at.plan.pieces:
        return ""
    return f"{money(told, at.gain_low)} to {money(told, at.gain_high)}"


def needs_words(told: RoundsAnswer, at: Ranked) -> str:
    """Feed for the yard: "12 patties (12 lb)"; a dash for "do nothing"."""
    if not at.plan.pieces:
        return "–"
    grams = at.feed_most_g * told.yard.colonies
    patty = told.allowed.patty
    many = counted(max(1, round(grams / patty.mass_g)), "patty", "patties")
    return f"{many}, {mass_words(grams, patty.units)}"


def plan_line(told: RoundsAnswer, at: Ranked) -> str:
    """One plan as one line."""
    chance = f"{in_hundred(at.chance)} {chance_head(told.plan.target).lower()}"
    if not at.plan.pieces:
        return f"Do nothing. {chance}."
    of = f"{feed_name(told, at)}: " if feed_name(told, at) else ""
    return (
        f"{of}{plan_name(told, at)}, {when_words(told, at)}. {gain_words(told, at)} a colony than doing "
        f"nothing (8 seasons in 10: {range_words(told, at)}), {chance}; costs "
        f"{money(told, at.cost.total)} a colony; {needs_words(told, at)}."
    )


def struck_line(told: RoundsAnswer, at: Ranked) -> str:
    """A plan that is struck out, with the reason."""
    return f"{plan_name(told, at)}, from {when_words(told, at)}: {at.struck}."


def crew_words(told: RoundsAnswer, at: Ranked, who: Classes | None) -> str:
    """Who gets it, as the one line a crew can remember, in pieces that people cut."""
    if who is None:
        return ""
    steps = steps_of(who.bands, at.plan.pieces[0].grams, told.allowed.patty)
    if len(steps) == 1 and not steps[0].cut:
        return "By colony: none is worth feeding."
    return steps_line(steps, told.allowed.patty)


def who_words(told: RoundsAnswer, who: Classes | None) -> tuple[str, ...]:
    """What the classes bring, and which colonies to combine."""
    if who is None:
        return ()
    said = []
    if who.more > CLOSE:
        said.append(f"Sorted so it brings {money(told, who.more)} a colony more than a full piece for all.")
    if who.combine:
        said.append(f"Combine rather than feed: {', '.join(who.combine)}.")
    elif who.combine_below is not None:
        said.append(f"Under {half_frames(who.combine_below)} frames of bees today they will seldom make it, "
                    "fed or not: combine them.")  # fmt: skip
    return tuple(said)


def missed_words(told: RoundsAnswer) -> Sequence[str]:
    """What each missed round of the best plan loses, in one sentence."""
    lost = [(k, one.gain) for k, one in enumerate(told.answer.found.missed, 1) if abs(one.gain) >= CLOSE]
    if len(lost) < 2:
        return []
    each = "; ".join(f"round {k} {money(told, abs(g))} {'less' if g < 0 else 'more'}" for k, g in lost)
    return [f"Missed, a colony: {each}."]


def turn_words(told: RoundsAnswer) -> tuple[str, ...]:
    """Where the answer turns; in pounds where the trade weighs in pounds."""
    if told.allowed.patty.units != "lb":
        return told.answer.turns
    flips, price = told.answer.found.flips, told.answer.question.prices.feeds[0].price
    if flips.feed_price is None:
        return told.answer.turns
    a_pound = GRAMS_A_POUND / 1000.0 * price.amount
    said = "Feeding stops paying above" if flips.feeding_now else "Feeding begins to pay below"
    asked = f"asked: {money(told, a_pound)} ({price.year})"
    return (
        f"{said} {money(told, a_pound * flips.feed_price)} a pound of feed ({asked}).",
        *told.answer.turns[1:],
    )


def piece_words(told: RoundsAnswer) -> str:
    """The piece of the average colony, and how long it may lie."""
    may = told.allowed
    pieces = " or ".join(cut_words(cut, may.patty) for cut in may.pieces)
    return f"Pieces tried: {pieces}, each to be gone within {counted(may.limit.days, 'day')}."
