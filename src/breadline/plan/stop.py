"""When to stop feeding: bees with pollen at the entrance, fresh arcs, settled weather, and what it saves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.measures import of_money
from breadline.need.words import counted, in_hundred
from breadline.need.yard import PollenSeen
from breadline.plan.entrance_count import Against, EntranceCount, bees_to_tell

Decision = Literal["stop", "pause", "pause_some", "go_on", "count_more"]
Arcs = Literal["most", "some", "none", "unknown"]

BY_EYE = {
    "plenty": noted("Plenty of pollen coming in, by eye; nobody counted"),
    "little": noted("A little pollen coming in, by eye; nobody counted"),
    "none": noted("No pollen coming in, by eye; nobody counted"),
}


@dataclass(frozen=True)
class Signs:
    """What was seen in a yard; ``None`` is not known, never no."""

    count: EntranceCount | None = None
    before: EntranceCount | None = None  # an earlier count, to see whether it rises
    pollen: PollenSeen | None = None  # by eye, where nobody counted
    hives_with_arc: int | None = None
    hives_looked_in: int = 0
    flying_days_ahead: int | None = None  # among the next seven
    threshold: float | None = None  # the keeper's own, else the shelf's [share]
    threshold_of: str = ""  # where the keeper set it: "kept with the plan of 20 January 2026"
    short_if_stopped: float | None = None  # chance, from the season model run again on the count [share]

    def __post_init__(self) -> None:
        if self.hives_with_arc is not None and not 0 <= self.hives_with_arc <= self.hives_looked_in:
            raise YardError(
                "hives with a fresh arc",
                say(
                    "{hives_with_arc} of {hives_looked_in} looked in",
                    hives_with_arc=self.hives_with_arc,
                    hives_looked_in=self.hives_looked_in,
                ),
                say("no more than were looked in"),
            )
        if self.flying_days_ahead is not None and not 0 <= self.flying_days_ahead <= 7:
            raise YardError(
                "flying days ahead", f"{self.flying_days_ahead}", say("0 to 7 of the next seven days")
            )
        if self.threshold is not None and not 0.0 < self.threshold < 1.0:
            do = say("If you typed per cent, enter a share ({threshold:g})", threshold=self.threshold / 100)
            raise YardError("your threshold", f"{self.threshold:g}", say("a share between 0 and 1"), do)


@dataclass(frozen=True)
class Remaining:
    """What is still planned, so that stopping can say what it saves."""

    rounds: int
    colonies: int
    cost_each: float  # feed, labour and travel of one colony in one round [money]
    money: str  # "$", "C$"
    feed_g_each: float  # of one colony in one round [g]
    planned: bool = True  # whether there is a plan that says how many rounds are left
    more: str = ""  # hives that a round given in part still lacks, in words
    more_cost: float = 0.0  # of those, beside the rounds left [money]
    more_g: float = 0.0  # the same [g]
    note: str = ""  # which rounds are not counted, since they may have been given
    due: str = ""  # what to do about those

    def __post_init__(self) -> None:
        if min(self.rounds, self.colonies) < 0:
            raise YardError(
                "rounds left",
                say("{rounds} for {colonies} colonies", rounds=self.rounds, colonies=self.colonies),
                say("0 or more"),
            )
        if not (self.cost_each >= 0.0 and self.feed_g_each >= 0.0):
            raise YardError(
                "cost of a colony and round", f"{self.cost_each:g} {self.money}", say("0 or more")
            )


@dataclass(frozen=True)
class Saving:
    """What stopping now saves."""

    money: float  # [money]
    feed_g: float  # [g]
    sentence: str
    known: bool = True  # whether a plan says what is left


@dataclass(frozen=True)
class Stop:
    """The decision, why, and what it saves."""

    decision: Decision
    sentence: str
    reasons: tuple[str, ...]
    saving: Saving | None  # None unless feeding stops


def decide(signs: Signs, left: Remaining, reader: Reader) -> Stop:
    """Stop, pause, go on, or count more, in words.

    Sources: [patty_label] for arcs and settled weather, [oliver2014] for no gain once pollen is plentiful.
    No published threshold for the count was found: it is the keeper's.
    """
    threshold = reader.typical("stop.pollen_share") if signs.threshold is None else signs.threshold
    count = _coming_in(signs, threshold)
    arcs = arcs_seen(signs, reader)
    settled = _settled(signs, reader)
    decision = _decision(count, arcs, settled)
    reasons = _reasons(signs, threshold, arcs, settled, reader)
    short = signs.short_if_stopped or 0.0
    again = decision == "stop" and short >= reader.typical("ladder.chance_worth_a_look")
    saving = saved(left, again) if decision == "stop" else None
    if again and saving is not None:
        return Stop(decision, f"{_for_now(short)} {saving.sentence}", reasons, saving)
    return Stop(decision, _sentence(decision, signs, threshold, left, saving), reasons, saving)


def _for_now(short: float) -> str:
    """Stopping while most of the seasons ahead run short again."""
    return say(
        "Stop for now: pollen is coming in. It may not last, {chance} seasons run short "
        "again later: keep the feed at hand and look again within the week.",
        chance=in_hundred(short),
    )


def _coming_in(signs: Signs, threshold: float) -> Against | None:
    """By the count; by eye only where nobody counted, and then "a little" leaves it open."""
    if signs.count is not None:
        return signs.count.against(threshold)
    by_eye: dict[PollenSeen, Against] = {"plenty": "over", "little": "open", "none": "under"}
    return None if signs.pollen is None else by_eye[signs.pollen]


def arcs_seen(signs: Signs, reader: Reader) -> Arcs:
    """In how many of the hives looked in a fresh arc stood round the brood."""
    if signs.hives_with_arc is None or signs.hives_looked_in == 0:
        return "unknown"
    share = signs.hives_with_arc / signs.hives_looked_in
    if share >= reader.typical("stop.arcs_share"):
        return "most"
    return "some" if signs.hives_with_arc else "none"


def _settled(signs: Signs, reader: Reader) -> bool | None:
    ahead = signs.flying_days_ahead
    return None if ahead is None else ahead >= reader.typical("stop.settled_days")


def _decision(count: Against | None, arcs: Arcs, settled: bool | None) -> Decision:
    """Arcs in most hives and a count over the threshold stop; one of them needs settled weather."""
    pollen_in = (arcs == "most") + (count == "over")
    against = (arcs == "none") + (count == "under")
    if pollen_in and settled is False:
        return "pause"
    if pollen_in == 2 or (pollen_in == 1 and not against and settled):
        return "stop"
    if pollen_in:
        return "pause"
    if arcs == "some":
        return "pause_some"
    if count == "open" or (count is None and arcs == "unknown"):
        return "count_more"
    return "go_on"


def saved(left: Remaining, for_now: bool = False) -> Saving:
    """What the rounds left would have cost [money] and eaten [g]; at most so much if it is ``for_now``."""
    times = left.rounds * left.colonies
    money, feed = times * left.cost_each + left.more_cost, times * left.feed_g_each + left.more_g
    if not times and not left.more:
        if not left.planned:
            return Saving(0.0, 0.0, say("What that saves is not known: no plan was given."), known=False)
        none = say("No round was left, so stopping saves nothing.")
        return Saving(0.0, 0.0, f"{none} {left.note}".strip())
    of = {"money": money_words(money, left.money), "what": _left_words(left)}
    said = (
        say("Up to {money} is saved: {what}.", **of)
        if for_now
        else say("Stopping now saves {money}: {what}.", **of)
    )
    return Saving(money, feed, f"{said} {left.note}".strip())


def _left_words(left: Remaining) -> str:
    """What is left: "2 rounds for 40 colonies", and hives that a round given in part still lacks."""
    rounds, colonies = counted(left.rounds, "round"), counted(left.colonies, "colony", "colonies")
    whole = say("{rounds} for {colonies}", rounds=rounds, colonies=colonies) if left.rounds else ""
    if whole and left.more:
        return say("{whole}, and {more}", whole=whole, more=left.more)
    return whole or left.more


def money_words(amount: float, money: str) -> str:
    """An amount as people say it: to the unit below 100, to the ten above [money]."""
    return of_money(f"{round(amount, -1 if amount >= 100 else 0):,.0f}", money)


def _sentence(
    decision: Decision, signs: Signs, threshold: float, left: Remaining, saving: Saving | None
) -> str:
    if decision == "stop":
        return f"{say('Stop: pollen is coming in.')} {saving.sentence if saving else ''}".strip()
    if decision == "pause":
        return say("Lay on nothing new: pollen has begun, but it may not last. Look again within the week.")
    if decision == "pause_some":
        return say("No piece for hives with a fresh arc of pollen; go on with the others.")
    if decision == "go_on":
        return f"{_going_on(left)} {left.due}".strip()
    if signs.count is None:
        return say("Can't tell: count bees in at the entrance, and look for fresh arcs round the brood.")
    more = bees_to_tell(signs.count, threshold)
    if more is None:
        return say(
            "Can't tell: the share lies at your threshold. Go by fresh arcs, or count again in some days."
        )
    return say("Can't tell yet: count up to about {n} bees in all.", n=_round_up(more))


def _going_on(left: Remaining) -> str:
    """That feeding goes on, and what is left to give."""
    if not left.planned:
        return say("Go on: no pollen to live on yet. No plan was given, so the rounds left are not known.")
    if left.rounds:
        many = counted(left.rounds, "round")
        return say("Go on: no pollen to live on yet; {many} left in the plan.", many=many)
    if left.more:
        return say("Go on: no pollen to live on yet; left are {more}.", more=left.more)
    if left.due:
        return say("Go on: no pollen to live on yet.")
    return say("Go on: no pollen to live on yet, and the plan has no round left. Ask for plans again.")


def _round_up(bees: int) -> int:
    return -(-bees // 50) * 50


def _reasons(
    signs: Signs, threshold: float, arcs: Arcs, settled: bool | None, reader: Reader
) -> tuple[str, ...]:
    told = []
    if signs.count is not None:
        told += _count_told(signs, signs.count, threshold, reader)
    elif signs.pollen is not None:
        told.append(say(BY_EYE[signs.pollen]))
    if arcs == "unknown":
        told.append(say("Fresh arcs round the brood: not looked for"))
    else:
        told.append(
            say(
                "Fresh arcs in {hives_with_arc} of {many}",
                hives_with_arc=signs.hives_with_arc,
                many=counted(signs.hives_looked_in, "hive"),
            )
        )
    if settled is None:
        told.append(say("Weather not known"))
    else:
        n = signs.flying_days_ahead
        told.append(
            say("Weather settled, {n} of the next 7 days for flying", n=n)
            if settled
            else say("Weather not settled, {n} of the next 7 days for flying", n=n)
        )
    if signs.short_if_stopped is not None:
        chance = in_hundred(signs.short_if_stopped)
        told.append(
            say(
                "The season model, run again on this: {chance} seasons run short without feed later on",
                chance=chance,
            )
        )
    return tuple(told)


def _count_told(signs: Signs, count: EntranceCount, threshold: float, reader: Reader) -> list[str]:
    before, of = signs.before, f", {signs.threshold_of}" if signs.threshold_of else ""
    low, high = (round(100 * end) for end in count.range)
    told = [
        say(
            "{with_pollen} of {many} carried pollen, {share} in 100 ({low} to {high} by the "
            "size of the count alone); the threshold is {threshold}{of}",
            with_pollen=count.with_pollen,
            many=counted(count.bees_in, "bee"),
            share=round(100 * count.share),
            low=low,
            high=high,
            threshold=round(100 * threshold),
            of=of,
        )
    ]
    if count.bees_in < reader.typical("stop.bees_to_count"):
        told.append(
            say("Fewer than {typical:.0f} bees counted", typical=reader.typical("stop.bees_to_count"))
        )
    if count.hives == 1:
        told.append(say("Counted at one hive only: hives differ more than a count shows"))
    if before is not None and before.range[1] < count.range[0]:
        told.append(say("More than at the count before"))
    return told
