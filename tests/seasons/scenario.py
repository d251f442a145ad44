"""A scenario file: invented facts of a yard, and what each step has to answer."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from breadline.need.outlook import Band, Outlook, Range, ShortFrom, Spell

FOLDER = Path(__file__).parent
ALL_STEPS = ("need", "ration", "rounds", "check_group", "verdict")


@dataclass(frozen=True)
class Expectation:
    """What one step of one scenario has to answer."""

    scenario: str
    step: str
    answer: str
    says: tuple[str, ...]  # regular expressions that the rendered text must match
    must_not_say: tuple[str, ...]  # and those it must not
    on: dict[str, tuple[date, date]]  # dates of the answer, each with its window
    more: dict[str, Any]  # further facts that only this step knows how to check


@dataclass(frozen=True)
class Scenario:
    """One file of this folder."""

    name: str
    title: str
    facts: dict[str, Any]
    feed: dict[str, Any]  # what is asked of, or known of, a feed
    outlook: dict[str, Any] | None
    weather: Path | None
    rounds: dict[str, Any]  # region, made-up climate and plan file of the rounds
    check_group: str  # size file of a check group that somebody has in mind
    verdict: dict[str, Any]  # made-up groups of colonies as they ended, and what is said of them
    expectations: tuple[Expectation, ...]


def scenarios() -> list[Scenario]:
    """All files of this folder, in order."""
    return [_read(path) for path in sorted(FOLDER.glob("[0-9]*.toml"))]


def _read(path: Path) -> Scenario:
    data = tomllib.loads(path.read_text("utf-8"))
    expect = data["expect"]
    unknown = set(expect) - set(ALL_STEPS)
    assert not unknown, f"{path.name} expects something of {unknown}, which are no steps"
    return Scenario(
        name=path.stem,
        title=data["title"],
        facts=data.get("facts", {}),
        feed=data.get("feed", {}),
        outlook=data.get("outlook"),
        weather=FOLDER / data["weather"] if "weather" in data else None,
        rounds=data.get("rounds", {}),
        check_group=data.get("check_group", {}).get("asked", ""),
        verdict=data.get("verdict", {}),
        expectations=tuple(
            _expectation(path.stem, step, expect[step]) for step in ALL_STEPS if step in expect
        ),
    )


def _expectation(scenario: str, step: str, table: dict[str, Any]) -> Expectation:
    known = {"answer", "says", "must_not_say", "on"}
    return Expectation(
        scenario,
        step,
        table["answer"],
        tuple(table.get("says", ())),
        tuple(table.get("must_not_say", ())),
        {key: (window["from"], window["to"]) for key, window in table.get("on", {}).items()},
        {key: value for key, value in table.items() if key not in known},
    )


def made_up_outlook(table: dict[str, Any], today: date) -> Outlook:
    """An outlook of a few invented facts, for scenarios without a weather file.

    Only what the facts say is in it; curves are level and carry no information.
    """
    ends = table["ends"]
    dates = tuple(today + timedelta(days=i) for i in range((ends - today).days + 1))
    short = ShortFrom(
        table["chance"], table.get("earliest"), table.get("middle"), table.get("latest"),
        table["not_before"], table.get("now", False),
    )  # fmt: skip
    level = Band(*(np.ones(len(dates)) for _ in range(3)))
    spells = tuple(
        Spell(s["start"], s["end"], s["chance"], Range(*s["missing_g"])) for s in table.get("spells", ())
    )
    return Outlook(
        start=today, dates=dates, need_g=level, income_g=level, bread_g=level, bread_days=level,
        short=np.zeros(len(dates)), short_from=short, lasts_days=Range(*table["lasts_days"]), spells=spells,
        adults=level, brood=level, adults_fed=None, bees_a_frame=1900.0,
        stops_because="invented facts end here", weather_label="invented", weather_years=False, members=1,
        leaves_out=(), figures=(),
    )  # fmt: skip
