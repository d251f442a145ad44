"""A plan of feeding as it is asked for, from a file beside the yard's: target, prices, work, rounds."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from breadline.errors import PlanError
from breadline.jobs.recipe_fields import Lines, Spot
from breadline.jobs.rounds_feed_asked import FEED as FEED
from breadline.jobs.rounds_feed_asked import FeedAsked, feeds_of
from breadline.jobs.rounds_feeds import FeedSource, FilesBeside
from breadline.jobs.rounds_fields import YEARS, Money, PlanTable, table_of, tables_of
from breadline.jobs.rounds_last_year import LAST_YEAR, last_year_of
from breadline.jobs.rounds_move import MOVE, MoveAsked, move_asked
from breadline.jobs.rounds_target import KINDS, target_of
from breadline.jobs.two_ways import Written
from breadline.language import say
from breadline.need.yard import Given, Place
from breadline.plan.costs import Syrup, Work
from breadline.plan.dry_feed import KM_A_MILE
from breadline.plan.money import Amount
from breadline.plan.plans import INTERVALS
from breadline.plan.targets import Target, checked
from breadline.plan.truck_days import AS_THEY_COME, Drive

__all__ = ["KINDS", "FeedAsked", "PlanFile", "RoundsAsked", "plan_from_text", "read_plan"]

TOP = ("money", "year", "target", "feed", "work", "syrup", "rounds", "last_year", "drive", "hive", "move")
WORK = ("minutes_colony", "wage", "wage_year", "miles", "mile", "mile_year", "km", "a_km", "a_km_year",
        "minutes_drive", "other_work")  # fmt: skip
SYRUP = ("price", "price_year", "per", "sugar_pct", "kg_a_litre")
ROUNDS = ("start", "intervals", "most_rounds", "until_pollen", "pieces", "beetle_days", "beetles_about",
          "rim", "appetite_mg", "supers_from", "honey_lb", "honey_kg", "losses_pct", "usual_frames",
          "spare_pct", "mix_days_before", "stop_pct")  # fmt: skip
DRIVE = ("order", "latitude", "longitude")
HIVE = ("tag", "frames")
START = "examples/first-rounds/rounds.toml"


@dataclass(frozen=True)
class RoundsAsked:
    """How the rounds may be, as far as the keeper says."""

    start: date | None = None
    intervals: tuple[int, ...] = INTERVALS  # [d]
    most_rounds: int = 8
    until_pollen: bool = True  # also plans whose rounds are left out while pollen comes in
    pieces: tuple[float, ...] = ()  # own pieces; empty lets appetite and beetles say [patties]
    beetle_days: float | None = None  # own rule [d]
    beetles_about: bool | None = None  # in the district
    rim: bool | None = None
    appetite_mg: float | None = None  # a bee and day [mg/day]
    appetite_at: str = field(default="", compare=False)  # where it stands in the file
    supers_from: date | None = None
    honey_kg: float | None = None  # stores of the average colony, as sugar [kg]
    losses: float | None = None  # until the date [share]
    usual_frames: float | None = None  # on the date without feed [frames]
    spare: float | None = None  # loaded on top [share]
    mix_days_before: int = 2
    stop_share: float | None = None  # bees with pollen at the entrance, from which feeding stops [share]


@dataclass(frozen=True)
class PlanFile:
    """Everything a plan file says."""

    target: Target
    feeds: tuple[FeedAsked, ...]
    work: Work
    syrup: Syrup | None = None
    syrup_kg_litre: float | None = None  # [kg/L]
    rounds: RoundsAsked = RoundsAsked()
    last_year: tuple[Given, ...] = ()  # as it was given, on its own dates
    last_year_feed: int = 0
    drive: Drive = AS_THEY_COME
    move: MoveAsked | None = None
    hives: tuple[tuple[str, float], ...] = ()  # tag, frames of bees [frames]
    text: str = ""  # the file, as it is kept with the plan that was chosen


def read_plan(path: Path | str, today: date, source: FeedSource | None = None) -> PlanFile:
    """The plan of a file, asked on the day ``today``; recipes it names lie beside it, else in ``source``.

    Errors
    ------
    PlanError
        If the file is not there or not TOML, or a fact in it is missing or cannot be; names file, line,
        table, key and value.
    """
    where = Path(path).name
    try:
        raw = Path(path).read_bytes()
    except OSError as error:
        raise PlanError(
            str(path),
            say("it can't be read ({strerror})", strerror=error.strerror),
            say("a plan file (.toml)"),
            say("Start from {start}", start=START),
        ) from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise PlanError(
            where,
            say("the file is not in UTF-8"),
            say("a text file in UTF-8"),
            say('Save it again with the encoding "UTF-8" in your editor'),
        ) from None
    return plan_from_text(text, today, where, source or FilesBeside(Path(path).parent))


def plan_from_text(
    text: str,
    today: date,
    where: str = "rounds.toml",
    source: FeedSource | None = None,
    read_back: bool = False,
    by_hand: bool = True,
) -> PlanFile:
    """The plan of a file's text, or of what was typed on the page; recipes it names are in ``source``.

    ``read_back``: it is the text that a book keeps with a plan that was chosen; what was allowed then is not
    refused now. ``by_hand``: somebody wrote it, so a price like 3.500 is asked about where it may be 3500; a
    program's numbers are what they are.

    Errors
    ------
    PlanError
        As ``read_plan``.
    """
    if not text.strip():
        raise PlanError(
            where,
            say("the file is empty"),
            say("a target, a feed and its price"),
            say("Start from {start}", start=START),
        )
    try:
        data = tomllib.loads(text, parse_float=Written if by_hand and not read_back else float)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise PlanError(
            where,
            say("it is not TOML: {error}", error=error),
            say('lines such as fee = 188 and kind = "frames"'),
            say("Numbers have a point, words stand between quotes"),
        ) from None
    lines = Lines(text)
    top = PlanTable(data, Spot(where, lines), TOP)
    money = Money(
        top.needed("money", top.text("money").strip(), say("whose money, such as US$ or EUR")),
        top.whole("year", *YEARS),
    )

    def one(name: str, known: tuple[str, ...]) -> PlanTable:
        return table_of(data, name, known, where, lines)

    tables, syrup_there = tables_of(data, "feed", FEED, where, lines), bool(data.get("syrup"))
    feeds = feeds_of(tables, money, where, source, syrup_there, read_back)
    rounds_then = tables_of(data, "last_year", LAST_YEAR, where, lines)
    given, of_feed = last_year_of(rounds_then, feeds, None if read_back else today)
    syrup, kg_litre = _syrup(one("syrup", SYRUP), money)
    target = target_of(data.get("target"), Spot(where, lines, "target"), money)
    return PlanFile(
        target=_checked(target, today, Spot(where, lines, "target")),
        feeds=feeds,
        work=_work(one("work", WORK), money),
        syrup=syrup,
        syrup_kg_litre=kg_litre,
        rounds=_rounds(one("rounds", ROUNDS), today),
        last_year=given,
        last_year_feed=of_feed,
        drive=_drive(one("drive", DRIVE)),
        move=move_asked(one("move", MOVE), money, today, source),
        hives=_hives(tables_of(data, "hive", HIVE, where, lines)),
        text=text,
    )


def for_another_yard(text: str) -> str:
    """The text of a plan file without the hives that were graded: they stand in one yard.

    Errors: PlanError where they are not in blocks of their own, and so cannot be left out.
    """
    kept, own = [], False
    for line in text.splitlines(keepends=True):
        if line.lstrip().startswith("["):
            own = line.lstrip().replace(" ", "").startswith("[[hive]]")
        if not own:
            kept.append(line)
    said = "".join(kept)
    if "hive" in tomllib.loads(said):
        raise PlanError(
            "hive",
            say("is a list in one line"),
            say("a block [[hive]] for each hive"),
            say("Hives stand in one yard; in blocks they are left out of the others"),
        )
    return said


def _checked(target: Target, today: date, spot: Spot) -> Target:
    """The target, if it can be one; the error names the file and line as all others do."""
    try:
        return checked(target, today)
    except PlanError as error:
        key = {"target": "on", "flow": "until"}.get(error.where, error.where)
        raise PlanError(spot.where(key), error.what, error.expected, error.do) from None


def _work(table: PlanTable, money: Money) -> Work:
    wage = money.amount(table, "wage", say("an hour"), nought=True) or Amount(
        0.0, money.money, money.year or YEARS[0]
    )
    miles, mile = _road(table, money)
    return Work(
        minutes_colony=table.number(
            "minutes_colony", 0, 60, say("minutes a colony; if you typed seconds, divide by 60")
        )
        or 0.0,
        wage=wage,
        miles=miles,
        mile=mile,
        minutes_drive=table.number("minutes_drive", 0, 1440, say("minutes, there and back")) or 0.0,
        anyway=bool(table.truth("other_work")),
    )


def _road(table: PlanTable, money: Money) -> tuple[float, Amount | None]:
    """There and back [miles], and what a mile costs [money/mile]; from kilometres where so typed."""
    for key, metric in (("miles", "km"), ("mile", "a_km")):
        if key in table.data and metric in table.data:
            raise table.error(metric, say("{key} is there too", key=key), say("one of them"))
    km, miles = (
        table.number("km", 0, 1600, "km"),
        table.number("miles", 0, 1000, say("miles, there and back")),
    )
    a_km, mile = (
        money.amount(table, key, of, nought=True)
        for key, of in (("a_km", say("a km")), ("mile", say("a mile")))
    )
    if a_km is not None:
        mile = replace(a_km, amount=a_km.amount * KM_A_MILE)
    return km / KM_A_MILE if km is not None else miles or 0.0, mile


def _syrup(table: PlanTable, money: Money) -> tuple[Syrup | None, float | None]:
    if not table.data:
        return None, None
    price = table.needed("price", money.rate(table, "price"), say("what was quoted, with per"))
    sugar = table.needed(
        "sugar_pct", table.number("sugar_pct", 20, 85, say("% of sugar")), "50 for 1:1, 67 for 2:1"
    )
    return Syrup(price, sugar / 100.0), table.number("kg_a_litre", 1.0, 1.5, say("kg a litre"))


def _rounds(table: PlanTable, today: date) -> RoundsAsked:
    start = table.day("start")
    if start is not None and start < today:
        raise table.error(
            "start",
            say("{start} lies before today, {today}", start=start, today=today),
            say("today or later"),
            say("A round that was given belongs under [[given]] in the yard file"),
        )
    usual = RoundsAsked()
    honey = table.mass_g("honey", 150_000.0)
    until_pollen = table.truth("until_pollen")
    mixed = table.whole("mix_days_before", 0, 60, "days")
    return RoundsAsked(
        start=start,
        intervals=tuple(round(d) for d in table.numbers("intervals", 1, 60, "days")) or usual.intervals,
        most_rounds=table.whole("most_rounds", 1, 30, "rounds") or usual.most_rounds,
        until_pollen=usual.until_pollen if until_pollen is None else until_pollen,
        pieces=table.numbers("pieces", 0.25, 6, say("patties; if you typed pounds, divide by the patty")),
        beetle_days=table.number("beetle_days", 1, 60, "days"),
        beetles_about=table.truth("beetles_about"),
        rim=table.truth("rim"),
        appetite_mg=table.above("appetite_mg", 1e6, say("mg a bee and day")),
        appetite_at=table.spot.where("appetite_mg"),
        supers_from=table.day("supers_from"),
        honey_kg=None if honey is None else honey / 1000.0,
        losses=table.share("losses_pct"),
        usual_frames=table.above("usual_frames", 40, "frames"),
        spare=table.share("spare_pct"),
        mix_days_before=usual.mix_days_before if mixed is None else mixed,
        stop_share=_stop_share(table),
    )


def _stop_share(table: PlanTable) -> float | None:
    said = table.number(
        "stop_pct", 1, 99, say("% of bees with pollen; if you typed a share (0.25), write 25")
    )
    return None if said is None else said / 100.0


def _drive(table: PlanTable) -> Drive:
    latitude, longitude = (
        table.number("latitude", -90, 90, "degrees"),
        table.number("longitude", -180, 180, "degrees"),
    )
    if (latitude is None) != (longitude is None):
        raise table.error(
            "latitude", say("the shop has one of latitude and longitude"), "both", say("Add the other")
        )
    return Drive(table.texts("order"), None if latitude is None else Place(latitude, longitude))


def _hives(tables: list[PlanTable]) -> tuple[tuple[str, float], ...]:
    """The hives that were graded; a tag that stands twice would be two hives of one name on every sheet."""
    found: dict[str, float] = {}
    for table in tables:
        tag, frames = _hive(table)
        if tag.casefold() in found:
            raise table.error("tag", say("{tag} stands there twice", tag=tag), say("each hive once"))
        found[tag.casefold()] = frames
    return tuple(_hive(table) for table in tables)


def _hive(table: PlanTable) -> tuple[str, float]:
    frames = table.needed(
        "frames", table.number("frames", 0, 60, say("frames of bees")), say("frames of bees")
    )
    return table.needed_text("tag", say("what stands on the hive")), frames
