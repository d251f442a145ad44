"""What has to be drawn as one: forced by how the feed is given, not chosen.

A patty lies in its hive, so colonies may be drawn one by one inside their yard. Dry feed in
the open feeds every colony in flight range: all yards within it are one, fed or not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from breadline.errors import TrialError
from breadline.knowledge.shelf import Reader
from breadline.language import ENGLISH, say, speaking
from breadline.measures import Units
from breadline.need.yard import Place
from breadline.plan.dry_feed import NoCheckGroup, apart_km, distance_words
from breadline.trial.design import Unit

REACH = "dry_feed.flight_range_km"


class Way(StrEnum):
    """How the feed is given."""

    IN_HIVE = "in the hive"
    OPEN = "dry, in the open"


@dataclass(frozen=True)
class Stand:
    """Where a yard of the trial stands; its place is None where it is not known."""

    yard: str
    place: Place | None


@dataclass(frozen=True)
class DrawnAsOne:
    """What is drawn as one.

    Parameters
    ----------
    groups
        Names of the yards of each unit.
    said
        What to know about it, in sentences.
    """

    groups: tuple[tuple[str, ...], ...]
    said: tuple[str, ...]


def unit_for(way: Way) -> Unit:
    """What may be drawn: single colonies where the feed lies in the hive, else whole yards."""
    return Unit.COLONY if way is Way.IN_HIVE else Unit.YARD


def drawn_as_one(stands: Sequence[Stand], reader: Reader, apart: bool = False) -> DrawnAsOne:
    """Yards that feed in the open makes one: all that lie within flight range of each other, in chains.

    Parameters
    ----------
    stands
        The yards, in the order in which they are named.
    reader
        For the flight range, a figure that the user may edit.
    apart
        Whether the user says that yards whose position is not known lie farther apart than bees fly.

    Errors
    ------
    TrialError
        If the position of a yard is not known and nobody says that it lies apart.
    """
    reach = reader.span(REACH)
    groups = {stand.yard: {stand.yard} for stand in stands}
    doubtful: list[tuple[str, str]] = []
    for one, other in combinations(stands, 2):
        away = _away(one, other, apart)
        if away is None or away > reach.high:
            continue
        if away > reach.typical:
            doubtful.append((one.yard, other.yard))
            continue
        together = groups[one.yard] | groups[other.yard]
        for yard in together:
            groups[yard] = together
    found = dict.fromkeys(tuple(s.yard for s in stands if s.yard in groups[first.yard]) for first in stands)
    near, far = _said(reach.typical), _said(reach.high)
    between = ", or of one between"
    said = [
        f"{_listed(group)} stand within {near} of each other{between * (len(group) > 2)}: fed all or none."
        for group in found
        if len(group) > 1
    ]
    across = [f"{one} and {other}" for one, other in doubtful if groups[one] is not groups[other]]
    if across:
        said.append(f"Between {near} and {far} apart: {'; '.join(across)}. In need bees fly that far.")
    return DrawnAsOne(tuple(found), tuple(said))


def feed_in_reach(stands: Sequence[Stand], stood: Sequence[NoCheckGroup], units: Units) -> tuple[str, ...]:
    """What dry feed that stood in the open this season means for yards that are to be drawn; sentences.

    Errors
    ------
    TrialError
        If it feeds one of them: inside its flight range nothing can be a check group.
    """
    said = []
    for feed in stood:
        for stand in stands:
            where = "unknown" if stand.place is None else feed.holds(stand.yard, stand.place)
            if stand.yard == feed.yard or where == "inside":
                raise TrialError(f"yard {stand.yard}", feed.sentence(units), say("yards that it does not "
                                                                                 "feed"),
                                 say("Leave this yard out of the trial"))  # fmt: skip
            if where in ("doubtful", "unknown"):
                told = "in need bees fly that far" if where == "doubtful" else "how far is not known"
                said.append(
                    f"Dry feed stood in the open at {feed.yard}, and {stand.yard} may fetch of it: {told}."
                )
    return tuple(said)


def _said(km: float) -> str:
    """A distance in both ways of writing it, in English as all that is kept with a draw [km]."""
    with speaking(ENGLISH):
        return f"{distance_words(km, 'g')} ({distance_words(km, 'lb')})"


def _away(one: Stand, other: Stand, apart: bool) -> float | None:
    """Distance of two yards; None where it is not known and they are said to lie apart [km]."""
    if one.place is not None and other.place is not None:
        away = apart_km(one.place, other.place)
        if away is not None:
            return away
    if apart:
        return None
    unknown = [s.yard for s in (one, other) if s.place is None or s.place.longitude is None]
    raise TrialError(
        f"yard {unknown[0]}",
        say("its position is not known, and feed in the open reaches every colony in flight range"),
        say("latitude and longitude of every yard"),
        say("Enter them, or say that the yards lie farther apart than bees fly"),
    )


def _listed(names: Sequence[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}"
