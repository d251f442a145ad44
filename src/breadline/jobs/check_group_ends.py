"""What became of the colonies of a trial: from a table, or from a form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from breadline.errors import TrialError
from breadline.jobs.check_group_table import Row, rows_of
from breadline.jobs.verdict_also import also_entered, entered_columns
from breadline.jobs.verdict_columns import STATUS, UNSURE, word_of
from breadline.language import say, say_as
from breadline.measures import Units
from breadline.need.words import day_and_year
from breadline.trial.colonies import AS_NOTHING, UNKNOWN, Became, Ended
from breadline.trial.design import Design, Outcome
from breadline.trial.honey import KG_IN, unit_of

COLUMNS = {
    "tag": ("hive", "colony"),
    "became": ("status", "what became of it", "end status"),
    "outcome": ("end", "frames", "frames of bees", "honey", "after"),
    "graded on": ("date", "day"),
    "grader": ("graded by", "reader"),
    "again": ("second reading", "twice"),
    "guessed": ("guess", "which group"),
    "merged into": ("into",),
    "taken": ("bees taken", "frames taken"),
} | entered_columns()
ALSO = ("brood", "weight kg", "weight lb", "honey kg", "honey lb", "eaten g", "eaten oz")  # of one hive
MOST_FRAMES, MOST_HONEY_KG = 60.0, 400.0  # of one colony; 85 is a slip for 8.5
HONEY_IN = {  # heads of the reading of a honey trial that say its unit
    "lb": ("outcome lb", ("honey lb", "honey taken lb", "end lb")),
    "kg": ("outcome kg", ("honey kg", "honey taken kg", "end kg")),
}
HONEY_COLUMNS = {
    name: heads for name, heads in COLUMNS.items() if not name.startswith("honey taken")
} | dict(HONEY_IN.values())  # fmt: skip

READ = ("outcome", *(name for name, _ in HONEY_IN.values()))


def ends_from_text(
    text: str, file: str, design: Design, units: Units = "g", today: date | None = None
) -> tuple[Ended, ...]:
    """The ends of a table; rows without status and reading are passed over, they are still open.

    Honey is read in the unit behind the head of its column; a bare number in ``units``. ``today``: no
    reading is of a later day; any day where not given.

    Errors
    ------
    TrialError
        With file, row and column: a hive that was not drawn or stands twice, text in a number, a
        status that is none, a graded colony without its reading, a day that has not come.
    """
    tags = {one.tag.lower(): one.tag for one in design.started} | {
        one.hive.lower(): one.tag for one in design.started if one.hive
    }
    found: dict[str, Ended] = {}
    bare = unit_of(design.outcome, units == "lb")
    for row in _rows(text, file, design):
        if not row.text("became") and not any(row.text(name) for name in READ):
            continue
        end = _end(row, tags, design, bare)
        if end.tag in found:
            raise row.error(
                "tag", say("{tag} stands twice", tag=row.text("tag")), say("one end for each colony")
            )
        if today is not None and end.graded_on is not None and end.graded_on > today:
            raise _not_come(row, end.graded_on, today)
        found[end.tag] = end
    return tuple(found.values())


def _not_come(row: Row, day: date, today: date) -> TrialError:
    what = say("{day} has not come yet", day=day_and_year(day))
    return row.error("graded on", what, say("a day up to today, {today}", today=day_and_year(today)))


def _rows(text: str, file: str, design: Design) -> list[Row]:
    if design.outcome is not Outcome.HONEY:
        return rows_of(text, file, COLUMNS, ("tag", "outcome"))
    head = next((line for line in text.splitlines() if line.strip()), "").lower()
    said = any(name in head for _, heads in HONEY_IN.values() for name in heads)
    return rows_of(text, file, HONEY_COLUMNS, ("tag",) if said else ("tag", "outcome"))


def fitting(end: Ended, where: str) -> Ended:
    """An end that says what it has to; 0 where it counts as nothing.

    Errors
    ------
    TrialError
        If a reading is missing, or stands where none can be.
    """
    if end.became in AS_NOTHING:
        if end.outcome not in (None, 0.0) and end.became is not Became.BELOW_ONE_FRAME:
            raise _both(where, end)
    elif end.became in UNKNOWN:
        if end.outcome is not None:
            raise _both(where, end)
    elif end.outcome is None:
        raise TrialError(
            where,
            say("{became}, and nothing was graded", became=say_as("end", end.became.value)),
            say("its reading, or what became of it"),
        )
    if (end.became is Became.MERGED) != bool(end.merged_into):
        what = say("it was not merged") if end.merged_into else say("merged into which hive?")
        raise TrialError(where, what, say("the tag of the hive that took its bees"))
    return end


def _both(where: str, end: Ended) -> TrialError:
    became = say_as("end", end.became.value)
    what = say("{became}, and {n:g} graded", became=became, n=end.outcome)
    return TrialError(where, what, say("one or the other"))


def status_of(text: str) -> Became | None:
    """What a word says of a colony's end; None where it says nothing."""
    plain = " ".join(text.lower().split())
    said = (one for one in Became if plain in (one.value, say_as("end", one.value)))
    return next(said, STATUS.get(word_of(text)))


def arm_of(text: str, arms: Sequence[str]) -> int | None:
    """The group of a name, or None where it is none of them."""
    plain = [" ".join(arm.lower().split()) for arm in arms]
    text = " ".join(text.lower().split())
    return (
        plain.index(text)
        if text in plain
        else {"check": 0, "unfed": 0, "testigo": 0, "fed": 1, "con alimento": 1}.get(text)
    )


def _end(row: Row, tags: Mapping[str, str], design: Design, bare: str) -> Ended:
    tag = _known(row, "tag", tags)
    became = status_of(row.text("became"))
    if became is None:
        words = " ".join(row.text("became").lower().split())
        raise row.error(
            "became",
            say('"{word}" is no status', word=words),
            UNSURE.get(word_of(words), ", ".join(one.value for one in Became)),
        )
    guess = row.text("guessed")
    guessed = arm_of(guess, design.arms) if guess else None
    if guess and guessed is None:
        raise row.error("guessed", say('"{name}" is no group', name=guess), say(" or ").join(design.arms))
    first, again = _readings(row, bare)
    end = Ended(
        tag, became, first, _day(row), row.text("grader"), again, guessed,
        _known(row, "merged into", tags) if row.text("merged into") else "",
        row.number_in("taken", 0, MOST_FRAMES, say("frames")) or 0.0, also_entered(row),
    )  # fmt: skip
    return fitting(end, f"{row.file}, row {row.number}, {tag}")


def _readings(row: Row, bare: str) -> tuple[float | None, float | None]:
    """First and second reading [frames, or kg]; the second in the unit of the first."""
    heads = [("outcome", bare), *((name, unit) for unit, (name, _) in HONEY_IN.items())]
    found = [(name, unit) for name, unit in heads if row.text(name)]
    if len(found) > 1:
        raise row.error(found[1][0], say("there are two readings"), say("one, in the unit it was weighed in"))
    name, unit = found[0] if found else heads[0]
    of = KG_IN.get(unit, 1.0)
    most, said = (MOST_HONEY_KG / of, unit) if unit in KG_IN else (MOST_FRAMES, say("frames"))
    first, again = (row.number_in(one, 0, round(most), said) for one in (name, "again"))
    return (None if first is None else first * of, None if again is None else again * of)


def _known(row: Row, column: str, tags: Mapping[str, str]) -> str:
    text = " ".join(row.text(column).lower().split())
    if text not in tags:
        raise row.error(
            column, say('"{tag}" was not drawn', tag=row.text(column)), say("a tag of this trial")
        )
    return tags[text]


def _day(row: Row) -> date | None:
    text = row.text("graded on")
    if not text:
        return None
    try:
        return datetime.strptime(text, "%Y-%m-%d").date()
    except ValueError:
        raise row.error(
            "graded on", say('"{text}" is no date', text=text), say("year-month-day, such as 2026-11-20")
        ) from None
