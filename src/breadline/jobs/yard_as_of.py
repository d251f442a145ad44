"""A yard file read as of another day than its own."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from breadline.jobs.yard_checks import check_dates
from breadline.jobs.yard_file import read_yard
from breadline.need.yard import Forage, Health, Yard


def read_yard_as_of(path: Path, day: date | None) -> Yard:
    """The yard of a file as of ``day``; of the file's own day where None.

    Errors
    ------
    YardError
        As ``read_yard``; and where the count is of a later day, or over a year old by then.
    """
    yard = read_yard(path)
    if day is None or day == yard.today:
        return yard
    check_dates(path.name, day, yard.count.on)
    inspections = tuple(one for one in yard.inspections if one.on <= day)
    # what was fed since is not known yet; what lies ahead of the file's own day is a plan
    given = tuple(one for one in yard.given if not day < one.on <= yard.today)
    now = replace(yard, today=day, inspections=inspections, given=given, health=_health(yard.health, day))
    return replace(now, forage=_forage(yard.forage, yard.today, day))


def _forage(forage: Forage, seen: date, day: date) -> Forage:
    """What was ``seen`` earlier with its day; nothing of what was seen later."""
    on = forage.seen_on or seen
    if on <= day:
        return replace(forage, seen_on=on)
    return replace(forage, coming_in=None, fresh_arcs=None, outside_c=None, seen_on=None)


def _health(health: Health, day: date) -> Health:
    """Without mites that were counted later; the rest has no day in a file and is taken as known."""
    if health.mites_on is None or health.mites_on <= day:
        return health
    return replace(health, mites_per_100=None, mites_on=None)
