"""How an answer is written on a page: dates not day numbers, ranges low to high, chances in fives."""

from __future__ import annotations

import re
from datetime import date

from breadline.knowledge.figure import READ_WORDS, Read
from breadline.need.advice import Advice
from breadline.need.outlook import Outlook, ShortFrom
from breadline.need.outlook_words import short_from_words
from breadline.need.words import MONTHS, counted, day, day_and_year, short_day
from breadline.span import Span

__all__ = ["counted", "day", "day_and_year", "short_day"]

STATE_WORDS = {
    "feed": "Feed now",
    "soon": "Feed soon",
    "no_need": "No need now",
    "stop": "Stop feeding",
    "cannot_tell": "Can't tell yet",
    "something_first": "Something else first",
}
NO_WORDS = {"No": "Don't feed", "Not now": "Not now"}
_BETWEEN = re.compile(r">[^<]+")  # of a page: what stands between tags, so no address and no field
_UNIT = re.compile(
    r"(?<=\d) (?=(?:%|°[CF])|(?:kg|g|mg|t|lb|oz|L|s|kGy|bags?|buckets?|litres?|inch(?:es)?|pieces?)\b)"
)
_DATE = re.compile(rf"(\d{{1,2}}) ({'|'.join(month[:3] for month in MONTHS)})")
NUMBER_WORDS = (
    "No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve",
)  # fmt: skip


def state_words(advice: Advice) -> str:
    """The state beside the mark; never at odds with the sentence under it."""
    if advice.rung == "foulbrood":
        return "Stop: call the inspector"
    if advice.rung == "law" and advice.answer == "no_need":
        return "Not fed here"
    if advice.state == "soon" and advice.answer != "feed":
        return "Not yet"
    if advice.state == "no_need":  # a yard may be short and still not be helped by feed, or not now
        return NO_WORDS.get(advice.sentence.partition(":")[0], STATE_WORDS["no_need"])
    return STATE_WORDS[advice.state]


def read_words(read: Read) -> str:
    """How a figure was read, in words."""
    return READ_WORDS[read]


def colonies(count: int) -> str:
    """ "1 colony", "2,400 colonies"."""
    return f"{count:,} {'colony' if count == 1 else 'colonies'}"


def stop(text: str) -> str:
    """The text with a full stop, unless it has an end already."""
    text = text.strip()
    return text if not text or text.endswith((".", "?", "!")) else f"{text}."


def first_big(text: str) -> str:
    """The text with its first letter as a capital; a sign such as ω is none."""
    return text[:1].upper() + text[1:] if text[:1].isascii() else text


def number_word(count: int) -> str:
    """ "Three" up to twelve, then digits."""
    return NUMBER_WORDS[count] if count < len(NUMBER_WORDS) else str(count)


def short_from(short: ShortFrom | None, today: date) -> str:
    """The headline of a yard in a list: a range of dates, "now", or "not before"."""
    if short is None:
        return "can't tell"
    if short.now:
        return "now"
    if short.earliest is None:
        return f"not before {short_day(short.not_before, today)}"
    if short.middle is None:
        return f"perhaps from {short_day(short.earliest, today)}"
    if short.latest is None:
        return f"about {short_day(short.middle, today)}, or not at all"
    if short.earliest == short.latest:
        return f"about {short_day(short.middle, today)}"
    return f"{short_day(short.earliest, today)} to {short_day(short.latest, today)}"


def short_from_sentence(short: ShortFrom | None, today: date) -> str:
    """The same with its chance, for the top of a season, in the words of the terminal."""
    ranged = short is not None and short.middle is not None and not short.now
    holds = " The dates hold 8 seasons in 10." if ranged else ""
    return f"Short from: {short_from_words(short, today)}.{holds}"


def whole_dates(text: str) -> str:
    """The text with each date held together, so that no line ends between "10" and "February"."""
    return _DATE.sub("\\1\u00a0\\2", text)


def held_together(page: str) -> str:
    """A page with each number held to its unit, so that no line ends between "5" and "%"."""
    held = _BETWEEN.sub(lambda text: _UNIT.sub("\u00a0", text[0]), page)
    return held.replace("N × 6.25", "N\u00a0×\u00a06.25")


def season_of(outlook: Outlook) -> str:
    """ "August 2026 to February 2027"."""
    start, end = outlook.dates[0], outlook.dates[-1]
    if (start.year, start.month) == (end.year, end.month):
        return _month(start)
    return f"{_month(start)} to {_month(end)}"


def _month(on: date) -> str:
    return f"{MONTHS[on.month - 1]} {on.year}"


def number(value: float) -> str:
    """A figure without false digits: 0.55, 31.25, 2,430."""
    return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.4g}"


def span_words(span: Span) -> str:
    """A range as "31.25 (25 to 37.5)"; a constant alone."""
    if span.low == span.high:
        return number(span.typical)
    return f"{number(span.typical)} ({number(span.low)} to {number(span.high)})"
