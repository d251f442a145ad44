"""``breadline check-group``: draw, lock and sheets."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TypeVar, cast

from breadline.cli.printed import say, shown
from breadline.errors import TrialError
from breadline.jobs import check_group_paper as paper_of
from breadline.jobs import check_group_told as told
from breadline.jobs.check_group_colonies import Listed, of_yards, read_colonies
from breadline.jobs.check_group_ends import ends_from_text
from breadline.jobs.check_group_file import read_trial, trial_text
from breadline.jobs.check_group_table import text_of
from breadline.jobs.check_group_trial import LARGEST_SEED, Asked, Trial, drawn, graded, locked, seal_holds
from breadline.knowledge.shelf import load
from breadline.records.address import BookAt
from breadline.sheets.letterhead import Paper
from breadline.trial.classes import Lines
from breadline.trial.lock import deviations
from breadline.trial.unit import Way

T = TypeVar("T")


@dataclass(frozen=True)
class Source:
    """Where the colonies come from."""

    path: BookAt  # a table, or a book
    yards: tuple[str, ...]  # of a book; all where empty


@dataclass(frozen=True)
class Wished:
    """What was typed of the trial."""

    name: str
    outcome: str
    grade: float | None  # [frames]
    check_arm: str
    feeds: tuple[str, ...]
    break_even: float  # [unit of the outcome]
    margin: float  # [unit of the outcome]
    grading: str
    rescue_below: float  # [frames]
    check: int | None
    fed_each: int
    open_feed: bool
    apart: bool
    matched: bool
    by_queen_line: bool
    seed: int | None
    a_yard: int


@dataclass(frozen=True)
class Papers:
    """What was typed of the sheets."""

    paper: str
    only: str | None
    ends: Path | None


def draw(source: Source, wished: Wished, out: Path, again: bool, as_json: bool) -> None:
    """Draw a check group and write its file."""
    draws = 1 + _before(out, again)
    listed = _listed(source)
    trial = drawn(listed, _asked(wished), load({}).reader(), datetime.now(UTC))
    trial = replace(trial, draws=draws)
    out.write_text(trial_text(trial), "utf-8")
    _printed(trial, out, as_json)


def lock(path: Path, as_json: bool) -> None:
    """Lock a drawn trial in its file."""
    trial = locked(read_trial(path), datetime.now(UTC))
    path.write_text(trial_text(trial), "utf-8")
    _printed(trial, path, as_json)


def compare(path: Path, against: Path, as_json: bool) -> None:
    """Say what is otherwise than it was locked."""
    before, now = read_trial(against), read_trial(path, sealed=False)
    if before.locked_at is None:
        raise TrialError(against.name, "it was never locked", "the trial as it was locked")
    changed = deviations(before.design, now.design)
    if before.rescue_below != now.rescue_below:
        changed = (*changed, f"The rescue line was locked as {before.rescue_below:g} frames and is now "
                             f"{now.rescue_below:g}.")  # fmt: skip
    holds = seal_holds(now) and now.seal == before.seal
    if as_json:
        shown({"shape": "breadline.deviations/1", "seal_holds": holds, "deviations": list(changed)})
        return
    if not changed:
        say("Nothing is otherwise than it was locked." if holds else "The order of grading was changed.")
    for sentence in changed:
        say(sentence)


def sheets(path: Path, out: Path, papers: Papers, as_json: bool) -> None:
    """Write the sheets of a locked trial into a folder."""
    trial, today = read_trial(path), date.today()
    if papers.ends is not None:
        trial = graded(trial, ends_from_text(text_of(papers.ends), papers.ends.name, trial.design))
        path.write_text(trial_text(trial), "utf-8")
    names = paper_of.sheets_of(trial, today) if papers.only is None else (papers.only,)
    out.mkdir(parents=True, exist_ok=True)
    written = []
    for name in names:
        made = paper_of.sheet(trial, name, cast(Paper, papers.paper), today)
        file = out / f"{name}.pdf"
        file.write_bytes(made)
        written.append((name, file))
    if as_json:
        shown({"shape": "breadline.sheets/1", "stands": told.stand_words(trial, today),
               "without_end": [one.tag for one in trial.without_end],
               "sheets": [{"name": name, "file": str(file)} for name, file in written]})  # fmt: skip
        return
    say(told.stand_words(trial, today))
    for name, file in written:
        say(f"{paper_of.SHEETS[name][0]}: {file}")


def _before(out: Path, again: bool) -> int:
    """How often was drawn into this file before.

    Errors
    ------
    TrialError
        If a locked trial lies there, or nobody said to draw again.
    """
    if not out.exists():
        return 0
    before = read_trial(out)
    if before.locked_at is not None:
        raise TrialError(
            str(out), "a locked trial lies there", "a new file", "A locked draw stays as it fell"
        )
    if not again:
        raise TrialError(
            str(out), "it was drawn already", "a new file",
            "With --again it is drawn anew; how often is written down and told with the answer",
        )  # fmt: skip
    return before.draws


def _listed(source: Source) -> Listed:
    if isinstance(source.path, Path) and not _is_database(source.path):
        return of_yards(read_colonies(source.path), source.yards)
    from breadline.jobs.trial_book import TrialsBook

    return TrialsBook(source.path).candidates(source.yards)


def _is_database(path: Path) -> bool:
    return path.is_file() and path.open("rb").read(16).startswith(b"SQLite format 3")


def _asked(wished: Wished) -> Asked:
    feeds = wished.feeds or ("fed",)
    return Asked(
        name=wished.name,
        outcome=_one_of(wished.outcome, told.OUTCOMES, "--outcome"),
        check_arm=_one_of(wished.check_arm, told.CHECK_ARMS, "--check-arm"),
        lines=Lines(wished.break_even, wished.margin),
        grading=_day(wished.grading),
        rescue_below=wished.rescue_below,
        seed=secrets.randbelow(LARGEST_SEED) if wished.seed is None else wished.seed,
        grade=wished.grade,
        arms=("check" if wished.check_arm != "half" else "half", *feeds),
        way=Way.OPEN if wished.open_feed else Way.IN_HIVE,
        check=wished.check,
        fed_each=wished.fed_each,
        by_queen_line=wished.by_queen_line,
        matched=wished.matched,
        apart=wished.apart,
        a_yard=wished.a_yard,
    )


def _one_of(text: str, choices: dict[str, T], where: str) -> T:
    if text not in choices:
        raise TrialError(where, f'"{text}" is none', ", ".join(choices))
    return choices[text]


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise TrialError("--grading", f'"{text}" is no date', "year-month-day, such as 2026-11-20") from None


def _printed(trial: Trial, path: Path, as_json: bool) -> None:
    if as_json:
        shown(told.drawn_document(trial, str(path), date.today()))
        return
    for line in told.trial_lines(trial, date.today()):
        say(line)
    say(f"Written to {path}")
