"""``breadline check-group size``: the proposal first, then what each size could tell."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from breadline.belief.gain import SITUATIONS, Situation
from breadline.cli.printed import shown, told
from breadline.errors import TrialError
from breadline.jobs.check_group_asked import SizeAsked, from_plan, read_asked
from breadline.jobs.check_group_book import asked_of_book
from breadline.jobs.check_group_handed import draw_command
from breadline.jobs.check_group_offer import offer
from breadline.jobs.check_group_size import size_answer
from breadline.jobs.check_group_size_document import size_document
from breadline.jobs.check_group_size_told import size_lines
from breadline.jobs.rounds import no_round, season_says
from breadline.jobs.rounds_file import read_plan
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.edits import edits_from_toml
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say as worded
from breadline.need.advice import Advice
from breadline.need.yard import Yard
from breadline.records.address import BookAt


@dataclass(frozen=True)
class Asking:
    """What was typed."""

    files: tuple[Path, ...]
    plan: Path | None
    book: BookAt | None
    yards: tuple[str, ...]
    cost: float | None  # [money/colony]
    situation: str | None
    unfed: tuple[int, ...]
    graded_before: bool = True


def size(asking: Asking, figures: Path | None, as_json: bool) -> None:
    """Print how many to leave unfed."""
    shelf = _shelf(figures)
    asked, said = _asked(asking, shelf)
    first = offer(asked, said, shelf.reader()).sentences
    answer = size_answer(asked, shelf, asking.unfed)
    draw = draw_command(answer, "" if asking.book is None else str(asking.book))
    if as_json:
        shown(size_document(answer, first, draw))
        return
    told(size_lines(answer, first if said or asked.meant or asked.nobody_unfed else (), draw))


def _asked(asking: Asking, shelf: Shelf) -> tuple[SizeAsked, Advice | None]:
    """What is asked, and what speaks against feeding in the facts of the first yard."""
    said = None
    if asking.book is not None:
        asked = asked_of_book(asking.book, asking.yards, date.today())
    elif asking.plan is not None:
        asked, yard = _of_yards(asking)
        facts = season_says(yard, shelf.reader())
        said = facts if no_round(yard, facts) else None
    elif len(asking.files) == 1:
        asked = read_asked(asking.files[0])
    else:
        raise TrialError(
            "breadline check-group size",
            worded("{files} files and no plan", files=len(asking.files)),
            worded("a size file; yard files with --plan and --cost; or --book with --yard"),
        )
    if asking.cost is not None:
        asked = replace(asked, cost=asking.cost)
    if not asking.graded_before:
        asked = replace(asked, baseline=False)
    situation = _situation(asking.situation)
    return (asked if situation is None else replace(asked, situation=situation, gain=None)), said


def _of_yards(asking: Asking) -> tuple[SizeAsked, Yard]:
    assert asking.plan is not None
    if not asking.files or asking.cost is None:
        raise TrialError(
            "--plan",
            worded("the yards or the cost are missing"),
            worded("yard files, --plan and --cost"),
            worded("breadline rounds search says what a plan costs a colony"),
        )
    yards = [read_yard(path) for path in asking.files]
    return from_plan(yards, read_plan(asking.plan, yards[0].today), asking.cost), yards[0]


def _situation(typed: str | None) -> Situation | None:
    if typed is None:
        return None
    for one in SITUATIONS:
        if one == typed:
            return one
    raise TrialError("--situation", worded('"{typed}" is not known', typed=typed), ", ".join(SITUATIONS))


def _shelf(figures: Path | None) -> Shelf:
    if figures is None:
        return load()
    return load(edits_from_toml(figures))
