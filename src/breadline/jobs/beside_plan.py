"""What joins the advice of a yard, whether bread runs short, and its plan, whether feeding pays."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_book import RoundsBook
from breadline.language import say
from breadline.need.advice import Advice
from breadline.need.words import day_and_year
from breadline.records.address import BookAt

FEEDS = ("feed", "soon")
NEAR = timedelta(days=14)  # within which a round of the plan is what the advice means


def beside_advice(path: BookAt, today: date, yard_id: str, advice: Advice) -> str:
    """Why the advice says to feed and the plan in force does not, or not yet; else empty."""
    return beside_advices(path, today, {yard_id: advice})[yard_id]


def beside_advices(path: BookAt, today: date, advice: Mapping[str, Advice]) -> dict[str, str]:
    """The same of several yards, by their keys: the book is opened once, and not at all where none asks."""
    asked = [key for key, one in advice.items() if one.state in FEEDS]
    return beside_plans(RoundsBook(path, today).plans(asked) if asked else {}, today, advice)


def beside_plans(held: Mapping[str, PlanKept], today: date, advice: Mapping[str, Advice]) -> dict[str, str]:
    """The same where the plans of the yards are at hand."""
    return {key: _joined(held.get(key), today) if one.state in FEEDS else "" for key, one in advice.items()}


def _joined(kept: PlanKept | None, today: date) -> str:
    if kept is None or kept.past(today):
        return ""
    if not kept.rounds:
        if kept.foretold.get("kind") == "move":
            return ""
        return say(
            "The advice asks whether bread runs short; your plan, whether feeding pays for what you want: "
            "it is to do nothing."
        )
    ahead = [one.on for one in kept.rounds if one.share_left(today)]
    begun = any(one.given is not None for one in kept.rounds)
    if begun or not ahead or ahead[0] - today <= NEAR:
        return ""
    return say(
        "The advice asks whether bread runs short; your plan, whether feeding pays for what you want: "
        "its first round is on {day}.",
        day=day_and_year(ahead[0]),
    )
