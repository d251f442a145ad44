"""The verdict on paper."""

from __future__ import annotations

from datetime import date

from breadline.jobs.verdict import Verdict
from breadline.jobs.verdict_chart import shown_of
from breadline.jobs.verdict_page import VerdictPage, page_of
from breadline.pictures.colonies_chart import colonies_chart, colonies_sentence
from breadline.pictures.lived_chart import lived_chart, lived_sentence
from breadline.sheets.letterhead import Paper
from breadline.sheets.verdict_sheet import VerdictWords, verdict_sheet


def verdict_pdf(one: Verdict, on: date, paper: Paper, whose: str = "") -> bytes:
    """The page as PDF, dated ``on``; ``whose`` is the operation."""
    page, shown, living = page_of(one, whose), shown_of(one), one.beside.lived
    words = VerdictWords(
        page.head, page.sentence, _under(page),
        tuple((cell.head, cell.big, cell.small) for cell in page.cells),
        colonies_chart(shown, "print"), colonies_sentence(shown), page.columns, page.next_season, page.foot,
        page.rest, page.items, page.beside,
        "" if living is None else lived_chart(living, "print"),
        "" if living is None else lived_sentence(living),
    )  # fmt: skip
    return verdict_sheet(words, on, paper)


def _under(page: VerdictPage) -> tuple[str, ...]:
    under = page.under[:1] if page.cells else page.under
    return (*(line for line in (page.both_lines, page.held_back, page.together) if line), *under)
