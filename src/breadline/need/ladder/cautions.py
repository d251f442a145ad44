"""Cautions, each with whom to ask, and only for the step at hand."""

from __future__ import annotations

import re
from datetime import timedelta

from breadline.knowledge.cautions import caution
from breadline.language import noted, say
from breadline.measures import units_of
from breadline.need.ladder.sight import Caution, Ruling, Sight
from breadline.need.ladder.timing import winter_side
from breadline.need.words import counted, honey_said

SUPERS_NEAR = timedelta(weeks=6)
MANY = 12  # colonies from which a comparison inside the yard makes sense


def cautions(sight: Sight, ruling: Ruling, rung: str) -> tuple[Caution, ...]:
    """What to mind while doing what the advice says.

    Sources: each line of the shelf's cautions carries its own; the others follow from
    the facts of the yard.
    """
    said: list[Caution] = []
    if rung == "foulbrood":
        said += [_shelved("foulbrood_suspect", sight), _shelved("antibiotics", sight)]
    if rung == "mites":
        said.append(_shelved("miticide_label", sight))
    if rung == "stores":
        said += _sugar(sight)
    if ruling.answer == "feed":
        said += _feeding(sight)
    said += _supers(sight)
    if ruling.answer in ("feed", "look_again") and sight.yard.kept_for == "hobby":
        said.append(_shelved("stings", sight))
    return tuple(said)


def _shelved(key: str, sight: Sight) -> Caution:
    """A line of the shelf; the inspector is the one of the yard's country where we know."""
    line = caution(key)
    ask = sight.inspector if "inspector" in line.ask and sight.law.known else say(line.ask)
    return Caution(say(line.line), ask, line.source)


def _nearby(sight: Sight) -> str:
    """Who knows the practice of the place."""
    return say("your club") if sight.yard.kept_for == "hobby" else say("your adviser")


def _sugar(sight: Sight) -> list[Caution]:
    outside = sight.yard.forage.outside_c
    if outside is not None and sight.cold_today:
        at = say("At {warmth}", warmth=sight.warmth(outside))
        text = say("{at} lift the lid only: lay the sugar on and close, without pulling a frame.", at=at)
        return [Caution(text, _nearby(sight))]
    return [_shelved("syrup_alone", sight)]


def _feeding(sight: Sight) -> list[Caution]:
    health, near = sight.yard.health, _nearby(sight)
    said = [_shelved("foulbrood_pollen", sight)]
    if sight.law.default == "ask":
        said.append(Caution(say("The rules of this country are not known here: ask first."), sight.inspector))
    if health.beetles_seen:
        said.append(_beetles(sight))
    if health.fed_miticide_label:
        said.append(_shelved("miticide_label", sight))
    if winter_side(sight):
        said.append(_shelved("cold", sight))
    return said + [Caution(text, near) for text in _practice(sight)]


def _practice(sight: Sight) -> list[str]:
    """What neighbours would say, as far as it fits this yard."""
    count, goal, note = sight.yard.count, sight.yard.goal, sight.yard.health.honey_note
    said = []
    if count.start != "colony":
        said.append(say("A nuc or package gets a small piece: no more than it clears in a week."))
    if re.search(r"\blight|\bliger", note, re.I):  # as it was typed, in either language
        said.append(say("Sugar or syrup for the light ones ({note}).", note=honey_said(note)))
    if goal is not None and goal.aim in ("splits", "nectar_flow"):
        said.append(say("Earlier build-up crowds earlier: plan room or splits, or they swarm."))
    said.append(say("Once begun, keep on until pollen is in: after a gap brood is torn out."))
    if sight.yard.colonies >= MANY:
        said.append(say("Leave a check group unfed inside each yard, or nobody can say whether it paid."))
    return said


def _beetles(sight: Sight) -> Caution:
    days = counted(round(sight.figures.typical("ladder.beetle_days")), "day")
    said = {
        "lb": noted("Beetles: ½ lb (200 g) or less a hive, gone within {days}; take out what is left."),
        "g": noted("Beetles: 200 g (½ lb) or less a hive, gone within {days}; take out what is left."),
    }
    text = say(said[units_of(sight.yard.place.country)], days=days)
    return Caution(text, say("your extension office"), caution("beetles").source)


def _supers(sight: Sight) -> list[Caution]:
    on = sight.yard.forage.supers_from
    if on is None or not sight.today <= on <= sight.today + SUPERS_NEAR:
        return []
    line = _shelved("supers", sight)
    return [
        Caution(say("Supers go on {day}. {text}", day=sight.day(on), text=line.text), line.ask, line.source)
    ]
