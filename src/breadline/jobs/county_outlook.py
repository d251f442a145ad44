"""Several yards' seasons on one page: from when each is short, what to do, and what nobody knows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from breadline.jobs.book import YardLine
from breadline.jobs.season import SeasonAnswer
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
FOOT = (
    "Lines hold 8 seasons in 10; square: the middle; dashed: in some seasons not at all. Label, inspector "
    "and veterinarian come first; your local adviser knows local dates better than any program."
)
MOST_NAMED = 2  # yards by name before what to do; more are counted
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
    span
        First and last day of the picture.
    """

    sentence: str
    rows: tuple[CountyRow, ...]
    lines: tuple[ShortLine, ...]
    do: tuple[str, ...]
    not_known: tuple[str, ...]
    span: tuple[date, date]
    on: date

    def chart(self, size: Size) -> str:
        """The picture, as SVG text; "" without a yard."""
        return _chart(self.lines, self.span, size, told_to()) if self.lines else ""


@lru_cache(maxsize=12)
def _chart(lines: tuple[ShortLine, ...], span: tuple[date, date], size: Size, _: tuple[str, Measures]) -> str:
    """Drawn once for what it shows and to whom it is said: drawing takes longest of all."""
    return short_from_chart(lines, span, size)


def county(lines: Sequence[YardLine], on: date, do: Do, numbered: bool = False) -> County:
    """The outlook of several yards, the earliest short first.

    Parameters
    ----------
    do
        What to do in a yard, in a few words.
    numbered
        Whether yards go by a number, so that the page can be handed round.
    """
    told = [one for one in lines if one.answer is not None]
    told.sort(key=lambda one: _when(one.answer, on))
    names = {one.id: f"Yard {n}" if numbered else one.name for n, one in enumerate(told, 1)}
    answers = [(names[one.id], one.answer) for one in told if one.answer is not None]
    ends = [short.latest or short.earliest for _, one in answers if (short := _short(one)) and short.earliest]
    last = max([on + timedelta(days=SPAN_DAYS), *(end for end in ends if end is not None)])
    return County(
        sentence=_sentence([one for _, one in answers], len(lines), on),
        rows=tuple(_row(one.id, names[one.id], one.answer, do(one.answer)) for one in told if one.answer),
        lines=tuple(_line(f"{name}: {_small(do(one))}", one, on) for name, one in answers),
        do=_do(answers),
        not_known=_not_known([one for _, one in answers], len(lines) - len(told)),
        span=(on, last),
        on=on,
    )  # fmt: skip


def county_outlook_sheet(of: County, whose: str, paper: Paper) -> bytes:
    """The same on one page of paper."""
    page = ReportPage(
        head=" · ".join(part for part in (whose, "Outlook", day_and_year(of.on)) if part),
        title=of.sentence,
        under=(),
        picture=of.chart("print"),
        shows=short_from_sentence(of.lines),
        heads=("Yard", "Short from", "What to do", "Look again"),
        rows=tuple((row.name, row.short, row.do, row.again) for row in of.rows if len(of.rows) <= MOST_ROWS),
        columns=(("What to do", of.do), ("What is not known", of.not_known)),
        boxed=("", ""),
        foot=FOOT,
    )
    return report_sheet("County outlook", [page], of.on, paper)


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
        return "None of the yards can be answered for yet."
    shorts = [short for one in answers if (short := _short(one)) is not None]
    now = sum(short.now for short in shorts)
    later = sorted(short.middle for short in shorts if short.middle is not None and not short.now)
    of = f"of {counted(many, 'yard')}"
    parts = [f"{now} {of} {_are(now)} short of bread now"] if now else []
    if later:
        first, last = day(later[0], today), day(later[-1], today)
        begin = f": the first begins about {first}, the last about {last}"
        days = f", from about {first}" if later[0] == later[-1] else begin
        which = "to be" if now else "to be short of bread"
        parts.append(f"{len(later)} {'more' if now else of} {_are(len(later))} likely {which}{days}")
    if not parts:
        may = sum(short.earliest is not None for short in shorts)
        perhaps = f"; {may} may, in fewer than half of the seasons" if may else ""
        return f"None {of} is likely to run short of bread in the season ahead{perhaps}."
    return f"{'; '.join(parts)}."


def _are(count: int) -> str:
    return "is" if count == 1 else "are"


def _row(key: str, name: str, answer: SeasonAnswer, do: str) -> CountyRow:
    advice, today = answer.advice, answer.yard.today
    again = day(advice.look_again, today) if advice.look_again else "–"
    return CountyRow(key, name, _short_words(answer), do, again)


def _short_words(answer: SeasonAnswer) -> str:
    if answer.outlook is None:
        return "no outlook across winter"
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


def _do(answers: Sequence[tuple[str, SeasonAnswer]]) -> tuple[str, ...]:
    """Each advice once, that of most yards first, with the yards it is for."""
    told: dict[str, list[str]] = {}
    for name, one in answers:
        told.setdefault(one.advice.sentence, []).append(name)
    most = sorted(told.items(), key=lambda pair: -len(pair[1]))[:MOST_DO]
    return tuple(f"{_named(names)}: {text}" for text, names in most)


def _named(names: Sequence[str]) -> str:
    return counted(len(names), "yard") if len(names) > MOST_NAMED else " and ".join(names)


def _not_known(answers: Sequence[SeasonAnswer], without: int) -> tuple[str, ...]:
    have = "has" if without == 1 else "have"
    said = [f"{counted(without, 'yard')} {have} no answer: count, weather or bloom lacks."] if without else []
    starter = Counter(note for one in answers for note in one.calendar_notes if "starter calendar" in note)
    said += [f"{counted(n, 'yard')}: {note}" for note, n in starter.most_common(2)]
    few = sorted(one.outlook.few_years for one in answers if one.outlook and one.outlook.few_years)
    if few:
        said.append(
            f"{counted(len(few), 'yard')}: made from {few[0]} to {few[-1]} years of weather; the true range "
            "is wider."
        )
    old = Counter(one.yard.count.on for one in answers)
    if old:
        days = (
            day_and_year(min(old))
            if len(old) == 1
            else f"{day_and_year(min(old))} to {day_and_year(max(old))}"
        )
        said.append(f"Counted on {days}; bees and bread since then are the model’s.")
    said.append(f"Left out of the model: {', '.join(LEAVES_OUT)}.")
    return tuple(said)
