"""On which day to mix for which round, and how much: what the batch sheet is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from breadline.errors import PlanError
from breadline.language import say
from breadline.need.words import counted
from breadline.plan.paper import Load
from breadline.ration.batch_lines import Mixing


@dataclass(frozen=True)
class MixingDay:
    """One day in the mixing room."""

    round: int
    on: date
    patties: int  # with the spare of the loads
    piece_g: float  # [g]
    yards: tuple[str, ...]
    feed: str = ""

    @property
    def wanted_g(self) -> float:
        """Finished feed to mix [g]."""
        return self.patties * self.piece_g

    @property
    def meant_for(self) -> str:
        """Yards and round, as the batch sheet says them."""
        named = list(dict.fromkeys(self.yards))
        said = (
            counted(len(named), "yard")
            if len(named) > 3
            else say(" and ").join(filter(None, (", ".join(named[:-1]), named[-1])))
        )
        return say("{yards}, round {n}", yards=said, n=self.round)

    def asked_of(self, mixing: Mixing) -> Mixing:
        """The keeper's mixer, asked for this day's feed in this day's pieces."""
        return replace(mixing, wanted_g=self.wanted_g, piece_g=self.piece_g)


def mixing_days(loads: Sequence[Load], days_before: int, today: date | None = None) -> tuple[MixingDay, ...]:
    """One mixing day a round and feed, so many days before its first truck, and never before ``today``.

    Errors: PlanError if the days before are not 0 to 60, or a round's pieces are cut from two patties.
    """
    if not 0 <= days_before <= 60:
        raise PlanError(
            "mixing day",
            say("{days_before} days before the round", days_before=days_before),
            say("0 to 60 days"),
        )
    days = []
    for number, feed in sorted({(load.round, load.feed) for load in loads}):
        of_round = [load for load in loads if (load.round, load.feed) == (number, feed)]
        if not (patties := sum(load.patties for load in of_round)):
            continue
        masses = {load.patty.whole_g for load in of_round}
        if len(masses) > 1:
            raise PlanError(
                f"round {number}", say("its pieces are cut from two kinds of patty"), say("one patty a round")
            )
        first = min(load.on for load in of_round)
        yards = tuple(visit.yard for load in of_round for visit in load.visits)
        on = first - timedelta(days=days_before)
        on = on if today is None else max(on, min(today, first))
        days.append(MixingDay(number, on, patties, masses.pop(), yards, feed))
    return tuple(days)
