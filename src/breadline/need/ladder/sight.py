"""What the rungs of the ladder look at, and what each of them hands back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal, Protocol

from breadline.knowledge.countries import CountryLaw
from breadline.language import noted, say
from breadline.need.outlook import Outlook
from breadline.need.words import day, day_range, frames_of, warmth
from breadline.need.yard import Yard

Answer = Literal["feed", "no_need", "look_again", "something_first"]
State = Literal["feed", "soon", "no_need", "stop", "cannot_tell", "something_first"]
Known = Literal["ok", "bad", "unknown"]


# of reasons: looked up where they are shown, since other pages tell reasons apart by them
HEADS = (
    noted("Brood disease"), noted("Mites"), noted("Queens"), noted("Stores"), noted("Date"), noted("Bees"),
    noted("Warmth"), noted("Beetles"), noted("Bread"), noted("Pollen"), noted("Goal"),
    noted("Law and custom"),
)  # fmt: skip


class Figures(Protocol):
    """What the ladder asks of the shelf: a figure by its key; the shelf remembers which."""

    def typical(self, key: str) -> float: ...


@dataclass(frozen=True)
class Reason:
    """One thing that was looked at, in the order of the ladder."""

    head: str  # "Mites", "Bread"
    detail: str  # what was found, or what to count where it is not known
    state: Known


@dataclass(frozen=True)
class Caution:
    """A warning that belongs to the step at hand, and whom to ask about it."""

    text: str
    ask: str
    source: str = ""  # key of the bibliography, where a source was read


@dataclass(frozen=True)
class Ruling:
    """What a rung would answer if the ladder stopped on it."""

    answer: Answer
    state: State
    sentence: str
    look_again: date | None = None
    look_again_for: str = ""
    what_would_change: tuple[str, ...] = ()


@dataclass(frozen=True)
class Finding:
    """What a rung found.

    ``ruling`` is None where the rung lets the ladder go on. A ``waits`` ruling
    (a fact not known) never turns a "no" into anything else; it only stands
    before a "feed".
    """

    rung: str
    reasons: tuple[Reason, ...]
    ruling: Ruling | None = None
    waits: bool = False
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sight:
    """All that a rung may look at."""

    yard: Yard
    outlook: Outlook | None
    figures: Figures
    law: CountryLaw
    first_pollen: date | None  # next first reliable pollen, the keeper's own date first
    first_pollen_from: str  # "you say" | name of the calendar | ""
    bread_frames: float  # stored pollen in frames, whatever it was counted in [frames]
    fits: bool = True  # False where no figures explain the yard's own counts

    @property
    def today(self) -> date:
        """The day of the answer."""
        return self.yard.today

    def weeks(self, key: str) -> timedelta:
        """A figure of the shelf that is given in weeks, as a span of time."""
        return timedelta(weeks=self.figures.typical(key))

    def day(self, on: date) -> str:
        """A date as it is said today: with its year where it lies more than half a year off."""
        return day(on, self.today)

    def day_range(self, first: date, last: date) -> str:
        """Two dates, in the same way."""
        return day_range(first, last, self.today)

    def warmth(self, celsius: float) -> str:
        """An air temperature in the units of the yard's country. [°C]"""
        return warmth(celsius, self.yard.place.country)

    @property
    def inspector(self) -> str:
        """Whom to ask about disease and law."""
        return say(self.law.ask).split(";")[0]

    @property
    def low_bread(self) -> str:
        """The bread below which a hive counts as short, in words."""
        return frames_of(self.figures.typical("ladder.bread_frame_low"), "bread", parts=4)

    @property
    def cold_today(self) -> bool:
        """True where the air is known to be too cold to pull a frame."""
        outside = self.yard.forage.outside_c
        return outside is not None and outside < self.figures.typical("ladder.open_c")

    @property
    def hives(self) -> int:
        """How many hives to look in for a straight answer: all of a few, else ten."""
        return min(self.yard.colonies, round(self.figures.typical("ladder.hives_to_look_in")))
