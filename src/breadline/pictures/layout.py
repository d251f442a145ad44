"""Where everything goes: the span of time, the panels with their scales, the lines of words."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.language import say
from breadline.need.outlook import Outlook
from breadline.need.words import short_day
from breadline.need.yard import Goal
from breadline.pictures.chart_words import short_reason
from breadline.pictures.frame import Measure, Panel, PanelName, Size, stacked
from breadline.pictures.letters import DISPLAY, shortened, wrapped
from breadline.pictures.series import Series
from breadline.pictures.wording import ticks

TITLE_SIZE: dict[Size, int] = {"wide": 24, "phone": 20, "print": 18}
MOST_BREAD = 40.0  # days at which the bread panel stops, so that ten days stay readable
BAND_CUT = 2.5  # the pollen band is cut at so many times the highest line
FRAME_STEPS = (1.0, 2.0, 4.0, 5.0, 10.0)
TITLE_LINE = 1.3  # [em]
BEYOND = 0.5  # a goal so far past the end, as a share of the outlook, still gets its place


@dataclass(frozen=True)
class Layout:
    """Panels, lines of words and the height of the whole plot [px]."""

    panels: dict[PanelName, Panel]
    span: float  # days across the plot
    title_lines: tuple[str, ...]
    note_lines: tuple[str, ...]
    height: float


def days_across(series: Series, goal: Goal | None) -> float:
    """Days across the plot: to the last day, or on to a goal not far beyond it."""
    last = float(len(series.dates) - 1)
    if goal is not None and goal.on is not None and goal.frames is not None:
        on = float((goal.on - series.dates[0]).days)
        if last < on <= last * (1 + BEYOND):
            return on * 1.02
    return max(last, 1.0)


def layout_of(
    outlook: Outlook,
    series: Series,
    measure: Measure,
    title: tuple[str, int],
    goal: Goal | None,
    rounds: bool,
) -> Layout:
    """The layout of a picture; ``title`` is its text, or none, and its size [px]."""
    names: tuple[PanelName, ...] = ("pollen", "rounds", "bread", "frames")
    names = names if rounds else ("pollen", "bread", "frames")
    lines = wrapped(title[0], measure.plot, title[1], 500, DISPLAY)
    first = len(lines) * title[1] * TITLE_LINE + (10 if lines else 0)
    boxes = stacked(measure, names, first)
    span = days_across(series, goal)
    tops = {
        "pollen": _pollen_top(series),
        "rounds": 1.0,
        "bread": _bread_top(series),
        "frames": _frames_top(series, goal),
    }
    panels = {name: Panel(name, boxes[name], span, tops[name]) for name in names}
    notes = _end_note(outlook, series, measure)
    bottom = boxes["frames"].bottom + measure.axis * (2.3 + 1.35 * len(notes))
    return Layout(panels, span, tuple(lines), notes, round(bottom))


def _end_note(outlook: Outlook, series: Series, measure: Measure) -> tuple[str, ...]:
    """Where and why the outlook ends, in two lines at most."""
    ends = short_day(series.dates[-1], series.dates[0])
    still = say(", bread still missing") if series.open_end else ""
    note = say(
        "outlook ends {day}{still}: {why}", day=ends, still=still, why=short_reason(outlook.stops_because)
    )
    lines = wrapped(note, measure.plot, measure.axis)
    if len(lines) > 2:
        lines = [lines[0], shortened(" ".join(lines[1:]), measure.plot, measure.axis)]
    return tuple(lines)


def _pollen_top(series: Series) -> float:
    line = max(float(series.need.middle.max()), float(series.income.middle.max()))
    band = float(series.income.high.max())
    top = max(line * 1.12, min(band, line * BAND_CUT)) if line > 0 else band
    return ticks(top, 4)[-1]


def _bread_top(series: Series) -> float:
    highest = float(np.max(series.bread_days.high))
    return 20.0 if highest <= 20 else 30.0 if highest <= 30 else MOST_BREAD


def _frames_top(series: Series, goal: Goal | None) -> float:
    fans = [series.frames] + ([series.frames_fed] if series.frames_fed else [])
    wanted = goal.frames if goal is not None and goal.frames is not None else 0.0
    return ticks(max(*(float(f.high.max()) for f in fans), wanted * 1.15, 1.0), 4, FRAME_STEPS)[-1]
