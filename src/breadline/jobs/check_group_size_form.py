"""The size of a check group as it is asked on the page: fields put together to a size file's text."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence

from breadline.jobs.check_group_form import Field, Part

_PLAIN = re.compile(r"[-+]?\d+(\.\d+)?")
UNIT = {"frame": "frames", "kg": "kg", "lb": "lb"}
PARTS = (
    Part(
        "What feeding costs, and what pays",
        (
            Field("money", "Money", "US$, EUR …"),
            Field("year", "Year of the prices"),
            Field("cost", "Feeding costs a colony", "feed, work and trips"),
            Field("pays", "What pays", "", (("frame", "a frame of bees"), ("lb", "a pound of honey"),
                                            ("kg", "a kilogram of honey"))),
            Field("price", "and is worth"),
            Field("usual", "An unfed colony has on the day", "frames, or honey as above"),
        ),
    ),
    Part(
        "What is believed, and how it is done",
        (
            Field("situation", "The place gives", "", (("", "choose"), ("dearth", "no pollen: a dearth"),
                  ("poor_spring", "a poor spring"), ("pollen", "pollen enough"))),
            Field("check_group", "The check group gets", "", (("no protein", "no protein feed"),
                  ("usual practice", "usual practice"), ("half rate", "half the rate"),
                  ("sugar patty", "a patty of sugar alone"))),
            Field("sugar_cost", "A sugar patty costs a colony", "only where the check group gets one"),
            Field("feed_in_open", "Dry feed in the open", "", (("false", "no"), ("true", "yes"))),
            Field("minutes", "Minutes to grade a colony"),
            Field("wage", "Wage an hour"),
            Field("deaths_pct", "Dead by then, in 100"),
            Field("seasons", "Seasons ahead", "3 if you leave it out"),
        ),
    ),
)  # fmt: skip


def text_of(typed: Mapping[str, str], yards: Sequence[tuple[str, int]]) -> str:
    """The text of a size file; a pasted one goes before the fields."""
    if typed.get("file", "").strip():
        return typed["file"]
    pays = typed.get("pays", "frame")
    unit = UNIT.get(pays, "frames")
    tables = {
        "": ("money", "year", "cost", "sugar_cost", "situation", "check_group", "feed_in_open"),
        "pays": ((pays, "price"),),
        "unfed": ((unit, "usual"), "deaths_pct"),
        "grading": ("minutes", "wage"),
        "ahead": ("seasons",),
    }
    lines = []
    for head, keys in tables.items():
        pairs = [key if isinstance(key, tuple) else (key, key) for key in keys]
        found = [f"{key} = {_value(typed[name], key)}" for key, name in pairs if typed.get(name, "").strip()]
        lines += [f"[{head}]"] * bool(head and found) + found
    for name, colonies in yards:
        lines += ["[[yard]]", f"name = {json.dumps(name, ensure_ascii=False)}", f"colonies = {colonies}"]
    return "\n".join(lines) + "\n"


def _value(text: str, key: str) -> str:
    text = text.strip()
    if key == "feed_in_open":
        return "true" if text == "true" else "false"
    return text if _PLAIN.fullmatch(text) and key != "money" else json.dumps(text, ensure_ascii=False)
