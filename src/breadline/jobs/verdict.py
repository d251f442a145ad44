"""From a spreadsheet, or a trial's own file, to a verdict with its words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import partial
from typing import Literal

import numpy as np

from breadline.errors import TrialError
from breadline.jobs.trial_shape import Feed
from breadline.jobs.verdict_cells import Table
from breadline.jobs.verdict_costs import COST, cost_taken
from breadline.jobs.verdict_described import NotDecided, not_decided
from breadline.jobs.verdict_prices_now import PricesNow, both_lines, prices_now
from breadline.jobs.verdict_rows import SheetAsked, SheetRead, colonies_of
from breadline.language import language, noted, say
from breadline.measures import Units
from breadline.plan.money import Amount
from breadline.plan.targets import Frames
from breadline.trial.classes import Lines
from breadline.trial.colonies import AS_NOTHING, CHECK, Ended
from breadline.trial.design import Allocation, CheckArm, Design, Outcome
from breadline.trial.value_path import (
    NOT_ONE,
    FromNothing,
    MakingGrade,
    PerUnit,
    counted_in,
    fitted_strengths,
)
from breadline.verdict.amounts import FRAMES, KILOGRAMS, POUNDS, Measure
from breadline.verdict.answer import Answer, Finished, answer
from breadline.verdict.elsewhere import elsewhere
from breadline.verdict.ends_of import ends_of
from breadline.verdict.words import Spoken, spoken
from breadline.verdict.worth import Worth

SEED = 6
Drawn = Literal["lot", "hand", "unknown"]
ALLOCATION: dict[Drawn, Allocation] = {
    "lot": Allocation.DRAWN, "hand": Allocation.CHOSEN, "unknown": Allocation.UNKNOWN,
}  # fmt: skip
MEASURES: dict[str, Measure] = {"frames": FRAMES, "lb": POUNDS, "kg": KILOGRAMS}
NOTHING_LIVED = Lines(0.0, 1.0)  # nothing can be told, so nothing hangs on them [frames]
NO_YEAR = 2000  # of a price that is none
PAYS = {
    Outcome.FRAMES: noted("what one more frame is worth"),
    Outcome.HONEY: noted("what one more kilogram is worth"),
    Outcome.MAKING_GRADE: noted("what is paid for a colony that makes grade"),
}
A_POUND = noted("what one more pound is worth")
MOST = {"frames": 60.0, "lb": 900.0, "kg": 400.0}  # of one colony, in its unit
OUTCOMES: dict[str, Outcome] = {"frames": Outcome.FRAMES, "lb": Outcome.HONEY, "kg": Outcome.HONEY}


@dataclass(frozen=True)
class Prices:
    """What is asked of money, since no price is shipped.

    Parameters
    ----------
    cost
        Of feeding one colony. [money]
    price
        Of one more frame, pound or kilogram. [money per unit of the outcome]
    break_even
        Instead of both: the difference that would pay. [unit of the outcome]
    margin
        Smallest difference that matters; the break-even where None. [unit of the outcome]
    unit
        "$", "€", "CHF" …
    year, year_said
        Of the prices; and whether somebody said it, else it is told as taken.
    """

    cost: float | None = None
    price: float | None = None
    break_even: float | None = None
    margin: float | None = None
    unit: str = "$"
    year: int = 0
    year_said: bool = True

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is taken of them that nobody said."""
        taken = say(
            "Nobody said of which year cost and price are: they are taken as of {year}.", year=self.year
        )
        return () if self.year_said or self.cost is None else (taken,)


@dataclass(frozen=True)
class Told:
    """What people say of how it was done.

    Parameters
    ----------
    drawn
        How it was decided which were fed.
    one_row
        Whether the groups stand in one row without alternating; None where not said.
    open_feed, weakest_unfed
        Whether feed lay in the open; whether the unfed were picked as the weakest.
    differently
        What else was done to one group only; "" where nothing.
    check_arm
        What the check group got.
    fed_in_open
        What dry feed in the open did to unfed colonies since the draw, as a book knows it; "" where none did.
    in_doubt
        Dry feed in the open that may have reached them, as it is told of the trial; "" where none did.
    by_book
        Both of these as the book knows them, said in the language then spoken; None where no book was asked.
    """

    drawn: Drawn = "unknown"
    one_row: bool | None = None
    open_feed: bool = False
    weakest_unfed: bool = False
    differently: str = ""
    check_arm: CheckArm = CheckArm.SAME_CARE
    fed_in_open: str = ""
    in_doubt: str = ""
    by_book: Callable[[], tuple[str, str]] | None = field(default=None, compare=False)

    @property
    def in_this_language(self) -> Told:
        """The same with what a book knows of dry feed said in this language."""
        if self.by_book is None:
            return self
        fed_in_open, in_doubt = self.by_book()
        return replace(self, fed_in_open=fed_in_open, in_doubt=in_doubt)


@dataclass(frozen=True)
class VerdictAsked:
    """Everything asked with a spreadsheet."""

    prices: Prices = field(default_factory=Prices)
    told: Told = field(default_factory=Told)
    sheet: SheetAsked = field(default_factory=SheetAsked)
    measure: str = "frames"
    grade: float | None = None  # the line, where the share making it pays [frames]
    seed: int = SEED
    draws: int | None = None  # of lots; None by the colonies, as everywhere
    weighed: Units | None = None  # in which the honey of a drawn trial is priced and told; None kilograms


Asides = tuple[tuple[str, ...], tuple[str, ...]]  # departures and remarks


@dataclass(frozen=True)
class Verdict:
    """An answer with its words, and where it comes from.

    ``deviations`` from what was ``locked``, and ``why_so_many`` colonies were drawn, are known of a
    trial that was designed with the program; so is its ``lock``, when and with which digest.
    ``together`` is the second sentence, with earlier evidence; "" where forage was not noted.
    ``beside`` is described and not decided on; ``feed`` is what the trial's own file says of it.
    ``now`` is what today's prices would make of it, where they come to another line than it is judged by.
    ``noted`` is what the place gave, where that was said with it; "" where not.
    ``drawn_on`` is known of a trial that the program drew; on ``fed_on`` feed went on, as far as known.
    ``asides`` says departures and remarks in the language then spoken, by the days of feed; ``again`` judges
    the same trial again, and ``second`` says what stands together with it: for another reader's page.
    """

    source: str
    finished: Finished
    answer: Answer
    worth: Worth | None
    measure: Measure
    spoken: Spoken
    remarks: tuple[str, ...] = ()
    deviations: tuple[str, ...] = ()
    locked: bool = False
    why_so_many: str = ""
    together: str = ""
    lock: tuple[datetime, str] | None = None
    beside: NotDecided = field(default_factory=NotDecided)
    feed: Feed | None = None
    drawn_on: date | None = None
    fed_on: tuple[date, ...] = ()
    noted: str = ""
    no_money: tuple[str, str, Prices] | None = None  # where nothing can be told of money
    told_in: str = field(default_factory=language)
    now: PricesNow | None = None
    asides: Callable[[tuple[date, ...]], Asides] | None = field(default=None, compare=False)
    again: Callable[[], Answer] | None = field(default=None, compare=False)
    second: Callable[[], str] | None = field(default=None, compare=False)

    @property
    def both_lines(self) -> str:
        """The line it is judged by and that of today's prices; "" where they are one."""
        return both_lines(self.now, self.answer, self.finished, self.measure)

    @property
    def in_this_language(self) -> Verdict:
        """The same with its sentences said in this language, where it was judged for another reader."""
        if self.told_in == language():
            return self
        untold = self.answer.broken or self.answer.why_not  # worked out in no time, and told in it
        found = self.again() if self.again is not None and untold else self.answer
        if found.elsewhere is not None and found.elsewhere.why_not:
            found = replace(found, elsewhere=elsewhere(self.finished.design, found.came))
        said = spoken(found, self.finished.design, self.worth, self.measure)
        if self.no_money is not None:
            said = replace(said, money=_no_money(*self.no_money))
        together = self.second() if self.second is not None else self.together
        both = replace(self, answer=found, spoken=said, together=together, told_in=language())
        return both.with_asides(self.fed_on)

    def with_asides(self, fed_on: tuple[date, ...]) -> Verdict:
        """Departures and remarks in this language, by the days on which feed went on."""
        if self.asides is None:
            return replace(self, fed_on=fed_on)
        deviations, remarks = self.asides(fed_on)
        return replace(self, fed_on=fed_on, deviations=deviations, remarks=remarks)


def verdict_of_table(table: Table, asked: VerdictAsked) -> Verdict:
    """The verdict of a spreadsheet.

    Errors
    ------
    TrialError
        If the rows are not one a colony, or cost and price are not said.
    """
    _refuse_no_prices(asked.prices)
    read = colonies_of(table, asked.sheet)
    _refuse_impossible(table.name, read, asked.measure)
    design = design_of(read, asked)
    worth = worth_of(design, read.ended, asked.prices)
    priced = worth is not None or asked.prices.break_even is not None
    design = replace(design, lines=lines_of(asked.prices, worth) if priced else NOTHING_LIVED)
    conduct = read.conduct(asked.told.weakest_unfed, asked.told.differently)
    finished = Finished(design, read.ended, conduct, read.visits)
    days = [one.when[1] for one in read.visits if one.when[1] != date.min]
    found = judged_verdict(finished, worth, asked, table.name, min(days, default=None))
    now = None if found.now is None else replace(found.now, typed=True)

    def asides(_: tuple[date, ...]) -> Asides:
        taken = cost_taken(design.check_arm, asked.prices.cost)
        read = (*table.remarks, *colonies_of(table, asked.sheet).remarks)
        return (), (*read, *taken, *asked.prices.remarks)

    again = partial(_answer_of_table, table, asked)
    return replace(found, now=now, asides=asides, again=again).with_asides(())


def _answer_of_table(table: Table, asked: VerdictAsked) -> Answer:
    return verdict_of_table(table, asked).answer


def judged_verdict(
    finished: Finished, worth: Worth | None, asked: VerdictAsked, source: str, since: date | None = None
) -> Verdict:
    """A finished trial judged, with its words; ``since`` is the day of its draw, where that is known."""
    finished = by_grade(finished, worth)
    found = answer(finished, np.random.default_rng(asked.seed), asked.draws)
    measure = MEASURES[asked.measure]
    said = spoken(found, finished.design, worth, measure)
    no_money = None
    if found.here is not None and not said.money:
        pays = PAYS[finished.design.outcome]
        cost = COST[finished.design.check_arm]
        no_money = (cost, A_POUND if measure == MEASURES["lb"] else pays, asked.prices)
        said = replace(said, money=_no_money(*no_money))
    beside = not_decided(finished.design, found, since, asked.seed)
    now = prices_now(finished, found, worth, measure, (asked.seed, asked.draws))
    return Verdict(source, finished, found, worth, measure, said, beside=beside, no_money=no_money, now=now)


def by_grade(finished: Finished, worth: Worth | None) -> Finished:
    """A finished trial with the way from frames to the share making grade, where that pays.

    The shares and what is told by them need no price: without one a colony that makes grade counts as 1.
    """
    if worth is not None:
        path = worth.path if isinstance(worth.path, MakingGrade) else None
        return replace(finished, grade_path=path, grade_cost=None if path is None else worth.cost.amount)
    if finished.design.outcome is not Outcome.MAKING_GRADE:
        return finished
    one = Amount(1.0, "colonies", NO_YEAR)
    return replace(finished, grade_path=_grade_path(finished.design, finished.ended, one), grade_cost=None)


def _no_money(cost: str, pays: str, prices: Prices) -> str:
    """Why nothing is told of money, and the way to it; "" where the line that pays was said instead."""
    missing = [say(said) for said, value in ((cost, prices.cost), (pays, prices.price)) if value is None]
    if prices.break_even is not None or not missing:
        return ""
    what = say("{first} and {second}", first=missing[0], second=missing[1]) if missing[1:] else missing[0]
    return say(
        "What was left over is not told, for nobody said {what}; with both it is.",
        what=what,
    )


def worth_of(design: Design, ended: tuple[Ended, ...], prices: Prices) -> Worth | None:
    """The money, where cost and price are said; through the share making grade where that pays."""
    if prices.cost is None or prices.price is None:
        return None
    cost, price = (Amount(v, prices.unit, prices.year) for v in (prices.cost, prices.price))
    if design.outcome is not Outcome.MAKING_GRADE:
        return Worth(cost, PerUnit(design.outcome, price))
    path = _grade_path(design, ended, price)
    return None if path is None else Worth(cost, path)


def _grade_path(design: Design, ended: tuple[Ended, ...], price: Amount) -> MakingGrade | None:
    """From frames to the share making grade and its money; None where no colony lived in either group."""
    came, colonies = ends_of(design, ended), len(design.started)
    arm, frames = came.ends.arm[~came.missing], came.ends.outcome[~came.missing]
    check, fed = (frames[arm == one] for one in (CHECK, design.primary))
    line = Frames(design.grading, design.grade or 0.0, price.checked("price"), "hive_by_hive")
    step = counted_in(np.concatenate([check, fed]))
    if check.any():
        return MakingGrade(line, fitted_strengths(check), colonies, 1.0, step)
    return FromNothing(line, NOT_ONE, colonies, 1.0, step, fitted_strengths(fed)) if fed.any() else None


def _refuse_impossible(name: str, read: SheetRead, measure: str) -> None:
    """Numbers that no colony comes to, such as 85 where 8.5 was meant."""
    most = MOST[measure]
    values = {one.tag: one.baseline for one in read.started if measure == "frames"}
    for tag, value in (*values.items(), *((row.tag, row.outcome) for row in read.ended)):
        if value is not None and value > most:
            raise TrialError(
                f"{name}, colony {tag}",
                say(
                    "{value:g} {unit} are more than a colony comes to",
                    value=value,
                    unit=say(MEASURES[measure].many),
                ),
                say("{least:g} to {most:g} {unit}", least=0, most=most, unit=say(MEASURES[measure].many)),
                say("Is a decimal point missing? If it is honey, say so with its unit"),
            )


def _refuse_no_prices(prices: Prices) -> None:
    if prices.break_even is not None or (prices.cost is not None and prices.price is not None):
        return
    left = say(" and ").join(
        name for name, value in ((say("cost"), prices.cost), (say("price"), prices.price)) if value is None
    )
    raise TrialError(
        left,
        say("not said, and none is shipped"),
        say("what feeding a colony cost, and what one more frame is worth to you"),
        say("For example --cost 16 --price 18; or --break-even 0.9, the difference that would pay"),
    )


def lines_of(prices: Prices, worth: Worth | None) -> Lines:
    """Break-even and margin.

    Errors
    ------
    TrialError
        If the break-even is 0 and no margin is said.
    """
    break_even = prices.break_even if prices.break_even is not None else worth.break_even if worth else 0.0
    margin = prices.margin if prices.margin is not None else break_even
    if margin <= 0:
        raise TrialError(
            "margin",
            say("not said, and the break-even is 0"),
            say("the smallest difference that matters"),
            say("For example --margin 0.5"),
        )
    return Lines(break_even, margin)


def design_of(read: SheetRead, asked: VerdictAsked) -> Design:
    """What is known of the design of a trial that was never locked; its lines are still to come."""
    graded = [row.graded_on for row in read.ended if row.graded_on and row.became not in AS_NOTHING]
    return Design(
        outcome=OUTCOMES[asked.measure] if asked.grade is None else Outcome.MAKING_GRADE,
        check_arm=asked.told.check_arm,
        unit=read.unit,
        allocation=ALLOCATION[asked.told.drawn],
        arms=read.arms.names,
        primary=read.arms.primary,
        lines=Lines(0.0, 1.0),
        grading=max(graded, default=date.min),
        started=read.started,
        grade=asked.grade,
        open_feed=asked.told.open_feed,
        staggered=None if asked.told.one_row is None else not asked.told.one_row,
    )
