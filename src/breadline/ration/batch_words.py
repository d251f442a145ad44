"""A batch in the words of the mixing room, for the sheet, the phone and the command line."""

from __future__ import annotations

import re

from breadline.knowledge.ingredient import Content
from breadline.language import found, say, say_as, say_counted
from breadline.ration.batch import Batch
from breadline.ration.batch_lines import Line
from breadline.ration.measures import LB_G, OZ_G, System, in_quarters, volume_said, weight_said

_TO = re.compile(
    r"^(?:fill(?:ed)?\s+)?(?:up\s+)?(?:to\s+)?", re.IGNORECASE
)  # how people begin to say a level
_EVEN = 0.03  # nobody fills two buckets more alike than this [share] (judged)
_QUARTER = {1: "¼", 2: "½", 3: "¾"}
_PLAIN_WEIGHT = 10 * LB_G  # from here on a check is told in whole pounds [g]


def how_much(line: Line, system: System) -> str:
    """The amount as it is measured: "2½ buckets", "1 bag of 50 lb", "8 lb 2 oz"."""
    found = line.measured
    if found.vessel == "buckets":
        many = 2 if found.count > 1 else 1
        return say_counted("{n} bucket", "{n} buckets", many, n=in_quarters(found.count))
    if found.vessel == "bags" and found.each:
        return _bags(round(found.count), found.each.middle, system)
    return weight_said(found.grams, system, found.step)


def _bags(count: int, grams: float, system: System) -> str:
    return say_counted("{n} bag of {weight}", "{n} bags of {weight}", count, weight=bag_said(grams, system))


def bag_said(grams: float, system: System) -> str:
    """What a bag weighs, in the unit that is printed on it: 22.68 kg as "50 lb", 25 kg as "25 kg". [g]"""
    for unit, size in (("lb", LB_G), ("kg", 1000.0)) if system == "lb" else (("kg", 1000.0), ("lb", LB_G)):
        if abs(grams / size - round(grams / size)) < 0.011 * grams / size / 5:
            return f"{round(grams / size):,} {unit}"
    return weight_said(grams, system)


def weighs(line: Line, system: System) -> str:
    """What that should weigh: "about 83 lb"; on the scale, where that is how it is measured."""
    if line.measured.vessel == "scale":
        return say("on the scale")
    return say("about {what}", what=about(line.grams, system))


def about(grams: float, system: System) -> str:
    """A weight that nobody reads off a scale, no finer than a practitioner would say it. [g]"""
    if system == "kg":
        return weight_said(grams, system, 500.0 if grams >= 20_000 else None)
    coarse = LB_G if grams >= 20 * LB_G else LB_G / 2 if grams >= 2 * LB_G else None
    return weight_said(grams, system, coarse)


def ticks(line: Line) -> tuple[str, ...]:
    """One box to tick for each bucket, bag or weighing; a part of a bucket is written in its box."""
    whole, rest = divmod(round(line.measured.count * 4), 4)
    return ("",) * max(whole, 0 if rest else 1) + ((_QUARTER[rest],) if rest else ())


def beside(line: Line, system: System) -> str:
    """What else to know of a line: wet or dry bucket, about how many gallons, why it is weighed."""
    said = []
    if line.measured.vessel == "buckets":
        said.append(say("wet bucket") if line.wet else say("dry bucket"))
    elif line.wet and (bulk := line.bulk):
        said.append(say("about {what}", what=volume_said(line.grams / bulk.middle / 1000.0, system)))
    if line.weigh_instead:
        said.append(say("weigh it: buckets or bags would move protein by more than half a point"))
    return ", ".join(said)


def makes(batch: Batch) -> str:
    """What comes out: "Makes about 287 lb: 286 pieces of 1 lb, 13 oz left over." """
    system, n = batch.mixing.system, batch.pieces
    weight = weight_said(batch.mixing.piece_g, system)
    told = {
        "weight": about(batch.finished_g, system),
        "left": left_over(batch),
        "loads": batch.loads,
        "pieces": say_counted(
            "{n} piece of {weight}", "{n} pieces of {weight}", n, n=f"{n:,}", weight=weight
        ),
    }
    if batch.loads > 1:
        return say("Makes about {weight} in {loads} equal mixer loads: {pieces}, {left} left over.", **told)
    return say("Makes about {weight}: {pieces}, {left} left over.", **told)


def left_over(batch: Batch) -> str:
    """What no whole piece can be cut from: "6 oz", or "nothing"."""
    if batch.left_over_g < batch.mixing.piece_g / 30:
        return say_as("left over", "nothing")
    if batch.mixing.system == "kg":
        return weight_said(batch.left_over_g, "kg", 10.0 if batch.left_over_g >= 50 else 1.0)
    return weight_said(batch.left_over_g, "lb", OZ_G if batch.left_over_g >= 4 * OZ_G else OZ_G / 4)


def short(batch: Batch) -> str:
    """That less comes out than was wanted, and by how much; empty where enough does."""
    if batch.mixing.wanted_g is None or batch.short_g < batch.mixing.piece_g / 2:
        return ""
    system = batch.mixing.system
    less, wanted = about(batch.short_g, system), about(batch.mixing.wanted_g, system)
    return say("That is {less} less than the {wanted} wanted.", less=less, wanted=wanted)


def lost(batch: Batch) -> str:
    """What sticks to the drum and the press, as the user gave it; empty where he gave nothing."""
    if not batch.mixing.lost:
        return ""
    gone = about(batch.mixed_g - batch.finished_g, batch.mixing.system)
    return say(
        "Another {gone} is mixed for what sticks to mixer and press (your {lost:g} %).",
        gone=gone,
        lost=batch.mixing.lost * 100,
    )


def bucket_said(batch: Batch) -> str:
    """How the bucket is filled: "Fill your pail to 2 inches under the rim: 4¼ gal."; empty without one."""
    bucket = batch.mixing.bucket
    if bucket is None:
        return ""
    level = _TO.sub("", bucket.level.strip()).rstrip(".")
    return say(
        "Fill your {name} to {level}: {volume}.",
        name=say(bucket.name),
        level=level and found(level),  # the words that the form proposes, in the reader's language
        volume=volume_said(bucket.litres, batch.mixing.system),
    )


def scale_checks(batch: Batch) -> list[tuple[str, str]]:
    """What a full bucket of each that fills one should weigh, by name: "33 lb (31 to 35)"."""
    filled = [line for line in batch.lines if line.measured.vessel == "buckets" and line.measured.count >= 1]
    return [
        (line.ingredient.name, full_bucket(line.full, batch.mixing.system)) for line in filled if line.full
    ]


def full_bucket(full: Content, system: System) -> str:
    """What a full bucket should weigh, with its range [g]: "33 lb (31 to 35)"."""
    step = (LB_G if full.middle >= _PLAIN_WEIGHT else LB_G / 2) if system == "lb" else 100.0
    low, high = min(full.low, full.middle * (1 - _EVEN)), max(full.high, full.middle * (1 + _EVEN))
    middle = round(full.middle / step)
    ends = min(round(low / step), middle - 1), max(round(high / step), middle + 1)
    said = [weight_said(count * step, system, step) for count in (middle, *ends)]
    low_said, high_said = (each.rsplit(" ", 1)[0] for each in said[1:])
    return say("{typical} ({low} to {high})", typical=said[0], low=low_said, high=high_said)


def bags_said(batch: Batch) -> list[str]:
    """What to take from the store: "Soy flour, low fat: 2 bags of 50 lb (40½ lb stay in the last)"."""
    system, said = batch.mixing.system, []
    for use in batch.bags:
        bags = f"{use.ingredient.name}: {_bags(use.opened, use.bag_g, system)}"
        if use.left_g > use.bag_g / 200:
            bags = say("{bags} ({left} stay in the last)", bags=bags, left=about(use.left_g, system))
        said.append(bags)
    return said


def mixing_steps(batch: Batch) -> list[str]:
    """What to do, a box each."""
    last = len(batch.lines)
    first = {
        1: say("number 1 first, with the mixer turning"),
        2: say("number 1 first, then 2 with the mixer turning"),
    }.get(last, say("number 1 first, then 2 to {last} with the mixer turning", last=last))
    return [
        say("mixer clean and dry"),
        first,
        say("stiff, no dry pockets; write down whatever you add"),
        say("pressed, papered, boxed; batch number and date on every box"),
    ]


def to_ask(batch: Batch) -> str:
    """Which full buckets to weigh once, so that they can be told in buckets; empty where none."""
    names = ", ".join(kind.name for kind in batch.to_weigh_first)
    return (
        say("To have it in buckets too, weigh one full bucket once: {names}.", names=names) if names else ""
    )
