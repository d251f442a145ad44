"""The words of the bread chart: heads, the sentence for screen readers, why the outlook ends."""

from __future__ import annotations

import re

import numpy as np

from breadline.need.outlook import Band, Outlook
from breadline.need.outlook_words import bread_lasts
from breadline.need.words import day as long_day
from breadline.need.words import half_frames
from breadline.need.yard import Goal
from breadline.pictures.frame import Panel
from breadline.pictures.scene import Scene
from breadline.pictures.series import Series
from breadline.pictures.wording import Units, amount

Heads = tuple[tuple[str, ...], tuple[str, ...]]


def heads(panel: Panel, scene: Scene) -> Heads:
    """Title and second line of a panel, each in wordings from long to short."""
    name, pale = panel.name, f"pale: {_range_words(scene.outlook)}"
    if name == "pollen":
        pale += _cut(scene.series.income, panel)
        unit = "pounds" if scene.units == "lb" else "grams"
        return ("Pollen coming in, and what brood and nurses need", "Pollen coming in, and need"), (
            f"{unit} a week, one colony; {pale}",
            f"{unit} a week; {pale}",
            f"{unit} a week, one colony",
        )
    if name == "rounds":
        return _rounds_head(scene), ()
    if name == "bread":
        cut = _cut(scene.series.bread_days, panel)
        return (_bread_head(scene),), (
            f"stored pollen divided by the day's need; {pale}{cut}; dotted: 10 days",
            f"stored pollen ÷ need; {pale}{cut}; dotted: 10 days",
            f"stored pollen ÷ the day's need{cut}; dotted: 10 days",
            f"days of need{cut}; dotted: 10 days",
        )
    fed = scene.outlook.adults_fed is not None
    title = "Frames of bees, with feed and without" if fed else "Frames of bees, without protein feed"
    return (title,), (
        f"line: the middle outcome; band: {_range_words(scene.outlook)}",
        f"band: {_range_words(scene.outlook)}",
    )


def _cut(band: Band, panel: Panel) -> str:
    """Said wherever a band goes on above the panel."""
    return ", cut at the top" if float(np.max(band.high)) > panel.top_value else ""


def _range_words(outlook: Outlook) -> str:
    """What a band holds, for real years, for seasons made from a few of them, and for a single year."""
    if outlook.short_from is None:
        return "widened, the model does not fit"
    few = outlook.few_years or 1
    if outlook.weather_years:
        return "8 seasons in 10"
    return f"8 seasons in 10, made from {few} years" if few > 1 else "8 runs in 10 of one weather year"


def _bread_head(scene: Scene) -> str:
    """With today's figure, which the eye looks for first."""
    return f"Bread left today: {bread_lasts(scene.outlook.lasts_days)}"


def _rounds_head(scene: Scene) -> tuple[str, ...]:
    sizes = {amount(g.grams, scene.units) for g in scene.given}
    each = f": {sizes.pop()} each" if len(sizes) == 1 else " of protein feed"
    planned = any(g.on > scene.today for g in scene.given)
    key = "; filled = done, open = planned" if planned else ", done"
    return (f"Rounds{each}{key}", f"Rounds{each}")


def sentence(title: str, outlook: Outlook, series: Series, goal: Goal | None, units: Units) -> str:
    """What the picture shows, in words, for those who do not see it."""
    first, last = series.dates[0], series.dates[-1]
    gone = int(np.sum(series.missing & (series.need.middle > series.income.middle)))
    days = "no day" if not gone else "1 day" if gone == 1 else f"{gone} days"
    still = ", still so on the last day" if series.open_end else ""
    unit = "pounds" if units == "lb" else "grams"
    until = outlook.frames_end
    last_of_them = "on the last day" if until is None else f"on {long_day(until.on)}, where they stop,"
    missing = f", with bread missing on {days}{still}" if series.tells_short else ""
    lowest = f", {round(float(np.min(series.bread_days.middle)))} at the lowest" if series.tells_short else ""
    parts = [
        title.strip().rstrip(".") + "." if title.strip() else "",
        f"Bread chart from {long_day(first)} {first.year} to {long_day(last)} {last.year}:",
        f"pollen coming in against need in {unit} a week{missing};",
        f"bread days left{lowest};",
        f"frames of bees, {half_frames(float(series.frames.middle[-1]))} {last_of_them} without feed",
    ]
    if series.frames_fed is not None:
        parts.append(f"and {half_frames(float(series.frames_fed.middle[-1]))} with feed")
    if goal is not None and goal.frames is not None:
        parts.append(f"against a goal of {half_frames(goal.frames)}")
    return re.sub(r"\s+", " ", " ".join(parts)).strip() + "."


def short_reason(reason: str) -> str:
    """The first clause of why an outlook ends, without a full stop."""
    clause = re.split(r"[;(]|\.\s|: ", reason.strip(), maxsplit=1)[0].strip().rstrip(".,")
    return clause[:1].lower() + clause[1:] if clause[1:2].islower() or clause[1:2] == " " else clause
