"""A yard's facts and bloom as they are typed into a form: each field checked, its error named after it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from breadline.errors import FigureError, InputToMend, YardError
from breadline.jobs.typed_fields import Typed
from breadline.jobs.yard_bloom import BLOOM, bloom_of
from breadline.jobs.yard_fields import Table
from breadline.jobs.yard_file import GOAL, PLACE, goal_of, place_of
from breadline.knowledge.calendars import calendar
from breadline.language import noted, say
from breadline.need.words import MONTHS, day
from breadline.need.yard import Bloom
from breadline.records.tables import YardFact

AIMS = (
    ("frames", noted("frames of bees by a day")), ("splits", noted("splits by a day")),
    ("nectar_flow", noted("strong for a nectar flow")), ("winter_bees", noted("winter bees")),
    ("keep_alive", noted("to keep alive")),
)  # fmt: skip
KEPT_FOR = (("trade", noted("for trade")), ("hobby", noted("as a hobby")))
LONGEST = 200  # letters of a name or reason
MOST_BLOOMS = 12
LEAP_YEAR = 2028  # every day of a year is one of its days
_DAY_FIRST = re.compile(r"(\d{1,2})\.?\s+(?:de\s+)?([A-Za-z]{3,10})\.?")
_MONTH_FIRST = re.compile(r"([A-Za-z]{3,10})\.?\s+(\d{1,2})")


def facts_from(typed: Mapping[str, str], today: date) -> YardFact:
    """What lasts of a yard, as an unsaved row.

    Errors
    ------
    YardError
        ``where`` is the field.
    """
    fields = Typed(typed)
    name = _text(fields, "name")
    if not name:
        raise YardError("name", say("is missing"), say("what you call the yard"), say("Fill it in"))
    colonies = fields.whole("colonies", 1, 200_000, "colonies")
    if colonies is None:
        raise YardError("colonies", say("is missing"), say("how many colonies"), say("Fill it in"))
    kept_for = fields.word("kept_for", tuple(key for key, _ in KEPT_FOR)) or "trade"
    place, goal = _place(fields, today), _goal(fields)
    return YardFact(
        name=name, latitude=place.latitude, longitude=place.longitude, country=place.country,
        region=place.region, colonies_in_flight_range=place.colonies_in_flight_range, colonies=colonies,
        kept_for=kept_for, aim=goal.aim if goal else None, aim_on=goal.on if goal else None,
        aim_frames=goal.frames if goal else None, supers_from=_day(fields, "supers_from"),
        first_reliable_pollen=_day(fields, "first_reliable_pollen"),
        wants_feed_because=_text(fields, "wants_feed_because"), notes=[],
    )  # fmt: skip


def _place(fields: Typed, today: date) -> Any:
    region = fields.text("region") or None
    if region:
        try:
            calendar(region)
        except FigureError as wrong:
            raise YardError("region", wrong.what, wrong.expected, wrong.do) from None
    told = {
        "latitude": fields.needed_number("latitude", -90, 90, say("degrees north")),
        "longitude": fields.number("longitude", -180, 180, say("degrees east")),
        "country": fields.text("country"), "region": region,
        "colonies_in_flight_range": fields.number("colonies_in_flight_range", 0, 100_000, say("colonies")),
    }  # fmt: skip
    return named_by_field(lambda: place_of(_table(told, PLACE), today))


def _goal(fields: Typed) -> Any:
    aim = fields.word("aim", tuple(key for key, _ in AIMS))
    on, frames = _day(fields, "aim_on"), fields.number("aim_frames", 0.5, 40, say("frames"))
    if aim is None:
        if on or frames:
            raise YardError("aim", say("is missing"), say("what the day or the frames are for"))
        return None
    told = {"aim": aim, "on": on, "frames": frames}
    return named_by_field(lambda: goal_of(_table(told, GOAL)))


def blooms_from(typed: Mapping[str, str], kept: tuple[Bloom, ...]) -> tuple[Bloom, ...]:
    """The keeper's own list of bloom, in the order of its lines; a line without a name is none.

    ``kept`` are those that stand now: one that begins by warmth has no dates to type and is kept
    while its name stands in its line.

    Errors
    ------
    YardError
        ``where`` is the field.
    """
    fields, found = Typed(typed), []
    for n in range(MOST_BLOOMS):
        name = _text(fields, f"bloom-{n}-name")
        if not name:
            begun = next((key for key in ("start", "end") if fields.text(f"bloom-{n}-{key}")), "")
            if begun:
                raise YardError(f"bloom-{n}-name", say("is missing"), say("what blooms"), say("Fill it in"))
            continue
        same = next((one for one in kept if one.name == name and one.degree_days is not None), None)
        found.append(same or _bloom(fields, n, name, next((one for one in kept if one.name == name), None)))
    return tuple(found)


def _bloom(fields: Typed, n: int, name: str, before: Bloom | None) -> Bloom:
    start, end = (_day_of_year(fields, f"bloom-{n}-{key}") for key in ("start", "end"))
    strength = fields.number(f"bloom-{n}-strength", 0, 1, say("of the best pollen weeks"))
    told: dict[str, Any] = {"name": name, "start": start, "end": end, "strength": strength}
    if before is not None:
        told |= {"nectar": before.nectar, "protein_pct": before.protein_pct, "source": before.source}
    return bloom_of(_table(told, BLOOM))


def _day_of_year(fields: Typed, key: str) -> str:
    text = fields.text(key)
    found, turned = _DAY_FIRST.fullmatch(text), _MONTH_FIRST.fullmatch(text)
    number_of, month = (found[1], found[2]) if found else (turned[2], turned[1]) if turned else ("", "")
    names = [(n, name.lower()) for n, one in enumerate(MONTHS, 1) for name in (one, say(one))]
    number = next((n for n, name in names if month and name.startswith(month.lower())), 0)
    if not number:
        what = say('"{text}" is no day of the year', text=text) if text else say("is missing")
        raise YardError(key, what, say("a day and a month, such as 10 February"))
    table = Table({"day": f"{number:02d}-{number_of}"}, key, ("day",))
    try:
        table.month_day("day")
    except InputToMend:
        what = say('"{text}" is no day of the year', text=text)
        raise YardError(key, what, say("a day and a month, such as 10 February")) from None
    return f"{number:02d}-{number_of}"


def _of_a_year(on: tuple[int, int] | None) -> str:
    """A day of any year, "3 March"; what begins by warmth has none."""
    if on is None:
        return ""
    of = date(LEAP_YEAR, *on)
    return day(of, of)


def typed_facts(told: YardFact, bloom: tuple[Bloom, ...]) -> dict[str, str]:
    """Facts and bloom as a person would type them."""
    names = ("name", "colonies", "kept_for", "latitude", "longitude", "country", "region", "aim", "aim_on",
             "aim_frames", "colonies_in_flight_range", "first_reliable_pollen", "supers_from",
             "wants_feed_because")  # fmt: skip
    shown = {name: _shown(getattr(told, name)) for name in names}
    for n, one in enumerate(bloom[:MOST_BLOOMS]):
        days = [_of_a_year(on) for on in (one.start, one.end)]
        shown |= {f"bloom-{n}-name": one.name, f"bloom-{n}-strength": _shown(one.strength)}
        shown |= {f"bloom-{n}-start": days[0], f"bloom-{n}-end": days[1]}
    return shown


def named_by_field(make: Any) -> Any:
    """What ``make`` gives; its error is named after the field alone, without the table of a file."""
    try:
        return make()
    except YardError as wrong:
        raise YardError(wrong.where.rpartition(", ")[2], wrong.what, wrong.expected, wrong.do) from None


def _table(told: Mapping[str, Any], known: tuple[str, ...]) -> Table:
    return Table({key: value for key, value in told.items() if value not in (None, "")}, "", known)


def _text(fields: Typed, key: str) -> str:
    text = fields.text(key)
    if len(text) > LONGEST:
        raise YardError(key, say("it has {n} letters", n=len(text)), say("up to {n}", n=LONGEST))
    return text


def _day(fields: Typed, key: str) -> date | None:
    text = fields.text(key)
    told = {key: text} if text else {}
    return named_by_field(lambda: Table(told, "", (key,)).day(key))  # type: ignore[no-any-return]


def _shown(value: Any) -> str:
    if value is None:
        return ""
    return f"{value:.10g}" if isinstance(value, float) else str(value)
