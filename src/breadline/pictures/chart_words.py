"""The words of the bread chart: heads, the sentence for screen readers, why the outlook ends."""

from __future__ import annotations

import re

import numpy as np

from breadline.language import say
from breadline.measures import Units
from breadline.need.outlook import Band, Outlook
from breadline.need.outlook_words import bread_lasts
from breadline.need.words import counted, half_frames
from breadline.need.words import day as long_day
from breadline.need.yard import Goal
from breadline.pictures.frame import Panel
from breadline.pictures.scene import Scene
from breadline.pictures.series import Series
from breadline.pictures.wording import amount

Heads = tuple[tuple[str, ...], tuple[str, ...]]


def heads(panel: Panel, scene: Scene) -> Heads:
    """Title and second line of a panel, each in wordings from long to short."""
    name, pale = panel.name, say("pale: {range_words}", range_words=_range_words(scene.outlook))
    if name == "pollen":
        pale += _cut(scene.series.income, panel)
        unit = say("pounds") if scene.units == "lb" else say("grams")
        return (say("Pollen coming in, and what brood and nurses need"), say("Pollen coming in, and need")), (
            say("{unit} a week, one colony; {pale}", unit=unit, pale=pale),
            say("{unit} a week; {pale}", unit=unit, pale=pale),
            say("{unit} a week, one colony", unit=unit),
        )
    if name == "rounds":
        return _rounds_head(scene), ()
    if name == "bread":
        cut = _cut(scene.series.bread_days, panel)
        return (_bread_head(scene),), (
            say("stored pollen divided by the day's need; {pale}{cut}; dotted: 10 days", pale=pale, cut=cut),
            say("stored pollen ÷ need; {pale}{cut}; dotted: 10 days", pale=pale, cut=cut),
            say("stored pollen ÷ the day's need{cut}; dotted: 10 days", cut=cut),
            say("days of need{cut}; dotted: 10 days", cut=cut),
        )
    fed = scene.outlook.adults_fed is not None
    title = (
        say("Frames of bees, with feed and without") if fed else say("Frames of bees, without protein feed")
    )
    return (title,), (
        say("line: the middle outcome; band: {range_words}", range_words=_range_words(scene.outlook)),
        say("band: {range_words}", range_words=_range_words(scene.outlook)),
    )


def _cut(band: Band, panel: Panel) -> str:
    """Said wherever a band goes on above the panel."""
    return say(", cut at the top") if float(np.max(band.high)) > panel.top_value else ""


def _range_words(outlook: Outlook) -> str:
    """What a band holds, for real years, for seasons made from a few of them, and for a single year."""
    if outlook.short_from is None:
        return say("widened, the model does not fit")
    few = outlook.few_years or 1
    if outlook.weather_years:
        return say("8 seasons in 10")
    return (
        say("8 seasons in 10, made from {few} years", few=few)
        if few > 1
        else say("8 runs in 10 of one weather year")
    )


def _bread_head(scene: Scene) -> str:
    """With today's figure, which the eye looks for first."""
    return say("Bread left today: {bread_lasts}", bread_lasts=bread_lasts(scene.outlook.lasts_days))


def _rounds_head(scene: Scene) -> tuple[str, ...]:
    sizes = {amount(g.grams, scene.units) for g in scene.given}
    each = say(": {pop} each", pop=sizes.pop()) if len(sizes) == 1 else say(" of protein feed")
    planned = any(g.on > scene.today for g in scene.given)
    key = say("; filled = done, open = planned") if planned else say(", done")
    return (say("Rounds{each}{key}", each=each, key=key), say("Rounds{each}", each=each))


def sentence(title: str, outlook: Outlook, series: Series, goal: Goal | None, units: Units) -> str:
    """What the picture shows, in words, for those who do not see it."""
    first, last = series.dates[0], series.dates[-1]
    gone = int(np.sum(series.missing & (series.need.middle > series.income.middle)))
    days = say("no day") if not gone else counted(gone, "day")
    still = say(", still so on the last day") if series.open_end else ""
    unit = say("pounds") if units == "lb" else say("grams")
    until = outlook.frames_end
    last_of_them = (
        say("on the last day")
        if until is None
        else say("on {long_day}, where they stop,", long_day=long_day(until.on))
    )
    missing = (
        say(", with bread missing on {days}{still}", days=days, still=still) if series.tells_short else ""
    )
    lowest = (
        say(", {float} at the lowest", float=round(float(np.min(series.bread_days.middle))))
        if series.tells_short
        else ""
    )
    parts = [
        title.strip().rstrip(".") + "." if title.strip() else "",
        say(
            "Bread chart from {long_day} {year} to {long_day2} {year2}:",
            long_day=long_day(first),
            year=first.year,
            long_day2=long_day(last),
            year2=last.year,
        ),
        say("pollen coming in against need in {unit} a week{missing};", unit=unit, missing=missing),
        say("bread days left{lowest};", lowest=lowest),
        say(
            "frames of bees, {half_frames} {last_of_them} without feed",
            half_frames=half_frames(float(series.frames.middle[-1])),
            last_of_them=last_of_them,
        ),
    ]
    if series.frames_fed is not None:
        parts.append(
            say("and {half_frames} with feed", half_frames=half_frames(float(series.frames_fed.middle[-1])))
        )
    if goal is not None and goal.frames is not None:
        parts.append(say("against a goal of {half_frames}", half_frames=half_frames(goal.frames)))
    return re.sub(r"\s+", " ", " ".join(parts)).strip() + "."


def short_reason(reason: str) -> str:
    """The first clause of why an outlook ends, without a full stop."""
    clause = re.split(r"[;(]|\.\s|: ", reason.strip(), maxsplit=1)[0].strip().rstrip(".,")
    return clause[:1].lower() + clause[1:] if clause[1:2].islower() or clause[1:2] == " " else clause
