"""Invented yards for the tests of the advice: one that needs feed, and ways to spoil it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from breadline.knowledge import shelf
from breadline.knowledge.countries import CountryLaw, law_of
from breadline.need.advice import Advice, advise
from breadline.need.outlook import Band, Outlook, Range, ShortFrom
from breadline.need.yard import Count, Forage, Goal, Health, Place, Yard

TODAY = date(2027, 4, 1)
IN_NEED = Yard(
    name="Invented",
    place=Place(44.0, country="US"),
    colonies=20,
    today=TODAY,
    count=Count(TODAY, 0.25, "frames", 7.0, "one_layer", 4.0, None, 10),
    health=Health(False, 0.5, TODAY, 10, 10, "enough", "", False),
    forage=Forage("none", False, TODAY + timedelta(days=14), 14.0),
)


def of(yard: Yard, **changes: object) -> Yard:
    """The yard with fields of its tables changed: ``health={"mites_per_100": 5}``."""
    tables = {}
    for name, value in changes.items():
        tables[name] = replace(getattr(yard, name), **value) if isinstance(value, dict) else value
    return replace(yard, **tables)


def told(yard: Yard, outlook: Outlook | None = None, law: CountryLaw | None = None) -> Advice:
    """The advice with the shipped figures and the law of the yard's country."""
    return advise(yard, outlook, shelf.load().reader(), law or law_of(yard.place.country), None)


def head(advice: Advice, name: str):
    """The reason of that head."""
    return next(reason for reason in advice.reasons if reason.head == name)


def goal(aim: str, weeks: float, frames: float | None = None) -> Goal:
    """A goal so many weeks from today."""
    return Goal(aim, TODAY + timedelta(weeks=weeks), frames)


def outlook(chance=0.9, days=None, now=False, today=TODAY) -> Outlook:
    """A made-up outlook that falls short ``days`` from today (earliest, middle, latest)."""
    dates = tuple(today + timedelta(days=i) for i in range(150))
    early, middle, late = (None if d is None else today + timedelta(days=d) for d in days or (None,) * 3)
    short = ShortFrom(chance, early, middle, late, early or dates[-1], now)
    level = Band(*(np.ones(150) for _ in range(3)))
    return Outlook(
        today, dates, level, level, level, level, np.zeros(150), short, Range(3, 5, 9), (), level, level,
        None, 1900.0, "made up", "made up", False, 1, (), (),
    )  # fmt: skip
