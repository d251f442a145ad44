"""``breadline check-group``: draw, lock and sheets."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TypeVar, cast

from breadline.cli.book_typed import one_book
from breadline.cli.printed import say, shown
from breadline.errors import RecordError, TrialError
from breadline.jobs import check_group_paper as paper_of
from breadline.jobs import check_group_told as told
from breadline.jobs.check_group_colonies import Listed, of_yards, read_colonies
from breadline.jobs.check_group_ends import ends_from_text
from breadline.jobs.check_group_file import read_trial, trial_text
from breadline.jobs.check_group_table import text_of
from breadline.jobs.check_group_trial import LARGEST_SEED, Asked, Trial, drawn, graded, locked, seal_holds
from breadline.jobs.trial_book import TrialsBook, weighed_in
from breadline.jobs.trial_book_ends import counts_the_book_s, otherwise
from breadline.jobs.trial_taken_in import taken_in
from breadline.knowledge.shelf import load
from breadline.language import say as worded
from breadline.records.address import BookAt
from breadline.records.engine import is_there
from breadline.sheets.letterhead import Paper
from breadline.trial.classes import Lines
from breadline.trial.colonies import Ended
from breadline.trial.design import Outcome
from breadline.trial.honey import lines_in_kg, unit_of
from breadline.trial.lock import deviations
from breadline.trial.unit import Way

T = TypeVar("T")
OUTCOMES = {word: (outcome, unit_of(outcome, False)) for word, outcome in told.OUTCOMES.items()} | {
    "honey-lb": (Outcome.HONEY, "lb")
}
READ_AS = {
    "honey": "Break-even and margin were read as kilograms, whatever --units says; honey-lb reads pounds.",
    "honey-lb": "Break-even and margin were read as pounds; honey reads kilograms.",
}


@dataclass(frozen=True)
class Source:
    """Where the colonies come from."""

    path: BookAt  # a table, or a book
    yards: tuple[str, ...]  # of a book; all where empty
    book: BookAt | None = None  # that keeps a draw from a table

    @property
    def kept_in(self) -> BookAt | None:
        """The book that keeps the draw; None where a table was drawn from and none was named."""
        if isinstance(self.path, Path) and not _is_database(self.path):
            return self.book
        named: BookAt = one_book(self.path, self.book, "draw")
        return named


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
class Beside:
    """The book that keeps the trial of a file too."""

    book: BookAt | None = None
    alone: bool = False  # the file is written without it, though a book keeps the trial

    def of(self, trial: Trial, file: Path, what: str) -> TrialsBook | None:
        """The book to write in as well; None where the trial stands in its file alone.

        Errors
        ------
        TrialError
            If a book keeps the trial and none was named.
        """
        if self.book is not None:
            return trials_in(self.book)
        if trial.kept_as and not self.alone:
            raise TrialError(
                str(file),
                worded("a book keeps this trial too, and none is named to {what} in", what=what),
                worded("--book BOOK"),
                worded(
                    "A book that does not know it prints sheets and plans dry feed that feed its check "
                    "hives; --file-alone writes the file all the same"
                ),
            )
        return None


@dataclass(frozen=True)
class Papers:
    """What was typed of the sheets."""

    paper: str
    only: str | None
    ends: Path | None
    because: str = ""  # an end corrects an earlier one


def draw(source: Source, wished: Wished, out: Path, again: bool, as_json: bool) -> None:
    """Draw a check group and write its file."""
    before, asked, now = _before(out, again), _asked(wished), datetime.now(UTC)
    if source.kept_in is None:
        trial = drawn(_listed(source), asked, load({}).reader(), now)
        trial = replace(trial, draws=1 if before is None else before.draws + 1)
    else:
        there = trials_in(source.kept_in)
        key = "" if before is None else taken_in(there, before).key
        trial = there.draw(_listed(source, there), asked, now, key).trial
    out.write_text(trial_text(trial), "utf-8")
    _printed(trial, out, as_json, source.kept_in)
    if not as_json and wished.outcome in READ_AS:
        say(READ_AS[wished.outcome])


def lock(path: Path, beside: Beside, as_json: bool) -> None:
    """Lock a drawn trial in its file, and in the book that keeps it."""
    trial, now = read_trial(path), datetime.now(UTC)
    there = beside.of(trial, path, worded("lock it"))
    if there is None:
        trial = locked(trial, now)
    else:
        kept = taken_in(there, trial)
        trial = (there.lock(kept.key, now) if kept.trial.locked_at is None else kept).trial
    path.write_text(trial_text(trial), "utf-8")
    _printed(trial, path, as_json, beside.book)


def trials_in(book: BookAt) -> TrialsBook:
    """The check groups of a book that is there."""
    if not is_there(book):
        raise RecordError(str(book), worded("there is no such book"), worded("a book of records"))
    return TrialsBook(book)


def compare(path: Path, against: Path, as_json: bool) -> None:
    """Say what is otherwise than it was locked."""
    before, now = read_trial(against), read_trial(path, sealed=False)
    if before.locked_at is None:
        raise TrialError(against.name, worded("it was never locked"), worded("the trial as it was locked"))
    changed = deviations(before.design, now.design)
    if before.rescue_below != now.rescue_below:
        line = worded(
            "The rescue line was locked as {before:g} frames and is now {now:g}.",
            before=before.rescue_below,
            now=now.rescue_below,
        )
        changed = (*changed, line)
    holds = seal_holds(now) and now.seal == before.seal
    if as_json:
        shown({"shape": "breadline.deviations/1", "seal_holds": holds, "deviations": list(changed)})
        return
    if not changed:
        say(
            worded("Nothing is otherwise than it was locked.")
            if holds
            else worded("The order of grading was changed.")
        )
    for sentence in changed:
        say(sentence)


def sheets(path: Path, out: Path, papers: Papers, beside: Beside, as_json: bool) -> None:
    """Write the sheets of a locked trial into a folder."""
    (trial, other), today = _with_ends(path, papers, beside), date.today()
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
               "without_end": [one.tag for one in trial.without_end], "said": other,
               "sheets": [{"name": name, "file": str(file)} for name, file in written]})  # fmt: skip
        return
    say(told.stand_words(trial, today), *other)
    for name, file in written:
        say(f"{worded(paper_of.SHEETS[name][0])}: {file}")


def _with_ends(path: Path, papers: Papers, beside: Beside) -> tuple[Trial, list[str]]:
    """The trial of a file with the ends of a table, which its book keeps too; what the file had otherwise."""
    trial = read_trial(path)
    if papers.ends is None and beside.book is None:
        return trial, []
    there = beside.of(trial, path, worded("keep its ends"))
    said = papers.ends
    ended = (
        ()
        if said is None
        else ends_from_text(
            text_of(said), said.name, trial.design, weighed_in(beside.book) or "g", date.today()
        )
    )
    both = graded(trial, ended) if there is None else _ended_in(there, trial, ended, papers.because)
    path.write_text(trial_text(both), "utf-8")
    now = {one.tag for one in ended}
    before = [one for one in trial.ended if one.tag not in now]
    other = otherwise(both.ended, before) if there is not None else []
    return both, [counts_the_book_s(other)] if other else []


def _ended_in(there: TrialsBook, trial: Trial, ended: Sequence[Ended], because: str) -> Trial:
    """The trial as its book has it, with these ends and those that only the file knew."""
    kept = taken_in(there, trial)
    known = {one.tag for one in (*kept.trial.ended, *ended)}
    there.keep_ends(kept.key, [*(one for one in trial.ended if one.tag not in known), *ended], because)
    return there.trial(kept.key).trial


def _before(out: Path, again: bool) -> Trial | None:
    """What was drawn into this file before; None where nothing was.

    Errors
    ------
    TrialError
        If a locked trial lies there, or nobody said to draw again.
    """
    if not out.exists():
        return None
    before = read_trial(out)
    if before.locked_at is not None:
        raise TrialError(
            str(out),
            worded("a locked trial lies there"),
            worded("a new file"),
            worded("A locked draw stays as it fell"),
        )
    if not again:
        raise TrialError(
            str(out), worded("it was drawn already"), worded("a new file"),
            worded("With --again it is drawn anew; how often is written down and told with the answer"),
        )  # fmt: skip
    return before


def _listed(source: Source, there: TrialsBook | None = None) -> Listed:
    if isinstance(source.path, Path) and not _is_database(source.path):
        listed = of_yards(read_colonies(source.path), source.yards)
        return listed if there is None else there.placed(listed)
    assert there is not None, "a book keeps what is drawn from it"
    return there.candidates(source.yards)


def _is_database(path: Path) -> bool:
    return path.is_file() and path.open("rb").read(16).startswith(b"SQLite format 3")


def _asked(wished: Wished) -> Asked:
    feeds = wished.feeds or ("fed",)
    outcome, unit = _one_of(wished.outcome, OUTCOMES, "--outcome")
    return Asked(
        name=wished.name,
        outcome=outcome,
        check_arm=_one_of(wished.check_arm, told.CHECK_ARMS, "--check-arm"),
        lines=lines_in_kg(Lines(wished.break_even, wished.margin), unit),
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
        raise TrialError(where, worded('"{text}" is none', text=text), ", ".join(choices))
    return choices[text]


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise TrialError(
            "--grading",
            worded('"{text}" is no date', text=text),
            worded("year-month-day, such as 2026-11-20"),
        ) from None


def _printed(trial: Trial, path: Path, as_json: bool, book: BookAt | None) -> None:
    if as_json:
        shown(told.drawn_document(trial, str(path), date.today()))
        return
    for line in told.trial_lines(trial, date.today()):
        say(line)
    say(
        worded("Written to {path}", path=path)
        if book is None
        else worded("Written to {path}, and kept in {book}", path=path, book=book)
    )
    if book is not None and trial.locked_at is None:
        say(
            worded(
                "Once it is locked there, that book's sheets leave its check hives out: {command}",
                command=f"breadline check-group lock {path} --book {book}",
            )
        )
