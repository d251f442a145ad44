"""The picture of a verdict: every colony, and the break-even line."""

from __future__ import annotations

from datetime import date

from breadline.jobs.verdict import Verdict
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.pictures.colonies_chart import colonies_chart
from breadline.pictures.colonies_shown import ColoniesShown, colonies_shown
from breadline.pictures.frame import Size


def shown_of(one: Verdict) -> ColoniesShown:
    """What the picture shows."""
    return colonies_shown(one.answer, one.finished.design, one.worth, one.measure, graded_words(one))


def graded_words(one: Verdict) -> str:
    """When the colonies were graded, as it is said: "the end" where no day is known."""
    graded = one.finished.design.grading
    return say("the end") if graded == date.min else f"{day_and_year(graded)}"


def verdict_svg(one: Verdict, size: Size) -> str:
    """The picture as SVG text."""
    return colonies_chart(shown_of(one), size)
