"""What a round takes along: which yard gets what on which day, and what goes on the truck.

The search fills these; the sheets print them. Pieces are counted in quarter patties, so that
sums are exact: what a load carries is the sum of its yards, rounded up to whole patties, and
the spare on top.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import ceil, inf

from breadline.errors import PlanError
from breadline.knowledge.shelf import Reader
from breadline.need.words import half_frames
from breadline.need.yard import Place
from breadline.plan.cuts import Patty, cut_words

QUARTER = 4  # quarter patties in a patty
MOST_YARDS = 8  # on one truck sheet that is still read from an arm's length


@dataclass(frozen=True)
class Borders:
    """Who gets what, by frames of bees: none, half, full. Equal borders leave a class out.

    Parameters
    ----------
    half_from, full_from
        Below the first a colony gets none, from the second on the full piece. [frames]
    half, full
        The two pieces, in quarters. [patties]
    """

    half_from: float
    full_from: float
    half: float
    full: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.half_from <= self.full_from:
            raise PlanError(
                "borders", f"half from {self.half_from:g} and full from {self.full_from:g} frames",
                "0 or more, and half no later than full",
            )  # fmt: skip
        if not 0.0 <= self.half <= self.full or any(cut * QUARTER % 1 for cut in (self.half, self.full)):
            raise PlanError(
                "pieces", f"half {self.half:g}, full {self.full:g} patties", "quarters, half ≤ full"
            )

    def classes(self, patty: Patty) -> tuple[tuple[str, str], ...]:
        """Who, and what they get: ("under 4 frames of bees", "none"), ("4 to 7½", "½ patty (½ lb)"), …"""
        none, half, full = ("none", *(cut_words(cut, patty) for cut in (self.half, self.full)))
        first, last = (
            half_frames(border) if border < inf else "" for border in (self.half_from, self.full_from)
        )
        told = []
        if self.half_from > 0:
            told.append((f"under {first}", none))
        if self.half_from < self.full_from:
            told.append((self._second(), half))
        if self.full_from < inf:
            told.append((f"{last} and over", full))
        if len(told) == 1:
            return (("every colony", told[0][1]),)
        return ((f"{told[0][0]} frames of bees", told[0][1]), *told[1:])

    def line(self, patty: Patty) -> str:
        """The one line that a crew can remember.

        "Under 4 frames of bees: none; 4 to 7½: ½ patty (½ lb); 8 and over: 1 patty (1 lb)."
        """
        said = "; ".join(f"{who}: {gets}" for who, gets in self.classes(patty))
        return f"{said[0].upper()}{said[1:]}."

    def _second(self) -> str:
        """The class between the borders: "4 to 7½"; "4 and over" or "under 8" where one is missing."""
        low = half_frames(self.half_from)
        if self.full_from == inf:
            return f"{low} and over"
        if self.half_from == 0:
            return f"under {half_frames(self.full_from)}"
        high = half_frames(self.full_from - 0.5)
        return low if low == high else f"{low} to {high}"


@dataclass(frozen=True)
class RoundVisit:
    """One yard on one round.

    Parameters
    ----------
    yard, round, on
        The yard's name, the number of the round from 1, and the day.
    none, half, full
        Colonies in each class, from the last count.
    borders, patty
        What puts a colony in its class, and what its piece is cut from.
    days, beetle_rule
        Within how many days the piece is to be gone, and why, in words.
    look_at
        What to look at in this yard, a few words each.
    syrup_each_l, syrup_colonies
        Syrup for each light colony [L], and how many there are.
    rim
        Whether each fed colony needs a rim over its frames.
    combine
        Hives named for combining; they get nothing.
    place
        Where it is, for the driving order.
    """

    yard: str
    round: int
    on: date
    none: int
    half: int
    full: int
    borders: Borders
    patty: Patty
    days: int
    beetle_rule: str = ""
    look_at: tuple[str, ...] = ()
    syrup_each_l: float = 0.0
    syrup_colonies: int = 0
    rim: bool = False
    combine: tuple[str, ...] = ()
    place: Place | None = None

    def __post_init__(self) -> None:
        counts = (self.none, self.half, self.full, self.syrup_colonies)
        if min(counts) < 0 or self.syrup_colonies > self.colonies:
            raise PlanError(
                self.yard, f"{counts} colonies", "0 or more, and no more with syrup than there are"
            )
        if self.round < 1 or self.days < 1:
            raise PlanError(self.yard, f"round {self.round}, gone in {self.days} days", "1 or more of each")
        if not 0.0 <= self.syrup_each_l < 100.0:
            raise PlanError(self.yard, f"{self.syrup_each_l:g} L of syrup a colony", "0 to 100 L")

    @property
    def colonies(self) -> int:
        """All colonies of the yard."""
        return self.none + self.half + self.full

    @property
    def fed(self) -> int:
        """Colonies that get a piece."""
        cuts = ((self.half, self.borders.half), (self.full, self.borders.full))
        return sum(count for count, cut in cuts if cut)

    @property
    def patties(self) -> float:
        """What the yard gets, in quarters, without spare [patties]."""
        quarters = self.half * round(self.borders.half * QUARTER) + self.full * round(
            self.borders.full * QUARTER
        )
        return quarters / QUARTER

    @property
    def syrup_l(self) -> float:
        """Syrup for the yard, without spare [L]."""
        return self.syrup_each_l * self.syrup_colonies


@dataclass(frozen=True)
class Load:
    """What one truck takes on one day: its yards in driving order, and the spare.

    Parameters
    ----------
    visits
        One round, one day, one patty; in driving order.
    spare
        What is loaded on top, for dropped and miscounted pieces. [share]
    of_rounds
        How many rounds the plan has.
    order
        How the driving order came about, in words.
    part, of_parts
        Which sheet of the day, where the round has more yards than one sheet takes.
    """

    visits: tuple[RoundVisit, ...]
    spare: float
    of_rounds: int
    order: str = ""
    part: int = 1
    of_parts: int = 1

    def __post_init__(self) -> None:
        if not self.visits:
            raise PlanError("load", "no yard is on it", "at least one")
        if len({(v.round, v.on, v.patty) for v in self.visits}) > 1:
            raise PlanError("load", "its yards differ in round, day or patty", "one of each on a truck")
        if not 0.0 <= self.spare <= 1.0:
            raise PlanError("spare", f"{self.spare:g}", "0 to 1", "Give 0.05 for five in a hundred")

    @property
    def round(self) -> int:
        """The number of the round."""
        return self.visits[0].round

    @property
    def on(self) -> date:
        """The day."""
        return self.visits[0].on

    @property
    def patty(self) -> Patty:
        """What the pieces are cut from."""
        return self.visits[0].patty

    @property
    def for_hives(self) -> int:
        """Whole patties to open for all yards of the load."""
        return ceil(sum(visit.patties for visit in self.visits))

    @property
    def spare_patties(self) -> int:
        """Whole patties on top."""
        return ceil(self.for_hives * self.spare - 1e-9)

    @property
    def patties(self) -> int:
        """All patties to load."""
        return self.for_hives + self.spare_patties

    @property
    def syrup_l(self) -> float:
        """Syrup for all yards, without spare [L]."""
        return sum(visit.syrup_l for visit in self.visits)

    @property
    def syrup_spare_l(self) -> float:
        """Syrup on top [L]."""
        return self.syrup_l * self.spare

    @property
    def rims(self) -> int:
        """Rims to take along."""
        return sum(visit.fed for visit in self.visits if visit.rim)


def usual_spare(reader: Reader) -> float:
    """What is loaded on top where the keeper said nothing [share]."""
    return reader.typical("paper.spare_share")
