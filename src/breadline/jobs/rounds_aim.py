"""What colonies are wanted for, and the chance that they make it, in words."""

from __future__ import annotations

from breadline.jobs.rounds import RoundsAnswer
from breadline.language import noted, noted_as, say, say_as
from breadline.need.words import day_and_year, half_frames, in_hundred
from breadline.plan.ranked import Ranked
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, Target, WinterBees

HEADS: dict[type[Target], str] = {
    Frames: noted_as("head", "Make grade"), Splits: noted_as("head", "Give a split"),
    HoneyFlow: noted_as("head", "Crop above unfed"), WinterBees: noted_as("head", "Winter"),
    KeepAlive: noted_as("head", "Live"),
}  # fmt: skip
CHANCES: dict[type[Target], str] = {
    Frames: noted("{chance} colonies make grade"), Splits: noted("{chance} colonies give a split"),
    WinterBees: noted("{chance} colonies winter"), KeepAlive: noted("{chance} colonies live"),
}  # fmt: skip


def aim_words(target: Target) -> str:
    """What is wanted: "8 frames of bees on 10 February 2027, paid by the sample's average"."""
    on = day_and_year(target.on)
    if isinstance(target, Frames):
        grade = half_frames(target.grade)
        if target.paid == "hive_by_hive":
            return say("{frames} frames of bees on {on}, paid hive by hive", frames=grade, on=on)
        return say("{frames} frames of bees on {on}, paid by the sample's average", frames=grade, on=on)
    if isinstance(target, Splits):
        return say(
            "splits on {on}, {brood} frames of brood and {bees} of bees for one",
            on=on,
            brood=half_frames(target.brood),
            bees=half_frames(target.bees),
        )
    if isinstance(target, HoneyFlow):
        return say("a flow from {on} to {until}", on=on, until=day_and_year(target.until))
    if isinstance(target, WinterBees):
        return say("{frames} frames of bees to winter on, by {on}", frames=half_frames(target.grade), on=on)
    return say("colonies alive on {on}", on=on)


def chance_head(target: Target) -> str:
    """What the chance is of, as a column's head."""
    if isinstance(target, Frames) and target.paid == "sample_average":
        return say("Sample makes it")
    return say_as("head", HEADS[type(target)])


def chance_words(told: RoundsAnswer, at: Ranked) -> str:
    """The chance in a sentence: "40 in 100 colonies make grade (2 more in the same seasons)"."""
    said, more = _chance_said(told, at), chance_more(told, at)
    return f"{said} ({more})" if more else said


def _chance_said(told: RoundsAnswer, at: Ranked) -> str:
    target, chance = told.plan.target, in_hundred(at.chance)
    if isinstance(target, HoneyFlow):
        if at.plan.kind == "nothing":
            return say("the usual crop")
        return say("a crop above the unfed one in {chance} seasons", chance=chance)
    if isinstance(target, Frames) and target.paid == "sample_average":
        return say("the sample makes it in {chance} seasons", chance=chance)
    return say(CHANCES[type(target)], chance=chance)


def chance_short(told: RoundsAnswer, at: Ranked) -> str:
    """The chance by itself; a dash where an unfed crop is what others are held against."""
    unfed = isinstance(told.plan.target, HoneyFlow) and at.plan.kind == "nothing"
    return "–" if unfed else in_hundred(at.chance)


def chance_cell(told: RoundsAnswer, at: Ranked) -> str:
    """The chance in a table's cell, with how many more where its steps of five would say otherwise."""
    said, more = chance_short(told, at), chance_more(told, at)
    return f"{said} ({more})" if more else said


def chance_more(told: RoundsAnswer, at: Ranked) -> str:
    """How many more in a hundred, where the steps of five that chances are told in would say otherwise.

    Plans meet the same seasons, so that they are told apart by less than a chance itself is sure to.
    """
    if isinstance(told.plan.target, HoneyFlow):
        return ""  # of seasons above the unfed crop, of which doing nothing has none
    nothing = told.answer.found.nothing.chance
    more, steps = round(100.0 * (at.chance - nothing)), 5 * (round(20.0 * at.chance) - round(20.0 * nothing))
    if more == steps or not at.plan.pieces:
        return ""
    if more >= 0:
        return say("{n} more in the same seasons", n=more)
    return say("{n} fewer in the same seasons", n=-more)
