"""What is known of a yard: the facts a keeper can see or count.

``None`` means "not known", never zero and never "no": the advice asks for what
it does not know instead of assuming it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

BreadUnit = Literal["frames", "cells", "g"]
BoxDepth = Literal["deep", "medium", "shallow"]
StartKind = Literal["colony", "nuc", "package"]
PollenSeen = Literal["none", "little", "plenty"]
Honey = Literal["light", "enough"]
Aim = Literal["frames", "splits", "nectar_flow", "winter_bees", "keep_alive"]


@dataclass(frozen=True)
class Place:
    """Where the yard stands, and whose law holds there."""

    latitude: float  # north of the equator, negative south of it [°]
    longitude: float | None = None  # east of Greenwich [°]
    country: str | None = None  # ISO 3166-1 alpha-2, for law and custom
    region: str | None = None  # key of a starter calendar in knowledge/calendars.toml
    colonies_in_flight_range: float | None = None  # all colonies within 2 km, own and neighbours' [colonies]


@dataclass(frozen=True)
class Count:
    """An inspection of the yard's average colony."""

    on: date
    bread: float  # stored pollen; required, it decides more than the bloom does [bread_unit]
    bread_unit: BreadUnit
    frames_of_bees: float | None = None  # [frames]
    frame_means: str | None = None  # key of a definition, ``frame_of_bees.*`` on the shelf
    frames_of_brood: float = 0.0  # open and sealed [frames]
    bees_kg: float | None = None  # for a package, instead of frames [kg]
    colonies_looked_in: int = 1
    start: StartKind = "colony"
    boxes: tuple[BoxDepth, ...] = ("deep",)
    frames_per_box: int = 10
    brood_counted: bool = True  # False where nobody wrote a word on brood; ``frames_of_brood`` is 0 then
    afresh: bool = False  # other colonies than at the count before: split, joined, added to or moved


@dataclass(frozen=True)
class Inspection:
    """A later look at the yard: the mean of the colonies looked in."""

    on: date
    colonies_looked_in: int = 1
    frames_of_bees: float | None = None  # [frames]
    frame_means: str | None = None  # as in ``Count``; None where it is the count's
    frames_each: tuple[float, ...] = ()  # frames of bees of each colony, in place of their mean [frames]
    frames_of_brood: float | None = None  # open and sealed [frames]
    bread: float | None = None  # stored pollen [bread_unit]
    bread_unit: BreadUnit = "g"
    boxes: tuple[BoxDepth, ...] = ()  # empty where they are the count's
    reader: str = ""  # who counted


@dataclass(frozen=True)
class Health:
    """What has to come before protein, as far as it is known."""

    foulbrood_signs: bool | None = None
    mites_per_100: float | None = None  # [mites per 100 bees]
    mites_on: date | None = None
    queens_laying: int | None = None  # of ``queens_looked_for``
    queens_looked_for: int | None = None
    honey: Honey | None = None
    honey_note: str = ""  # "about 30 lb a colony", "one of two hives light"
    beetles_seen: bool | None = None
    maggots_seen: bool | None = None
    fed_miticide_label: bool = False  # a treatment is on whose label may bar feeding


@dataclass(frozen=True)
class Forage:
    """What is seen of pollen today, or was on the last look."""

    coming_in: PollenSeen | None = None
    fresh_arcs: bool | None = None  # a band of fresh pollen round the brood in most hives
    first_reliable_pollen: date | None = None  # the keeper's own date, else the calendar's
    outside_c: float | None = None  # air temperature now [°C]
    supers_from: date | None = None  # supers for harvest go on
    seen_on: date | None = None  # day of the look where it was not today


@dataclass(frozen=True)
class Bloom:
    """One source of pollen: a window by date or by growing degree days."""

    name: str
    start: tuple[int, int] | None = None  # (month, day)
    end: tuple[int, int] | None = None
    strength: float = 1.0  # 0 to 1, 1 = the best pollen weeks of a good place [share]
    nectar: float = 0.0  # 0 to 1 [share]
    protein_pct: float | None = None  # crude protein of the pollen [% of mass]
    degree_days: DegreeDays | None = None  # instead of dates
    lasts_days: int | None = None  # with degree_days
    source: str = ""


@dataclass(frozen=True)
class DegreeDays:
    """A growing-degree-day target; meaningless without its base, cap and method."""

    sum_c: float  # [°C·day]
    base_c: float  # [°C]
    cap_c: float | None = None  # [°C]
    method: Literal["average", "clipped"] = "average"  # average then floor; or clip each first
    start: tuple[int, int] = (1, 1)  # (month, day) on which the sum starts


@dataclass(frozen=True)
class Goal:
    """What the colonies are wanted for."""

    aim: Aim
    on: date | None = None
    frames: float | None = None  # of bees, per colony [frames]


@dataclass(frozen=True)
class Given:
    """Protein feed put on, per colony."""

    on: date
    grams: float  # as fed [g]


@dataclass(frozen=True)
class Yard:
    """A yard as the answer needs it."""

    name: str
    place: Place
    colonies: int
    today: date
    count: Count
    health: Health = Health()
    forage: Forage = Forage()
    bloom: tuple[Bloom, ...] = ()
    goal: Goal | None = None
    given: tuple[Given, ...] = ()
    wants_feed_because: str = ""  # the keeper's own reason, "fat winter bees"
    kept_for: Literal["hobby", "trade"] = "trade"
    notes: tuple[str, ...] = field(default=())
    inspections: tuple[Inspection, ...] = ()  # after the count
    fed_without_record: bool = False  # fed since the count, and nobody wrote down what
