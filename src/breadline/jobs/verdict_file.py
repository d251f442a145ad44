"""A file of any kind to a verdict: a spreadsheet, a trial drawn by the program, or one that travelled."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from breadline.errors import TrialError
from breadline.jobs import check_group_file, trial_file
from breadline.jobs.check_group_ends import ends_from_text
from breadline.jobs.check_group_said import retold
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.fed_since import fed_too, told_by_book
from breadline.jobs.lock_stands import lock_words
from breadline.jobs.trial_book_ends import with_book_ends
from breadline.jobs.trial_checked import prices_of
from breadline.jobs.verdict import (
    Asides,
    Told,
    Verdict,
    VerdictAsked,
    judged_verdict,
    verdict_of_table,
    worth_of,
)
from breadline.jobs.verdict_arms import all_fed
from breadline.jobs.verdict_cells import table_of
from breadline.jobs.verdict_costs import cost_taken
from breadline.jobs.verdict_departures import TwoLines, departures, travelled_departures
from breadline.jobs.verdict_settled import conduct_told, not_taken
from breadline.language import say
from breadline.measures import Units
from breadline.need.words import day_and_year
from breadline.records.address import BookAt
from breadline.trial.colonies import Became, Ended
from breadline.trial.design import Design, Outcome
from breadline.trial.honey import KG_IN, in_unit, unit_of
from breadline.verdict.answer import Answer, Finished
from breadline.verdict.fairness import Conduct
from breadline.verdict.words_difference import lines_said


@dataclass(frozen=True)
class Reading:
    """A colony as it was read before the day of grading; nobody says of which group it is."""

    tag: str
    yard: str
    became: Became
    outcome: float | None  # [unit of the outcome]


@dataclass(frozen=True)
class Readings:
    """What was read before the settled day of grading, without the groups.

    Parameters
    ----------
    source
        The file.
    grading
        The settled day.
    started
        How many colonies were drawn.
    readings
        Those that were read, by yard and tag.
    weighed_in
        "lb" or "kg", in which honey is told; "" where frames were counted.
    """

    source: str
    grading: date
    started: int
    readings: tuple[Reading, ...]
    weighed_in: str = ""

    def told(self, outcome: float) -> str:
        """A reading as it is read: frames, or honey with its unit."""
        if not self.weighed_in:
            return f"{outcome:g}"
        return f"{outcome / KG_IN[self.weighed_in]:.4g} {self.weighed_in}"

    @property
    def sentence(self) -> str:
        """Why there is no verdict yet."""
        return say(
            "No verdict before the grading date that was settled, {day}: {n} of {all} colonies are read "
            "so far, shown without their groups.",
            day=day_and_year(self.grading), n=len(self.readings), all=self.started,
        )  # fmt: skip


@dataclass(frozen=True)
class NoComparison:
    """Colonies that were all fed: what became of them, and no verdict."""

    source: str
    colonies: int

    @property
    def sentence(self) -> str:
        """What can be said."""
        return say(
            "There is no comparison: all {n} colonies were fed, so you can’t say it paid, and can’t say "
            "that it did not.",
            n=self.colonies,
        )

    @property
    def next_season(self) -> str:
        """The way out."""
        return say(
            "Next season leave a few unfed in each yard, drawn by lot; or feed half the rate to some and the "
            "full rate to others in pairs, which tells whether the second half is worth it."
        )


Answered = Verdict | Readings | NoComparison


def verdict_from_file(
    path: Path, asked: VerdictAsked, today: date, ends: Path | None = None, book: BookAt | None = None
) -> Answered:
    """The verdict of a file on disk, or before its day the readings so far.

    Parameters
    ----------
    path
        A spreadsheet, or the file of a trial.
    asked
        What has to be said with it.
    today
        The day on which it is asked.
    ends
        A table of gradings for a trial that was drawn; None where its file holds them.
    book
        Which is asked whether dry feed in the open fed the unfed colonies of a trial it knows.

    Errors
    ------
    TrialError, RecordError
        With what to mend.
    """
    return verdict_of_content(path.name, path.read_bytes(), asked, today, _text_of(ends), book)


def verdict_of_content(
    name: str, content: bytes, asked: VerdictAsked, today: date, ends: tuple[str, str] | None = None,
    book: BookAt | None = None,
) -> Answered:  # fmt: skip
    """The same of a file's content; ``ends`` are the name and the text of a table of gradings."""
    if not content.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        if ends is not None:
            raise TrialError(
                name, say("a spreadsheet holds its own ends"), say("the file of a trial with --ends")
            )
        table = table_of(name, content)
        if all_fed(table):
            return NoComparison(name, len(table.rows))
        return verdict_of_table(table, asked)
    text = content.decode("utf-8-sig", errors="replace")
    if _shape(text, name) == check_group_file.SHAPE:
        trial = check_group_file.trial_from_text(text, name)
        if ends is not None:
            trial = replace(
                trial,
                ended=_newer(
                    trial, ends_from_text(ends[1], ends[0], trial.design, asked.weighed or "g", today)
                ),
            )
        return _of_drawn(trial, asked, today, name, book)
    file = trial_file.trial_from_text(text, name)
    return verdict_of_travelled(file, _by_book(file, asked, today, book))


def _of_drawn(trial: Trial, asked: VerdictAsked, today: date, name: str, book: BookAt | None) -> Answered:
    """The verdict of a drawn trial's file, with the ends that a book has of it."""
    if book is None:
        if trial.kept_as and trial.without_end and today >= trial.design.grading:
            raise TrialError(
                name, say("{n} colonies have no end in it", n=len(trial.without_end)),
                say("--book BOOK, the one from which it was drawn and which may have them"),
                say("Name it, or put the ends into the file with --ends"),
            )  # fmt: skip
        return verdict_of_trial(trial, asked, today, name)
    both, said = with_book_ends(trial, book, today)
    found = verdict_of_trial(both, _by_book(both, asked, today, book), today, name)
    return _with_remarks(found, said) if isinstance(found, Verdict) else found


def _with_remarks(found: Verdict, more: Callable[[], tuple[str, ...]]) -> Verdict:
    """The verdict with further remarks at the end, in whatever language it is read."""
    before = found.asides

    def asides(fed_on: tuple[date, ...]) -> Asides:
        deviations, remarks = ((), ()) if before is None else before(fed_on)
        return deviations, (*remarks, *more())

    return replace(found, asides=asides).with_asides(found.fed_on)


def _by_book(
    of: Trial | trial_file.TrialFile, asked: VerdictAsked, today: date, book: BookAt | None
) -> VerdictAsked:
    return asked if book is None else replace(asked, told=told_by_book(book, of, asked.told, today))


def verdict_of_trial(trial: Trial, asked: VerdictAsked, today: date, source: str) -> Verdict | Readings:
    """The verdict of a trial that was drawn by the program, from its settled day on."""
    design = trial.design
    if today < design.grading:
        return readings_of(trial, source, asked.weighed)
    told, typed, asked = asked.told, asked, replace(asked, measure=_measure(design, asked))
    design, ended = in_unit(design, trial.ended, asked.measure)
    conduct = conduct_told(Conduct(), told, design)
    finished, called = Finished(design, ended, conduct), trial.name or source
    worth = worth_of(design, ended, asked.prices)
    found = judged_verdict(finished, worth, asked, called, (trial.locked_at or trial.drawn_at).date())

    def asides(fed_on: tuple[date, ...]) -> Asides:
        departed = departures(replace(trial, design=design), _both_lines(found), fed_on)
        return (*departed, *_in_doubt(told)), (*retold(trial.said), *_taken(typed, design))

    return replace(
        found,
        asides=asides,
        again=lambda: _worked_out(verdict_of_trial(trial, typed, today, source)),
        locked=not lock_words(trial.locked_at, trial.ended),
        lock=None if trial.locked_at is None or trial.seal is None else (trial.locked_at, trial.seal),
        drawn_on=trial.drawn_at.date(),
    ).with_asides(())


def _both_lines(found: Verdict) -> TwoLines | None:
    """The line settled and that of the prices given now, where they are told as two."""
    design, worth = found.finished.design, found.worth
    return None if worth is None else lines_said(found.answer, design, worth, found.measure)


def _in_doubt(told: Told) -> tuple[str, ...]:
    """Dry feed that may have reached unfed colonies; none where none did."""
    said = told.in_this_language.in_doubt
    return (said,) if said else ()


def _worked_out(found: Verdict | Readings) -> Answer:
    assert isinstance(found, Verdict)  # it was one before
    return found.answer


def verdict_of_travelled(file: trial_file.TrialFile, asked: VerdictAsked) -> Verdict:
    """The verdict of a trial that came as a file, worked out here from its colonies."""
    typed, asked = asked, replace(asked, measure=_measure(file.finished.design, asked))
    asked, of = _priced(asked, file), fed_too(file, asked.told).finished
    design, ended = in_unit(of.design, of.ended, asked.measure)
    conduct = conduct_told(of.conduct, replace(asked.told, fed_in_open="", by_book=None), design)
    of = replace(of, design=design, ended=ended, conduct=conduct)
    worth = worth_of(design, ended, asked.prices)
    since = None if file.locked_at is None else file.locked_at.date()
    found = judged_verdict(of, worth, asked, file.name, since)
    stands = file.sealed and not lock_words(file.locked_at, ended, file.fed_on)
    lock = None if file.locked_at is None or file.locked_as is None else (file.locked_at, file.locked_as)

    def asides(fed_on: tuple[date, ...]) -> Asides:
        said = travelled_departures(replace(file, finished=of), _both_lines(found), fed_on)
        return (*said, *_in_doubt(asked.told)), _taken(typed, design)

    found = replace(found, asides=asides, again=lambda: verdict_of_travelled(file, typed).answer)
    found = replace(found, locked=stands, lock=lock, feed=file.feed)
    return found.with_asides(file.fed_on)


def _priced(asked: VerdictAsked, file: trial_file.TrialFile) -> VerdictAsked:
    """With the prices that go along in the file where none are typed; its honey is priced by the kilogram."""
    typed, own = asked.prices, prices_of(file)
    if typed.cost is not None or typed.price is not None or typed.break_even is not None:
        return asked
    price = None if own.price is None else own.price * KG_IN.get(asked.measure, 1.0)
    return replace(asked, prices=replace(own, price=price, margin=typed.margin))


def _taken(typed: VerdictAsked, design: Design) -> tuple[str, ...]:
    """How what was typed beside the file of a trial is taken."""
    cost = cost_taken(design.check_arm, typed.prices.cost)
    return (*cost, *typed.prices.remarks, *not_taken(typed, design))


def readings_of(trial: Trial, source: str, weighed: Units | None = None) -> Readings:
    """What was read of a trial so far, without its groups."""
    unit = unit_of(trial.design.outcome, weighed == "lb")
    yard_of = {one.tag: one.yard for one in trial.design.started}
    rows = [Reading(end.tag, yard_of[end.tag], end.became, end.outcome) for end in trial.ended]
    rows.sort(key=lambda row: (row.yard, row.tag))
    return Readings(source, trial.design.grading, len(trial.design.started), tuple(rows),
                    unit if unit in KG_IN else "")  # fmt: skip


def _newer(trial: Trial, given: tuple[Ended, ...]) -> tuple[Ended, ...]:
    known = {end.tag: end for end in (*trial.ended, *given)}
    return tuple(known.values())


def _measure(design: Design, asked: VerdictAsked) -> str:
    """Frames, unless honey was weighed: then as it is asked, or as the reader weighs."""
    if design.outcome is not Outcome.HONEY:
        return "frames"
    if asked.measure != "frames":
        return asked.measure
    return "lb" if asked.weighed == "lb" else "kg"


def _text_of(path: Path | None) -> tuple[str, str] | None:
    return None if path is None else (path.name, path.read_text(encoding="utf-8-sig"))


def _shape(text: str, name: str) -> object:
    try:
        told = json.loads(text)
    except ValueError as wrong:
        raise TrialError(
            name, say("it is no JSON ({why})", why=wrong), say("the file of a trial, or a spreadsheet")
        ) from None
    return told.get("shape") if isinstance(told, dict) else None
