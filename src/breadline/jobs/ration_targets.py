"""The targets of a recipe in words: what was asked, on which basis, and what the mix has of it."""

from __future__ import annotations

from math import isinf

from breadline.jobs.ration import Analysed, TargetHeld
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.ration.plain_words import listed
from breadline.ration.solved_words import amount

KEPT = {
    "yes": "kept", "no": "NOT kept", "open": "open: only a part of its range keeps it",
    "cannot be formed": "cannot be formed: there is nothing below the line",
}  # fmt: skip


def targets_head(told: Analysed) -> str:
    """How many of the targets are kept."""
    kept = [one.kept for one in told.targets]
    no, unsure = len(kept) - kept.count("yes") - kept.count("open"), kept.count("open")
    said = [f"{n} {what}" for n, what in ((no, "not kept"), (unsure, "open")) if n]
    return f"Your targets: {f'{listed(said)} of {len(kept)}' if said else 'all kept'}"


def target_lines(told: Analysed) -> tuple[str, ...]:
    """Each target with its basis, what the mix has on that basis, and whether that keeps it."""
    return tuple(_held(one, told) for one in told.targets)


def _held(one: TargetHeld, told: Analysed) -> str:
    names = {key: kind.name for key, kind in all_ingredients(told.file).items()}
    target = one.target
    name = ", ".join(names.get(key, key) for key in target.keys) or target.name
    asked = [
        f"{word} {amount(target, bound)}"
        for word, bound in (("at least", target.least), ("at most", target.most)) if bound is not None
    ]  # fmt: skip
    has = "" if one.value is None else f"the mix has {_has(one)}; "
    return f"{name}, {' and '.join(asked)}: {has}{KEPT[one.kept]}."


def _has(one: TargetHeld) -> str:
    assert one.value is not None, "asked before"
    low = amount(one.target, one.value.low)
    if isinf(one.value.high):
        return f"{low} or more"
    high = amount(one.target, one.value.high)
    if low == high:
        return low
    unit = high.lstrip("0123456789.,")
    return f"{low.removesuffix(unit)} to {high}"
