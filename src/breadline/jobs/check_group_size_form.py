"""The size of a check group as it is asked on the page: fields put together to a size file's text."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from datetime import date

from breadline.jobs.check_group_form import Field, Part

_PLAIN = re.compile(r"[-+]?\d+(\.\d+)?")
UNIT = {"frame": "frames", "kg": "kg", "lb": "lb"}
PARTS = (
    Part(
        "",
        (
            Field("cost", "Feeding costs a colony", "feed, work and trips"),
            Field("money", "Money", "US$, EUR …"),
            Field(
                "pays",
                "What pays",
                "",
                (
                    ("frame", "a frame of bees"),
                    ("lb", "a pound of honey"),
                    ("kg", "a kilogram of honey"),
                    ("grade", "a colony that makes grade"),
                ),
            ),
            Field("price", "and is worth"),
            Field("grade", "Frames that make grade", "only where grade pays"),
            Field("usual", "An unfed colony has on the day", "frames, or honey as above"),
            Field(
                "situation",
                "The place gives",
                "",
                (
                    ("", "choose"),
                    ("dearth", "no pollen: a dearth"),
                    ("poor_spring", "a poor spring"),
                    ("pollen", "pollen enough"),
                ),
            ),
        ),
    ),
)
FOLDED = Part(
    "What has its usual value unless you say otherwise",
    (
        Field(
            "baseline",
            "Graded before the draw",
            "for sets of like strength",
            (("true", "yes"), ("false", "no")),
        ),
        Field(
            "check_group",
            "The check group gets",
            "",
            (
                ("no protein", "no protein feed"),
                ("usual practice", "usual practice"),
                ("half rate", "half the rate"),
                ("sugar patty", "a patty of sugar alone"),
            ),
        ),
        Field("sugar_cost", "A sugar patty costs a colony", "only where the check group gets one"),
        Field("feed_in_open", "Dry feed in the open", "", (("false", "no"), ("true", "yes"))),
        Field("minutes", "Minutes to grade a colony"),
        Field("wage", "Wage an hour", "0 if you leave it out"),
        Field("deaths_pct", "Dead by then, in 100"),
        Field("missing_pct", "Sold or not found by then, in 100", "5 if you leave it out"),
        Field("seasons", "Seasons ahead", "3 if you leave it out"),
        Field("year", "Year of the prices", "this one if you leave it out"),
    ),
)
COLONIES = Field("colonies", "Colonies you have", "in one yard")
BASELINE = FOLDED.fields[0]
TRUTHS = ("feed_in_open", "baseline")
YEAR = "year"


def text_of(typed: Mapping[str, str], yards: Sequence[tuple[str, int | str]], today: date) -> str:
    """The text of a size file; a pasted one goes before the fields. Prices are of this year if not said."""
    if typed.get("file", "").strip():
        return typed["file"]
    typed = {**typed, YEAR: typed.get(YEAR, "").strip() or f"{today.year}"}
    pays = typed.get("pays", "frame")
    tables = {
        "": ("money", YEAR, "cost", "sugar_cost", "situation", "check_group", "feed_in_open"),
        "pays": () if pays == "grade" else ((pays, "price"),),
        "target": (("fee", "price"), "grade") if pays == "grade" else (),
        "unfed": ((UNIT.get(pays, "frames"), "usual"), "deaths_pct", "missing_pct", "baseline"),
        "grading": ("minutes", "wage"),
        "ahead": ("seasons",),
    }
    if not yards and typed.get("colonies", "").strip():
        yards = [("Home", typed["colonies"])]
    lines = []
    for head, keys in tables.items():
        pairs = [key if isinstance(key, tuple) else (key, key) for key in keys]
        found = [f"{key} = {_value(typed[name], key)}" for key, name in pairs if typed.get(name, "").strip()]
        if head == "target" and keys:  # the size asks for no day, and paid by the hive is what is usual
            found += ['kind = "frames"', f"on = {today.isoformat()}", 'paid = "hive_by_hive"']
        lines += [f"[{head}]"] * bool(head and found) + found
    for name, colonies in yards:
        many = _value(str(colonies), "colonies")
        lines += ["[[yard]]", f"name = {json.dumps(name, ensure_ascii=False)}", f"colonies = {many}"]
    return "\n".join(lines) + "\n"


def _value(text: str, key: str) -> str:
    text = text.strip()
    if key in TRUTHS:
        return "true" if text == "true" else "false"
    return text if _PLAIN.fullmatch(text) and key != "money" else json.dumps(text, ensure_ascii=False)
