"""The size of a check group as a document for other programs."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from math import isfinite
from typing import Any

from breadline.jobs.check_group_handed import handed, yards_of
from breadline.jobs.check_group_size import SizeAnswer
from breadline.jobs.check_group_size_rests import rests_on
from breadline.jobs.check_group_size_told import beside_words, break_even_words, proposal_words
from breadline.jobs.season import figures_document
from breadline.trial.design import Outcome
from breadline.trial.planner import SizeRow
from breadline.trial.proposal import Sized

SHAPE = "breadline.check_group_size/1"


def size_document(answer: SizeAnswer, offer: Sequence[str] = (), draw: str = "") -> dict[str, Any]:
    """The answer for other programs."""
    asked, questions, stakes = answer.asked, answer.questions, answer.stakes
    low, high = answer.proposal.between
    return {
        "shape": SHAPE,
        "sentence": proposal_words(answer),
        "offer": list(offer),
        "draw": {"command": draw, "fields": handed(answer), "yards": list(yards_of(answer))},
        "break_even_sentence": break_even_words(answer),
        "beside": list(beside_words(answer)),
        "outcome": asked.outcome.value,
        "unit": "kg" if asked.outcome is Outcome.HONEY else "frames",
        "drawn": asked.unit.value,
        "check_arm": asked.check_arm.value,
        "money": asked.money,
        "cost": _cents(stakes.cost),
        "break_even": _r(questions.lines.break_even),
        "margin": _r(questions.lines.margin),
        "believed": {"mean": _r(stakes.belief.mean), "sd": _r(stakes.belief.sd),
                     "between_seasons": _r(stakes.belief.between), "from": answer.believed_by},
        "proposed": answer.proposal.best,
        "worth_it": answer.proposal.worth_it,
        "as_good": {"fewest": low, "most": high},
        "sizes": [
            _sized(one) | {"as_sharp_at_other_rate": many, "told_from_0_if": _ends(band)}
            for one, many, band in zip_longest(answer.proposal.sizes, answer.as_sharp, answer.told_if)
        ],
        "refused": [{"unfed": n, "why": why} for n, why in answer.proposal.refused],
        "spread": {"log_sd": _r(answer.spread.log_sd), "baseline_r": _r(answer.spread.baseline_r),
                   "yard_icc": _r(answer.spread.icc), "reader_log_sd": _r(answer.spread.reader_log_sd),
                   "from": list(answer.spread.told_by),
                   "log_sd_ends": [_r(end) for end in answer.spread.log_sd_ends]},
        "unfed": {"alive": _r(answer.unfed.alive), "dead": _r(answer.unfed.dead),
                  "missing": _r(asked.missing)},
        "ahead": {"colonies": stakes.ahead.colonies, "seasons": stakes.ahead.seasons,
                  "discount": _r(stakes.ahead.discount)},
        "rests_on": rests_on(answer),
        "figures": figures_document(answer.figures),
    }  # fmt: skip


def _ends(band: tuple[float, float]) -> list[float | None]:
    return [_r(told) if isfinite(told) else None for told in band]


def _sized(at: Sized) -> dict[str, Any]:
    row: SizeRow = at.row
    return {
        "unfed": row.check,
        "fed": row.fed,
        "in_yards": list(row.in_yards),
        "colonies": list(at.colonies),
        "graded_before": at.before,
        "se": _r(row.precision.se),
        "df": _r(row.precision.df),
        "paid": {"at_0": _r(row.paid.at_zero), "at_break_even": _r(row.paid.at_break_even),
                 "at_twice": _r(row.paid.at_twice), "at_believed": _r(row.paid.at_believed)},
        "classes_at_believed": {c.value: _r(p) for c, p in row.classes.items()},
        "told_from_0": _r(row.from_zero) if isfinite(row.from_zero) else None,
        "told_from_break_even": _r(row.from_break_even) if isfinite(row.from_break_even) else None,
        "smallest_p": row.smallest_p,
        "answer": _cents(at.answer),
        "costs": {"grading": _cents(at.cost.grading), "unfed": _cents(at.cost.unfed),
                  "fed": _cents(at.cost.fed), "total": _cents(at.cost.total)},
        "net": _cents(at.net),
    }  # fmt: skip


def _r(value: float) -> float:
    return round(value, 4) + 0.0


def _cents(value: float) -> float:
    return round(value, 2) + 0.0
