"""Up to where a number of one hive is taken as it is; above, somebody is asked whether it was meant.

All judged: a finger that slipped makes 75 of 7.5, and no hive that people work with has as much.
"""

from __future__ import annotations

from collections.abc import Iterable

from breadline.language import noted
from breadline.records.readings import Seen
from breadline.records.whys import asking

MOST = {
    "frames_of_bees": 60.0, "frames_of_brood": 60.0, "bread": 60.0,  # [frames]
    "put_on": 5_000.0,  # of feed at a time [g]
    "mites_per_100": 100.0,  # [mites/100 bees]
    "weight": 300.0,  # of a hive as it stands [kg]
}  # fmt: skip
IN_WORDS = {
    "frames_of_bees": noted("frames of bees"), "frames_of_brood": noted("frames of brood"),
    "bread": noted("frames of bread"), "put_on": noted("g of feed"),
    "mites_per_100": noted("mites on 100 bees"), "weight": "kg",
}  # fmt: skip


def doubted(seen: Iterable[Seen]) -> str:
    """What to ask of numbers that are larger than people have; empty where all are plausible."""
    for one in seen:
        most = MOST.get(one.kind)
        if (
            most is None
            or one.value is None
            or one.value <= most
            or (one.kind == "bread" and one.unit != "frames")
        ):
            continue
        what = asking(IN_WORDS[one.kind])
        if "frames" in what:
            asks = noted("{n} {what} in one hive: is it so, or was it {tenth}?")
            return asking(asks, n=one.value, what=what, tenth=one.value / 10)
        return asking(noted("{n} {what} in one hive: is it so?"), n=one.value, what=what)
    return ""
