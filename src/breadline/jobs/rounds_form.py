"""A plan as it is typed on the page: fields put together to a plan file's text, and taken apart."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from breadline.language import noted, say
from breadline.measures import Units, money_of, units_of
from breadline.need.yard import Aim, Yard

KIND_OF_AIM: dict[Aim, str] = {
    "frames": "frames", "splits": "splits", "nectar_flow": "honey_flow", "winter_bees": "winter_bees",
    "keep_alive": "keep_alive",
}  # fmt: skip
KIND_WORDS = {
    "frames": noted("Frames on a date"),
    "splits": noted("Splits"),
    "honey_flow": noted("A honey flow"),
    "winter_bees": noted("Winter bees"),
    "keep_alive": noted("Keep them alive"),
}
_PLAIN = re.compile(r"[-+]?\d+(\.\d+)?|\d{4}-\d{2}-\d{2}|true|false")


@dataclass(frozen=True)
class Field:
    """One field of the form: its place in the plan file, its words, and words to choose from."""

    key: str  # "target.on"
    words: str
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()  # value, words


@dataclass(frozen=True)
class Part:
    """Fields that belong together."""

    head: str
    fields: tuple[Field, ...]
    aside: bool = False  # folded away until it is wanted


FEW = 5  # colonies, which nobody rents out or sells by the frame
PER = (("lb", noted("a pound")), ("kg", noted("a kilogram")))
DATE = noted("year-month-day")
DAYS = ("target.on", "target.until", "move.on")
TARGETS: dict[str, tuple[Field, ...]] = {
    "frames": (
        Field("target.on", noted("By when"), DATE),
        Field("target.grade", noted("Frames of bees asked for")),
        Field("target.fee", noted("Fee for a colony that makes it")),
        Field("target.fee_year", noted("Year of the fee")),
        Field(
            "target.paid",
            noted("Paid"),
            "",
            (("hive_by_hive", noted("hive by hive")), ("sample_average", noted("by the sample's average"))),
        ),
        Field("target.premium", noted("Premium a frame above it"), noted("if any")),
    ),
    "splits": (
        Field("target.on", noted("By when"), DATE),
        Field("target.brood", noted("Frames of brood for one split"), noted("with what stays")),
        Field("target.bees", noted("Frames of bees for one split"), noted("with what stays")),
        Field("target.value", noted("Value of a split")),
    ),
    "honey_flow": (
        Field("target.on", noted("First day of the flow"), DATE),
        Field("target.until", noted("Last day"), DATE),
        Field("target.usual_lb", noted("Usual crop of a colony, lb")),
        Field("target.price", noted("Price of honey")),
        Field("target.per", noted("for"), "", PER),
    ),
    "winter_bees": (
        Field("target.on", noted("By when"), DATE),
        Field("target.grade", noted("Frames of bees to winter on")),
        Field("target.value", noted("Value of a colony that winters")),
    ),
    "keep_alive": (
        Field("target.on", noted("By when"), DATE),
        Field("target.grade", noted("As good as lost under, frames")),
        Field("target.value", noted("Value of a colony")),
    ),
}
FEEDS = ("feed", "feed2")  # the feed, and one to compare it with
REST: tuple[Part, ...] = (
    Part(
        noted("Work and drive"),
        (
            Field("work.minutes_colony", noted("Minutes a colony"), noted("lid, smoke, drop, lid")),
            Field("work.wage", noted("Wage an hour")),
            Field("work.miles", noted("Miles, there and back")),
            Field("work.mile", noted("Cost of a mile")),
            Field("work.minutes_drive", noted("Minutes to drive")),
        ),
    ),
    Part(
        noted("Money and stores"),
        (
            Field("money", noted("Money"), noted("US$, EUR, NZ$")),
            Field("year", noted("Year of the prices")),
            Field("rounds.honey_lb", noted("Stores of a colony, lb"), noted("if you hefted some")),
            Field(
                "rounds.beetles_about",
                noted("Hive beetles in the district"),
                "",
                (("false", noted("no")), ("true", noted("yes"))),
            ),
            Field("syrup.price", noted("Price of syrup")),
            Field("syrup.per", noted("for"), "", PER),
            Field("syrup.sugar_pct", noted("Sugar in the syrup, %"), noted("67 for 2:1")),
        ),
    ),
)
METRIC: dict[str, Field] = {  # what stands in place of a field where the trade weighs in kilograms
    "target.usual_lb": Field("target.usual_kg", noted("Usual crop of a colony, kg")),
    "feed.patty_lb": Field("feed.patty_g", noted("Patty, g"), noted("400 if you leave it out")),
    "feed2.patty_lb": Field("feed2.patty_g", noted("Patty, g"), noted("400 if you leave it out")),
    "work.miles": Field("work.km", noted("Kilometres, there and back")),
    "work.mile": Field("work.a_km", noted("Cost of a kilometre")),
    "rounds.honey_lb": Field("rounds.honey_kg", noted("Stores of a colony, kg"), noted("if you hefted some")),
}
TABLES = ("target", "work", "syrup", "rounds", "move")
NEEDS = {"syrup": "syrup.price", "move": "move.yard"}  # a table is only written where this was typed
ANY = (("", ""),)  # stands for whatever the book has
TEXTS = ("name", "recipe", "label", "yard")
BY = ("recipe", "label")  # what of the book a feed may follow from


def parts_of(
    kind: str, book: tuple[tuple[str, str], ...] = (), yards: tuple[tuple[str, str], ...] = ()
) -> tuple[Part, ...]:
    """The form for one kind of target; of the book the feeds and the other yards to choose from."""
    return (
        Part(noted("What for"), TARGETS[kind]), Part(noted("Feed"), _feed("feed", book)),
        Part(noted("Another feed, to compare"), _feed("feed2", book), aside=True), *_move(yards), *REST,
    )  # fmt: skip


def in_units(parts: tuple[Part, ...], units: Units, typed: Mapping[str, str]) -> tuple[Part, ...]:
    """The form in this language and a country's units; a field typed in the other unit keeps it."""

    def shown(field: Field) -> Field:
        metric = METRIC.get(field.key)
        if metric is None or typed.get(field.key):
            return field
        return metric if units == "g" or typed.get(metric.key) else field

    return tuple(
        replace(part, head=say(part.head), fields=tuple(_said_field(shown(one)) for one in part.fields))
        for part in parts
    )


def _said_field(field: Field) -> Field:
    """A field in this language; names of the book's feeds and yards stay."""
    own = field.key.endswith((".known", ".yard"))
    choices = field.choices if own else tuple((value, say(words)) for value, words in field.choices)
    return replace(field, words=say(field.words), hint=field.hint and say(field.hint), choices=choices)


def kinds() -> dict[str, str]:
    """The kinds of target in this language."""
    return {key: say(words) for key, words in KIND_WORDS.items()}


def keys_of(kind: str) -> list[str]:
    """Every field that the form may have, in either unit."""
    keys = [field.key for part in parts_of(kind, ANY, ANY) for field in part.fields]
    return [one for key in keys for one in ((key, METRIC[key].key) if key in METRIC else (key,))]


def _move(yards: tuple[tuple[str, str], ...]) -> tuple[Part, ...]:
    if not yards:
        return ()
    return (
        Part(noted("Moving instead, to compare"), (
            Field("move.yard", noted("Move to"), noted("in that yard's weather and bloom"), yards),
            Field("move.on", noted("First morning there"), DATE),
            Field("move.load_cost", noted("Cost of a load"), noted("all told")),
            Field("move.load_colonies", noted("Colonies a load takes")),
        ), aside=True),
    )  # fmt: skip


def _feed(table: str, book: tuple[tuple[str, str], ...]) -> tuple[Field, ...]:
    known = noted("name and price follow from it") if book else ""
    of_book = (Field(f"{table}.known", noted("From your book"), known, book),) if book else ()
    return (
        *of_book,
        Field(f"{table}.name", noted("Feed"), noted("what you call it")),
        Field(f"{table}.price", noted("Price quoted")),
        Field(f"{table}.per", noted("for"), "", PER),
        Field(f"{table}.patty_lb", noted("Patty, lb"), noted("1 if you leave it out")),
        Field(f"{table}.sugar_pct", noted("Sugar in it, %"), noted("if you know it")),
    )


def kind_of(yard: Yard) -> str:
    """What the yard's own goal asks for; where it has none, frames, and that they live where few are kept."""
    if yard.goal is None:
        return "keep_alive" if yard.kept_for == "hobby" or yard.colonies <= FEW else "frames"
    return KIND_OF_AIM[yard.goal.aim]


def first_typed(yard: Yard, kind: str, today: date) -> dict[str, str]:
    """What the form holds before anybody typed: the yard's own goal, units and year; no price."""
    country = yard.place.country
    unit = "lb" if units_of(country) == "lb" else "kg"
    typed = {
        "year": str(today.year),
        "money": money_of(country),
        "feed.per": unit,
        "syrup.per": unit,
    }
    if kind == "honey_flow":
        typed["target.per"] = unit
    goal = yard.goal
    if goal is not None and KIND_OF_AIM[goal.aim] == kind:
        typed["target.on"] = "" if goal.on is None else goal.on.isoformat()
        if goal.frames is not None:
            typed["target.grade" if kind != "splits" else "target.bees"] = f"{goal.frames:g}"
    return typed


def a_year_on(typed: Mapping[str, str], today: date) -> dict[str, str]:
    """What was typed last season, its days moved by whole years to lie ahead of ``today``."""
    days = {key: on for key in DAYS if (on := _day(typed.get(key, ""))) is not None}
    if not days:
        return dict(typed)
    last, years = max(days.values()), 0
    while _later(last, years) <= today:
        years += 1
    return {**typed, **{key: _later(on, years).isoformat() for key, on in days.items()}}


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _later(on: date, years: int) -> date:
    leap = (on.month, on.day) == (2, 29)
    return date(on.year + years, on.month, 28 if leap and years else on.day)


def text_of(kind: str, typed: Mapping[str, str]) -> str:
    """The plan file that the fields say; what was pasted comes before them."""
    if pasted := typed.get("file", "").strip():
        return pasted.replace("\r\n", "\n") + "\n"
    said = {key: typed[key].strip() for key in keys_of(kind) if typed.get(key, "").strip()}
    lines = [f"{key} = {as_value(key, said[key])}" for key in ("money", "year") if key in said]
    for table in TABLES:
        own = [f'kind = "{kind}"'] if table == "target" else []
        own += _lines(said, table)
        needed = NEEDS.get(table)
        if own and (needed is None or needed in said):
            lines += ["", f"[{table}]", *own]
    for table in FEEDS:
        if f"{table}.price" in said or f"{table}.known" in said:
            lines += ["", "[[feed]]", *_lines(said, table)]
    return "\n".join(lines) + "\n"


def typed_of(text: str) -> tuple[str, dict[str, str]]:
    """Kind and fields of a plan file; the whole text as pasted where it says more than the form asks."""
    data = tomllib.loads(text)
    kind = str(data.get("target", {}).get("kind", "frames"))
    known = set(keys_of(kind))
    feeds = [_with_known(feed) for feed in data.get("feed", [])]
    tables = {**{name: data.get(name, {}) for name in TABLES}, **dict(zip(FEEDS, feeds, strict=False))}
    flat = {f"{name}.{key}": value for name, table in tables.items() for key, value in table.items()}
    flat = {key: value for key, value in flat.items() if key != "target.kind"}
    flat |= {key: data[key] for key in ("money", "year") if key in data}
    typed = {key: _said(value) for key, value in flat.items() if key in known}
    more = set(flat) - known or set(data) - {*TABLES, "feed", "money", "year"} or len(feeds) > len(FEEDS)
    return kind, typed | ({"file": text} if more else {})


def _lines(said: Mapping[str, str], table: str) -> list[str]:
    lines = []
    for key, value in said.items():
        of, _, name = key.partition(".")
        if of != table:
            continue
        if name == "known":  # "recipe:Winter mix"
            name, _, value = value.partition(":")
            if name not in BY:
                continue
        lines.append(f"{name} = {as_value(f'{table}.{name}', value)}")
    return lines


def _with_known(feed: Mapping[str, object]) -> dict[str, object]:
    """A feed of a plan file as the form has it: recipe or label as one field."""
    of = [f"{name}:{feed[name]}" for name in BY if name in feed]
    rest = {key: value for key, value in feed.items() if key not in BY}
    return rest | ({"known": of[0]} if len(of) == 1 else {name: feed[name] for name in BY if name in feed})


def as_value(key: str, value: str) -> str:
    """A number or date as such, anything else as text, so that the file's own checks say what is wrong."""
    if key.partition(".")[2] not in TEXTS and key != "money" and _PLAIN.fullmatch(value):
        return value
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _said(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f"{value:.12g}" if isinstance(value, float) else str(value)
