"""Where something is to be mended, in the reader's language.

Errors name the place in English, so that a page finds the field by it.
"""

from __future__ import annotations

import re

from breadline.language import noted, say

PLACES = (
    noted("yard"), noted("certificate"), noted("targets"), noted("plan"), noted("sheet"),
    noted("taking back"), noted("label sheet"), noted("freezer"), noted("comparison"), noted("hive"),
    noted("move"), noted("round"), noted("piece"), noted("rounds left"), noted("chart"),
    noted("feed put on"), noted("prices"), noted("aim"), noted("region"), noted("weather file"),
    noted("country"), noted("figure"), noted("inspection"), noted("count"), noted("season model"),
    noted("start"), noted("stores"), noted("air temperature outside"), noted("your rule for beetles"),
    noted("sugar of the syrup"), noted("mass of a patty"), noted("driving order"), noted("humidity"),
    noted("target"), noted("count at the entrance"), noted("counts at the entrance"),
    noted("minutes counted"), noted("hives counted at"), noted("frozen frames"), noted("visit"),
    noted("mixing day"), noted("load"), noted("order"), noted("spare"), noted("rounds"), noted("interval"),
    noted("frames on the date"), noted("plans"), noted("hives with a fresh arc"),
    noted("flying days ahead"), noted("your threshold"), noted("flow"), noted("premium"),
    noted("usual crop"), noted("losses"), noted("basis"), noted("mixer"), noted("unit"),
    noted("mixing loss"), noted("batch"), noted("pollen, dose"), noted("pollen, origin"),
    noted("pollen, rays"), noted("ingredients"), noted("colony"), noted("question"), noted("phone"),
    noted("reading"), noted("dry feed"), noted("end"), noted("operation"), noted("tags"),
    noted("first label"), noted("patties in a box"), noted("labels"), noted("paper"), noted("work"),
    noted("benefit"), noted("design"), noted("outcome"), noted("deaths"), noted("header"), noted("place"),
    noted("period"), noted("search"), noted("what may go in"), noted("money"), noted("day"), noted("form"),
    noted("frames of a colony"), noted("colonies graded"), noted("lesson"), noted("belief"),
    noted("outlook"), noted("order list"), noted("truck sheet"), noted("batch sheet"),
    noted("own colonies in flight range"), noted("cost of a colony and round"), noted("yards"),
)  # fmt: skip


def place_words(where: str) -> str:
    """Where something is to be mended; errors name it in English, so that fields are found by it."""
    if found := re.fullmatch(r"(.+), row (\d+), column (.+)", where):
        return say("{file}, row {n}, column {column}", file=say(found[1]), n=found[2], column=found[3])
    if found := re.fullmatch(r"(.+), row (\d+)(.*)", where):
        return say("{file}, row {n}", file=say(found[1]), n=found[2]) + found[3]
    if found := re.fullmatch(r"(.+), column (.+)", where):
        return say("{file}, column {column}", file=say(found[1]), column=found[2])
    if found := re.fullmatch(r"(.+), header", where):
        return say("{file}, head", file=say(found[1]))
    if found := re.fullmatch(r"(.+), head", where):
        return say("{file}, head", file=say(found[1]))
    if found := re.fullmatch(r"hive (.+)", where):
        return say("hive {name}", name=found[1])
    if found := re.fullmatch(r"bloom (.+)", where):
        return say("bloom {name}", name=found[1])
    if found := re.fullmatch(r"yard (.+)", where):
        return say("yard {name}", name=found[1])
    if found := re.fullmatch(r"(your \w+), (\w+)", where):
        return f"{say(found[1])}, {say(found[2])}"
    return say(where)
