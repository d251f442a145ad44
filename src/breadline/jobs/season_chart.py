"""The bread chart of an answer as a file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from breadline.errors import InputToMend
from breadline.jobs.season import SeasonAnswer
from breadline.language import say
from breadline.measures import units_of
from breadline.need.outlook_words import season_headline
from breadline.need.yard import Given
from breadline.pictures.bread_chart import bread_chart


def season_svg(
    told: SeasonAnswer,
    size: Literal["wide", "phone", "print"] = "wide",
    *,
    alone: bool = False,
    planned: Sequence[Given] = (),
) -> str:
    """The picture that the page shows; with its headline drawn in where it stands ``alone``.

    ``planned`` are rounds ahead; what was given is known to the answer.

    Errors
    ------
    InputToMend
        If there is no outlook to draw.
    """
    if told.outlook is None:
        raise InputToMend(
            "chart", say("there is no outlook to draw"), say("a date outside the winter gap"), told.no_outlook
        )
    goal = told.yard.goal
    over = goal is not None and goal.on is not None and goal.on < told.outlook.start  # of a season before
    return bread_chart(
        told.outlook,
        title=season_headline(told.outlook, told.yard.name),
        size=size,
        units=units_of(told.yard.place.country),
        today=told.yard.today,
        goal=None if over else goal,
        given=tuple(one for one in (*told.yard.given, *planned) if one.on >= told.outlook.start),
        show_title=alone,
    )


def write_chart(told: SeasonAnswer, path: Path) -> None:
    """Write the wide picture to ``path``.

    Errors
    ------
    InputToMend
        If the name does not end in .svg, there is nothing to draw, or the file cannot be written.
    """
    if path.suffix.lower() != ".svg":
        raise InputToMend(str(path), say("the chart is an SVG picture"), say("a name that ends in .svg"))
    picture = season_svg(told, alone=True)
    try:
        path.write_text(picture, encoding="utf-8")
    except OSError as fault:
        raise InputToMend(
            str(path),
            say("it can't be written ({strerror})", strerror=fault.strerror),
            say("a folder that exists and may be written to"),
        ) from None
