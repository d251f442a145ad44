"""Check group, verdict, trials together, evidence and figures, for notebooks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from datetime import date
from os import PathLike
from pathlib import Path
from typing import Any, get_args

from breadline.errors import TrialError
from breadline.jobs.check_group_asked import asked_from_text, read_asked
from breadline.jobs.check_group_size import size_answer
from breadline.jobs.check_group_size_document import size_document
from breadline.jobs.evidence import evidence_told
from breadline.jobs.evidence_told import evidence_document
from breadline.jobs.pooled import pooled_files
from breadline.jobs.pooled_told import pooled_document
from breadline.jobs.verdict import MEASURES, Drawn, Prices, Told, VerdictAsked
from breadline.jobs.verdict_file import verdict_from_file, verdict_of_content
from breadline.jobs.verdict_told import answered_document
from breadline.knowledge.evidence import Comparison
from breadline.knowledge.shelf import load
from breadline.language import say
from breadline.notebook.answer import InWords
from breadline.notebook.given import Columns, Given, csv_of, path_of, toml_of
from breadline.notebook.table import Table, table_of
from breadline.trial.classes import AnswerClass


@dataclass(frozen=True)
class CheckGroupSize(InWords):
    """How many colonies to leave unfed.

    Parameters
    ----------
    proposed
        Unfed colonies, or yards where whole yards are drawn; None where none is worth it. [colonies]
    money, unit
        Whose money, and what the outcome is counted in: frames or kg.
    break_even
        The difference that pays for the feed. [unit]
    sizes
        One row a size: unfed and fed [colonies]; paid_at_0, paid_at_break_even, paid_at_twice and
        paid_at_believed, the chance of "paid" at such a true benefit [share]; would_be_paid and so on, the
        chance of each class at the believed one [share]; told_from_0 and told_from_break_even, the smallest
        benefit told four times in five [unit]; answer, what knowing is worth, costs_total, and net [money].
    """

    proposed: int | None
    money: str
    unit: str
    break_even: float
    sizes: Table = field(repr=False)


@dataclass(frozen=True)
class Verdict(InWords):
    """Whether feeding paid, or that these colonies can't tell.

    Parameters
    ----------
    found
        The class in one word: paid, stronger_pay_unsure, stronger_did_not_pay, no_difference_larger (than the
        margin), did_not_pay, weaker, too_few or not_fair; "" before the settled day and where no colony was
        left unfed.
    money
        What it means in money, in words.
    difference
        Fed less check per colony started, dead ones as 0: low, middle, high of its range, nine in ten; None
        where there is none. [frames, kg or lb, as ``unit``]
    unit
        Of the outcome.
    arms
        One row a group, check first: name, started, lost, unknown [colonies], mean [unit].
    broken
        What was broken, so that it is no fair comparison: one row each with facts.
    """

    found: str
    money: str
    difference: tuple[float, float, float] | None
    unit: str
    arms: Table = field(repr=False)
    broken: Table = field(repr=False)


@dataclass(frozen=True)
class Pooled(InWords):
    """Several growers' trials together.

    Parameters
    ----------
    groups
        One row an outcome and forage situation: head, outcome, situation, trials [trials]; log_ratio of fed
        to check with low and high, nine in ten, and further_low and further_high, where one more trial would
        lie [log ratio]; None where there is no average.
    trials
        One row a trial, those left out with the reason in ``left_out``: name, season, situation, class,
        fed and check [colonies], log_ratio and se [log ratio], difference [unit of its outcome].
    """

    groups: Table = field(repr=False)
    trials: Table = field(repr=False)


@dataclass(frozen=True)
class Evidence(InWords):
    """What published trials of feeding found, and what is believed of it.

    Parameters
    ----------
    rows
        One row a comparison: its study, source, place, forage, feed, outcome, colonies a group [colonies],
        means [as ``unit`` says], verdict, whether it votes, and how it was read.
    believed
        One row a forage situation: believed_low, believed_middle and believed_high, the log ratio of bees in
        fed to check colonies, 9 in 10 [log ratio]; sentence.
    """

    rows: Table = field(repr=False)
    believed: Table = field(repr=False)


def check_group_size(asked: Given, sizes: Sequence[int] = ()) -> CheckGroupSize:
    """How many colonies to leave unfed, by what the answer is worth.

    Parameters
    ----------
    asked
        The path of a file such as ``examples/first-check-group/size.toml``, or what stands in one as tables.
    sizes
        Unfed colonies, or yards, to look at; empty looks at all that make sense.

    Errors
    ------
    TrialError, PlanError
        With what to mend.
    """
    path = path_of(asked)
    if path is not None:
        known = read_asked(path)
    elif isinstance(asked, Mapping):
        known = asked_from_text(toml_of(asked), "the check group")
    else:
        raise TrialError(
            "the check group",
            say("{name} asks nothing", name=type(asked).__name__),
            say("a path, or its tables"),
        )
    answer = size_answer(known, sizes=sizes)
    told = size_document(answer)
    proposed = told["proposed"] if told["worth_it"] else None
    rows = table_of(map(_size, told["sizes"]))
    return CheckGroupSize(
        told["sentence"], told, proposed, told["money"], told["unit"], told["break_even"], rows
    )


def verdict_of(
    colonies: Columns | Given,
    prices: Prices,
    how: Told | None = None,
    measure: str = "frames",
    grade: float | None = None,
    today: date | None = None,
) -> Verdict:
    """Did feeding pay, from one row a colony that was started.

    Parameters
    ----------
    colonies
        A data frame or the path of a spreadsheet with the columns of docs/guide/verdict-file.md, such as
        Hive, Yard, Group, Frames before, Frames after, Status; or the path of a trial's own file.
    prices
        ``Prices(cost=16, price=18, unit="US$", year=2027)``: what feeding a colony cost [money/colony] and
        what one more frame, pound or kilogram is worth [money per unit].
    how
        How it was done, ``Told(drawn="lot")``; what is not said counts as not known.
    measure
        frames, lb or kg: what the outcome is counted in; pounds and kilograms are of honey.
    grade
        The line, where the share making it is paid. [frames]
    today
        The day it is asked; today where not given. A trial's own file has no verdict before its day.

    Errors
    ------
    TrialError, PlanError
        With what to mend, by its row and column; or prices without their year.
    """
    _one_of("measure", measure, tuple(MEASURES))
    _one_of("drawn", "unknown" if how is None else how.drawn, get_args(Drawn))
    asked = VerdictAsked(prices=prices, told=how or Told(), measure=measure, grade=grade)
    on = today or date.today()
    if isinstance(colonies, (str, PathLike)):
        path = Path(colonies)
        if not path.is_file():
            raise TrialError(
                str(path), say("there is no such file"), say("a spreadsheet or a trial's own file")
            )
        return _verdict(answered_document(verdict_from_file(path, asked, on)))
    text = csv_of(colonies, "the colonies")
    return _verdict(answered_document(verdict_of_content("the colonies", text.encode(), asked, on)))


def pooled(files: Sequence[str | PathLike[str]]) -> Pooled:
    """Several trials' own files together; each is judged anew, and those that broke a rule are left out.

    Parameters
    ----------
    files
        Paths of trials' own files, as ``breadline verdict --travel`` writes them.

    Errors
    ------
    TrialError
        If a file is no trial's own file.
    """
    told = pooled_document(pooled_files([Path(file) for file in files]))
    trials = [trial for group in told["groups"] for trial in group["trials"]] + told["left_out"]
    return Pooled(told["sentence"], told, table_of(map(_group, told["groups"])), table_of(trials, ("name",)))


def evidence() -> Evidence:
    """What published trials found, row by row, and what is believed in each forage situation."""
    told = evidence_told(load())
    said = evidence_document(told, None)
    names = [one.name for one in fields(Comparison)]
    rows = [{name: getattr(row, name) for name in names} for row in told.rows]
    believed = table_of(said["published"], ("situation", "head", "sentence"))
    return Evidence(told.sentence, said, table_of(rows), believed)


def figures(words: str = "") -> Table:
    """Figures of the trade, one row each: key, meaning, unit, low, typical, high [unit], source, read, note.

    Parameters
    ----------
    words
        Only figures that have all of these words in key, meaning, unit, source or note.
    """
    return table_of(
        {
            "key": one.key,
            "meaning": one.meaning,
            "unit": one.unit,
            "low": one.span.low,
            "typical": one.span.typical,
            "high": one.span.high,
            "source": one.source,
            "read": one.read,
            "note": one.note,
        }
        for one in load().find(words)
    )


def _one_of(what: str, word: str, known: tuple[str, ...]) -> None:
    if word not in known:
        raise TrialError(what, say('"{word}" is not known', word=word), ", ".join(known))


def _size(of: Mapping[str, Any]) -> dict[str, Any]:
    """A row with the classes by their words in place of their letters."""
    classes = {f"would_be_{_word(one)}": chance for one, chance in of["classes_at_believed"].items()}
    return {name: value for name, value in of.items() if name != "classes_at_believed"} | classes


def _word(letter: str) -> str:
    return AnswerClass(letter).name.lower()


def _verdict(told: Mapping[str, Any]) -> Verdict:
    here = told.get("here")
    difference = None
    if here is not None:
        difference = (here["low"], here["estimate"], here["high"])
    return Verdict(
        told["sentence"],
        told,
        _word(told["class"]) if "class" in told else "",
        told.get("money_said", ""),
        difference,
        told.get("unit", ""),
        table_of(told.get("arms", ())),
        table_of(told.get("broken", ()), ("facts",)),
    )


def _group(of: Mapping[str, Any]) -> dict[str, Any]:
    told = {name: of[name] for name in ("head", "outcome", "situation", "sentence")}
    average = next(iter((of["average"] or {}).values()), None)
    told |= {"trials": len(of["trials"]), "log_ratio": None if average is None else average["log_ratio"]}
    told |= {end: None if average is None else average[end] for end in ("low", "high")}
    further = None if average is None else average["further"]
    return told | {f"further_{end}": None if further is None else further[end] for end in ("low", "high")}
