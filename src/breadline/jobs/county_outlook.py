"""Several yards' seasons on one page: from when each is short, what to do, and what nobody knows."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from breadline.errors import CountTooOld
from breadline.jobs.book import YardLine
from breadline.jobs.season import SeasonAnswer
from breadline.language import noted, say, say_counted
from breadline.measures import Measures, told_to
from breadline.need.forecast import LEAVES_OUT
from breadline.need.outlook import ShortFrom
from breadline.need.outlook_words import short_from_words
from breadline.need.words import counted, day, day_and_year
from breadline.pictures.frame import Size
from breadline.pictures.short_from_chart import ShortLine, short_from_chart, short_from_sentence
from breadline.sheets.letterhead import Paper
from breadline.sheets.report_sheet import ReportPage, report_sheet

MOST_DO = 6  # lines of what to do
SPAN_DAYS = 120  # shortest time axis [d]
FOOT = noted(
    "Lines hold 8 seasons in 10; square: the middle; dashed: in some seasons not at all. Label, inspector "
    "and veterinarian come first; your local adviser knows local dates better than any program."
)
MOST_NAMED = 2  # yards by name before what to do; more are counted
MOST_WHY = 4  # reasons why yards have no answer
COUNT_AGAIN = "count again"  # the kind of reason that is one line, whichever the days
MOST_ROWS = 12  # of the table on paper; with more yards the picture alone has them
Do = Callable[[SeasonAnswer], str]  # what to do in a few words: "Feed now", "Mites first"


@dataclass(frozen=True)
class CountyRow:
    """One yard: its key, name, from when it is short, what to do, and when to look again."""

    key: str
    name: str
    short: str
    do: str
    again: str


@dataclass(frozen=True)
class County:
    """The page.

    Parameters
    ----------
    sentence
        What the yards say together.
    rows, lines
        Each yard in words, and as the picture takes it.
    do, not_known
        What to do, most yards first; what is not known.
    why_not
        Why yards have no answer, the reason of most yards first.
    span
        First and last day of the picture.
    """

    sentence: str
    rows: tuple[CountyRow, ...]
    lines: tuple[ShortLine, ...]
    do: tuple[str, ...]
    not_known: tuple[str, ...]
    why_not: tuple[str, ...]
    span: tuple[date, date]
    on: date

    def chart(self, size: Size) -> str:
        """The picture, as SVG text; "" without a yard."""
        return _chart(self.lines, self.span, size, told_to()) if self.lines else ""


@lru_cache(maxsize=12)
def _chart(lines: tuple[ShortLine, ...], span: tuple[date, date], size: Size, _: tuple[str, Measures]) -> str:
    """Drawn once for what it shows and to whom it is said: drawing takes longest of all."""
    return short_from_chart(lines, span, size)


def county(
    lines: Sequence[YardLine],
    on: date,
    do: Do,
    numbered: bool = False,
    beside: Mapping[str, str] | None = None,
) -> County:
    """The outlook of several yards, the earliest short first.

    Parameters
    ----------
    do
        What to do in a yard, in a few words.
    numbered
        Whether yards go by a number, so that the page can be handed round.
    beside
        What joins the advice of a yard and a plan that feeds nothing, or not yet, by key.
    """
    told = [one for one in lines if one.answer is not None]
    told.sort(key=lambda one: _when(one.answer, on))
    names = {one.id: say("Yard {n}", n=n) if numbered else one.name for n, one in enumerate(told, 1)}
    answers = [(names[one.id], one.answer) for one in told if one.answer is not None]
    ends = [short.latest or short.earliest for _, one in answers if (short := _short(one)) and short.earliest]
    last = max([on + timedelta(days=SPAN_DAYS), *(end for end in ends if end is not None)])
    return County(
        sentence=_sentence([one for _, one in answers], len(lines), on),
        rows=tuple(_row(one.id, names[one.id], one.answer, do(one.answer)) for one in told if one.answer),
        lines=tuple(_line(f"{name}: {_small(do(one))}", one, on) for name, one in answers),
        do=_do([(names[one.id], _joined(one, beside or {})) for one in told]),
        not_known=_not_known([one for _, one in answers]),
        why_not=_why_not(lines, numbered),
        span=(on, last),
        on=on,
    )  # fmt: skip


def county_outlook_sheet(of: County, whose: str, paper: Paper) -> bytes:
    """The same on one page of paper."""
    page = ReportPage(
        head=" · ".join(part for part in (whose, say("Outlook"), day_and_year(of.on)) if part),
        title=of.sentence,
        under=(),
        picture=of.chart("print"),
        shows=short_from_sentence(of.lines),
        heads=(say("Yard"), say("Short from"), say("What to do"), say("Look again")),
        rows=tuple((row.name, row.short, row.do, row.again) for row in of.rows if len(of.rows) <= MOST_ROWS),
        columns=((say("What to do"), of.do), (say("What is not known"), (*of.why_not, *of.not_known))),
        boxed=("", ""),
        foot=say(FOOT),
    )
    return report_sheet(say("County outlook"), [page], of.on, paper)


def _short(answer: SeasonAnswer) -> ShortFrom | None:
    return None if answer.outlook is None else answer.outlook.short_from


def _when(answer: SeasonAnswer | None, on: date) -> tuple[date, date]:
    short = None if answer is None else _short(answer)
    if short is None:
        return date.max, date.max
    if short.now:
        return on, on
    return short.middle or date.max - timedelta(days=1), short.earliest or short.not_before


def _sentence(answers: Sequence[SeasonAnswer], many: int, today: date) -> str:
    if not answers:
        return say("None of the yards can be answered for yet.")
    shorts = [short for one in answers if (short := _short(one)) is not None]
    now = sum(short.now for short in shorts)
    later = sorted(short.middle for short in shorts if short.middle is not None and not short.now)
    yards = counted(many, "yard")
    parts = []
    if now:
        parts.append(
            say_counted(
                "{n} of {yards} is short of bread now",
                "{n} of {yards} are short of bread now",
                now,
                yards=yards,
            )
        )
    if later:
        parts.append(_later(later, yards, now > 0, today))
    if not parts and not shorts:
        return say("None of {yards} has an outlook for the season ahead.", yards=yards)
    if not parts:
        parts.append(
            say("None of {yards} is likely to run short of bread in the season ahead",
                yards=counted(len(shorts), "yard"))
        )  # fmt: skip
        if may := sum(short.earliest is not None for short in shorts):
            parts.append(say("{n} may, in fewer than half of the seasons", n=may))
    if unknown := many - len(shorts):
        parts.append(
            say_counted("{n} yard has no outlook", "{n} yards have no outlook", unknown)
            if now or later
            else say_counted("{n} other has no outlook", "{n} others have no outlook", unknown)
        )
    return f"{'; '.join(parts)}."


def _later(days: Sequence[date], yards: str, more: bool, today: date) -> str:
    """How many yards are short later, and from when; ``more`` beside those that are short now."""
    n, first, last = len(days), day(days[0], today), day(days[-1], today)
    if more and days[0] == days[-1]:
        return say_counted(
            "{n} more is likely to be, from about {first}", "{n} more are likely to be, from about {first}",
            n, first=first,
        )  # fmt: skip
    if more:
        return say_counted(
            "{n} more is likely to be: the first begins about {first}, the last about {last}",
            "{n} more are likely to be: the first begins about {first}, the last about {last}",
            n, first=first, last=last,
        )  # fmt: skip
    if days[0] == days[-1]:
        return say_counted(
            "{n} of {yards} is likely to be short of bread, from about {first}",
            "{n} of {yards} are likely to be short of bread, from about {first}",
            n, yards=yards, first=first,
        )  # fmt: skip
    return say_counted(
        "{n} of {yards} is likely to be short of bread: the first begins about {first}, the last about "
        "{last}",
        "{n} of {yards} are likely to be short of bread: the first begins about {first}, the last about "
        "{last}",
        n, yards=yards, first=first, last=last,
    )  # fmt: skip


def _row(key: str, name: str, answer: SeasonAnswer, do: str) -> CountyRow:
    advice, today = answer.advice, answer.yard.today
    again = day(advice.look_again, today) if advice.look_again else "–"
    return CountyRow(key, name, _short_words(answer), do, again)


def _short_words(answer: SeasonAnswer) -> str:
    if answer.outlook is None:
        return say("no outlook across winter")
    return short_from_words(answer.outlook.short_from, answer.yard.today, with_chance=False)


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _line(name: str, answer: SeasonAnswer, on: date) -> ShortLine:
    words, short = _short_words(answer), _short(answer)
    if short is None:
        return ShortLine(name, None, None, None, words)
    if short.now:
        return ShortLine(name, on, on, on, words)
    if short.earliest is None:
        return ShortLine(name, None, None, None, words)
    return ShortLine(name, short.earliest, short.middle, short.latest, words)


def _joined(line: YardLine, beside: Mapping[str, str]) -> str:
    """The advice of a yard, with what joins it and the yard's plan."""
    said = "" if line.answer is None else line.answer.advice.sentence
    return f"{said} {beside.get(line.id, '')}".strip()


def _do(answers: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """Each advice once, that of most yards first, with the yards it is for."""
    told: dict[str, list[str]] = {}
    for name, said in answers:
        told.setdefault(said, []).append(name)
    most = sorted(told.items(), key=lambda pair: -len(pair[1]))[:MOST_DO]
    return tuple(f"{_named(names)}: {text}" for text, names in most)


def _named(names: Sequence[str]) -> str:
    if len(names) > MOST_NAMED:
        return counted(len(names), "yard")
    return names[0] if len(names) == 1 else say("{first} and {last}", first=names[0], last=names[-1])


def _why_not(lines: Sequence[YardLine], numbered: bool) -> tuple[str, ...]:
    """Why yards have no answer: each reason once, that of most yards first, and how many more there are."""
    told: dict[str, list[YardLine]] = {}
    for one in lines:
        if one.answer is None:
            kind = COUNT_AGAIN if isinstance(one.told, CountTooOld) else _reason(one, numbered)
            told.setdefault(kind, []).append(one)
    most = sorted(told.items(), key=lambda pair: -len(pair[1]))
    said = []
    for kind, ones in most[:MOST_WHY]:
        names = [one.name for one in ones]
        yards = counted(len(names), "yard") if numbered else _named(names)
        why = _last_looks(ones) if kind == COUNT_AGAIN else kind
        said.append(say("No answer for {yards}: {why}", yards=yards, why=why))
    left = sum(len(ones) for _, ones in most[MOST_WHY:])
    if left:
        said.append(
            say_counted("And {n} yard more has no answer.", "And {n} yards more have no answer.", left)
        )
    return tuple(said)


def _reason(one: YardLine, numbered: bool) -> str:
    """What has to be mended, without the yard's name where the page is handed round without names."""
    lacks = say("count, weather or bloom lacks.")
    if one.told is None:
        return (None if numbered else one.error) or lacks
    said = str(one.told).removeprefix(f"{one.told.where}: ")
    named = re.search(rf"(?<!\w){re.escape(one.name)}(?!\w)", said) is not None
    return lacks if numbered and named else said


def _last_looks(ones: Sequence[YardLine]) -> str:
    """That counts are too old, with the day or the days of the last look."""
    days = sorted(one.told.on for one in ones if isinstance(one.told, CountTooOld))
    first, last = day_and_year(days[0]), day_and_year(days[-1])
    if first == last:
        return say("the last look into the hives was on {day}. Count again.", day=first)
    return say("the last looks into the hives were from {first} to {last}. Count again.",
               first=first, last=last)  # fmt: skip


def _not_known(answers: Sequence[SeasonAnswer]) -> tuple[str, ...]:
    said = []
    starter = Counter(one.calendar_notes[0] for one in answers if one.calendar_notes)
    said += [f"{counted(n, 'yard')}: {note}" for note, n in starter.most_common(2)]
    few = sorted(one.outlook.few_years for one in answers if one.outlook and one.outlook.few_years)
    if few:
        said.append(
            say(
                "{yards}: made from {low} to {high} years of weather; the true range is wider.",
                yards=counted(len(few), "yard"),
                low=few[0],
                high=few[-1],
            )
        )
    old = Counter(one.yard.count.on for one in answers)
    if old:
        days = (
            day_and_year(min(old))
            if len(old) == 1
            else say("{first} to {last}", first=day_and_year(min(old)), last=day_and_year(max(old)))
        )
        said.append(say("Counted on {days}; bees and bread since then are the model’s.", days=days))
    said.append(say("Left out of the model: {what}.", what=", ".join(say(one) for one in LEAVES_OUT)))
    return tuple(said)
