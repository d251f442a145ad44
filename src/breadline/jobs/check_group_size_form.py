"""The size of a check group as it is asked on the page: fields put together to a size file's text."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from datetime import date

from breadline.errors import TrialError
from breadline.jobs.check_group_form import Field, Part
from breadline.jobs.two_ways import asked_which, two_readings
from breadline.language import noted

PRICES = ("cost", "sugar_cost", "price", "wage")
_PLAIN = re.compile(r"[-+]?\d+(\.\d+)?")
UNIT = {"frame": "frames", "kg": "kg", "lb": "lb"}
PARTS = (
    Part(
        "",
        (
            Field(
                "cost",
                noted("Feeding costs a colony"),
                noted("feed, work and trips; against usual practice what it costs more"),
            ),
            Field("money", noted("Money"), noted("US$, EUR …")),
            Field(
                "pays",
                noted("What pays"),
                "",
                (
                    ("frame", noted("a frame of bees")),
                    ("lb", noted("a pound of honey")),
                    ("kg", noted("a kilogram of honey")),
                    ("grade", noted("a colony that makes grade")),
                ),
            ),
            Field("price", noted("and is worth")),
            Field("grade", noted("Frames that make grade"), noted("only where grade pays")),
            Field("usual", noted("An unfed colony has on the day"), noted("frames, or honey as above")),
            Field(
                "situation",
                noted("The place gives"),
                "",
                (
                    ("", noted("choose")),
                    ("dearth", noted("no pollen: a dearth")),
                    ("poor_spring", noted("a poor spring")),
                    ("pollen", noted("pollen enough")),
                ),
            ),
        ),
    ),
)
FOLDED = Part(
    noted("What has its usual value unless you say otherwise"),
    (
        Field(
            "baseline",
            noted("Graded before the draw"),
            noted("for sets of like strength"),
            (("true", noted("yes")), ("false", noted("no"))),
        ),
        Field(
            "check_group",
            noted("The check group gets"),
            "",
            (
                ("no protein", noted("no protein feed")),
                ("usual practice", noted("usual practice")),
                ("half rate", noted("half the rate")),
                ("sugar patty", noted("a patty of sugar alone")),
            ),
        ),
        Field(
            "sugar_cost", noted("A sugar patty costs a colony"), noted("only where the check group gets one")
        ),
        Field(
            "feed_in_open",
            noted("Dry feed in the open"),
            "",
            (("false", noted("no")), ("true", noted("yes"))),
        ),
        Field("minutes", noted("Minutes to grade a colony")),
        Field("wage", noted("Wage an hour"), noted("0 if you leave it out")),
        Field("deaths_pct", noted("Dead by then, in 100")),
        Field("missing_pct", noted("Sold or not found by then, in 100"), noted("5 if you leave it out")),
        Field("seasons", noted("Seasons ahead"), noted("3 if you leave it out")),
        Field("year", noted("Year of the prices"), noted("this one if you leave it out")),
    ),
)
COLONIES = Field("colonies", noted("Colonies you have"), noted("in one yard"))
BASELINE = FOLDED.fields[0]
TRUTHS = ("feed_in_open", "baseline")
YEAR = "year"


def text_of(typed: Mapping[str, str], yards: Sequence[tuple[str, int | str]], today: date) -> str:
    """The text of a size file; a pasted one goes before the fields. Prices are of this year if not said.

    Errors
    ------
    TrialError
        If a price can be read in two ways.
    """
    if typed.get("file", "").strip():
        return typed["file"]
    for name in PRICES:
        if readings := two_readings(typed.get(name, ""), typed.get("money", "")):
            raise TrialError(name, *asked_which(typed[name], readings))
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
