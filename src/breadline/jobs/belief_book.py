"""The belief of a book: the shelf's, with what the own check groups of each situation taught on it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import date
from typing import Any, cast, get_args

from sqlalchemy.orm import Session

from breadline import __version__
from breadline.belief.carried import Carried, Ends, carried, of_situation
from breadline.belief.gain import Situation
from breadline.belief.season_effects import SeasonResult
from breadline.belief.survival_learnt import Deaths, in_all
from breadline.errors import RecordError
from breadline.jobs.book import Book
from breadline.jobs.season import FigureUsed, figures_used
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say
from breadline.records import beliefs, figure_edits
from breadline.records.beliefs import Update
from breadline.records.engine import looking, writing
from breadline.records.trial_tables import BeliefUpdateRow
from breadline.verdict.through_model import Mode

WAY = "lots.99999"  # how a class is judged; changed where one trial may come to another class by it
PROGRAM = f"{__version__}+{WAY}"
Taken = tuple[str, str, str, float, float, str]  # situation, season, trial, log ratio, its error, who lived


@dataclass(frozen=True)
class Lived:
    """A trial's result in two parts that do not overlap.

    Parameters
    ----------
    log_ratio, se
        Fed over check colonies, of those that lived. [log ratio]
    deaths
        How many of each were lost, yard by yard.
    """

    log_ratio: float
    se: float
    deaths: tuple[Deaths, ...]


@dataclass(frozen=True)
class Taught:
    """What a fair trial of one's own came to, on the scale of the belief.

    Parameters
    ----------
    situation
        What the place gave while the feed was on.
    season, name
        Which season, and the trial's own name, as people say them.
    trial
        Digest of what it was learnt from; one trial teaches once.
    graded_on
        Day of grading.
    given
        Letter of its class.
    log_ratio, se
        Fed over check colonies, those that were lost as 0. [log ratio]
    fed, check
        Colonies started.
    modes
        Equivalences that the yards' own model shows; empty where it could not be run.
    lived
        The same result with its deaths apart; None where that cannot be told, and in older books.
    one_row
        Whether the groups stood in one row without alternating; None where not known, and in older books.
    told_as
        How it is told in short, a key of ``words_asked.SHORT``; None in older books.
    """

    situation: Situation
    season: str
    name: str
    trial: str
    graded_on: date
    given: str
    log_ratio: float
    se: float
    fed: int
    check: int
    modes: tuple[Mode, ...] = ()
    lived: Lived | None = None
    one_row: bool | None = None
    told_as: str | None = None

    @property
    def result(self) -> SeasonResult:
        """As the belief of a plan takes it: bees of those that lived, and the deaths beside them."""
        if self.lived is None:
            return self.as_started
        return SeasonResult(self.season, self.lived.log_ratio, self.lived.se, self.lived.deaths)

    @property
    def as_started(self) -> SeasonResult:
        """As a verdict takes it: bees for each colony started, those that were lost as 0."""
        return SeasonResult(self.season, self.log_ratio, self.se)


@dataclass(frozen=True)
class Lesson:
    """One trial that the belief goes by, and the belief before and after it as they were told then."""

    taught: Taught
    learnt_on: date
    before: Ends  # of the mean over seasons [log ratio]
    after: Ends  # [log ratio]
    program: str = PROGRAM  # by which its class was judged

    @property
    def older(self) -> bool:
        """Whether its class was judged in another way than today, so that the trial's own page may differ."""
        return self.program.rpartition("+")[2] != WAY


@dataclass(frozen=True)
class Known:
    """What a book's own check groups taught."""

    lessons: tuple[Lesson, ...]  # oldest first
    beliefs: dict[Situation, Carried]
    figures: dict[Situation, tuple[FigureUsed, ...]] = field(default_factory=dict)  # behind each belief


class BeliefBook(Book):
    """A book as far as it learns."""

    def shelf(self) -> Shelf:
        """The figures with the book's own edits."""
        return self._shelf()

    def lessons(self) -> tuple[Lesson, ...]:
        """Every trial learnt from, oldest first."""
        with looking(self._engine) as session:
            return known_lessons(session)

    def known(self) -> Known:
        """Every trial learnt from, and the belief of each situation that has one."""
        with looking(self._engine) as session:
            shelf = load(figure_edits.current_edits(session))
            beliefs, figures = {}, {}
            for situation, results in _own_results(session).items():
                reader = shelf.reader()
                beliefs[situation] = carried(situation, results, reader)
                figures[situation] = figures_used(shelf, reader.used)
            return Known(known_lessons(session), beliefs, figures)

    def learn(self, taught: Taught, because: str = "") -> Carried:
        """Keep what a fair trial taught; the belief of its situation after it.

        The same trial again, with other numbers, takes the place of its earlier entry.
        """
        with writing(self._engine) as session:
            shelf = load(figure_edits.current_edits(session))
            rows = [row for row in beliefs.updates(session) if row.trial != taught.trial]
            of = [_taught(row) for row in rows if row.situation == taught.situation]
            before = carried(taught.situation, results_of(of), shelf.reader())
            after = carried(taught.situation, results_of([*of, taught]), shelf.reader())
            update = _update(taught, self.today, before, after)
            beliefs.keep_update(session, update, because)
        return after

    def unlearn(self, trial: str, because: str) -> None:
        """Take back what was learnt from a trial, with the reason.

        Errors
        ------
        RecordError
            If nothing was learnt from it, or no reason is given.
        """
        if not because.strip():
            raise RecordError(
                say("trial"), say("no reason is given"), say("why it teaches nothing after all")
            )
        with writing(self._engine) as session:
            beliefs.withdraw_update(session, trial, because)


def known_lessons(session: Session) -> tuple[Lesson, ...]:
    """Every trial that the belief goes by, oldest first, each as the belief takes it (``results_of``)."""
    found = [_lesson(row) for row in beliefs.updates(session)]
    whole = {one.taught.situation for one in found if one.taught.lived is None}
    return tuple(
        replace(one, taught=replace(one.taught, lived=None)) if one.taught.situation in whole else one
        for one in found
    )


def results_of(taught: Sequence[Taught]) -> list[SeasonResult]:
    """Results of one situation: deaths apart where they are in every one, else all with their dead as 0.

    Where one trial has its dead in its log ratio nothing is laid on losses, so the others must keep theirs.
    """
    apart = all(one.lived is not None for one in taught)
    return [one.result if apart else one.as_started for one in taught]


def own_beliefs(session: Session, shelf: Shelf) -> dict[Situation, Carried]:
    """The belief of each situation in which the book has an own result; the shelf's holds in the others."""
    return of_situation(_own_results(session), shelf.reader())


def _own_results(session: Session) -> dict[Situation, list[SeasonResult]]:
    """The results of each situation that has one."""
    taught: dict[Situation, list[Taught]] = defaultdict(list)
    for row in beliefs.updates(session):
        taught[_situation(row)].append(_taught(row))
    return {s: results_of(each) for s, each in taught.items()}


def what_teaches(session: Session) -> list[Taken]:
    """The results that the belief goes by, in a form that changes when any of them does."""
    return [
        (r.situation, r.season, r.trial, r.log_ratio, r.se, f"{r.lived}") for r in beliefs.updates(session)
    ]


def _situation(row: BeliefUpdateRow) -> Situation:
    if row.situation not in get_args(Situation):
        raise RecordError(
            "belief",
            say('"{situation}" is no situation', situation=row.situation),
            ", ".join(get_args(Situation)),
        )
    return cast(Situation, row.situation)


def _lesson(row: BeliefUpdateRow) -> Lesson:
    before, after = (Ends(*of["mean"]) for of in (row.before, row.after))
    return Lesson(_taught(row), row.learnt_on, before, after, row.program)


def _taught(row: BeliefUpdateRow) -> Taught:
    told = row.equivalence or {"modes": []}
    modes = tuple(Mode(*each) for each in told["modes"])
    return Taught(
        _situation(row), row.season, row.name, row.trial, row.graded_on, row.given,
        row.log_ratio, row.se, row.fed, row.check, modes, _lived(row.lived), row.one_row,
        row.told_as,
    )  # fmt: skip


def _lived(told: dict[str, Any] | None) -> Lived | None:
    """The two parts as they were kept: one set of deaths a yard, in an older book one for all yards.

    Of whole yards an older book has the ratio of the living and no deaths; their dead go back into it.
    """
    if told is None:
        return None
    kept = told["deaths"]
    deaths = tuple(Deaths(**each) for each in ([kept] if isinstance(kept, dict) else kept))
    of = in_all(deaths)
    return Lived(told["log_ratio"], told["se"], deaths) if of.fed + of.check else None


def _update(taught: Taught, today: date, before: Carried, after: Carried) -> Update:
    modes = [[m.low, m.middle, m.high, m.share] for m in taught.modes]
    return Update(
        situation=taught.situation,
        season=taught.season,
        trial=taught.trial,
        name=taught.name,
        graded_on=taught.graded_on,
        learnt_on=today,
        given=taught.given,
        log_ratio=taught.log_ratio,
        se=taught.se,
        fed=taught.fed,
        check=taught.check,
        before=_ends(before),
        after=_ends(after),
        equivalence={"modes": modes} if modes else None,
        program=PROGRAM,
        lived=None if taught.lived is None else asdict(taught.lived),
        one_row=taught.one_row,
        told_as=taught.told_as,
    )


def _ends(of: Carried) -> dict[str, Any]:
    def plain(ends: Ends) -> list[float]:
        return [round(v, 4) for v in (ends.low, ends.middle, ends.high)]

    return {"mean": plain(of.after), "next": plain(of.next_after)}
