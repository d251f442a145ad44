"""How an answer is written on a page: dates not day numbers, ranges low to high, chances in fives."""

from __future__ import annotations

import re
from datetime import date

from breadline.knowledge.figure import READ_WORDS, Read
from breadline.language import language, noted, noted_as, say, say_as
from breadline.need.advice import Advice
from breadline.need.outlook import Outlook, ShortFrom
from breadline.need.outlook_words import short_from_words
from breadline.need.words import MONTHS, counted, day, day_and_year, short_day
from breadline.span import Span

__all__ = ["counted", "day", "day_and_year", "short_day"]

STATE_WORDS = {
    "feed": noted("Feed now"),
    "soon": noted("Feed soon"),
    "no_need": noted("No need now"),
    "stop": noted("Stop feeding"),
    "cannot_tell": noted("Can't tell yet"),
    "something_first": noted("Something else first"),
}
NO_WORDS = {noted("No"): noted("Don't feed"), noted("Not now"): noted("Not now")}
_BETWEEN = re.compile(r">[^<]+")  # of a page: what stands between tags, so no address and no field
_SHOWN = re.compile(r"<(textarea|script|style)\b.*?</\1>|>[^<]+", re.DOTALL)  # the latter alone is shown
_PER_CENT = re.compile(r"(?<=[\d>]) (?=%)")
_UNIT = re.compile(
    r"(?<=\d) (?=(?:%|°[CF])|(?:kg|g|mg|t|lb|oz|L|s|kGy|bags?|buckets?|litres?|inch(?:es)?|pieces?)\b)"
)
_DATE = re.compile(rf"(\d{{1,2}}) ({'|'.join(month[:3] for month in MONTHS)})")
_DATE_ES = re.compile(r"(\d{1,2}) (de) (?=[a-z]{4})")
NUMBER_WORDS = (
    noted_as("count", "No"), noted_as("count", "One"), noted_as("count", "Two"), noted_as("count", "Three"),
    noted_as("count", "Four"), noted_as("count", "Five"), noted_as("count", "Six"),
    noted_as("count", "Seven"),
    noted_as("count", "Eight"), noted_as("count", "Nine"), noted_as("count", "Ten"),
    noted_as("count", "Eleven"), noted_as("count", "Twelve"),
)  # fmt: skip


def state_words(advice: Advice) -> str:
    """The state beside the mark; never at odds with the sentence under it."""
    if advice.rung == "foulbrood":
        return say("Stop: call the inspector")
    if advice.rung == "law" and advice.answer == "no_need":
        return say("Not fed here")
    if advice.state == "soon" and advice.answer != "feed":
        return say("Not yet")
    if advice.state == "no_need":  # a yard may be short and still not be helped by feed, or not now
        begins = {say(words): said for words, said in NO_WORDS.items()}
        return say(begins.get(advice.sentence.partition(":")[0], STATE_WORDS["no_need"]))
    return say(STATE_WORDS[advice.state])


def read_words(read: Read) -> str:
    """How a figure was read, in words."""
    return say(READ_WORDS[read])


def colonies(count: int) -> str:
    """ "1 colony", "2,400 colonies"."""
    return counted(count, "colony", "colonies")


def stop(text: str) -> str:
    """The text with a full stop, unless it has an end already."""
    text = text.strip()
    return text if not text or text.endswith((".", "?", "!", "…")) else f"{text}."


FILE = re.compile(r"[^\s.]+\.[a-z]{2,5}\b")  # weather.csv


def first_big(text: str) -> str:
    """The text with its first letter as a capital; a sign such as ω is none, and a file keeps its name."""
    if FILE.match(text):
        return text
    return text[:1].upper() + text[1:] if text[:1].isascii() or text[:1] in "áéíóúñ" else text


def number_word(count: int) -> str:
    """ "Three" up to twelve, then digits."""
    return say_as("count", NUMBER_WORDS[count]) if count < len(NUMBER_WORDS) else str(count)


def short_from(short: ShortFrom | None, today: date) -> str:
    """The headline of a yard in a list: a range of dates, "now", or "not before"."""
    if short is None:
        return say("can't tell")
    if short.now:
        return say("now")
    if short.earliest is None:
        return say("not before {day}", day=short_day(short.not_before, today))
    if short.middle is None:
        return say("perhaps from {day}", day=short_day(short.earliest, today))
    if short.latest is None:
        return say("about {day}, or not at all", day=short_day(short.middle, today))
    if short.earliest == short.latest:
        return say("about {day}", day=short_day(short.middle, today))
    ends = short_day(short.earliest, today), short_day(short.latest, today)
    return say("between {start} and {end}", start=ends[0], end=ends[1])


def short_from_sentence(short: ShortFrom | None, today: date) -> str:
    """The same with its chance, for the top of a season, in the words of the terminal."""
    ranged = short is not None and short.middle is not None and not short.now
    if ranged:
        words = short_from_words(short, today)
        return say("Short from: {when}. The dates hold 8 seasons in 10.", when=words)
    return say("Short from: {when}.", when=short_from_words(short, today))


def whole_dates(text: str) -> str:
    """The text with each date held together, so that no line ends between "10" and "February"."""
    if language() == "es":
        return _DATE_ES.sub("\\1\u00a0\\2\u00a0", text)
    return _DATE.sub("\\1\u00a0\\2", text)


def held_per_cent(page: str) -> str:
    """A page with each number held to its "%", so that no line ends between them; what is typed stays."""
    return _SHOWN.sub(lambda text: _PER_CENT.sub("\u00a0", text[0]) if text[0][0] == ">" else text[0], page)


def held_together(page: str) -> str:
    """A page with each number held to its unit, so that no line ends between "5" and "%"."""
    held = _BETWEEN.sub(lambda text: _UNIT.sub("\u00a0", text[0]), page)
    return held.replace("N × 6.25", "N\u00a0×\u00a06.25")


def season_of(outlook: Outlook) -> str:
    """ "August 2026 to February 2027"."""
    start, end = outlook.dates[0], outlook.dates[-1]
    if (start.year, start.month) == (end.year, end.month):
        return _month(start)
    return say_as("months", "{start} to {end}", start=_month(start), end=_month(end))


def _month(on: date) -> str:
    return say_as("month", "{month} {year}", month=say(MONTHS[on.month - 1]), year=on.year)


def number(value: float) -> str:
    """A figure without false digits: 0.55, −31.25, 2,430."""
    return (f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.4g}").replace("-", "−")


def span_words(span: Span) -> str:
    """A range as "31.25 (25 to 37.5)"; a constant alone."""
    if span.low == span.high:
        return number(span.typical)
    ends = number(span.low), number(span.high)
    return say("{typical} ({low} to {high})", typical=number(span.typical), low=ends[0], high=ends[1])
