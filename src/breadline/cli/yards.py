"""``breadline yards``: one line a yard."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rich.console import Console
from rich.table import Table

from breadline import language
from breadline.cli.book_typed import refuse_missing
from breadline.cli.printed import Paper, first_season, say, shown, told
from breadline.errors import YardError
from breadline.jobs.beside_plan import beside_advices
from breadline.jobs.book import Book, YardLine
from breadline.jobs.next_rounds import Coming, next_rounds
from breadline.jobs.yard_file import read_yard
from breadline.language import say as worded
from breadline.measures import Units, units_of
from breadline.need.forecast import LEAVES_OUT
from breadline.need.outlook_words import short_from_words
from breadline.records.address import BookAt, typed

HEAD_YARD, HEAD_SHORT = language.noted("yard"), language.noted("short from")
HEAD_DO = language.noted("what to do")
NARROW = 72  # letters a line below which three columns cannot be read


@dataclass(frozen=True)
class Adding:
    """A yard to put into the book, with its weather."""

    yard: Path | None
    weather: Path | None


def run(path: BookAt, adding: Adding, today: date | None, as_json: bool) -> None:
    """Add a yard where one is given, then list them all."""
    lines, day = _listed(path, adding, today)
    advice = {line.id: line.answer.advice for line in lines if line.answer is not None}
    beside = beside_advices(path, day, advice)
    coming = next_rounds(path, day)
    rounds = {line.id: coming[line.id].words(_units(line)) for line in lines if line.id in coming}
    if as_json:
        yards = [
            _plain(line) | {"beside": beside.get(line.id, ""),
                            "round": _round(coming.get(line.id), rounds.get(line.id))}
            for line in lines
        ]  # fmt: skip
        shown({"shape": "breadline.yards/1", "yards": yards, "leaves_out": list(LEAVES_OUT)})
    elif not lines:
        adds = f"breadline yards {typed(path)} --add YARD.toml --weather FILE adds one."
        say(worded("No yard in {path} yet.", path=path), adds)
    else:
        _print(lines, {line.id: _joined(beside.get(line.id, ""), rounds.get(line.id, "")) for line in lines})


def _listed(path: BookAt, adding: Adding, today: date | None) -> tuple[list[YardLine], date]:
    """Every yard with its answer, the one that is added too, and the day of the answers."""
    if adding.weather is not None and adding.yard is None:
        raise YardError("--weather", worded("goes with a yard"), worded("--add YARD.toml --weather FILE"))
    if adding.yard is None:
        refuse_missing(path, f"breadline yards {typed(path)} --add YARD.toml --weather FILE")
    book = Book(path, today)
    if adding.yard is not None:
        book.add_yard(read_yard(adding.yard), adding.weather)
    with Console(stderr=True).status(worded("Working out each yard {why} …", why=first_season())):
        return book.yards(), book.today


def _print(lines: list[YardLine], beside: Mapping[str, str]) -> None:
    """A table, or on a narrow terminal each yard under the other."""
    paper = Paper()
    if paper.letters >= NARROW:
        paper.print(_table(lines, beside), soft_wrap=False)
    else:
        for line in lines:
            short = language.say("short from: {day}", day=_short(line))
            told([("bold", f"{line.name} ({line.colonies})"), ("", f"  {short}")])
            told([("", f"  {_do(line, beside)}")])
    told([("dim", language.say("Left out: {what}.", what=", ".join(map(language.say, LEAVES_OUT))))])


def _units(line: YardLine) -> Units:
    return units_of(None if line.answer is None else line.answer.yard.place.country)


def _joined(beside: str, round_: str) -> str:
    """What joins the advice, and the next round with one that is due."""
    told = worded("Round: {what}.", what=round_) if round_ else ""
    return f"{beside} {told}".strip()


def _round(coming: Coming | None, words: str | None) -> dict[str, object] | None:
    """The rounds of a plan for other programs; null where none is left to give."""
    if coming is None:
        return None
    due, ahead = coming.due, coming.next
    return {
        "words": words,
        "next": None if ahead is None else {"on": ahead[0].isoformat(), "grams": round(ahead[1], 1)},
        "due": None if due is None else {
            "on": due.on.isoformat(), "grams": round(due.grams, 1), "hives": due.hives,
            "of_hives": due.fed or None,
        },
        "not_written_down": None if coming.missed is None else coming.missed.on.isoformat(),
    }  # fmt: skip


def _table(lines: list[YardLine], beside: Mapping[str, str]) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold")
    for head in map(language.say, (HEAD_YARD, HEAD_SHORT, HEAD_DO)):
        table.add_column(head, overflow="fold")
    for line in lines:
        table.add_row(f"{line.name} ({line.colonies})", _short(line), _do(line, beside))
    return table


def _short(line: YardLine) -> str:
    short = line.answer.outlook.short_from if line.answer and line.answer.outlook else None
    if line.answer is None or short is None:
        return language.say("can't tell")
    return short_from_words(short, line.answer.yard.today, with_chance=False)


def _do(line: YardLine, beside: Mapping[str, str]) -> str:
    """The advice, with what joins it and a plan that feeds nothing, or not yet."""
    if line.answer is None:
        return line.error or ""
    return f"{line.answer.advice.sentence} {beside.get(line.id, '')}".strip()


def _plain(line: YardLine) -> dict[str, object]:
    answer = line.answer
    return {
        "id": line.id,
        "name": line.name,
        "colonies": line.colonies,
        "short_from": _short(line),
        "answer": answer.advice.answer if answer else None,
        "sentence": answer.advice.sentence if answer else None,
        "error": line.error,
    }
