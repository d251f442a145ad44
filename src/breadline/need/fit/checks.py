"""Inspections that cannot be fitted, and the answer to each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.fit.evidence import Seen, Spread, evidence, mean_frames
from breadline.need.place_drivers import WeatherAhead, days_before
from breadline.need.words import day_and_year
from breadline.need.yard import Inspection, Yard

TOO_FAR = 2.5758  # standard deviations, beyond which 1 pair in 100 of like counts differs
NAMES = {"bees": "frames of bees", "brood": "frames of brood", "bread": "bread"}


def check_days(yard: Yard, weather: WeatherAhead) -> None:
    """Inspections outside the days that can be fitted.

    Errors
    ------
    YardError
        If one lies before the first count, after today, or before the weather begins, or has a
        dead colony.
    """
    if not yard.inspections:
        raise YardError("inspection", say("there is none"), say("at least one inspection after the count"))
    for one in yard.inspections:
        where = f"inspection of {day_and_year(one.on)}"
        mean_frames(one)  # a dead colony is said before anything is reckoned with
        if not one.frames_each and (one.frames_of_bees, one.frames_of_brood, one.bread) == (None,) * 3:
            raise YardError(where, say("nothing was counted"), say("frames of bees, of brood, or bread"))
        if one.on > yard.today:
            raise YardError(
                where,
                say("lies after today, {day_and_year}", day_and_year=day_and_year(yard.today)),
                say("a day that has been"),
                say("Mend its date, or the day of the question"),
            )
        if one.on < yard.count.on:
            raise YardError(
                where,
                say("lies before the first count, {day_and_year}", day_and_year=day_and_year(yard.count.on)),
                say("a day after it"),
                say("Make the earliest of them the count: the fit begins there"),
            )
    if yard.inspections and days_before(yard, weather) < 0:
        begins = weather.start.astype("datetime64[D]").item()
        raise YardError(
            "weather",
            say(
                "begins on {begins}, after the first count of {count}",
                begins=day_and_year(begins),
                count=day_and_year(yard.count.on),
            ),
            say("weather of every day from the first count on"),
            say("Get a longer weather file, or make a later inspection the count"),
        )


def check_agreement(yard: Yard, reader: Reader, spread: Spread, seen: Sequence[Seen]) -> None:
    """Two counts of one day that differ by more than readers and colonies do.

    Errors
    ------
    YardError
        Names the day and both counts.
    """
    looked = yard.count.start == "colony" and yard.count.brood_counted
    first = Inspection(
        on=yard.count.on,
        colonies_looked_in=yard.count.colonies_looked_in,
        frames_of_bees=yard.count.frames_of_bees,
        frames_of_brood=yard.count.frames_of_brood if looked else None,
    )
    of_the_count = evidence(replace(yard, inspections=(first,)), reader, spread)
    for a, b in combinations((*of_the_count, *seen), 2):
        if a.day != b.day or a.what != b.what or a.per != b.per:
            continue
        apart = abs(np.log(max(a.value, a.least) / max(b.value, b.least)))
        if apart > TOO_FAR * np.hypot(a.count_sd, b.count_sd):
            raise YardError(
                f"inspections of {day_and_year(a.inspection.on)}",
                say(
                    "two on one day disagree on {what}: {one} and {other}",
                    what=NAMES[a.what],
                    one=_said(a),
                    other=_said(b),
                ),
                say("counts no further apart than two readers and unlike colonies make them"),
                say("Look again, or strike out the one that is wrong: their middle would be nobody's count"),
            )


def _said(seen: Seen) -> str:
    amount = {
        "bees": seen.inspection.frames_of_bees or float(np.mean(seen.inspection.frames_each or (0.0,))),
        "brood": seen.inspection.frames_of_brood,
        "bread": seen.inspection.bread,
    }[seen.what]
    by = f" ({seen.inspection.reader})" if seen.inspection.reader else ""
    unit = f" {seen.inspection.bread_unit}" if seen.what == "bread" else ""
    return f"{amount:g}{unit}{by}"
