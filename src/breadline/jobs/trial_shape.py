"""The open file in which a trial travels: its shape, field by field, and the schema that is published."""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from breadline.belief.gain import Situation
from breadline.trial.colonies import Became
from breadline.trial.design import Allocation, CheckArm, Outcome, Unit

SHAPE: Literal["breadline.trial/1"] = "breadline.trial/1"
DIALECT = "https://json-schema.org/draft/2020-12/schema"
MOST_COLONIES = 100_000


def _one_line(text: str) -> str:
    if any(ord(letter) < 32 or 0xD800 <= ord(letter) <= 0xDFFF for letter in text):
        raise ValueError("holds a letter that cannot be printed")
    return text


Text = Annotated[str, Field(max_length=400), AfterValidator(_one_line)]
Name = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(_one_line)]
Digest = Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
Amount = Annotated[float, Field(ge=0, le=10_000)]


class Part(BaseModel):
    """What all parts of the file share: no field but those named, every value of its own kind."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Design(Part):
    """What was locked before the draw, or what is known of it."""

    outcome: Outcome
    check_arm: CheckArm
    drawn: Unit = Field(description="single colonies within their yard, or whole yards")
    allocation: Allocation
    arms: Annotated[list[Name], Field(min_length=2, max_length=4)] = Field(description="check group first")
    primary: Annotated[int, Field(ge=1, le=3)] = Field(description="the fed arm of the locked comparison")
    break_even: float = Field(description="benefit that covers the cost of feeding, unit of the outcome")
    margin: Annotated[float, Field(gt=0)] = Field(description="difference that would matter, same unit")
    grading: date | None = Field(description="locked day of grading; null where none was locked")
    grade: Amount | None = Field(description="grade line in frames, null where shares do not count")
    seed: int | None
    open_feed: bool
    staggered: bool | None = Field(description="whether arms alternate within rows; null where not known")
    apart: list[Name] | None = Field(
        default=None,
        description="yards whose draw kept check hives apart in their rows; left out where not known",
    )


class Lock(Part):
    """When the design was locked, and digests of it."""

    at: datetime | None = Field(description="when, with its offset from UTC; null where it never was")
    sha256: Digest | None = Field(description="of the design as locked, with its own names; null as above")
    sealed: Digest = Field(description="of the design as it stands in this file")


class Conduct(Part):
    """How the trial was carried out, as people say it."""

    weakest_unfed: bool
    differently: Text = Field(description="what else was done to one arm only; empty where nothing")
    swapped: list[Name] = Field(description="tags of colonies whose arm changed on the way")
    frames_as_rows: bool


class Feed(Part):
    """The feed without its name: what a belief can go by."""

    protein_pct: Annotated[float, Field(ge=0, le=100)] | None
    real_pollen_pct: Annotated[float, Field(ge=0, le=100)] | None
    given: list[tuple[date, Amount]] = Field(description="day and grams put on a fed colony")


class Prices(Part):
    """What its grower reckons with, where that was ticked."""

    cost: Annotated[float, Field(ge=0)] = Field(description="of feeding one colony, all told")
    price: Annotated[float, Field(gt=0)] = Field(
        description="of a frame, a kilogram of honey, or a colony that makes grade"
    )
    money: Name = Field(description="$, €, or a code such as CHF")
    year: Annotated[int, Field(ge=1900, le=2200)] = Field(description="of the prices")


class Also(Part):
    """What else was read of a colony; described beside the answer, and decides nothing."""

    brood: Amount | None = Field(default=None, description="frames of brood at the end")
    brood_before: Amount | None = Field(default=None, description="frames of brood before the draw")
    weight: Amount | None = Field(default=None, description="hive at the end, kg")
    weight_before: Amount | None = Field(default=None, description="hive before the draw, kg")
    honey: Amount | None = Field(default=None, description="honey taken, kg")
    eaten: Annotated[float, Field(ge=0, le=100_000)] | None = Field(default=None, description="feed eaten, g")


class Colony(Part):
    """One colony that was started, and what became of it."""

    tag: Name
    yard: Name
    block: Text
    unit: Text = Field(description="yards that open feed makes one; empty where the yard is its own")
    arm: Annotated[int, Field(ge=0, le=3)] = Field(description="0 for the check group")
    baseline: Amount | None
    row: Annotated[int, Field(ge=1)] | None
    place: Annotated[int, Field(ge=1)] | None
    queen_line: Text
    became: Became
    outcome: Amount | None = Field(description="as graded; null where nothing could be")
    graded_on: date | None
    grader: Text
    again: Amount | None = Field(description="a second reading by another person")
    guessed: Annotated[int, Field(ge=0, le=3)] | None = Field(description="arm the grader guessed")
    merged_into: Text
    taken: Amount = Field(description="frames of bees taken from it during the trial")
    also: Also | None = Field(default=None, description="what else was read; left out where nothing was")


class Trial(Part):
    """One trial of fed against check colonies, as it travels from one grower to another."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, title="A feeding trial")

    shape: Literal["breadline.trial/1"]
    name: Name
    season: Name = Field(description="trials of one season share its luck")
    situation: Situation | None = Field(description="what the place gave while the feed was on")
    owner: Text = Field(description="empty unless the grower ticked it")
    place: Text = Field(description="empty unless the grower ticked it")
    design: Design
    lock: Lock
    conduct: Conduct
    feed: Feed | None
    prices: Prices | None = Field(
        default=None, description="what its grower reckons with; left out unless ticked"
    )
    colonies: Annotated[list[Colony], Field(min_length=2, max_length=MOST_COLONIES)]


def schema() -> dict[str, Any]:
    """The JSON Schema of the file, by the draft of 2020-12."""
    told = {"$schema": DIALECT} | Trial.model_json_schema()
    return dict(json.loads(json.dumps(told)))
