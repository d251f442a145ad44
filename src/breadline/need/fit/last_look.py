"""The yard as it was last seen, for the advice that goes by what is on the combs now."""

from __future__ import annotations

from dataclasses import replace

from breadline.errors import YardError
from breadline.language import say
from breadline.need.fit.evidence import mean_frames
from breadline.need.fit.told import Fitted
from breadline.need.forecast import OLDEST_COUNT
from breadline.need.words import day_and_year
from breadline.need.yard import Yard


def as_last_looked(yard: Yard, fitted: Fitted | None) -> Yard:
    """The yard with its last inspection as its count.

    What was not counted then stays as it was counted before; bread, which changes
    fastest, is the middle of what the fit leaves, where there is a fit that holds.
    """
    if not yard.inspections:
        return yard
    count = yard.count
    for one in sorted(yard.inspections, key=lambda i: i.on):
        frames = mean_frames(one)
        count = replace(
            count,
            on=one.on,
            colonies_looked_in=len(one.frames_each) or one.colonies_looked_in,
            boxes=one.boxes or count.boxes,
            start="colony",
        )
        if frames is not None:
            count = replace(
                count, frames_of_bees=frames, frame_means=one.frame_means or count.frame_means, bees_kg=None
            )
        if one.frames_of_brood is not None:
            count = replace(count, frames_of_brood=one.frames_of_brood, brood_counted=True)
        if one.bread is not None:
            count = replace(count, bread=one.bread, bread_unit=one.bread_unit)
        elif fitted is not None and fitted.fits:
            reckoned = float(fitted.after.bread_g.middle[(one.on - yard.count.on).days])
            count = replace(count, bread=round(reckoned), bread_unit="g")
    return replace(yard, count=count)


def bread_is_recent(yard: Yard) -> None:
    """Where nothing is fitted, bread stands as it was counted, and so must have been counted lately.

    Errors
    ------
    YardError
        If nobody looked for bread in the days that a count is good for.
    """
    looks = [one.on for one in yard.inspections if one.bread is not None and one.on <= yard.today]
    last = max([yard.count.on, *looks])
    if (yard.today - last).days > OLDEST_COUNT:
        raise YardError(
            "bread",
            say(
                "it was last counted on {day}, {days} days back",
                day=day_and_year(last),
                days=(yard.today - last).days,
            ),
            say("bread counted in the last {oldest_count} days", oldest_count=OLDEST_COUNT),
            say(
                "Write down the bread of the last inspection; old bread is eaten, and winter "
                "stops the reckoning"
            ),
        )
