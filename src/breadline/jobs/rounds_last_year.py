"""What was done last year, as a plan file says it, and on the days of this year."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from breadline.jobs.rounds_feed_asked import FeedAsked
from breadline.jobs.rounds_fields import GRAMS, PlanTable
from breadline.language import say
from breadline.need.words import counted, day_and_year
from breadline.need.yard import Given

LAST_YEAR = ("on", "lb", "oz", "g", "kg", "feed")
MOST_G = 5000.0  # one round, of one colony [g]


def last_year_of(
    tables: Sequence[PlanTable], feeds: tuple[FeedAsked, ...], today: date | None
) -> tuple[tuple[Given, ...], int]:
    """The rounds of last year and which of the feeds they were of.

    ``today`` is None for a plan that a book keeps: what was allowed when it was chosen is not refused now.

    Errors: PlanError for a round without one mass or day; and with ``today`` for one that lies not before it,
    for two that fall on one day of this year, and for rounds of different feeds.
    """
    given = tuple(Given(_day(table), _grams(table)) for table in tables)
    named = [name for table in tables if (name := _feed(table, feeds))]
    if today is not None:
        _checked(tables, given, today)
        _of_one_feed(tables, feeds)
    return given, [feed.name for feed in feeds].index(named[-1]) if named else 0


def _day(table: PlanTable) -> date:
    on: date = table.needed("on", table.day("on"), say("the day, such as 2026-02-10"))
    return on


def _grams(table: PlanTable) -> float:
    units = [unit for unit in ("lb", "oz", "g", "kg") if unit in table.data]
    if len(units) != 1:
        raise table.error("lb", say("one mass is wanted"), say("lb = 1, or g = 450, of one colony"))
    unit = units[0]
    most = MOST_G / GRAMS[unit]
    return (table.above(unit, most, unit, say("Give it for one colony, not for the yard")) or 0.0) * GRAMS[
        unit
    ]


def _feed(table: PlanTable, feeds: tuple[FeedAsked, ...]) -> str:
    names = [feed.name for feed in feeds]
    return table.word("feed", names) or "" if table.text("feed") else ""


def _checked(tables: Sequence[PlanTable], given: tuple[Given, ...], today: date) -> None:
    """Errors: PlanError for a round that was not given yet, and for two that fall on one day."""
    found: dict[tuple[int, int], date] = {}
    for table, one in zip(tables, given, strict=True):
        if one.on >= today:
            raise table.error(
                "on",
                say("{on} lies not before today, {today}", on=one.on, today=today),
                say("a day on which feed was given last year"),
                say("If the year is a slip, mend it; a round that is to come is left out"),
            )
        at = _month_day(one.on)
        if at in found:
            raise table.error(
                "on",
                say("{on} falls on the same day of the year as {other}", on=one.on, other=found[at]),
                say("each day once"),
                say("Write in one block what a colony got that day in all; of two years, take one"),
            )
        found[at] = one.on


def _of_one_feed(tables: Sequence[PlanTable], feeds: tuple[FeedAsked, ...]) -> None:
    """Errors: PlanError where rounds are of several feeds; one without a name is of the first in the file."""
    of = [_feed(table, feeds) or feeds[0].name for table in tables]
    for table, name in zip(tables, of, strict=True):
        if name != of[0]:
            raise table.error(
                "feed",
                say("this round is of {name}, the first of {other}", name=name, other=of[0]),
                say("one feed for all rounds of last year"),
                say("Name the same feed in each block; a plan is of one feed"),
            )


def _month_day(on: date) -> tuple[int, int]:
    """The day of any year that it falls on; the 29th of February on the 28th."""
    return (2, 28) if (on.month, on.day) == (2, 29) else (on.month, on.day)


def on_this_year(given: tuple[Given, ...], today: date, until: date) -> tuple[Given, ...]:
    """Rounds of last year on the same days ahead of today, up to ``until``."""
    moved = []
    for one in given:
        for year in (today.year, today.year + 1):
            on = date(year, *_month_day(one.on))
            if today <= on < until:
                moved.append(Given(on, one.grams))
                break
    return tuple(moved)


def left_of_last_year(given: tuple[Given, ...], today: date, until: date) -> tuple[str, ...]:
    """That rounds of last year do not lie between today and the day it is for; empty where all do."""
    many, ahead = len(given), len(on_this_year(given, today, until))
    if ahead == many:
        return ()
    of = {"day": day_and_year(today), "until": day_and_year(until), "many": counted(many, "round")}
    if not ahead:
        return (
            say(
                "As last year: none of its {many} lies between {day} and {until}, so it is no plan here.",
                **of,
            ),
        )
    return (
        say("As last year: of its {many} only {n} between {day} and {until} can be tried.", n=ahead, **of),
    )
