"""A yard written as the text of a yard file."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import date
from typing import Any

from breadline.need.yard import Bloom, DegreeDays, Inspection, Yard

BREAD_KEYS = {"frames": "frames", "cells": "cells", "g": "grams"}


def yard_to_toml(yard: Yard) -> str:
    """The yard as the text of a file that ``read_yard`` reads back to the same yard."""
    top = {
        "name": yard.name,
        "colonies": yard.colonies,
        "today": yard.today,
        "kept_for": yard.kept_for,
        "wants_feed_because": yard.wants_feed_because or None,
        "notes": list(yard.notes) or None,
        "fed_without_record": yard.fed_without_record or None,
    }
    parts = ["\n".join(_lines(top))]
    parts.append(section("[place]", _facts(yard.place)))
    parts.append(section("[count]", _count(yard)))
    parts.append(section("[health]", _health(yard)))
    parts.append(section("[forage]", _facts(yard.forage)))
    parts += [section("[[bloom]]", _bloom(bloom)) for bloom in yard.bloom]
    if yard.goal is not None:
        parts.append(section("[goal]", _facts(yard.goal)))
    parts += [section("[[given]]", _facts(given)) for given in yard.given]
    parts += [section("[[inspection]]", _inspection(one)) for one in yard.inspections]
    return "\n\n".join(part for part in parts if part) + "\n"


def _facts(thing: Any) -> dict[str, Any]:
    return {f.name: getattr(thing, f.name) for f in fields(thing)}


def _count(yard: Yard) -> dict[str, Any]:
    facts = _facts(yard.count)
    unit = BREAD_KEYS[facts.pop("bread_unit")]
    facts["bread"] = {unit: facts["bread"]}
    if facts["frame_means"] is not None:
        facts["frame_means"] = facts["frame_means"].removeprefix("frame_of_bees.")
    if not facts.pop("brood_counted"):
        facts["frames_of_brood"] = None
    facts["afresh"] = facts["afresh"] or None
    return facts


def _inspection(one: Inspection) -> dict[str, Any]:
    facts = {key: value or None if value in ((), "") else value for key, value in _facts(one).items()}
    del facts["bread_unit"]
    if one.bread is not None:
        facts["bread"] = {BREAD_KEYS[one.bread_unit]: one.bread}
    if one.frames_each:
        facts["colonies_looked_in"] = None  # told by the list
    if one.frame_means is not None:
        facts["frame_means"] = one.frame_means.removeprefix("frame_of_bees.")
    return facts


def _health(yard: Yard) -> dict[str, Any]:
    facts = _facts(yard.health)
    facts["honey_note"] = facts["honey_note"] or None
    return facts


def _bloom(bloom: Bloom) -> dict[str, Any]:
    facts = _facts(bloom)
    for key in ("start", "end"):
        facts[key] = _month_day(facts[key])
    if isinstance(bloom.degree_days, DegreeDays):
        inner = _facts(bloom.degree_days)
        inner["start"] = _month_day(inner["start"])
        facts["degree_days"] = inner
    facts["source"] = facts["source"] or None
    return facts


def _month_day(on: tuple[int, int] | None) -> str | None:
    return None if on is None else f"{on[0]:02d}-{on[1]:02d}"


def section(head: str, facts: Mapping[str, Any]) -> str:
    lines = list(_lines(facts))
    return "\n".join([head, *lines]) if lines or head.startswith("[[") else ""


def _lines(facts: Mapping[str, Any]) -> Iterable[str]:
    return [f"{key} = {_value(value)}" for key, value in facts.items() if value is not None]


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace(
            "\x7f", "\\u007f"
        )  # TOML bars DEL, JSON does not
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_value(item) for item in value) + "]"
    if isinstance(value, Mapping):
        inner = ", ".join(f"{key} = {_value(item)}" for key, item in value.items() if item is not None)
        return "{" + inner + "}"
    return repr(value)
