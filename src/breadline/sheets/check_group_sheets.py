"""The paper of a check group: tags, the feeding crew's list, the grading sheet, scraping, open ends.

The grader's sheets never say which group a hive is in; the crew's list never goes to the grader.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from breadline.errors import RecordError
from breadline.language import noted, say, say_as
from breadline.need.words import counted, day_and_year
from breadline.sheets.letterhead import Paper, cut, letterhead
from breadline.sheets.printed import printed
from breadline.trial.colonies import CHECK, Started
from breadline.trial.design import CheckArm, Design, Outcome, Unit, group_name

MOST_TAGS = 3_000  # hives on one set of sheets
LONGEST = 30  # letters of a name in a list
GONE = noted("dead, absconded, below one frame, merged (into which)")
NOTED = noted("requeened, robbed, rescued, split")
CHECK_GETS = {
    CheckArm.SAME_CARE: noted("no protein feed"),
    CheckArm.USUAL: noted("usual practice"),
    CheckArm.HALF: noted("half the rate"),
    CheckArm.SUGAR: noted("sugar patty, no protein"),
}
FED_GETS = {
    "fed": {
        CheckArm.SAME_CARE: noted("protein feed"), CheckArm.HALF: noted("the full rate"),
        CheckArm.SUGAR: noted("protein feed"),
    }
}  # fmt: skip
SCRAPED = noted(
    "Scrape the top bars and take papers and crumbs off ALL hives, those that never had feed too."
)
CLEARED = noted(
    "Take feeders, sacks and spilt feed out of ALL yards, and scrape the top bars of ALL hives, those that "
    "never had feed too."
)
LOST = noted("sold, stolen, moved away, not found")


@dataclass(frozen=True)
class OnPaper:
    """A trial as its sheets need it.

    Parameters
    ----------
    name, design
        What it is called, and what was drawn.
    order, twice
        Tags in the order of grading, and of the colonies that a second person grades too.
    rescue_below
        A check colony weaker than this is fed all the same. [frames]
    without_end
        Tags of the colonies of which nobody said what became of them.
    seal, locked_on
        Digest and day of the lock; "" and None before it.
    on, paper
        The day the sheets are dated, and the paper.
    """

    name: str
    design: Design
    order: tuple[str, ...]
    twice: frozenset[str]
    rescue_below: float
    without_end: tuple[str, ...]
    seal: str
    locked_on: date | None
    on: date
    paper: Paper

    def __post_init__(self) -> None:
        if not 1 <= len(self.design.started) <= MOST_TAGS:
            raise RecordError(
                "sheets", say("{n:,} hives", n=len(self.design.started)), say("1 to {n:,}", n=MOST_TAGS),
                say("Work from the file of the trial"),
            )  # fmt: skip


def tag_sheet(of: OnPaper) -> bytes:
    """Tags to cut out and tack to the hives, in the order in which these stand."""
    tags = [{"tag": one.tag, "where": cut(_where(one), 40)} for one in _in_place(of.design.started)]
    title = cut(say("Tags, {trial}", trial=of.name), 80)
    return printed("check_tags.typ", {**letterhead(of.paper, ""), "title": title, "tags": tags}, of.on)


def feeding_list(of: OnPaper) -> bytes:
    """Who gets feed, for the crew alone: yard by yard where whole yards were drawn, else hive by hive."""
    if of.design.unit is Unit.YARD:
        return _yards_fed(of)
    arms = of.design.arms
    columns = [_column(say("Hive"), "text", 2), _column(say("Tag"), "strong"), _column(say("Gets"), "arm", 3),
               _column(say("Done"), "tick"), _column(say("Put on"), "line", 2)]  # fmt: skip
    lead = [
        say("Open, smoke and handle every hive alike, fed or not; only what goes on top differs."),
        say(
            "Keep this list away from whoever grades. Count what goes out and comes back. Hives without a "
            "tag are no part of it: feed them as usual."
        ),
    ]
    groups = [
        _group(
            yard,
            _counts(own, arms),
            [[cut(_stands(one), LONGEST), one.tag, _gets(of.design, one.arm), "", ""] for one in own],
        )
        for yard, own in _by_yard(of)
    ]
    return _list(of, say("Who gets feed"), lead, columns, groups, [say("Round of"), say("Crew")], double=True)


def _yards_fed(of: OnPaper) -> bytes:
    columns = [_column(say("Yard"), "strong", 3), _column(say("Gets"), "arm", 3),
               _column(say("Done"), "tick"), _column(say("Put out"), "line", 2),
               _column(say("Left over"), "line", 2)]  # fmt: skip
    lead = [
        say(
            "Every colony of a yard gets what its yard gets, with a tag or without. None of this feed within "
            "flight range of a yard that gets none."
        ),
        say("Visit all yards alike, fed or not. Keep this list away from whoever grades."),
    ]
    rows = [[cut(yard, 44), _gets(of.design, own[0].arm), "", "", ""] for yard, own in _by_yard(of)]
    return _list(
        of, say("Which yards get feed"), lead, columns, [_group("", "", rows)], [say("Round of"), say("Crew")]
    )


def grading_sheet(of: OnPaper) -> bytes:
    """Hives in drawn order without their groups, and a guess of the group for each."""
    return _graded(of, of.order, say("Grading sheet"), say("First reader"))


def second_sheet(of: OnPaper) -> bytes:
    """The hives that a second person grades without seeing the first reading."""
    return _graded(
        of,
        [tag for tag in of.order if tag in of.twice],
        say("Grading sheet, second reader"),
        say("Second reader"),
    )


def scraping_list(of: OnPaper) -> bytes:
    """Every hive, fed or not: bars scraped and papers off, so that the grader sees no trace of feed."""
    columns = [_column(say("Hive"), "text", 3), _column(say("Tag"), "strong"),
               _column(say("Bars scraped"), "tick"), _column(say("Papers off"), "tick"),
               _column(say("Remarks"), "line", 3)]  # fmt: skip
    lead = [
        say(CLEARED) if of.design.open_feed else say(SCRAPED),
        say("At most one day before the grading, and not by the person who grades."),
    ]
    groups = [
        _group(
            yard,
            counted(len(own), "hive"),
            [[cut(_stands(one), LONGEST), one.tag, "", "", ""] for one in own],
        )
        for yard, own in _by_yard(of)
    ]
    return _list(
        of, say("Scraping before the grading"), lead, columns, groups,
        [say("Scraped by"), say_as("a day", "On")], double=True,
    )  # fmt: skip


def open_ends_sheet(of: OnPaper) -> bytes:
    """The hives of which nobody said what became of them.

    Errors
    ------
    RecordError
        If there are none.
    """
    if not of.without_end:
        raise RecordError(
            "open ends", say("every colony has its end"), say("a colony without one"), say("Nothing to do")
        )
    left = set(of.without_end)
    columns = [_column(say("Hive"), "text", 2), _column(say("Tag"), "strong"),
               _column(say("What became of it"), "line", 4), _column(_graded_as(of), "line", 2),
               _column(say("Merged into"), "line", 2)]  # fmt: skip
    lead = [
        say("Every colony that was started counts. Write one of: graded, {gone}, {noted}; or {lost}.",
            gone=say(GONE), noted=say(NOTED), lost=say(LOST)),
        say("A blank is no answer: a colony that nobody can find is “not found”, and one that died is "
            "“dead”."),
    ]  # fmt: skip
    groups = [
        _group(
            yard, "", [[cut(_stands(one), LONGEST), one.tag, "", "", ""] for one in own if one.tag in left]
        )
        for yard, own in _by_yard(of)
    ]
    said = say("{colonies} without an end", colonies=counted(len(left), "colony", "colonies"))
    by = [say("Looked for by"), say_as("a day", "On")]
    return _list(of, said, lead, columns, [g for g in groups if g["rows"]], by)


def _graded(of: OnPaper, order: Sequence[str], title: str, reader: str) -> bytes:
    columns = [_column("", "small"), _column(say("Tag"), "strong"), _column(say("Hive"), "small", 2),
               _column(_graded_as(of), "line", 2), _column(say("Else, or why no count"), "line", 3),
               _column(say("Which group, do you think?"), "ticks", 3)]  # fmt: skip
    by_tag = {one.tag: one for one in of.design.started}
    guess = "|".join(cut(group_name(arm), 20) for arm in of.design.arms)
    groups = []
    for yard in dict.fromkeys(one.yard for one in of.design.started):
        own = [by_tag[tag] for tag in order if by_tag[tag].yard == yard]
        rows = [[f"{n}", one.tag, cut(_stands(one), 22), "", "", guess] for n, one in enumerate(own, 1)]
        if rows:
            groups.append(_group(yard, counted(len(own), "hive"), rows))
    lead = [
        say("Top to bottom: the order is drawn. {count}. Guess last.", count=_counted_as(of)),
        say("Write down beside its count: {noted}. Instead of a count: {gone}; {lost}.", noted=say(NOTED),
            gone=say(GONE), lost=say(LOST)),
    ]  # fmt: skip
    fields = [reader, say_as("a day", "On"), say_as("an hour", "From"), say_as("an hour", "To")]
    return _list(of, title, lead, columns, groups, fields)


def _list(
    of: OnPaper, title: str, lead: Sequence[str], columns: Sequence[dict[str, Any]],
    groups: Sequence[dict[str, Any]], fields: Sequence[str], double: bool = False,
) -> bytes:  # fmt: skip
    words = {
        **letterhead(of.paper, say("{trial} · graded on {day}", trial=cut(of.name, 44),
                                   day=day_and_year(of.design.grading))),
        "title": title, "lead": list(lead), "columns": list(columns), "groups": list(groups),
        "fields": list(fields), "air": 6.0, "double": double,
        "foot": cut(
            say("{trial}, seal {seal}", trial=of.name, seal=of.seal[:12])
            if of.seal else say("{trial}, not yet locked", trial=of.name), 90,
        ),
    }  # fmt: skip
    return printed("check_list.typ", words, of.on)


def _column(head: str, kind: str, wide: int = 0) -> dict[str, Any]:
    return {"head": head, "kind": kind, "wide": wide}


def _group(head: str, beside: str, rows: list[list[str]]) -> dict[str, Any]:
    return {"head": cut(head, 44), "beside": beside, "rows": rows}


def _by_yard(of: OnPaper) -> list[tuple[str, list[Started]]]:
    yards: dict[str, list[Started]] = {}
    for one in _in_place(of.design.started):
        yards.setdefault(one.yard, []).append(one)
    return list(yards.items())


def _in_place(started: Sequence[Started]) -> list[Started]:
    """Yard by yard as listed, along the rows where they are known."""
    yards = list(dict.fromkeys(one.yard for one in started))
    return sorted(started, key=lambda one: (yards.index(one.yard), one.row or 0, one.place or 0))


def _where(one: Started) -> str:
    """All that helps to find the hive."""
    yard = "" if one.hive.startswith(one.yard) else one.yard
    return ", ".join(part for part in (yard, one.hive, _spot(one)) if part)


def _stands(one: Started) -> str:
    """The hive's own name, else where it stands."""
    return one.hive or _spot(one)


def _spot(one: Started) -> str:
    spot = [
        say("row {n}", n=one.row) if one.row else "", say("place {n}", n=one.place) if one.place else "",
    ]  # fmt: skip
    return ", ".join(part for part in spot if part)


def _counts(own: Sequence[Started], arms: Sequence[str]) -> str:
    return ", ".join(f"{sum(one.arm == n for one in own)} {group_name(arm)}" for n, arm in enumerate(arms))


def _gets(design: Design, arm: int) -> str:
    """Mark and words for what a hive gets, as the template reads them."""
    if arm == CHECK:
        return f"check|{say(CHECK_GETS[design.check_arm])}"
    name = design.arms[arm]
    words = FED_GETS.get(name, {}).get(design.check_arm)
    return f"fed|{cut(say(words) if words else group_name(name), LONGEST)}"


def _graded_as(of: OnPaper) -> str:
    if of.design.outcome is not Outcome.HONEY:
        return say("Frames of bees")
    return say("Honey, lb") if of.paper == "us-letter" else say("Honey, kg")


def _counted_as(of: OnPaper) -> str:
    if of.design.outcome is Outcome.HONEY:
        unit = "lb" if of.paper == "us-letter" else "kg"
        return say("Weigh the honey taken, in {unit}, all on one scale", unit=unit)
    return say("Count frames of bees, to the half")
