"""When to stop, on the page: the count at the entrance as typed, and the decision on it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from breadline.errors import InputToMend, YardError
from breadline.jobs.check_hives import kept_back_in
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_stop import (
    Left,
    entrance,
    left_of,
    stop_answer,
    threshold_share,
    with_kept,
)
from breadline.language import noted, say
from breadline.plan.stop import Remaining, Signs

FIELDS = (
    ("bees_in", noted("Bees that came in"), noted("count 200 or more")),
    ("with_pollen", noted("of them with pollen"), ""),
    ("minutes", noted("Minutes counted"), noted("if you noted them")),
    ("hives", noted("Hives counted at"), noted("1 if you leave it out")),
    ("arcs", noted("Hives with a fresh arc of pollen"), noted("if you opened some")),
    ("looked", noted("of hives looked in"), ""),
    ("flying", noted("Flying days in the next 7"), noted("by the forecast")),
    ("threshold", noted("Your own threshold, %"), noted("if you have one")),
)


def stop_shown(
    book: RoundsBook, yard_id: str, kept: PlanKept | None, asked: Mapping[str, str]
) -> dict[str, Any]:
    """The form of the stop, and the answer where something was typed."""
    typed = {key: asked.get(key, "").strip()[:40] for key, _, _ in FIELDS}
    shown: dict[str, Any] = {"fields": _fields(kept), "typed": typed, "told": None, "error": None}
    if not any(typed.values()):
        return shown
    try:
        there = book.at_hand(yard_id)
        left: Left | Remaining = Left()
        if kept is not None:
            # What is left is priced as it was chosen, though its target may have passed since.
            back = kept_back_in(book, yard_id)
            left = left_of(kept, there.newest, book.today, lambda: book.read_back(kept), back)
        signs = with_kept(_signs(there.newest, typed), kept)
        shown["told"] = stop_answer(there.newest, signs, left, there.weather, there.shelf)
    except InputToMend as error:
        shown["error"] = error
    return shown


def _fields(kept: PlanKept | None) -> tuple[tuple[str, str, str], ...]:
    """The fields; the threshold names the one that holds where it is left out."""
    if kept is None or kept.threshold is None:
        return tuple((key, say(words), hint and say(hint)) for key, words, hint in FIELDS)
    hint = say("{threshold:g} if you leave it out, kept with the plan", threshold=100 * kept.threshold)
    return tuple(
        (key, say(words), hint if key == "threshold" else old and say(old)) for key, words, old in FIELDS
    )


def _signs(yard: Any, typed: Mapping[str, str]) -> Signs:
    bees, pollen = _whole(typed, "bees_in"), _whole(typed, "with_pollen")
    count = None
    if bees is not None or pollen is not None:
        if bees is None or pollen is None:
            missing = "bees_in" if bees is None else "with_pollen"
            raise YardError(
                missing,
                say("is missing"),
                say("both: bees that came in, and those with pollen"),
                say("Count again"),
            )
        minutes = _number(typed, "minutes")
        count = entrance(yard, bees, pollen, minutes, _whole(typed, "hives") or 1)
    arcs, looked = _whole(typed, "arcs"), _whole(typed, "looked")
    share = threshold_share(_number(typed, "threshold"), "threshold")
    return Signs(count, None, yard.forage.coming_in if count is None else None, arcs, looked or 0,
                 _whole(typed, "flying"), share)  # fmt: skip


def threshold_typed(text: str) -> float | None:
    """A threshold in per cent as typed, as a share; None where none was typed. [share]

    Errors: YardError where it is no number, or none that can be meant.
    """
    return threshold_share(_number({"threshold": text.strip()[:40]}, "threshold"), "threshold")


def _number(typed: Mapping[str, str], key: str) -> float | None:
    text = typed[key]
    if not text:
        return None
    try:
        return float(text)
    except ValueError:
        do = say("Write a decimal point, not a comma") if "," in text else say("Type the number alone")
        raise YardError(key, say('"{text}" is not a number', text=text), say("a number"), do) from None


def _whole(typed: Mapping[str, str], key: str) -> int | None:
    value = _number(typed, key)
    if value is not None and (value != int(value) or value < 0):
        raise YardError(key, say("{value:g} is not a count", value=value), say("a whole number, 0 or more"))
    return None if value is None else int(value)
