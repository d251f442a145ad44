"""One figure of the trade, and a user's edit of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Literal, cast

from breadline.errors import FigureError
from breadline.language import noted, say, say_as
from breadline.span import Scale, Span

Read = Literal["itself", "quoted", "memory", "judged"]
READ_WORDS: Mapping[Read, str] = {
    "itself": noted("read in the source"),
    "quoted": noted("quoted by another source"),
    "memory": noted("from memory, not checked"),
    "judged": noted("our judgement"),
}
PURE = "1"  # unit of a pure number


def unit_words(unit: str) -> str:
    """A unit in the reader's language; a symbol stays as it is, and of a pure number nothing is said."""
    return "" if unit == PURE else say_as("unit", unit)


@dataclass(frozen=True)
class Edit:
    """A user's own value for a shipped figure, kept apart from it.

    Parameters
    ----------
    low, typical, high
        As in a shipped figure, in its unit; three equal numbers for a constant.
    why
        The user's reason, shown wherever the figure is used.
    on
        Day on which the edit was made.
    """

    low: float
    typical: float
    high: float
    why: str
    on: date


@dataclass(frozen=True)
class Figure:
    """A figure of the trade as it is used now.

    ``span`` is the value in use, ``shipped`` the value that came with the
    program; they differ only where ``edited`` is true. ``bounds`` are the
    lowest and highest number that an edit may contain, in the figure's unit.
    """

    key: str
    meaning: str
    unit: str
    span: Span
    source: str
    read: Read
    note: str
    shipped: Span
    bounds: tuple[float, float]
    edit: Edit | None = None

    @property
    def edited(self) -> bool:
        """Whether a user's value stands in place of the shipped one."""
        return self.edit is not None

    @property
    def read_words(self) -> str:
        """How the figure was read, in words for a page."""
        return say("your own figure") if self.edited else say(READ_WORDS[self.read])

    def with_edit(self, edit: Edit) -> Figure:
        """The figure with a user's value in place of the shipped one.

        Errors
        ------
        FigureError
            If a value is not in order, or outside what is possible.
        """
        _check_bounds(self, edit)
        try:
            span = Span(edit.low, edit.typical, edit.high, self.shipped.scale)
        except FigureError as error:
            raise FigureError(self.key, error.what, error.expected, error.do) from error
        return replace(self, span=span, edit=edit)


def figure_from_table(key: str, table: Mapping[str, Any]) -> Figure:
    """A shipped figure from its table in a figure file."""
    span = Span(
        float(table["low"]), float(table["typical"]), float(table["high"]), cast(Scale, table["scale"])
    )
    low, high = table.get("bounds", _bounds(span, str(table["unit"])))
    return Figure(
        key, str(table["meaning"]), str(table["unit"]), span, str(table["source"]),
        cast(Read, table["read"]), str(table.get("note", "")), span, (float(low), float(high)),
    )  # fmt: skip


def _bounds(span: Span, unit: str) -> tuple[float, float]:
    """What an edit may contain where the file does not say: shares 0 to 1, else five times out."""
    if unit == "share":
        return 0.0, 1.0
    if span.low < 0:
        room = 3.0 * max(span.high - span.low, abs(span.typical), 1.0)
        return span.low - room, span.high + room
    most = 5.0 * span.high if span.high > 0 else 1.0
    return span.low / 5.0, min(100.0, most) if unit.startswith("%") else most


def _check_bounds(figure: Figure, edit: Edit) -> None:
    least, most = figure.bounds
    for value in (edit.low, edit.typical, edit.high):
        if least <= value <= most:
            continue
        do = say("Enter a possible value, or undo the edit to return to the shipped one")
        if figure.unit.startswith("%") and 0 < value < 1:
            do = say(
                "If you typed a fraction ({typed:g}), enter per cent ({right:g})",
                typed=value,
                right=100 * value,
            )
        if figure.unit == "share" and 1 < value <= 100:
            do = say(
                "If you typed per cent ({typed:g}), enter a share ({right:g})", typed=value, right=value / 100
            )
        raise FigureError(
            figure.key,
            say("{value:g} {unit} is implausible", value=value, unit=figure.unit),
            say("{least:g} to {most:g} {unit}", least=least, most=most, unit=figure.unit),
            do,
        )
