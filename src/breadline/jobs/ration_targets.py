"""The targets of a recipe in words: what was asked, on which basis, and what the mix has of it."""

from __future__ import annotations

from math import isinf

from breadline.jobs.ration import Analysed, TargetHeld
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.language import noted, say
from breadline.ration.plain_words import listed
from breadline.ration.solved_words import amount

KEPT = {
    "yes": noted("kept"), "no": noted("NOT kept"), "open": noted("open: only a part of its range keeps it"),
    "cannot be formed": noted("cannot be formed: there is nothing below the line"),
}  # fmt: skip


def targets_head(told: Analysed) -> str:
    """How many of the targets are kept."""
    kept = [one.kept for one in told.targets]
    no, unsure = len(kept) - kept.count("yes") - kept.count("open"), kept.count("open")
    said = [say("{n} not kept", n=no)] if no else []
    said += [say("{n} open", n=unsure)] if unsure else []
    if not said:
        return say("Your targets: all kept")
    return say("Your targets: {what} of {many}", what=listed(said), many=len(kept))


def target_lines(told: Analysed) -> tuple[str, ...]:
    """Each target with its basis, what the mix has on that basis, and whether that keeps it."""
    return tuple(_held(one, told) for one in told.targets)


def _held(one: TargetHeld, told: Analysed) -> str:
    names = {key: kind.name for key, kind in all_ingredients(told.file).items()}
    target = one.target
    asked = []
    if target.least is not None:
        asked.append(say("at least {amount}", amount=amount(target, target.least)))
    if target.most is not None:
        asked.append(say("at most {amount}", amount=amount(target, target.most)))
    what = {
        "target": ", ".join(names.get(key, key) for key in target.keys) or target.name,
        "asked": say(" and ").join(asked), "kept": say(KEPT[one.kept]),
    }  # fmt: skip
    if one.value is None:
        return say("{target}, {asked}: {kept}.", **what)
    return say("{target}, {asked}: the mix has {has}; {kept}.", has=_has(one), **what)


def _has(one: TargetHeld) -> str:
    assert one.value is not None, "asked before"
    low = amount(one.target, one.value.low)
    if isinf(one.value.high):
        return say("{n} or more", n=low)
    high = amount(one.target, one.value.high)
    if low == high:
        return low
    unit = high.lstrip("0123456789.,")
    return say("{low} to {high}", low=low.removesuffix(unit), high=high)
