"""What is said of a check group before its size: whether to have one, and what one in mind compares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from breadline.jobs.check_group_asked import Meant, SizeAsked
from breadline.jobs.check_group_size import SEED, noise_of
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.advice import Advice
from breadline.need.words import counted
from breadline.plan.break_even import earned, price_of_a_check
from breadline.plan.money import told
from breadline.plan.targets import Frames
from breadline.trial.planner import HALVES, fewest_sets

Answer = Literal["offer", "optional", "later", "compares yards", "half_against_full"]
GAIN = 0.20  # more bees: the difference between two feeds that the number of sets is told for [share]
AS_EXAMPLE, POINTS = 20, 10.0  # colonies, and in a hundred: the price of a check group as it is told


@dataclass(frozen=True)
class Offer:
    """What is said first."""

    answer: Answer
    sentences: tuple[str, ...]


def offer(asked: SizeAsked | None, said: Advice | None, reader: Reader) -> Offer:
    """What to say of a check group, from what is meant and what the yard's facts say.

    Parameters
    ----------
    asked
        What is asked of its size; None where nothing is yet.
    said
        What speaks against feeding in the yard's facts; None where nothing does.
    reader
        The shelf, for how many sets two feeds ask for.
    """
    if asked is not None and compares_yards(asked.meant):
        return Offer("compares yards", yards_not_feeds(asked, reader))
    if asked is not None and asked.nobody_unfed:
        return Offer("half_against_full", half_against_full(asked))
    if said is not None and said.answer == "something_first":
        return Offer("later", (said.sentence, say("A check group is drawn once that is done.")))
    if said is not None and said.state == "stop":
        return Offer("offer", (
            say("A check group costs least now: while pollen is plenty, unfed colonies are not expected "
                "to lose."),
            say("If you still want to feed, leave some in each yard unfed: the table says what they could "
                "tell."),
        ))  # fmt: skip
    if said is not None and said.answer == "no_need":
        return Offer("optional", (
            say("Nothing speaks for feeding, so nothing has to be compared."),
            say("If you feed all the same, a check group left unfed inside each yard tells whether it paid."),
        ))  # fmt: skip
    return Offer("offer", (
        say("Leave some colonies unfed inside each yard, drawn by lot: yards differ more than feed "
            "changes them."),
    ))  # fmt: skip


def compares_yards(meant: Sequence[Meant]) -> bool:
    """Whether each yard gets one thing only, so that nobody could tell a feed from its yard."""
    feeds = {one.feed for one in meant}
    yards = {one.yard for one in meant}
    return len(feeds) > 1 and all(len({one.feed for one in meant if one.yard == yard}) == 1 for yard in yards)


def yards_not_feeds(asked: SizeAsked, reader: Reader) -> tuple[str, ...]:
    """What such a comparison compares, and how to make it one of feeds."""
    feeds = list(dict.fromkeys(one.feed for one in asked.meant if one.feed))
    where = "; ".join(
        say("{feed} on {yard}", feed=one.feed or say("no feed"), yard=one.yard) for one in asked.meant
    )
    check = "" if any(not one.feed for one in asked.meant) else say(", and a check group left unfed,")
    both = say(" and ").join(feeds) if feeds else say("feed")
    noise, mean = noise_of(asked, reader)
    sets = fewest_sets(GAIN * mean, noise, np.random.default_rng(SEED))
    return (
        say("This compares yards, not feeds ({where}): whatever differs may be the yard's.", where=where),
        say("Put {feeds}{check} in each yard: matched sets of like colonies, one of each, drawn by lot.",
            feeds=both, check=check),
        say("Six to seven sets are the least that field trials are run with, and some more for losses; to "
            "tell "
            "{n:.0f} in 100 more bees four times in five takes about {sets} sets.", n=100 * GAIN, sets=sets),
        say("The same person grades all of a yard, without knowing which colony got what."),
    )  # fmt: skip


def half_against_full(asked: SizeAsked) -> tuple[str, ...]:
    """What an owner can do who leaves no colony unfed, and what unfed ones would cost."""
    said = [
        say(
            "Nobody has to stay unfed: give half the rate to one and the full rate to the other of pairs of "
            "like colonies, drawn by lot."
        ),
        say(
            "That tells whether the second half is worth it, never whether feeding pays, and takes about {n} "
            "times the colonies.",
            n=HALVES,
        ),
    ]
    if isinstance(asked.target, Frames):
        of = price_of_a_check(AS_EXAMPLE, POINTS, earned(asked.target), asked.cost)
        said.append(
            say(
                "What {colonies} unfed would come to: {net} if feeding lifts {points:g} in a hundred over "
                "the line, {saved} if it does nothing.",
                colonies=counted(AS_EXAMPLE, "colony", "colonies"),
                net=_signed(of.net, asked.money),
                points=POINTS,
                saved=_signed(of.saved, asked.money),
            )
        )
    said.append(
        say(
            "Feeding all without a comparison is yours to choose; the verdict is then: no comparison, nobody "
            "can say it paid."
        )
    )
    return tuple(said)


def _signed(amount: float, money: str) -> str:
    return told(amount, money) if amount < 0 else f"+{told(amount, money)}"
