"""What the page of a verdict holds, on the screen and on paper."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.jobs.verdict import Verdict
from breadline.jobs.verdict_costs import HEAD
from breadline.jobs.verdict_prices_now import line_at
from breadline.jobs.verdict_reporting import reporting_items
from breadline.language import say, say_as
from breadline.measures import halves_up
from breadline.need.words import counted
from breadline.verdict.amounts import amount, as_paid, ends_beside, money, money_end, span, step_of
from breadline.verdict.making_grade import MadeGrade
from breadline.verdict.words_difference import compared, left_over, lines_beside, needed_said
from breadline.verdict.words_shares import share_lines

MOST_LINES = 5  # of a column of the one page; the rest stands behind it


@dataclass(frozen=True)
class Cell:
    """One of the four numbers under the sentence."""

    head: str
    big: str
    small: str


@dataclass(frozen=True)
class VerdictPage:
    """The page.

    Parameters
    ----------
    head
        Whose, how many yards, when.
    sentence
        The class.
    under
        The difference, or why there is none; and the money.
    cells
        The four numbers; none where nothing was worked out.
    columns
        What was done, how sure, what broke: a head and its lines.
    next_season
        What to do next.
    foot
        For what it holds.
    rest
        Lines that had no room in the columns.
    items
        The reporting items, each with what this trial has to say.
    together
        The second sentence, with earlier evidence; "" where forage was not noted.
    beside
        What is described and not decided on.
    held_back
        Which reading makes the class weaker than the range, and what it shows; "" where none does.
    both_lines
        The line it is judged by and that of the prices given now; "" where they are one.
    """

    head: str
    sentence: str
    under: tuple[str, ...]
    cells: tuple[Cell, ...]
    columns: tuple[tuple[str, tuple[str, ...]], ...]
    next_season: str
    foot: str
    rest: tuple[str, ...]
    items: tuple[tuple[str, str], ...]
    together: str = ""
    beside: tuple[str, ...] = ()
    held_back: str = ""
    both_lines: str = ""


def page_of(one: Verdict, whose: str = "") -> VerdictPage:
    """The page of a verdict; ``whose`` is the operation."""
    said = one.spoken
    broke = said.broke or (say("Nothing that makes the comparison unfair."),)
    columns = (
        (say("What was done"), said.done),
        (say("How sure"), said.sure),
        (say("What broke"), (*broke, *one.deviations)),
    )
    return VerdictPage(
        head=_head(one, whose),
        sentence=said.sentence,
        under=_under(one),
        cells=_cells(one),
        columns=tuple((head, lines[:MOST_LINES]) for head, lines in columns if lines),
        next_season=said.next_season,
        foot=_foot(one),
        rest=tuple(line for _, lines in columns for line in lines[MOST_LINES:]) + one.remarks,
        items=reporting_items(one),
        together=one.together,
        beside=one.beside.lines,
        held_back=said.held_back,
        both_lines=one.both_lines,
    )


def _under(one: Verdict) -> tuple[str, ...]:
    """Range and money; why there is no money in one with the range, since no number stands for it."""
    said = one.spoken
    if one.worth is None and said.money:
        return (f"{said.range_said} {said.money}",)
    return tuple(line for line in (said.range_said, said.money) if line)


def _head(one: Verdict, whose: str) -> str:
    yards = len(one.answer.came.yards)
    return " · ".join(
        part for part in (say_as("screen", "Verdict"), whose, counted(yards, "yard"), one.source) if part
    )


def _cells(one: Verdict) -> tuple[Cell, ...]:
    here, worth = one.answer.here, one.worth
    if here is None:
        return ()
    measure = one.measure.over(here.low, here.high)
    fed = Cell(
        compared(one.finished.design),
        amount(here.contrast.estimate, measure),
        span(here.low, here.high, lines_beside(one.answer, one.finished.design), measure.digits),
    )
    needs = needed_said(one.answer, one.finished.design, one.measure, line_at(one.now))
    if worth is None:
        said = say("as you said") if one.lock is None else say("as it was settled")
        return (fed, Cell(say("It had to add"), needs, said), *_share(one.answer.grade))
    left = left_over(one.answer, worth)
    if left is None:
        return fed, Cell(say("It had to add"), needs, say("as it was settled"))
    step, paid = step_of(left[0], left[2]), worth.cost
    low, high = (money_end(v, worth.unit, step) for v in (left[0], left[2]))
    middle = money(left[1], worth.unit, step)
    cost = as_paid(paid)
    return (
        fed,
        Cell(
            say(HEAD[one.finished.design.check_arm]),
            say("{cost} a colony", cost=cost),
            say("{year} prices, yours", year=paid.year),
        ),
        Cell(say("It had to add"), needs, _by_which_line(one)),
        Cell(
            say("Left over") if one.now is None else say("Left over, prices now"),
            say("{cost} a colony", cost=middle),
            say("{low} to {high}", low=low, high=high),
        ),
    )


def _by_which_line(one: Verdict) -> str:
    """Where the line that decides comes from."""
    if one.now is None:
        return say("at your prices")
    return say("as you said") if one.now.typed else say("as it was settled")


def _share(grade: MadeGrade | None) -> tuple[Cell, ...]:
    """The share making grade, where no price turns it into money."""
    if grade is None:
        return ()
    more = int(halves_up(100 * grade.fed) - halves_up(100 * grade.check))  # of the shares as they are printed
    low, high = ends_beside(100 * grade.more.low, 100 * grade.more.high, share_lines(grade), 0)
    return (
        Cell(
            say("Making grade"), say("{n} in 100", n=f"{more:+}".replace("-", "−")),
            say("{low} to {high}", low=low, high=high),
        ),
    )  # fmt: skip


def _foot(one: Verdict) -> str:
    parts = [
        say("Holds for these colonies in this season; another season may be otherwise."),
        say("Ranges: nine times in ten."),
    ]
    seed = one.finished.design.seed
    if seed is not None:
        parts.append(say("Drawn by lot with number {seed}.", seed=seed))
    return " ".join(parts)
