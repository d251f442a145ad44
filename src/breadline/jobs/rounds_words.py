"""Rounds in sentences: what to do, each plan's name and line."""

from __future__ import annotations

from collections.abc import Sequence

from breadline.jobs.rounds import RoundsAnswer, day_of
from breadline.jobs.rounds_aim import chance_words
from breadline.jobs.rounds_cut import patty_of
from breadline.jobs.rounds_needs import needs_words
from breadline.jobs.rounds_who import by_size
from breadline.knowledge.calendars import calendar
from breadline.knowledge.cautions import caution
from breadline.language import say
from breadline.need.advice import Advice
from breadline.need.words import counted, day_and_year, day_range, in_hundred, short_day
from breadline.plan.break_even import break_even, check_words, earned, price_of_a_check
from breadline.plan.cuts import cutting_words
from breadline.plan.money import about
from breadline.plan.money import told as money_told
from breadline.plan.plans import pieces_words
from breadline.plan.ranked import Ranked
from breadline.plan.ruled_out import STORES, UNFED_TOO
from breadline.plan.targets import Frames, amounts
from breadline.plan.warnings import over_supers
from breadline.plan.why import best_fed, struck_pays, turns

MOST_CHECK = 20  # colonies of a check group whose price is told
MOST_MISSED = 4  # rounds; of longer plans only the worst missed one is told


def plan_name(told: RoundsAnswer, at: Ranked) -> str:
    """A plan as people call it: "3 rounds of ¼ patty (¼ lb), 10 days apart"."""
    if at.plan.kind == "move":
        move = told.plan.move
        if move is not None and move.name:
            return say("Move to {name}", name=move.name)
        region = None if move is None else calendar(move.place.region or "")
        return say("Move") if region is None else say("Move to the bloom of {name}", name=say(region.name))
    if not at.plan.pieces:
        return say("Do nothing")
    words = pieces_words(at.plan, patty_of(told, at), told.threshold)
    return say("As last year: {plan}", plan=words) if at.plan.kind == "last_year" else words


def when_words(told: RoundsAnswer, at: Ranked) -> str:
    """When its rounds fall: "20 January to 10 February"; empty for "do nothing"."""
    if at.plan.kind == "move" and told.plan.move is not None:
        return short_day(told.plan.move.on, told.yard.today)
    if not at.plan.pieces:
        return ""
    days = [day_of(told, piece.day) for piece in at.plan.pieces]
    if len(days) == 1:
        return short_day(days[0], told.yard.today)
    return day_range(days[0], days[-1], told.yard.today)


def mark_words(told: RoundsAnswer, at: Ranked) -> str:
    """That a plan is struck out, or that none of its bees is out in time; empty where neither."""
    if at.struck or not at.plan.pieces:
        return struck_mark(at)
    return told.answer.breeding.partly_late_words(day_of(told, at.plan.pieces[0].day))


def struck_mark(at: Ranked) -> str:
    """That a plan of the list is not to be followed; empty where it may."""
    return say("struck out, see below") if at.struck else ""


def feed_name(told: RoundsAnswer, at: Ranked) -> str:
    """Which feed, where there is a choice; else nothing."""
    feeds = told.answer.question.prices.feeds
    return feeds[at.plan.feed].name if len(feeds) > 1 and at.plan.pieces else ""


def decision(told: RoundsAnswer) -> str:
    """What to do, in a sentence."""
    if told.before is not None:
        return no_round_words(told.before)
    return best_words(told)


def no_round_words(said: Advice) -> str:
    """That no round is planned now, and what the yard's facts say instead."""
    return say("No round now. {sentence}", sentence=said.sentence)


def best_words(told: RoundsAnswer) -> str:
    """Which plan is the best, in a sentence."""
    best = told.answer.found.best
    if not best.plan.pieces:
        return _nothing_words(told)
    first = day_and_year(day_of(told, best.plan.pieces[0].day))
    plan = plan_name(told, best)
    if feed := feed_name(told, best):
        said = say("Worth its money: {feed}, {plan}, the first on {day}.", feed=feed, plan=plan, day=first)
    else:
        said = say("Worth its money: {plan}, the first on {day}.", plan=plan, day=first)
    return f"{said} {_or_move(told)}".strip()


def _nothing_words(told: RoundsAnswer) -> str:
    """Why no plan of feeding is the best one; sugar comes first where stores run out."""
    found, starved = told.answer.found, told.answer.found.nothing.starved
    if _bare(told):
        return say(
            "Sugar first: stores run out on the way, fed or not, so that every round of "
            "protein is struck out."
        )
    if starved >= told.reader.typical("plan.out_of_stores"):
        many = in_hundred(starved)
        return say(
            "Sugar first: unfed, {many} colonies run out of stores before the day, and "
            "no plan of protein mends that.",
            many=many,
        )
    if told.answer.question.stores.sugar_beside and _stores_stand_against(told):
        return say(
            "Sugar now: stores run out before a later round would bring it; no plan of "
            "protein beside it is expected to bring back what it costs."
        )
    if _all_late(told):
        on = day_and_year(told.answer.breeding.end)
        late = say(
            "Do nothing: feeding comes too late by itself, no bee raised on it is out by {day}.", day=on
        )
        return f"{late} {_or_move(told)}".strip()
    if struck_pays(found, told.answer.question.close):
        return say("Do nothing: every plan that would pay is struck out, for the reasons below.")
    near = best_fed(found)
    if near is not None and near.gain > 0.0:
        said = say("Do nothing: the best plan of feeding is expected to bring about what it costs, no more.")
    else:
        said = say("Do nothing: no plan of feeding is expected to bring back what it costs.")
    return f"{said} {_or_move(told)}".strip()


def _bare(told: RoundsAnswer) -> bool:
    """Whether only empty stores stand against every plan of feeding, and unfed colonies have them too."""
    found = told.answer.found
    left = any(one.plan.pieces for one in found.finalists)
    late = told.answer.breeding.late_reason
    in_time = [one for one in found.struck if one.struck != late]
    return bool(in_time) and not left and all(say(UNFED_TOO) in one.struck for one in in_time)


def _all_late(told: RoundsAnswer) -> bool:
    """Whether every plan of feeding comes too late by itself."""
    found, late = told.answer.found, told.answer.breeding.late_reason
    left = any(one.plan.pieces for one in found.finalists)
    return bool(found.struck) and not left and all(one.struck == late for one in found.struck)


def _stores_stand_against(told: RoundsAnswer) -> bool:
    """Whether a plan that begins later is struck out because stores run out before it."""
    return any(say(STORES) in one.struck for one in told.answer.found.struck)


def feed_lead(told: RoundsAnswer, at: Ranked) -> str:
    """The feed before a plan's name, where there are several; else empty."""
    return f"{feed_name(told, at)}: " if feed_name(told, at) else ""


def _or_move(told: RoundsAnswer) -> str:
    """That moving brings more than the best plan here; empty where it does not, or was not asked for."""
    move, best = told.answer.move, told.answer.found.best
    if move is None or move.money - best.money <= told.answer.question.close:
        return ""
    return say("Moving brings {money} a colony more than that.", money=sure(told, move.money - best.money))


def cautions(told: RoundsAnswer) -> tuple[str, ...]:
    """What to take care of in the best plan, and that another one of the list feeds under supers."""
    said = told.answer.warnings
    if told.answer.move is not None:
        border = caution("borders")
        said = (*said, f"{say(border.line)} {say('Ask {whom}', whom=say(border.ask))}.")
    if supers_words(told, told.answer.found.best):
        return said
    over = next((text for one in told.plans if (text := supers_words(told, one))), "")
    if not over:
        return said
    return (*said, say("In a plan of the list: {what}", what=f"{over[0].lower()}{over[1:]}"))


def supers_words(told: RoundsAnswer, at: Ranked) -> str:
    """That a plan feeds while supers for harvest are on; empty where it does not."""
    return over_supers(told.yard, told.plan.target, at.plan, told.answer.question.ensemble)


def chosen_name(told: RoundsAnswer, at: Ranked) -> str:
    """A plan's name as it is kept: of a move with its day."""
    name = plan_name(told, at)
    if at.plan.kind != "move":
        return name
    return say("{plan}, first morning there {day}", plan=name, day=when_words(told, at))


def break_even_of(told: RoundsAnswer, at: Ranked) -> str:
    """The break-even of one plan; the answer's own where it is to do nothing."""
    pays, units = amounts(told.plan.target)[0], told.allowed.patty.units
    if at.plan.kind == "move":
        return break_even(told.plan.target, at.cost.total, pays.money, pays.year, units, moving=True)
    if not at.plan.pieces:
        return break_even(told.plan.target, told.answer.costs, pays.money, pays.year, units)
    return break_even(told.plan.target, at.cost.total, pays.money, pays.year, units)


def money(told: RoundsAnswer, amount: float) -> str:
    """Money of the answer. [money]"""
    return money_told(amount, told.answer.question.prices.money)


def sure(told: RoundsAnswer, amount: float) -> str:
    """Money out of the search, as surely as it is known: no cents. [money]"""
    return about(amount, told.answer.question.prices.money)


def gain_words(told: RoundsAnswer, at: Ranked) -> str:
    """What it brings over doing nothing, a colony: "US$12 more", "US$4 less", "about the same"."""
    if at.plan.kind == "nothing":
        return "–"
    if abs(at.gain) < told.answer.question.close:
        return say("about the same")
    gain = sure(told, abs(at.gain))
    return say("{money} more", money=gain) if at.gain > 0 else say("{money} less", money=gain)


def range_words(told: RoundsAnswer, at: Ranked) -> str:
    """8 seasons in 10 of that: "−US$20 to US$31"; empty for "do nothing"."""
    if at.plan.kind == "nothing":
        return ""
    return say("{low} to {high}", low=sure(told, at.gain_low), high=sure(told, at.gain_high))


def against_nothing(told: RoundsAnswer, at: Ranked) -> str:
    """What it brings in a sentence: "US$12 a colony more than doing nothing"."""
    if abs(at.gain) < told.answer.question.close:
        return say("about the same as doing nothing")
    gain = sure(told, abs(at.gain))
    if at.gain > 0:
        return say("{money} a colony more than doing nothing", money=gain)
    return say("{money} a colony less than doing nothing", money=gain)


def plan_line(told: RoundsAnswer, at: Ranked) -> str:
    """One plan as one line."""
    if at.plan.kind == "nothing":
        return say("Do nothing: {chance}.", chance=chance_words(told, at))
    tail = needs_words(told, at) if at.plan.pieces else say("no feed")
    if size := by_size(told, at):
        tail = f"{tail}; {size}"
    if mark := mark_words(told, at):
        tail = f"{tail}; {mark}"
    return say(
        "{plan}, {when}: {brings} (8 seasons in 10: {range}); {chance}; costs {money} a colony; {tail}.",
        plan=f"{feed_lead(told, at)}{plan_name(told, at)}",
        when=when_words(told, at),
        brings=against_nothing(told, at),
        range=range_words(told, at),
        chance=chance_words(told, at),
        money=money(told, at.cost.total),
        tail=tail,
    )


def money_line(told: RoundsAnswer, at: Ranked) -> str:
    """What a plan brings and costs, without its name."""
    return say(
        "{brings} (8 seasons in 10: {range}); {chance}; costs {money} a colony.",
        brings=_first_large(against_nothing(told, at)),
        range=range_words(told, at),
        chance=chance_words(told, at),
        money=money(told, at.cost.total),
    )


def _first_large(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def check_group(told: RoundsAnswer, at: Ranked) -> str:
    """What it costs to leave some colonies unfed; empty where no fee is paid by the hive."""
    target = told.plan.target
    if not at.plan.pieces or not isinstance(target, Frames):
        return ""
    many = min(MOST_CHECK, max(1, told.yard.colonies // 4))
    points = float(round(100.0 * max(0.0, at.chance - told.answer.found.nothing.chance)))
    of = price_of_a_check(many, points, earned(target), at.cost.total)
    if target.paid == "sample_average":
        return say(
            "A check group: {many} left unfed: you keep {saved}; what they take from the sample's average is "
            "not worked out. It says whether it paid.",
            many=counted(many, "colony", "colonies"),
            saved=money(told, of.saved),
        )
    words = check_words(many, points, of, target.fee.money)
    return say("A check group: {what} It says whether it paid.", what=words)


def struck_line(told: RoundsAnswer, at: Ranked) -> str:
    """A plan that is struck out, with the reason; all that begin too late as one."""
    of = told.answer.breeding
    if of.last_start is not None and at.plan.kind == "search" and at.struck == of.late_reason:
        return say(
            "Every plan that begins after {day}: {struck}.", day=day_and_year(of.last_start), struck=at.struck
        )
    when = when_words(told, at)
    return say("{plan}, from {when}: {struck}.", plan=plan_name(told, at), when=when, struck=at.struck)


def missed_words(told: RoundsAnswer) -> Sequence[str]:
    """What each missed round of the best plan loses, in one sentence."""
    if len(told.answer.found.missed) > MOST_MISSED:
        return []
    close = told.answer.question.close
    lost = [(k, one.gain) for k, one in enumerate(told.answer.found.missed, 1) if abs(one.gain) >= close]
    if len(lost) < 2:
        return []
    each = "; ".join(
        say("round {n}: {money} less", n=k, money=sure(told, -gain))
        if gain < 0
        else say("round {n}: {money} more", n=k, money=sure(told, gain))
        for k, gain in lost
    )
    return [say("Missed, a colony: {each}.", each=each)]


def turn_words(told: RoundsAnswer) -> tuple[str, ...]:
    """Where the answer turns; where several feeds were compared, at which price of each."""
    found, question = told.answer.found, told.answer.question
    if len(question.prices.feeds) < 2:
        return told.answer.turns
    said = list(told.answer.turns)
    for k, feed in enumerate(question.prices.feeds):
        if k == found.flips.feed:
            continue
        of = found.flips_of[k]
        asked = turns(of, question, told.allowed.patty.units, struck_pays(found, question.close))
        said.append(
            asked[0] if of.feed_price is not None
            else say("No plan of {name} comes near the others at its price, or at any other.", name=feed.name)
        )  # fmt: skip
    return tuple(said)


def feeds_words(told: RoundsAnswer) -> tuple[str, ...]:
    """Several feeds side by side: what the best plan of each brings; empty where there is one."""
    feeds = told.answer.question.prices.feeds
    if len(feeds) < 2:
        return ()
    said = []
    for k, feed in enumerate(feeds):
        fed = [one for one in told.answer.found.finalists if one.plan.pieces and one.plan.feed == k]
        if not fed:
            said.append(say("{name}: no plan of it is among the last ones looked at.", name=feed.name))
            continue
        taken = told.answer.found.best
        best = taken if taken in fed else max(fed, key=lambda one: one.money)
        said.append(
            say(
                "{feed}: at its best {brings}, {plan}, for {cost} a colony.",
                feed=feed.name,
                brings=against_nothing(told, best),
                plan=plan_name(told, best),
                cost=money(told, best.cost.total),
            )
        )
        patty = patty_of(told, best)
        cuts = [piece.grams / patty.mass_g for piece in best.plan.pieces]
        if how := cutting_words(cuts, patty):
            said.append(f"{feed.name}, {how[0].lower()}{how[1:]}")
    return tuple(said)
