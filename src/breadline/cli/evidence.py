"""``breadline evidence``: published trials, trials of several growers together, and what one's own taught."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import cast, get_args

from rich.console import Console
from rich.status import Status

from breadline.belief.gain import Situation
from breadline.cli.printed import say, shown, told
from breadline.errors import RecordError, TrialError
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.evidence import evidence_told
from breadline.jobs.evidence_told import evidence_document, evidence_lines
from breadline.jobs.pooled import pooled_files
from breadline.jobs.pooled_told import pooled_chart, pooled_document, pooled_lines
from breadline.jobs.side_by_side import Along
from breadline.jobs.trial_file import read_trial
from breadline.jobs.trial_lessons import Learning, learn_from
from breadline.knowledge.shelf import load
from breadline.language import say as worded
from breadline.records.address import BookAt
from breadline.records.engine import is_there


@dataclass(frozen=True)
class Asking:
    """What was typed."""

    trials: tuple[Path, ...]
    book: BookAt | None
    learn: bool
    situation: str | None
    unlearn: str | None
    why: str
    chart: Path | None
    as_json: bool


def run(asking: Asking) -> None:
    """Put trials together, or say what was learnt."""
    book = _book(asking)
    if asking.trials and not asking.learn:
        _pool(asking, book)
        return
    if asking.chart is not None:
        raise TrialError(
            "--chart", worded("there are no trials to draw"), worded("trial files, without --learn")
        )
    notes = _learnt(asking, book) if asking.learn else []
    if asking.unlearn is not None:
        _taken_back(asking, book)
    evidence = evidence_told(load() if book is None else book.shelf())
    known = None if book is None else book.known()
    if asking.as_json:
        shown(evidence_document(evidence, known))
        return
    told(evidence_lines(evidence, known))
    say(*notes)


def _book(asking: Asking) -> BeliefBook | None:
    if asking.book is None:
        if asking.learn or asking.unlearn is not None:
            raise RecordError(
                "--book",
                worded("is not given"),
                worded("the book that learns"),
                worded("Name it with --book"),
            )
        return None
    if not is_there(asking.book):
        raise RecordError(str(asking.book), worded("there is no such book"), worded("a book"))
    return BeliefBook(asking.book)


def _pool(asking: Asking, book: BeliefBook | None) -> None:
    together = pooled_files(asking.trials)
    known = () if book is None else book.known().lessons
    own = frozenset(one.taught.trial for one in known)
    if asking.chart is not None:
        asking.chart.write_text(pooled_chart(together, "wide", own), encoding="utf-8")
    if asking.as_json:
        shown(pooled_document(together))
        return
    told(pooled_lines(together))
    if asking.chart is not None:
        say(worded("{chart} written", chart=asking.chart))


def _learnt(asking: Asking, book: BeliefBook | None) -> list[str]:
    """Keep what each trial teaches; what could not be asked of the season model."""
    if not asking.trials or book is None or asking.book is None:
        raise TrialError("--learn", worded("names no trial"), worded("your own trial files"))
    to = Learning(asking.book, None, _situation(asking.situation), asking.why)
    with Console(stderr=True).status(worded("Reading the trials …")) as status:
        along = Along(heard=_progress(status))
        return [note for path in asking.trials for note in learn_from(read_trial(path), to, along).notes]


def _progress(status: Status) -> Callable[[Along], None]:
    def heard(along: Along) -> None:
        status.update(
            worded(
                "{what}: {done} of {of} yards run fed and unfed …",
                what=along.what,
                done=along.done,
                of=along.of,
            )
        )

    return heard


def _situation(word: str | None) -> Situation | None:
    if word is not None and word not in get_args(Situation):
        raise TrialError(
            "--situation", worded("“{word}” is not known", word=word), ", ".join(get_args(Situation))
        )
    return cast("Situation | None", word)


def _taken_back(asking: Asking, book: BeliefBook | None) -> None:
    assert book is not None  # asked for before
    learnt = [one.taught for one in book.known().lessons]
    named = [one for one in learnt if asking.unlearn in (one.name, one.trial)]
    if len(named) != 1:
        names = ", ".join(f"“{one.name}”" for one in learnt) or worded("none yet")
        raise TrialError(
            "--unlearn",
            worded("“{name}” names {n} trials of the book", name=asking.unlearn, n=len(named))
            if named
            else worded("“{name}” names no trial of the book", name=asking.unlearn),
            worded("one of them by its name, or its digest: {names}", names=names),
        )
    book.unlearn(named[0].trial, asking.why)
