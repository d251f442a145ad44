"""A hive's page in words: its readings day by day, what it was given, what became of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breadline.jobs.book import key_of
from breadline.jobs.field_book import FieldBook
from breadline.language import noted, say, say_as, say_counted
from breadline.measures import Units, units_of
from breadline.need.words import day_and_year
from breadline.pictures.wording import GRAMS_A_POUND
from breadline.records import hive_past, yards
from breadline.records.engine import looking
from breadline.records.hive_past import HivePast, ReadOn
from breadline.records.yard_rows import FROM_PHONE, FROM_SHEET

BESIDE = {
    "mites_per_100": noted("mites"),
    "frames_of_bees": noted("bees"),
    "frames_of_brood": noted("brood"),
    "bread": noted("bread"),
}
HEADS = (
    ("frames_of_bees", noted("Bees [frames]")), ("frames_of_brood", noted("Brood [frames]")),
    ("bread", noted("Bread")), ("mites_per_100", noted("Mites [per 100]")), ("queen_status", noted("Queen")),
    ("put_on", noted("Put on")),
)  # fmt: skip
WORDS = {
    "seen": noted("seen"), "eggs": noted("eggs"), "neither": noted("no queen, no eggs"),
    "none": noted("none"), "some": noted("some"), "most": noted("most"),
}  # fmt: skip
NAMES = {
    "patty_left": "left over", "weight": noted("weight"),
    "beetles_seen": noted("beetles"), "maggots_seen": noted("maggots"),
    "foulbrood_signs": noted("signs of foulbrood"), "honey": noted("honey"),
    "pollen_seen": noted("pollen coming in"), "note": "",
    "bees_kg": noted("bees"),
}  # fmt: skip
BECAME = {"dead": noted("was found dead"), "merged": noted("was merged"), "sold": noted("was sold"),
          "moved": noted("was moved away"), "stands": noted("stands after all")}  # fmt: skip


@dataclass(frozen=True)
class DayRead:
    """What was seen of a hive on one day, cell by cell of ``HEADS``, and what has no column."""

    on: date
    cells: tuple[str, ...]
    more: str
    came: str


@dataclass(frozen=True)
class HiveTold:
    """A hive's page.

    Parameters
    ----------
    heads
        Heads of the columns in which something stands; the cells of ``days`` go with them.
    older
        The day before which there are older readings; None where all are shown.
    given, yard_given
        What it was given, and what its yard got on average: newest first, in words.
    """

    yard_id: str
    yard: str
    tag: str
    under: str
    sentence: str
    heads: tuple[str, ...]
    days: tuple[DayRead, ...]
    older: date | None
    given: tuple[tuple[date, str], ...]
    given_said: str
    yard_given: tuple[tuple[date, str], ...]
    became: tuple[str, ...]
    beside: tuple[tuple[str, str] | None, tuple[str, str] | None]  # key and tag


class HiveBook(FieldBook):
    """A book whose hives can be looked at one by one."""

    def hive(self, colony_id: str, before: date | None = None) -> HiveTold:
        """One hive: its readings newest first, what it was given, what became of it.

        Errors
        ------
        RecordError
            If there is no such hive.
        """
        with looking(self._engine) as session:
            found = hive_past.past(session, key_of(colony_id), before)
            yard = yards.fact(session, found.yard_id)
            name, units = yard.name, units_of(yard.country)
        days = _days(found.read, units)
        used = [n for n in range(len(HEADS)) if any(one.cells[n] for one in days)]
        beside = [None if one is None else (str(one.id), one.tag) for one in found.beside]
        return HiveTold(
            yard_id=str(found.yard_id), yard=name, tag=found.hive.tag, under=_under(found),
            sentence=_sentence(found, days, self.today),
            heads=tuple(say(HEADS[n][1]) for n in used),
            days=tuple(
                DayRead(one.on, tuple(one.cells[n] for n in used), one.more, one.came) for one in days
            ),
            older=days[-1].on if found.more and days else None,
            given=tuple((on, _weighed(grams, units)) for on, grams in found.fed),
            given_said=_given_said(found, units, self.today),
            yard_given=tuple((on, _weighed(grams, units)) for on, grams in found.yard_fed),
            became=_became(found),
            beside=(beside[0], beside[1]),
        )  # fmt: skip


def _days(rows: Sequence[ReadOn], units: Units) -> list[DayRead]:
    by_day: dict[tuple[date, str], list[ReadOn]] = {}
    for row in rows:
        by_day.setdefault((row.on, row.came), []).append(row)
    found = []
    for (on, came), here in by_day.items():
        cells = [", ".join(_cell(row, units) for row in here if row.kind == kind) for kind, _ in HEADS]
        more = "; ".join(_also(row) for row in here if row.kind in NAMES)
        said = say("a phone or a sheet keyed in") if came == FROM_PHONE else came.removeprefix(FROM_SHEET)
        found.append(DayRead(on, tuple(cells), more, said))
    return found


def _cell(row: ReadOn, units: Units) -> str:
    if row.kind == "put_on":
        return _weighed(row.value, units) if row.value else say("nothing")
    if row.word:
        return say(WORDS.get(row.word, row.word))
    if row.value is None:
        return ""
    if row.kind != "bread" or row.unit == "frames":
        if row.kind == "bread":
            return say_counted("{n} frame", "{n} frames", 1 if row.value <= 1 else 2, n=_halves(row.value))
        return _halves(row.value)
    return f"{row.value:,g} {row.unit}"


def _halves(value: float) -> str:
    """A count of one hive: halves as they are said, anything else to a tenth or less."""
    whole, half = divmod(value, 1)
    return (f"{whole:g}½" if whole else "½") if half == 0.5 else f"{value:.1f}".removesuffix(".0")


def _weighed(grams: float, units: Units) -> str:
    """As it was put on: to the gram, or to the hundredth of a pound."""
    if units == "g":
        return f"{grams:,.0f} g"
    pounds = round(grams / GRAMS_A_POUND, 2)
    return f"{_halves(pounds) if pounds % 0.5 == 0 else f'{pounds:g}'} lb"


def _also(row: ReadOn) -> str:
    name = say(NAMES[row.kind]) if NAMES[row.kind] else ""
    if row.unit == "yes/no":
        return f"{name}: {say('yes') if row.value else say('no')}" + (f" ({row.note})" if row.note else "")
    value = row.word or ("" if row.value is None else f"{row.value:g} {row.unit}".strip())
    return " ".join(part for part in (f"{name}: {value}" if name and value else value, row.note) if part)


def _under(found: HivePast) -> str:
    place = f"{found.hive.place}. " if found.hive.place else ""
    taken = "".join(
        say("{tag} was merged into it{on}. ", tag=one.tag, on=_on(one.since)) for one in found.took_in
    )
    return (place + taken).strip()


def _on(day: date | None) -> str:
    return "" if day is None else say(" on {day}", day=day_and_year(day))


def _sentence(found: HivePast, days: Sequence[DayRead], today: date) -> str:
    """How it stands: what became of it, or what was seen last."""
    hive = found.hive
    if hive.standing != "stands":
        into = say(" into {hive}", hive=hive.into) if hive.into else ""
        return say(
            "Hive {tag} {became}{into}{on}.",
            tag=hive.tag,
            became=say(BECAME.get(hive.standing, hive.standing)),
            into=into,
            on=_on(hive.since),
        )
    if not days:
        return say("Nothing is written down of hive {tag} yet.", tag=hive.tag)
    last, said = days[0], []
    for (kind, _), cell in zip(HEADS, last.cells, strict=True):
        if cell and kind in ("frames_of_bees", "frames_of_brood"):
            many, of = 1 if cell in ("1", "½") else 2, say_as("frames of", BESIDE[kind])
            said.append(say_counted("{n} frame of {what}", "{n} frames of {what}", many, n=cell, what=of))
    ago = (today - last.on).days
    when = say("today") if ago == 0 else say("yesterday") if ago == 1 else say("{ago:,} days ago", ago=ago)
    return f"{say(' and ').join(said) or say('Looked at')}, {when}.".capitalize()


def _given_said(found: HivePast, units: Units, today: date) -> str:
    year = [grams for on, grams in found.fed if (today - on).days < 365]
    if not year:
        return say("Nothing was put on it singly in the last twelve months.")
    times = say("once") if len(year) == 1 else say("{n} times", n=len(year))
    return say(
        "{weighed} in the last twelve months, put on {times}.",
        weighed=_weighed(sum(year), units),
        times=times,
    )


def _became(found: HivePast) -> tuple[str, ...]:
    said = []
    for standing, since, into, because in found.became:
        where = say(" into {hive}", hive=into) if into else ""
        why = f" ({because})" if because else ""
        said.append(
            say(
                "It {became}{where}{on}{why}.",
                became=say(BECAME.get(standing, standing)),
                where=where,
                on=_on(since),
                why=why,
            )
        )
    return tuple(said)
