"""What the sheets of a chosen plan are printed from, written out to be kept, and read again."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from typing import Any

from breadline.jobs.recipe_file import recipe_from_text
from breadline.jobs.recipe_text import recipe_to_toml
from breadline.jobs.recipe_written import Quote
from breadline.jobs.rounds_yard_paper import FeedPaper, YardPaper, syrup_name
from breadline.knowledge.ingredient import Price
from breadline.language import noted, say
from breadline.need.yard import Place
from breadline.plan.combining import Pair
from breadline.plan.cuts import Patty
from breadline.plan.money import Amount
from breadline.plan.order import SyrupToOrder
from breadline.plan.paper import RoundVisit
from breadline.plan.portions import Step
from breadline.plan.truck_days import Drive

SHAPE = "breadline.yard-paper/1"
PLAIN = ("yard", "round", "days", "beetle_rule", "light", "syrup_each_l", "dry_sugar_each_g", "rim", "feed",
         "unfed_why")  # fmt: skip
Told = Mapping[str, Any]


def paper_document(paper: YardPaper) -> dict[str, Any]:
    """What is kept: plain numbers, words, lists."""
    return {
        "shape": SHAPE,
        "yard": paper.yard,
        "country": paper.country,
        "visits": [_visit(visit) for visit in paper.visits],
        "feed": None if paper.feed is None else _feed(paper.feed),
        "syrup": None if paper.syrup is None else asdict(paper.syrup),
        "spare": paper.spare,
        "drive": {"own": list(paper.drive.own), "shop": _place(paper.drive.shop)},
        "mix_days_before": paper.mix_days_before,
        "hives": [[tag, frames] for tag, frames in paper.hives],
        "stop_from": _day(paper.stop_from),
        "moved_on": _day(paper.moved_on),
        "round_labour": paper.round_labour,
        "round_travel": paper.round_travel,
    }


def paper_from(told: Told | None) -> YardPaper | None:
    """The same, read again; None where an older book kept none, or a newer one kept it in another shape.

    Errors: RecipeError if the recipe that was kept can no longer be read.
    """
    if told is None or told.get("shape") != SHAPE:
        return None
    drive = told["drive"]
    return YardPaper(
        yard=told["yard"],
        country=told["country"],
        visits=tuple(_visit_from(one) for one in told["visits"]),
        feed=None if told["feed"] is None else _feed_from(told["feed"]),
        syrup=None if told["syrup"] is None else _syrup_from(told["syrup"]),
        spare=told["spare"],
        drive=Drive(tuple(drive["own"]), _place_from(drive["shop"])),
        mix_days_before=told["mix_days_before"],
        hives=tuple((tag, frames) for tag, frames in told["hives"]),
        stop_from=_day_from(told["stop_from"]),
        moved_on=_day_from(told["moved_on"]),
        round_labour=told["round_labour"],
        round_travel=told["round_travel"],
    )


def _visit(visit: RoundVisit) -> dict[str, Any]:
    plain = {name: getattr(visit, name) for name in PLAIN}
    return {
        **plain,
        "on": visit.on.isoformat(),
        "steps": [[step.from_frames, step.cut] for step in visit.steps],
        "counts": list(visit.counts),
        "patty": asdict(visit.patty),
        "look_at": list(visit.look_at),
        "joined": [[pair.frames, *pair.hives] for pair in visit.combine],
        "joined_on": _day(visit.joined_on),
        "unfed": list(visit.unfed),
        "place": _place(visit.place),
    }


def _visit_from(told: Told) -> RoundVisit:
    unfed, why = told.get("unfed", ()), told.get("unfed_why", "")
    if "combine" in told:  # an older book, which named no pairs
        unfed, why = told["combine"], noted("to be combined") if told["combine_pays"] else noted("too small")
    return RoundVisit(
        **{name: told[name] for name in PLAIN if name != "unfed_why"},
        on=date.fromisoformat(told["on"]),
        steps=tuple(Step(frames, cut) for frames, cut in told["steps"]),
        counts=tuple(told["counts"]),
        patty=Patty(**told["patty"]),
        look_at=tuple(told["look_at"]),
        combine=tuple(Pair(frames, tuple(hives)) for frames, *hives in told.get("joined", ())),
        joined_on=_day_from(told.get("joined_on")),
        unfed=tuple(unfed),
        unfed_why=why,
        place=_place_from(told["place"]),
    )


def _feed(feed: FeedPaper) -> dict[str, Any]:
    return {
        "name": feed.name,
        "price": asdict(feed.price),
        "box_kg": feed.box_kg,
        "by": feed.by,
        "version": feed.version,
        "recipe": None if feed.recipe is None else recipe_to_toml(feed.recipe),
        "quotes": [asdict(quote) for quote in feed.quotes.values()],
    }


def _feed_from(told: Told) -> FeedPaper:
    name, text = told["name"], told["recipe"]
    return FeedPaper(
        name,
        Amount(**told["price"]),
        told["box_kg"],
        told["by"],
        told["version"],
        None
        if text is None
        else recipe_from_text(text, say("recipe of {name}, as it was chosen", name=name)),
        {one["of"]: Quote(**one) for one in told["quotes"]},
    )


def _syrup_from(told: Told) -> SyrupToOrder:
    per_l, sugar = told["per_l"], told["sugar"]
    pct = re.search(r"\d+", told["name"])  # named in the language of the day on which it was kept
    return SyrupToOrder(
        told["name"] if pct is None else syrup_name(int(pct.group())),
        None if per_l is None else Amount(**per_l),
        told["sugar_kg_per_l"],
        None if sugar is None else Price(**sugar),
    )


def _place(place: Place | None) -> list[float | None] | None:
    """Where it is for the driving order; nothing else of a place is printed."""
    return None if place is None else [place.latitude, place.longitude]


def _place_from(told: list[float] | None) -> Place | None:
    return None if told is None else Place(told[0], told[1])


def _day(on: date | None) -> str | None:
    return None if on is None else on.isoformat()


def _day_from(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)
