"""What the pieces of a plan are cut from: the patty of its own feed, else they are weighed out of it."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

from breadline.jobs.rounds_answered import RoundsAnswer
from breadline.plan.cuts import LEAST_PATTY_G, MOST_PATTY_G, Patty, cuttable, usual_patty
from breadline.plan.ranked import Ranked


def own_patty(told: RoundsAnswer, feed: int) -> Patty:
    """The patty that a feed of the plan comes in; the usual one where its mass is not known."""
    mass, units = told.plan.feeds[feed].patty_g, told.allowed.patty.units
    return usual_patty(units, told.reader) if mass is None else Patty(mass, units)


def patty_of(told: RoundsAnswer, at: Ranked) -> Patty:
    """What the first piece of a plan is cut from; of "do nothing" the patty of the first feed."""
    if not at.plan.pieces:
        return told.allowed.patty
    return piece_patty(told, at.plan.feed, at.plan.pieces[0].grams)


def piece_patty(told: RoundsAnswer, feed: int, grams: float) -> Patty:
    """What a piece of so many ``grams`` is cut from. [g]

    The search tries each feed in cuts of its own patty. A piece that is none of them, of last year or where
    a quarter is too much for the colonies, is told by weight: counted in the patty of the first feed or the
    usual one where it is a cut of that, so that all yards of a truck count alike, else in itself.
    """
    own = own_patty(told, feed)
    if cuttable(grams / own.mass_g):
        return own
    for alike in (told.allowed.patty, usual_patty(own.units, told.reader)):
        if cuttable(grams / alike.mass_g):
            return replace(alike, sold_g=own.mass_g)
    return Patty(_counted_in(grams), own.units, sold_g=own.mass_g)


def _counted_in(grams: float) -> float:
    """The piece itself; a part or a multiple of it where it is too large or small for a patty. [g]"""
    if grams < LEAST_PATTY_G:
        return grams * 4.0
    return grams / ceil(grams / MOST_PATTY_G)
