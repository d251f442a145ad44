"""What was counted and seen on a day in the yard as it is typed into a form, ready to be written down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from breadline.errors import YardError
from breadline.jobs.typed_fields import Typed
from breadline.jobs.yard_fields import Table
from breadline.jobs.yard_file import (
    COUNT,
    FORAGE,
    HEALTH,
    INSPECTION,
    count_of,
    forage_of,
    health_of,
    inspection_of,
)
from breadline.jobs.yard_typed import named_by_field
from breadline.language import noted, say
from breadline.need.yard import Count, Forage, Health
from breadline.records import yard_rows
from breadline.records.readings import Look, Seen

BREAD = (("frames", noted("frames of it")), ("cells", noted("cells")), ("grams", noted("grams")))
HONEY = (("enough", noted("enough")), ("light", noted("light")))
COMING_IN = (("none", noted("none")), ("little", noted("a little")), ("plenty", noted("plenty")))
DEPTHS = ("deep", "medium", "shallow")
COUNTED = ("frames_of_bees", "frames_of_brood", "bread")
LONGEST = 200  # letters of a note
# fields of the form and the table of a yard file that each belongs to
_NUMBERS: Mapping[str, tuple[float, float, str]] = {
    "frames_of_bees": (0, 100, noted("frames")), "frames_of_brood": (0, 60, noted("frames")),
    "bread": (0, 200_000, ""), "mites_per_100": (0, 100, noted("mites per 100 bees")),
}  # fmt: skip


@dataclass(frozen=True)
class Looked:
    """A day in the yard, and what was counted and seen there."""

    look: Look
    seen: tuple[Seen, ...]


def look_from(typed: Mapping[str, str], today: date, before: Count | None) -> Looked:
    """A look as it was typed.

    With bread it is a count that a season may begin from; without, an inspection, which needs
    a count ``before`` it.

    Errors
    ------
    YardError
        ``where`` is the field.
    """
    fields = Typed(typed)
    on = fields.day("on", today)
    if on is None:
        raise YardError("on", say("is missing"), say("the day of the look"), say("Fill it in"))
    numbers = {
        key: fields.number(key, low, high, say(unit) if unit else "")
        for key, (low, high, unit) in _NUMBERS.items()
    }
    for key in ("colonies_looked_in", "frames_per_box", "queens_laying", "queens_looked_for"):
        numbers[key] = fields.whole(key, 0 if key.startswith("queens") else 1, 100_000, "")
    health, forage = _health(fields, numbers, today), _forage(fields)
    seen = _seen(health, forage)
    if all(numbers[key] is None for key in COUNTED):
        if not seen:
            raise YardError("frames_of_bees", say("is missing"), say("something counted or seen"),
                            say("Write down what you know; what you do not know stays empty"))  # fmt: skip
        return Looked(Look(on, _whole(numbers["colonies_looked_in"])), seen)
    if numbers["bread"] is None and before is None:
        raise YardError("bread", say("is missing: a season begins at a count of bees, brood and bread"),
                        say("stored pollen of one average colony, 0 too"),
                        say("Look at a few combs beside the brood"))  # fmt: skip
    return _counted(fields, numbers, (on, today), seen)


def _counted(
    fields: Typed, numbers: Mapping[str, float | None], days: tuple[date, date], seen: tuple[Seen, ...]
) -> Looked:
    told: dict[str, Any] = {
        "on": days[0], "frames_of_bees": numbers["frames_of_bees"], "boxes": _boxes(fields),
        "frame_means": fields.text("frame_means") if numbers["frames_of_bees"] is not None else None,
        "frames_of_brood": numbers["frames_of_brood"], "frames_per_box": numbers["frames_per_box"],
        "colonies_looked_in": numbers["colonies_looked_in"],
    }  # fmt: skip
    if numbers["bread"] is None:
        del told["frames_per_box"]
        one = named_by_field(lambda: inspection_of(_table(told, INSPECTION), days[1]))
        look, counted = yard_rows.inspected(one, Count(days[0], 0.0, "g"))
        return Looked(look, (*counted, *seen))
    unit = fields.word("bread_unit", tuple(key for key, _ in BREAD)) or "frames"
    told["bread"] = {unit: numbers["bread"]}
    if numbers["frames_of_bees"] is None:
        raise YardError("frames_of_bees", say("is missing"), say("frames of bees of one average colony"),
                        say("Count them with the bread: a season begins at both"))  # fmt: skip
    count = named_by_field(lambda: count_of(_table(told, COUNT), "", days[1]))
    return Looked(yard_rows.look_of(count), (*yard_rows.counted(count), *seen))


def typed_look(before: Count | None, today: date) -> dict[str, str]:
    """What the form begins with: the day, and the boxes and the frame of the count before."""
    if before is None:
        return {"on": today.isoformat(), "deep": "1", "frames_per_box": "10", "bread_unit": "frames"}
    unit = "grams" if before.bread_unit == "g" else before.bread_unit
    boxes = {depth: str(before.boxes.count(depth) or "") for depth in DEPTHS}
    return {"on": today.isoformat(), "frames_per_box": str(before.frames_per_box), "bread_unit": unit,
            "frame_means": before.frame_means or "", **boxes}  # fmt: skip


def _boxes(fields: Typed) -> list[str]:
    many = {depth: fields.whole(depth, 0, 9, "") or 0 for depth in DEPTHS}
    return [depth for depth in DEPTHS for _ in range(many[depth])] or ["deep"]


def _health(fields: Typed, numbers: Mapping[str, float | None], today: date) -> Health:
    note = fields.text("honey_note")
    if len(note) > LONGEST:
        raise YardError("honey_note", say("it has {n} letters", n=len(note)), say("up to {n}", n=LONGEST))
    told = {
        "mites_per_100": numbers["mites_per_100"], "mites_on": fields.day("mites_on", today),
        "queens_laying": _whole(numbers["queens_laying"]), "honey_note": note,
        "queens_looked_for": _whole(numbers["queens_looked_for"]),
        "honey": fields.word("honey", tuple(key for key, _ in HONEY)),
        **{key: fields.truth(key) for key in ("foulbrood_signs", "beetles_seen", "maggots_seen")},
    }  # fmt: skip
    if told["mites_on"] and told["mites_per_100"] is None:
        raise YardError("mites_per_100", say("is missing"), say("what the test of that day found"))
    return named_by_field(lambda: health_of(_table(told, HEALTH), today))  # type: ignore[no-any-return]


def _forage(fields: Typed) -> Forage:
    told = {"coming_in": fields.word("coming_in", tuple(key for key, _ in COMING_IN)),
            "fresh_arcs": fields.truth("fresh_arcs")}  # fmt: skip
    return named_by_field(lambda: forage_of(_table(told, FORAGE)))  # type: ignore[no-any-return]


def _seen(health: Health, forage: Forage) -> tuple[Seen, ...]:
    # what the form does not ask is not answered by it
    return tuple(one for one in yard_rows.seen_of(health, forage) if one.kind != "fed_miticide_label")


def _whole(value: float | None) -> int | None:
    return None if value is None else int(value)


def _table(told: Mapping[str, Any], known: tuple[str, ...]) -> Table:
    return Table({key: value for key, value in told.items() if value not in (None, "")}, "", known)
