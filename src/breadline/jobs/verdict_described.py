"""What a verdict describes and does not decide on: losses by day, brood, weight, honey, feed eaten."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np

from breadline.language import say
from breadline.need.words import day_and_year
from breadline.trial.design import Design, group_name
from breadline.verdict.answer import Answer
from breadline.verdict.described import Described, Eaten, described, eaten
from breadline.verdict.lived import GroupLived, Lived, lived
from breadline.verdict.words_described import described_line, eaten_lines, lived_line, which_line


@dataclass(frozen=True)
class NotDecided:
    """What stands beside an answer; nothing of it where nobody wrote it down, or the trial was not fair."""

    described: tuple[Described, ...] = ()
    eaten: tuple[Eaten, ...] = ()
    lived: Lived | None = None

    @property
    def lines(self) -> tuple[str, ...]:
        """All of it in sentences."""
        living = () if self.lived is None else (lived_line(self.lived),)
        measures = *(described_line(one) for one in self.described), *which_line(self.described)
        return (*living, *measures, *eaten_lines(self.eaten))


def not_decided(design: Design, found: Answer, since: date | None, seed: int) -> NotDecided:
    """What is described of a trial that was fair.

    Parameters
    ----------
    design, found
        The trial and its answer.
    since
        The day of the draw; None where it is not known.
    seed
        For yards too many to list.
    """
    if found.broken:
        return NotDecided()
    beside = described(design, found.came, np.random.default_rng(seed))
    return NotDecided(beside, eaten(design, found.came), lived(design, found.came, since))


def not_decided_document(of: NotDecided) -> dict[str, Any]:
    """The same for programs."""
    return {
        "lines": list(of.lines),
        "measures": [
            {"measure": d.what.value, "fed": d.fed, "check": d.check, "read": d.read, "of": d.of,
             "living_check": list(d.living[0]), "living_fed": list(d.living[1]),
             "estimate": d.estimate, "low": d.low, "high": d.high}
            for d in of.described
        ],
        "eaten_g": [vars(one) for one in of.eaten],
        "living": None if of.lived is None else _living(of.lived),
    }  # fmt: skip


def _living(of: Lived) -> dict[str, Any]:
    return {
        "since": of.since.isoformat(),
        "until": of.until.isoformat(),
        "groups": [_curve(one, of.alone) for one in (of.fed, of.check)],
    }


def _curve(one: GroupLived, alone: bool) -> dict[str, Any]:
    return {
        "name": one.name, "started": one.started, "lost": one.lost, "merged": one.merged,
        "below_one_frame": one.weak, "followed_to_end": one.to_end,
        "living_at_end": list(one.last) if alone and one.last[0] == one.last[0] else None,
        "steps": [
            {"day": day, "at_risk": risk, "lost": lost, "living": living,
             "low": low if alone and low == low else None, "high": high if alone and high == high else None}
            for day, risk, lost, living, low, high in _steps(one)
        ],
    }  # fmt: skip


def living_table(of: Lived) -> tuple[list[str], list[list[str]]]:
    """The curves as a table: heads, and a row a group and day with a loss, or its last day where none."""
    rows = [
        [group_name(one.name), day_and_year(of.since + timedelta(days=int(day))), f"{risk}", f"{lost}",
         f"{100 * alive:.0f}",
         say("{low} to {high}", low=f"{100 * low:.0f}", high=f"{100 * high:.0f}")
         if of.alone and low == low else say("not to be told")]
        for one in (of.fed, of.check)
        for day, risk, lost, alive, low, high in _steps(one) or [_without_loss(of, one)]
    ]  # fmt: skip
    heads = [
        say("Group"), say("Day"), say("Followed until then"), say("Lost"), say("Living, of "
                                                                               "100"), say("Range"),
    ]  # fmt: skip
    return heads, rows


def _steps(one: GroupLived) -> list[tuple[float, int, int, float, float, float]]:
    """Day, followed, lost, share living and its range, a loss a row."""
    c = one.curve
    parts = (c.days, c.at_risk, c.deaths, c.alive, c.low, c.high)
    return list(zip(*(part.tolist() for part in parts), strict=True))


def _without_loss(of: Lived, one: GroupLived) -> tuple[float, int, int, float, float, float]:
    """The last day of a group that lost none, as a row."""
    low, alive, high = one.last
    return float((of.until - of.since).days), one.to_end, 0, alive, low, high
