"""What the size of a check group is asked for: from a file of its own, or from yards and their plan."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, ClassVar, get_args

import numpy as np

from breadline.belief.gain import SITUATIONS, Scored, Situation
from breadline.errors import InputToMend, TrialError
from breadline.jobs.counts_known import Counts
from breadline.jobs.recipe_fields import Lines, Spot
from breadline.jobs.rounds_fields import YEARS, Money, PlanTable
from breadline.jobs.rounds_file import PlanFile
from breadline.jobs.rounds_target import target_of
from breadline.jobs.two_ways import by_units
from breadline.language import say
from breadline.need.yard import Yard
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.money import Amount
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, Target, WinterBees
from breadline.trial.design import CheckArm, Outcome, Unit
from breadline.trial.spread import Graded

KG_A_POUND = GRAMS_A_POUND / 1000.0
START = "examples/first-check-group/size.toml"
TOP = ("money", "year", "cost", "situation", "gain_pct", "check_group", "feed_in_open", "feeds_anyway",
       "nobody_unfed", "sugar_cost", "pays", "target", "unfed", "grading", "ahead", "yard", "graded",
       "meant")  # fmt: skip
ARMS = {"no protein": CheckArm.SAME_CARE, "usual practice": CheckArm.USUAL, "half rate": CheckArm.HALF,
        "sugar patty": CheckArm.SUGAR}  # fmt: skip
PAYS = ("frame", "frame_year", "kg", "kg_year", "lb", "lb_year")
UNFED = (
    "frames",
    "kg",
    "lb",
    "deaths_pct",
    "missing_pct",
    "margin_frames",
    "margin_kg",
    "margin_lb",
    "baseline",
)
GRADING = ("minutes", "wage", "wage_year", "colonies_a_yard")
AHEAD = ("seasons", "colonies", "discount_pct")
GRADED = ("yard", "before", "after")
MEANT = ("yard", "feed", "colonies")
MOST = 100_000  # colonies


@dataclass(frozen=True)
class Meant:
    """Colonies that somebody means to give one feed: which yard, which feed, how many.

    ``feed`` is "" where they are to stay unfed.
    """

    yard: str
    feed: str
    colonies: int


@dataclass(frozen=True)
class SizeAsked:
    """Everything that the size of a check group hangs on, as far as the user says.

    Parameters
    ----------
    yards
        Name and colonies of each.
    money
        Whose.
    cost
        Of feeding. [money/colony]
    price
        Of a frame or a kilogram; None where a line is paid for. [money/frame or money/kg]
    target
        The line that is paid for; None where a unit has its price.
    outcome
        The outcome that pays.
    usual
        Of a living unfed colony on the day; None is not known. [frames or kg]
    deaths, missing
        Colonies dead by then, None takes the shelf's; and ends that nobody will know. [share]
    situation, gain
        What the place gives, for the belief; or one's own belief, low, middle and high. [ratio]
    margin
        A difference that would not matter; None takes the break-even. [unit of the outcome]
    check_arm, unit
        What the check group gets, and what is drawn.
    feeds
        Whether all are fed without a comparison; None is what the belief says pays.
    baseline, counted, counts
        Whether colonies are graded before the draw; whether that is done, each hive in the book; and the
        counts in the book, where every hive has one.
    graded
        One's own grading, for the spread.
    minutes, wage, a_yard
        To grade a colony, None takes the shelf's [min]; an hour [money/h]; colonies graded
        a yard where whole yards are drawn.
    seasons, ahead, discount
        None takes the shelf's seasons and discount [share], and the colonies of all yards.
    year
        Of the prices.
    meant
        The comparison that somebody has in mind, where it is not a fed and an unfed group in
        each yard.
    nobody_unfed
        The owner leaves no colony unfed.
    sugar_cost
        Of the sugar patty that check colonies get, where they get one. [money/colony]
    with_losses
        Whether ``gain`` is of colonies started, so that it holds what feeding does to losses.
    survival
        What own deaths taught of feeding and losses; None takes the shelf's. [log odds]
    planned_on
        When the plan that it goes by was chosen; None where it goes by none.
    """

    yards: tuple[tuple[str, int], ...]
    money: str
    cost: float
    outcome: Outcome
    price: Amount | None = None
    target: Frames | WinterBees | KeepAlive | None = None
    usual: float | None = None
    deaths: float | None = None
    missing: float = 0.05
    situation: Situation | None = None
    gain: tuple[float, float, float] | None = None
    margin: float | None = None
    check_arm: CheckArm = CheckArm.SAME_CARE
    unit: Unit = Unit.COLONY
    feeds: bool | None = None
    baseline: bool = True
    counted: bool = False
    counts: Counts | None = None
    graded: Graded | None = None
    minutes: float | None = None
    wage: float = 0.0
    a_yard: int = 20
    seasons: int | None = None
    ahead: float | None = None
    discount: float | None = None
    year: int | None = None
    meant: tuple[Meant, ...] = ()
    nobody_unfed: bool = False
    sugar_cost: float | None = None
    with_losses: bool = False
    survival: Scored | None = None
    planned_on: date | None = None

    @property
    def colonies(self) -> int:
        """In all yards."""
        return sum(n for _, n in self.yards)


def from_plan(yards: Sequence[Yard], plan: PlanFile, cost: float) -> SizeAsked:
    """The same for yards and what is asked of their rounds.

    Parameters
    ----------
    yards
        Of one operation.
    plan
        Target, wage, losses and usual frames.
    cost
        Of feeding, rounds and all. [money/colony]
    """
    outcome, price, line = path_of(plan.target)
    counted = next((y.count.frames_of_bees for y in yards if y.count.frames_of_bees), None)
    usual = plan.rounds.usual_frames or counted
    if isinstance(plan.target, HoneyFlow):
        usual = plan.target.usual_kg
    wage = plan.work.wage
    amount = price or (line.fee if isinstance(line, Frames) else line.value if line else wage)
    return SizeAsked(
        tuple((y.name, y.colonies) for y in yards), amount.money, cost, outcome, price, line, usual,
        plan.rounds.losses, graded=_as_inspected(yards, plan, outcome), wage=wage.amount, year=amount.year,
    )  # fmt: skip


def _as_inspected(yards: Sequence[Yard], plan: PlanFile, outcome: Outcome) -> Graded | None:
    """Colonies that were graded one by one on the last inspection that has any, else on the plan's hives."""
    if outcome is Outcome.HONEY:
        return None
    each = [next((i.frames_each for i in reversed(y.inspections) if i.frames_each), ()) for y in yards]
    if len(yards) == 1 and not each[0]:
        each = [tuple(frames for _, frames in plan.hives)]
    frames = np.array([one for of in each for one in of], dtype=np.float64)
    if not frames.size:
        return None
    yard = np.repeat(np.arange(len(each)), [len(of) for of in each]).astype(np.int64)
    return Graded(yard, frames, np.full(frames.size, np.nan))


def path_of(target: Target) -> tuple[Outcome, Amount | None, Frames | WinterBees | KeepAlive | None]:
    """The outcome that a target pays for: a price a unit, or a line."""
    if isinstance(target, HoneyFlow):
        return Outcome.HONEY, target.price, None
    if isinstance(target, Splits):
        return Outcome.FRAMES, replace(target.value, amount=target.value.amount / target.bees), None
    return Outcome.MAKING_GRADE, None, target


class AskedTable(PlanTable):
    """One table of the file."""

    fault: ClassVar[type[InputToMend]] = TrialError

    def error(self, key: str, what: str, expected: str = "", do: str = "") -> InputToMend:
        """An error that names the file, the line, the table and the key."""
        return TrialError(self.spot.where(key), what, expected, do)


def read_asked(path: Path) -> SizeAsked:
    """What a file asks for.

    Errors
    ------
    TrialError, PlanError
        If the file is not there or not TOML, or a fact is missing or cannot be; names file, line and key.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise TrialError(str(path), say("it can't be read ({why})", why=error.strerror),
                         say("a file (.toml)"), say("Start from {file}", file=START)) from None  # fmt: skip
    except UnicodeDecodeError:
        raise TrialError(path.name, say("the file is not in UTF-8"), say("a text file in UTF-8")) from None
    return asked_from_text(text, path.name)


def asked_from_text(text: str, where: str = "size.toml") -> SizeAsked:
    """The same from its text."""
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise TrialError(where, say("it is not TOML: {why}", why=error), say("lines such as cost = 16"),
                         say("Start from {file}", file=START)) from None  # fmt: skip
    lines = Lines(text)
    top = AskedTable(data, Spot(where, lines), TOP)
    name = top.needed("money", top.text("money").strip(), say("whose money, such as US$ or EUR"))
    money = Money(name, top.whole("year", *YEARS))
    most = 1e4 if by_units(name) else 1e8  # of which nobody here knows what things cost

    def one(name: str, known: tuple[str, ...]) -> AskedTable:
        return AskedTable(data.get(name, {}), Spot(where, lines, name), known)

    def several(name: str, known: tuple[str, ...]) -> list[AskedTable]:
        listed = data.get(name, [])
        if not isinstance(listed, list):
            raise TrialError(
                f"{where}, {name}", say("it is one table"), say("a list: write [[{name}]]", name=name)
            )
        return [AskedTable(row, Spot(where, lines, name, n, True), known) for n, row in enumerate(listed, 1)]

    unfed, grading, ahead = one("unfed", UNFED), one("grading", GRADING), one("ahead", AHEAD)
    outcome, price, line = _pays(one("pays", PAYS), data.get("target"), Spot(where, lines, "target"), money)
    cost = top.needed(
        "cost", top.number("cost", 0, most, "a colony"), say("what feeding costs a colony, all told")
    )
    wage = money.amount(grading, "wage", "an hour", nought=True)
    asked = SizeAsked(
        yards=_yards(several("yard", ("name", "colonies")), where),
        money=name, cost=cost, outcome=outcome, price=price, target=line,
        usual=_usual(unfed, outcome),
        deaths=unfed.share("deaths_pct"),
        situation=_situation(top), gain=_gain(top), with_losses=True, margin=_margin(unfed, outcome),
        check_arm=ARMS[top.word("check_group", tuple(ARMS)) or "no protein"],
        unit=Unit.YARD if top.truth("feed_in_open") else Unit.COLONY,
        feeds=top.truth("feeds_anyway"),
        graded=_graded(several("graded", GRADED)),
        minutes=grading.above("minutes", 60, "minutes a colony"),
        wage=0.0 if wage is None else wage.amount,
        seasons=ahead.whole("seasons", 1, 20, "seasons"),
        ahead=ahead.number("colonies", 1, MOST, "colonies"),
        discount=ahead.share("discount_pct"), year=money.year,
        meant=tuple(_meant(table) for table in several("meant", MEANT)),
        nobody_unfed=bool(top.truth("nobody_unfed")),
        sugar_cost=top.number("sugar_cost", 0, most, "a colony"),
    )  # fmt: skip
    return _but(asked, unfed, grading)


def _but(asked: SizeAsked, unfed: AskedTable, grading: AskedTable) -> SizeAsked:
    """What has its usual value here rather than on the shelf."""
    missing, a_yard = unfed.share("missing_pct"), grading.whole("colonies_a_yard", 1, 5000, "colonies")
    baseline = unfed.truth("baseline")
    return replace(
        asked,
        missing=asked.missing if missing is None else missing,
        a_yard=asked.a_yard if a_yard is None else a_yard,
        baseline=True if baseline is None else baseline,
    )


def _pays(
    table: AskedTable, target: Any, spot: Spot, money: Money
) -> tuple[Outcome, Amount | None, Frames | WinterBees | KeepAlive | None]:
    found = [key for key in ("frame", "kg", "lb") if key in table.data]
    if len(found) + (target is not None) != 1:
        raise table.error("", say("says not once what pays"),
                          say("frame, kg or lb with its price; or a [target]"),
                          say("Start from {file}", file=START))  # fmt: skip
    if not found:
        return path_of(target_of(target, spot, money))
    price = money.amount(table, found[0], f"a {found[0]}")
    assert price is not None
    if found[0] == "lb":
        price = replace(price, amount=price.amount / KG_A_POUND)
    return (Outcome.FRAMES if found[0] == "frame" else Outcome.HONEY), price, None


def _usual(table: AskedTable, outcome: Outcome) -> float | None:
    if outcome is not Outcome.HONEY:
        return table.above("frames", 40, "frames of bees", "If you typed bees, divide by what a frame means")
    pounds = table.above("lb", 440, "lb of honey")
    return table.above("kg", 200, "kg of honey") if pounds is None else pounds * KG_A_POUND


def _margin(table: AskedTable, outcome: Outcome) -> float | None:
    if outcome is not Outcome.HONEY:
        return table.above("margin_frames", 40, "frames")
    pounds = table.above("margin_lb", 440, "lb")
    return table.above("margin_kg", 200, "kg") if pounds is None else pounds * KG_A_POUND


def _situation(top: AskedTable) -> Situation | None:
    word = top.word("situation", SITUATIONS)
    return next((one for one in get_args(Situation) if one == word), None)


def _gain(top: AskedTable) -> tuple[float, float, float] | None:
    listed = top.numbers("gain_pct", -90, 400, "% more than unfed")
    if not listed:
        return None
    if len(listed) != 3 or not listed[0] < listed[1] < listed[2]:
        raise top.error(
            "gain_pct",
            say("{given} is no belief", given=list(listed)),
            say("low, middle and high, such as [-10, 25, 70]"),
        )
    low, middle, high = (1.0 + one / 100.0 for one in listed)
    return low, middle, high


def _yards(tables: list[AskedTable], where: str) -> tuple[tuple[str, int], ...]:
    if not tables:
        raise TrialError(
            f"{where}, [[yard]]",
            say("no yard is named"),
            say("name and colonies of each"),
            say("Add [[yard]]"),
        )
    found = tuple(
        (table.needed_text("name", say("what you call the yard")),
         table.needed("colonies", table.whole("colonies", 1, MOST, "colonies"), say("how many stand there")))
        for table in tables
    )  # fmt: skip
    names = [name for name, _ in found]
    for table, name in zip(tables, names, strict=True):
        if names.count(name) > 1:
            raise table.error("name", say('"{name}" stands there twice', name=name), say("each yard once"))
    return found


def _meant(table: AskedTable) -> Meant:
    many = table.needed("colonies", table.whole("colonies", 1, MOST, "colonies"), say("how many colonies"))
    return Meant(table.needed_text("yard", say("which yard")), table.text("feed").strip(), many)


def _graded(tables: list[AskedTable]) -> Graded | None:
    if not tables:
        return None
    yards = [table.needed_text("yard", say("the yard it stands in")) for table in tables]
    _, yard = np.unique(yards, return_inverse=True)
    before, after = (
        np.array([np.nan if (v := t.number(key, 0, 200, "frames or kg")) is None else v for t in tables])
        for key in ("before", "after")
    )
    return Graded(yard.astype(np.int64), after, before)
