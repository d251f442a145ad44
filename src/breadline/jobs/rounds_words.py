"""Rounds in sentences: what to do, each plan's name and line."""

from __future__ import annotations

from collections.abc import Sequence

from breadline.jobs.rounds import RoundsAnswer, day_of
from breadline.jobs.rounds_cut import patty_of
from breadline.jobs.rounds_needs import needs_words
from breadline.knowledge.calendars import calendar
from breadline.knowledge.cautions import caution
from breadline.need.advice import Advice
from breadline.need.words import counted, day_and_year, day_range, half_frames, in_hundred, short_day
from breadline.plan.break_even import break_even, check_words, price_of_a_check
from breadline.plan.breeding import LATE
from breadline.plan.cuts import cut_words, cutting_words
from breadline.plan.money import about
from breadline.plan.money import told as money_told
from breadline.plan.plans import pieces_words
from breadline.plan.ranked import Ranked
from breadline.plan.ruled_out import STORES, UNFED_TOO
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, Target, WinterBees, amounts
from breadline.plan.warnings import over_supers
from breadline.plan.why import turns

MOST_CHECK = 20  # colonies of a check group whose price is told
MOST_MISSED = 4  # rounds; of longer plans only the worst missed one is told


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
    heads = {Splits: "Give a split", HoneyFlow: "Crop above unfed", WinterBees: "Winter", KeepAlive: "Live"}
    return heads.get(type(target), "Make grade")


def chance_words(told: RoundsAnswer, at: Ranked) -> str:
    """The chance in a sentence: "40 in 100 colonies make grade"."""
    target, chance = told.plan.target, in_hundred(at.chance)
    if isinstance(target, HoneyFlow):
        return (
            "the usual crop"
            if at.plan.kind == "nothing"
            else f"a crop above the unfed one in {chance} seasons"
        )
    if isinstance(target, Frames) and target.paid == "sample_average":
        return f"the sample makes it in {chance} seasons"
    verbs = {Splits: "give a split", WinterBees: "winter", KeepAlive: "live"}
    return f"{chance} colonies {verbs.get(type(target), 'make grade')}"


def chance_short(told: RoundsAnswer, at: Ranked) -> str:
    """The chance in a table's cell; a dash where an unfed crop is what others are held against."""
    unfed = isinstance(told.plan.target, HoneyFlow) and at.plan.kind == "nothing"
    return "–" if unfed else in_hundred(at.chance)


def chance_more(told: RoundsAnswer, at: Ranked) -> str:
    """How many more in a hundred, where the steps of five that chances are told in would say otherwise.

    Plans meet the same seasons, so that they are told apart by less than a chance itself is sure to.
    """
    nothing = told.answer.found.nothing.chance
    more, steps = round(100.0 * (at.chance - nothing)), 5 * (round(20.0 * at.chance) - round(20.0 * nothing))
    if more == steps or not at.plan.pieces:
        return ""
    return f"{abs(more)} {'more' if more >= 0 else 'fewer'} in the same seasons"


def plan_name(told: RoundsAnswer, at: Ranked) -> str:
    """A plan as people call it: "3 rounds of ¼ patty (¼ lb), 10 days apart"."""
    if at.plan.kind == "move":
        move = told.plan.move
        if move is not None and move.name:
            return f"Move to {move.name}"
        region = None if move is None else calendar(move.place.region or "")
        return "Move" if region is None else f"Move to the bloom of {region.name}"
    if not at.plan.pieces:
        return "Do nothing"
    lead = "As last year: " if at.plan.kind == "last_year" else ""
    return f"{lead}{pieces_words(at.plan, patty_of(told, at), told.threshold)}"


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
    return "struck out, see below" if at.struck else ""


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
    return f"No round now. {said.sentence}"


def best_words(told: RoundsAnswer) -> str:
    """Which plan is the best, in a sentence."""
    best = told.answer.found.best
    if not best.plan.pieces:
        return _nothing_words(told)
    first = day_and_year(day_of(told, best.plan.pieces[0].day))
    of = f" {feed_name(told, best)}," if feed_name(told, best) else ""
    return f"Worth its money:{of} {plan_name(told, best)}, the first on {first}.{_or_move(told)}"


def _nothing_words(told: RoundsAnswer) -> str:
    """Why no plan of feeding is the best one; sugar comes first where stores run out."""
    found, starved = told.answer.found, told.answer.found.nothing.starved
    if _bare(told):
        return (
            "Sugar first: stores run out on the way, fed or not, so that every round of protein is struck "
            "out."
        )
    if starved >= told.reader.typical("plan.out_of_stores"):
        many = in_hundred(starved)
        return (
            f"Sugar first: unfed, {many} colonies run out of stores before the day, and no plan of protein "
            "mends that."
        )
    if told.answer.question.stores.sugar_beside and _stores_stand_against(told):
        return (
            "Sugar now: stores run out before a later round would bring it; no plan of protein beside it is "
            "expected to bring back what it costs."
        )
    if _all_late(told):
        on = day_and_year(told.answer.breeding.end)
        late = f"feeding comes too late by itself, no bee raised on it is out by {on}"
        return f"Do nothing: {late}.{_or_move(told)}"
    if any(one.gain > told.answer.question.close for one in found.struck):
        return "Do nothing: every plan that would pay is struck out, for the reasons below."
    return f"Do nothing: no plan of feeding is expected to bring back what it costs.{_or_move(told)}"


def _bare(told: RoundsAnswer) -> bool:
    """Whether only empty stores stand against every plan of feeding, and unfed colonies have them too."""
    found = told.answer.found
    left = any(one.plan.pieces for one in found.finalists)
    in_time = [one for one in found.struck if not one.struck.startswith(LATE)]
    return bool(in_time) and not left and all(UNFED_TOO in one.struck for one in in_time)


def _all_late(told: RoundsAnswer) -> bool:
    """Whether every plan of feeding comes too late by itself."""
    found = told.answer.found
    left = any(one.plan.pieces for one in found.finalists)
    return bool(found.struck) and not left and all(one.struck.startswith(LATE) for one in found.struck)


def _stores_stand_against(told: RoundsAnswer) -> bool:
    """Whether a plan that begins later is struck out because stores run out before it."""
    return any(STORES in one.struck for one in told.answer.found.struck)


def near_words(told: RoundsAnswer) -> str:
    """That a plan of the list stands above the best, and how that comes; empty where none does."""
    best = told.answer.found.best
    over = [one for one in told.plans
            if not one.struck and one.plan.kind not in ("nothing", "move") and one.money > best.money
            and gain_words(told, one) != gain_words(told, best)]  # fmt: skip
    if not over or not best.plan.pieces:
        return ""
    top = max(over, key=lambda one: one.money)
    brings = f"{_feed_lead(told, top)}{plan_name(told, top)}"
    return (
        f"{brings} stands above the best by about {sure(told, top.money - best.money)} a colony: the best "
        "was chosen in one half of the seasons and is told by the other, where the order turned. The two are "
        "nearer than these seasons can tell apart; take the one that suits your days."
    )


def _feed_lead(told: RoundsAnswer, at: Ranked) -> str:
    return f"{feed_name(told, at)}: " if feed_name(told, at) else ""


def _or_move(told: RoundsAnswer) -> str:
    """That moving brings more than the best plan here; empty where it does not, or was not asked for."""
    move, best = told.answer.move, told.answer.found.best
    if move is None or move.money - best.money <= told.answer.question.close:
        return ""
    return f" Moving brings {sure(told, move.money - best.money)} a colony more than that."


def cautions(told: RoundsAnswer) -> tuple[str, ...]:
    """What to take care of in the best plan, and that another one of the list feeds under supers."""
    said = told.answer.warnings
    if told.answer.move is not None:
        border = caution("borders")
        said = (*said, f"{border.line} Ask {border.ask}.")
    if supers_words(told, told.answer.found.best):
        return said
    over = next((text for one in told.plans if (text := supers_words(told, one))), "")
    return (*said, f"In a plan of the list: {over[0].lower()}{over[1:]}") if over else said


def supers_words(told: RoundsAnswer, at: Ranked) -> str:
    """That a plan feeds while supers for harvest are on; empty where it does not."""
    return over_supers(told.yard, told.plan.target, at.plan, told.answer.question.ensemble)


def chosen_name(told: RoundsAnswer, at: Ranked) -> str:
    """A plan's name as it is kept: of a move with its day."""
    on = f", first morning there {when_words(told, at)}" if at.plan.kind == "move" else ""
    return f"{plan_name(told, at)}{on}"


def break_even_of(told: RoundsAnswer, at: Ranked) -> str:
    """The break-even of one plan; the answer's own where it is to do nothing."""
    if at.plan.kind == "move":
        pays = amounts(told.plan.target)[0]
        said = break_even(told.plan.target, at.cost.total, pays.money, pays.year, told.allowed.patty.units)
        return said.replace("Feeding at", "Moving at", 1)
    if not at.plan.pieces:
        return told.answer.break_even
    pays = amounts(told.plan.target)[0]
    return break_even(told.plan.target, at.cost.total, pays.money, pays.year)


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
        return "about the same"
    return f"{sure(told, abs(at.gain))} {'more' if at.gain > 0 else 'less'}"


def range_words(told: RoundsAnswer, at: Ranked) -> str:
    """8 seasons in 10 of that: "−US$20 to US$31"; empty for "do nothing"."""
    if at.plan.kind == "nothing":
        return ""
    return f"{sure(told, at.gain_low)} to {sure(told, at.gain_high)}"


def against_nothing(told: RoundsAnswer, at: Ranked) -> str:
    """What it brings in a sentence: "US$12 a colony more than doing nothing"."""
    if abs(at.gain) < told.answer.question.close:
        return "about the same as doing nothing"
    return f"{sure(told, abs(at.gain))} a colony {'more' if at.gain > 0 else 'less'} than doing nothing"


def plan_line(told: RoundsAnswer, at: Ranked) -> str:
    """One plan as one line."""
    if at.plan.kind == "nothing":
        return f"Do nothing: {chance_words(told, at)}."
    of = _feed_lead(told, at)
    tail = needs_words(told, at) if at.plan.pieces else "no feed"
    brings = f"{against_nothing(told, at)} (8 seasons in 10: {range_words(told, at)})"
    if mark := mark_words(told, at):
        tail = f"{tail}; {mark}"
    return (
        f"{of}{plan_name(told, at)}, {when_words(told, at)}: {brings}; {chance_words(told, at)}; "
        f"costs {money(told, at.cost.total)} a colony; {tail}."
    )


def check_group(told: RoundsAnswer, at: Ranked) -> str:
    """What it costs to leave some colonies unfed; empty where no fee is paid by the hive."""
    target = told.plan.target
    if not at.plan.pieces or not isinstance(target, Frames):
        return ""
    many = min(MOST_CHECK, max(1, told.yard.colonies // 4))
    points = float(round(100.0 * max(0.0, at.chance - told.answer.found.nothing.chance)))
    of = price_of_a_check(many, points, target.fee.amount, at.cost.total)
    return f"A check group: {check_words(many, points, of, target.fee.money)} It says whether it paid."


def struck_line(told: RoundsAnswer, at: Ranked) -> str:
    """A plan that is struck out, with the reason; all that begin too late as one."""
    last = told.answer.breeding.last_start
    if last is not None and at.plan.kind == "search" and at.struck.startswith(LATE):
        return f"Every plan that begins after {day_and_year(last)}: {at.struck}."
    return f"{plan_name(told, at)}, from {when_words(told, at)}: {at.struck}."


def missed_words(told: RoundsAnswer) -> Sequence[str]:
    """What each missed round of the best plan loses, in one sentence."""
    if len(told.answer.found.missed) > MOST_MISSED:
        return []
    close = told.answer.question.close
    lost = [(k, one.gain) for k, one in enumerate(told.answer.found.missed, 1) if abs(one.gain) >= close]
    if len(lost) < 2:
        return []
    each = "; ".join(f"round {k} {sure(told, abs(g))} {'less' if g < 0 else 'more'}" for k, g in lost)
    return [f"Missed, a colony: {each}."]


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
        asked = turns(of, question, told.allowed.patty.units)
        said.append(
            asked[0] if of.feed_price is not None
            else f"No plan of {feed.name} comes near the others at its price, or at any other."
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
            said.append(f"{feed.name}: no plan of it is among the last ones looked at.")
            continue
        taken = told.answer.found.best
        best = taken if taken in fed else max(fed, key=lambda one: one.money)
        costs = f"{money(told, best.cost.total)} a colony"
        name = plan_name(told, best)
        said.append(f"{feed.name}: at its best {against_nothing(told, best)}, {name}, for {costs}.")
        patty = patty_of(told, best)
        cuts = [piece.grams / patty.mass_g for piece in best.plan.pieces]
        if how := cutting_words(cuts, patty):
            said.append(f"{feed.name}, {how[0].lower()}{how[1:]}")
    return tuple(said)


def piece_words(told: RoundsAnswer) -> str:
    """The pieces that were tried, of each feed in its own patty, and how long one may lie."""
    may = told.allowed
    tried = [" or ".join(cut_words(cut, one.patty) for cut in one.pieces) for one in may.of_feeds]
    each = [f"{one.name} {pieces}" for one, pieces in zip(may.of_feeds, tried, strict=True)]
    pieces = tried[0] if len(set(tried)) == 1 else "; ".join(each)
    return f"Pieces tried: {pieces}; each to be gone within {counted(may.limit.days, 'day')}."
