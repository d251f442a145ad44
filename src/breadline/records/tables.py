"""The tables of the book. Later steps of the loop add their own by migration.

Readings are long, one row for one thing counted or seen, not one wide row for a visit. A keeper never
counts everything, and "not known" is then an absent row that cannot be mistaken for zero; each number
carries its own unit and definition (what "a frame of bees" meant that day); one count is corrected without
restating the others. The price is that kinds and units are checked in ``readings.py``.
"""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from sqlalchemy import JSON, ForeignKey, Index, LargeBinary, String, UniqueConstraint, Uuid
from sqlalchemy.orm import Mapped, mapped_column

from breadline.records.append_only import Base, Fact, Kept
from breadline.records.brought_tables import Brought, CopyMade
from breadline.records.field_tables import ColonyFact, FieldAnswer, FieldEntry, FieldReading
from breadline.records.phone_tables import PhoneRow
from breadline.records.trial_tables import BeliefUpdateRow, TrialColonyRow, TrialEndRow, TrialRow


class Operation(Kept, Base):
    """Whose book it is: one keeper, one firm."""

    __tablename__ = "operation"
    name: Mapped[str]


class YardRow(Kept, Base):
    """The lasting identity of a yard; what is known of it stands in ``yard_fact``."""

    __tablename__ = "yard"
    operation_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("operation.id"), index=True)


class YardFact(Fact, Base):
    """What holds for a yard until it is said otherwise: name, place, purpose."""

    __tablename__ = "yard_fact"
    yard_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("yard.id"), index=True)
    name: Mapped[str]
    latitude: Mapped[float]  # north of the equator, negative south of it [°]
    longitude: Mapped[float | None]  # east of Greenwich [°]
    country: Mapped[str | None]
    region: Mapped[str | None]
    colonies_in_flight_range: Mapped[float | None]  # [colonies]
    colonies: Mapped[int]
    kept_for: Mapped[str]
    aim: Mapped[str | None]
    aim_on: Mapped[date | None]
    aim_frames: Mapped[float | None]  # of bees, per colony [frames]
    first_reliable_pollen: Mapped[date | None]
    supers_from: Mapped[date | None]
    wants_feed_because: Mapped[str]
    notes: Mapped[list[str]] = mapped_column(JSON)


class Colony(Kept, Base):
    """One colony by the name on its box; readings may belong to it or to the whole yard."""

    __tablename__ = "colony"
    yard_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("yard.id"), index=True)
    name: Mapped[str]


class Visit(Fact, Base):
    """A day in the yard, and how its boxes stood."""

    __tablename__ = "visit"
    yard_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("yard.id"))
    on: Mapped[date]
    colonies_looked_in: Mapped[int | None]
    start: Mapped[str | None]  # colony, nuc or package; "inspection" on a later look
    boxes: Mapped[list[str] | None] = mapped_column(JSON(none_as_null=True))
    frames_per_box: Mapped[int | None]
    note: Mapped[str] = mapped_column(default="")
    __table_args__ = (Index("ix_visit_yard_on", "yard_id", "on"),)


class Reading(Fact, Base):
    """One thing counted or seen on a visit; without a colony it is the yard's average."""

    __tablename__ = "reading"
    visit_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("visit.id"), index=True)
    colony_id: Mapped[UUID | None] = mapped_column(Uuid, ForeignKey("colony.id"), index=True)
    kind: Mapped[str]
    value: Mapped[float | None]  # [unit]
    out_of: Mapped[float | None]  # queens that were looked for [queens]
    word: Mapped[str | None]  # where the answer is a word: light, plenty
    unit: Mapped[str] = mapped_column(default="")
    definition: Mapped[str | None]  # key on the shelf, such as what a frame of bees means
    on: Mapped[date | None]  # where it is not the day of the visit and the day is known
    note: Mapped[str] = mapped_column(default="")


class Weather(Kept, Base):
    """A weather file as it came, so that an answer can be made again."""

    __tablename__ = "weather"
    yard_id: Mapped[UUID | None] = mapped_column(Uuid, ForeignKey("yard.id"), index=True)
    name: Mapped[str]
    sha256: Mapped[str] = mapped_column(String(64), index=True)
    content: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
    source: Mapped[str] = mapped_column(default="")
    licence: Mapped[str] = mapped_column(default="")
    latitude: Mapped[float | None]  # north of the equator, negative south of it [°]
    longitude: Mapped[float | None]  # east of Greenwich [°]
    utc_offset_hours: Mapped[float | None]  # of the local standard time used [h]
    notes: Mapped[list[str]] = mapped_column(JSON)


class BloomRow(Fact, Base):
    """One source of pollen of a yard: a window by date or by growing degree days."""

    __tablename__ = "bloom"
    yard_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("yard.id"), index=True)
    position: Mapped[int]  # in the keeper's own order
    name: Mapped[str]
    start_month: Mapped[int | None]
    start_day: Mapped[int | None]
    end_month: Mapped[int | None]
    end_day: Mapped[int | None]
    strength: Mapped[float]  # 0 to 1 [share]
    nectar: Mapped[float]  # 0 to 1 [share]
    protein_pct: Mapped[float | None]  # [% of mass]
    sum_c: Mapped[float | None]  # [°C·day]
    base_c: Mapped[float | None]  # [°C]
    cap_c: Mapped[float | None]  # [°C]
    method: Mapped[str | None]
    sum_month: Mapped[int | None]
    sum_day: Mapped[int | None]
    lasts_days: Mapped[int | None]
    source: Mapped[str]


class FigureEdit(Fact, Base):
    """A keeper's own figure beside the shipped one; ``because`` says why."""

    __tablename__ = "figure_edit"
    figure: Mapped[str] = mapped_column(index=True)  # key on the shelf
    low: Mapped[float]  # these three in the figure's own unit
    typical: Mapped[float]
    high: Mapped[float]
    on: Mapped[date]


class OutlookRow(Kept, Base):
    """An outlook as it was shown, from the day of the answer on; kept once, never corrected.

    ``bands`` holds whole numbers for each day as [low, middle, high] of adults [bees],
    brood [cells] and bread [g], with the feed reckoned with where there was some. One
    text a row and not one row a week: an outlook is only ever read whole, the bands are
    then those that were on the screen on every day, and a later step may keep another
    band without a migration.
    """

    __tablename__ = "outlook"
    yard_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("yard.id"))
    shown_on: Mapped[date]  # day of the answer
    counted_on: Mapped[date]  # day of the count it was made from
    count: Mapped[dict[str, Any]] = mapped_column(JSON)  # that count, as it was written down
    given: Mapped[list[list[Any]]] = mapped_column(JSON)  # feed reckoned with: day, grams a colony
    bees_a_frame: Mapped[float]  # the definition it was shown in [bees]
    seed: Mapped[int]
    members: Mapped[int]
    program: Mapped[str]  # version of Breadline
    engine: Mapped[str]  # which of the season model's two ways of computing
    draws: Mapped[str]  # digest of the parameters it drew from
    first: Mapped[date]  # day of the first number of each band
    last: Mapped[date]  # day of the last
    bands: Mapped[dict[str, list[list[int]]]] = mapped_column(JSON, deferred=True)
    sha256: Mapped[str] = mapped_column(String(64))  # of all that is above
    __table_args__ = (UniqueConstraint("yard_id", "sha256"),)


class RecipeRow(Fact, Base):
    """One version of a recipe, as the text of a recipe file; a later version takes its place.

    One text a row, since a recipe is only ever read whole, can be sent as it is, and a
    later version of the program may know more keys without a migration.
    """

    __tablename__ = "recipe"
    name: Mapped[str] = mapped_column(index=True)
    text: Mapped[str]
    sha256: Mapped[str] = mapped_column(String(64))  # of the text


class FeedRow(Fact, Base):
    """A bought feed as its label states it, by the keys of a recipe file; a key left out was not stated."""

    __tablename__ = "feed"
    name: Mapped[str] = mapped_column(index=True)
    label: Mapped[dict[str, Any]] = mapped_column(JSON)


class PriceRow(Fact, Base):
    """What somebody was asked for an ingredient or a bought feed, as it was quoted."""

    __tablename__ = "price"
    of: Mapped[str] = mapped_column(index=True)  # key of an ingredient, or name of a feed
    price: Mapped[float]  # [money/per]
    per: Mapped[str]  # kg, lb, t or bag
    money: Mapped[str]
    year: Mapped[int]
    bag: Mapped[float | None]  # [bag_unit]
    bag_unit: Mapped[str | None]  # kg or lb


class BatchRow(Fact, Base):
    """A batch on its sheet: number, day, the version of its recipe and what was measured out.

    ``measured`` is one load, in the order in which it goes in: key of the ingredient, grams.
    """

    __tablename__ = "batch"
    recipe_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("recipe.id"), index=True)
    number: Mapped[str]
    on: Mapped[date]
    loads: Mapped[int]
    measured: Mapped[list[list[Any]]] = mapped_column(JSON)  # key, grams of one load [g]
    piece_g: Mapped[float]  # [g]
    pieces: Mapped[int]
    note: Mapped[str] = mapped_column(default="")


class PlanRow(Fact, Base):
    """A plan of feeding that was chosen for a yard; another one takes its place.

    ``asked`` is the text of the plan file, ``belief`` what was believed of feeding then, ``prices``
    those that it was chosen under and ``foretold`` what was told of it. They stay as they were,
    whatever is believed or paid later, so that what was done can be held against them. ``paper`` is what
    its sheets are printed from, ``threshold`` the share of bees with pollen that it is stopped from; plans
    of older books have neither.
    """

    __tablename__ = "plan"
    yard_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("yard.id"), index=True)
    chosen_on: Mapped[date]
    asked: Mapped[str]
    sentence: Mapped[str]
    break_even: Mapped[str]
    feed: Mapped[str]
    colonies: Mapped[int]
    belief: Mapped[dict[str, Any]] = mapped_column(JSON)
    prices: Mapped[dict[str, Any]] = mapped_column(JSON)
    foretold: Mapped[dict[str, Any]] = mapped_column(JSON)
    seed: Mapped[int]
    program: Mapped[str]  # version of Breadline
    draws: Mapped[str]  # digest of the parameters it drew from
    paper: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))
    threshold: Mapped[float | None]  # [share]


class RoundRow(Kept, Base):
    """One round of a chosen plan; of "do nothing" there is none."""

    __tablename__ = "round"
    plan_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("plan.id"))
    number: Mapped[int]
    on: Mapped[date]
    grams: Mapped[float]  # a colony [g]
    __table_args__ = (UniqueConstraint("plan_id", "number"),)


class FrozenRow(Fact, Base):
    """Frames of pollen put in the freezer on one day from one yard, with what was known of disease there.

    The yard goes by its name: frames may come from a yard that is not in the book, or was given up.
    """

    __tablename__ = "frozen"
    yard: Mapped[str] = mapped_column(index=True)
    taken_on: Mapped[date]  # out of the hives
    frames: Mapped[float]  # of bread, deep, both sides [frames]
    disease_free: Mapped[bool | None]  # by inspection of the yard then; None is not known
    note: Mapped[str] = mapped_column(default="")


class FrozenTaken(Fact, Base):
    """Frames taken out of the freezer again, of one lot as it was first written down."""

    __tablename__ = "frozen_taken"
    frozen_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("frozen.id"), index=True)
    on: Mapped[date]
    frames: Mapped[float]  # [frames]
    to_yard: Mapped[str] = mapped_column(default="")


class DryFeedRow(Fact, Base):
    """Dry feed that stood in the open: inside its flight range nothing is a check group that season."""

    __tablename__ = "dry_feed"
    yard_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("yard.id"), index=True)
    since: Mapped[date]
    latitude: Mapped[float]  # north of the equator, negative south of it [°]
    longitude: Mapped[float | None]  # east of Greenwich [°]
    near_km: Mapped[float]  # how far bees come as a rule [km]
    far_km: Mapped[float]  # and in need [km]
    colonies_in_range: Mapped[float | None]  # own and neighbours' [colonies]
    own_colonies: Mapped[int]  # of them


KEPT: tuple[type[Base], ...] = (
    Operation,
    YardRow,
    YardFact,
    Colony,
    Visit,
    Reading,
    Weather,
    BloomRow,
    FigureEdit,
    OutlookRow,
    RecipeRow,
    FeedRow,
    PriceRow,
    BatchRow,
    PlanRow,
    RoundRow,
    FrozenRow,
    FrozenTaken,
    DryFeedRow,
    BeliefUpdateRow,
    TrialRow,
    TrialColonyRow,
    TrialEndRow,
    ColonyFact,
    FieldEntry,
    FieldAnswer,
    FieldReading,
    Brought,
    CopyMade,
    PhoneRow,
)
