"""From a yard's facts to what the rungs look at: bread in frames, the next first pollen, whose custom."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from breadline.knowledge.calendars import Calendar
from breadline.knowledge.countries import CountryLaw, law_of
from breadline.need.ladder.sight import Figures, Sight
from breadline.need.outlook import Outlook
from breadline.need.yard import Count, Forage, Yard

YEAR = timedelta(days=365)
TOO_FAR = timedelta(days=210)  # then the pollen of the season that runs has already begun


def survey(
    yard: Yard, outlook: Outlook | None, figures: Figures, law: CountryLaw | None, calendar: Calendar | None
) -> Sight:
    """Everything a rung may look at, in one place."""
    pollen, whose = first_pollen(yard, calendar)
    yard = replace(yard, forage=seen_lately(yard, figures))
    return Sight(
        yard=yard,
        outlook=outlook,
        figures=figures,
        law=law if law is not None else law_of(yard.place.country),
        first_pollen=pollen,
        first_pollen_from=whose,
        bread_frames=bread_in_frames(yard.count, figures),
    )


def seen_lately(yard: Yard, figures: Figures) -> Forage:
    """What was seen of pollen without what is too long ago; the air is that of today or not known."""
    forage, seen_on = yard.forage, yard.forage.seen_on
    if seen_on is None or seen_on >= yard.today:
        return forage
    forage = replace(forage, outside_c=None)
    if yard.today - seen_on < timedelta(days=figures.typical("seen_pollen.gone_days")):
        return forage
    return replace(forage, coming_in=None, fresh_arcs=None)


def bread_in_frames(count: Count, figures: Figures) -> float:
    """Stored pollen as deep frames of bread. [frames]"""
    if count.bread_unit == "cells":
        return count.bread / figures.typical("bread.cells_per_deep_frame")
    if count.bread_unit == "g":
        return count.bread / figures.typical("bread.g_per_deep_frame")
    return count.bread


def first_pollen(yard: Yard, calendar: Calendar | None) -> tuple[date | None, str]:
    """The next first reliable pollen, and who says so: the keeper before the calendar."""
    own = yard.forage.first_reliable_pollen
    if own is not None:
        # Last year's date still written down half a year on is the best word on the next.
        stale = yard.today - own > YEAR - TOO_FAR
        return (nearest(yard.today, own.month, own.day) if stale else own), "you"
    if calendar is not None:
        return nearest(yard.today, *calendar.first_reliable_pollen), calendar.name
    return None, ""


def nearest(today: date, month: int, day: int) -> date:
    """Such a day of the year: the coming one, unless it is more than seven months off."""
    last = 28 if (month, day) == (2, 29) else day
    coming = date(today.year, month, last)
    if coming < today:
        coming = date(today.year + 1, month, last)
    return coming if coming - today <= TOO_FAR else date(coming.year - 1, month, last)
