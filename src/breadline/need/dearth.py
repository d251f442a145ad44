"""A pollen dearth in an outlook: where frames stop when the season model fails its check for one."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from breadline.belief.gain import likely_gain
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.missed_checks import missed_words
from breadline.need.outlook import FramesEnd
from breadline.need.shortfall import WINDOW, Ledger
from breadline.need.weeks import ahead, sums
from breadline.span import FloatArray

HALF = 0.5  # of the seasons, as where a spell of shortage is told


def frames_end(book: Ledger, need_g: FloatArray, start: date, reader: Reader) -> FramesEnd | None:
    """Where frames stop before the outlook does; None where they need not.

    Parameters
    ----------
    book
        Of the days from ``start`` on.
    need_g
        Shape (days, members). [g/d]
    start
        First day of the outlook.
    reader
        Its checks say whether the season model is trusted in a dearth.
    """
    if reader.checks.trusts("dearth"):
        return None
    begins = dearth_begins(book, need_g, reader.typical("dearth.most_income_share"))
    if begins is None:
        return None
    return FramesEnd(
        on=start + timedelta(days=max(begins - 1, 0)),  # the count itself is no forecast
        because=say(
            "a pollen dearth begins, and {missed_words}", missed_words=missed_words("dearth", reader.checks)
        ),
        instead=(likely_gain("dearth", reader).sentence,),
    )


def dearth_begins(book: Ledger, need_g: FloatArray, most_income_share: float) -> int | None:
    """The first day on which half of the seasons or more are in a dearth; None where there is none. [d]

    A season is in a dearth on a day from which the week is short, bread spent and need uncovered
    (``Ledger.short``), and next to no pollen comes in: no more of the week's need than
    ``most_income_share`` [share]. ``need_g`` has shape (days, members) [g/d].
    """
    first, end = ahead(need_g.shape[0], WINDOW)
    weeks = zip(sums(book.income_g, first, end), sums(need_g, first, end), strict=True)
    for t, (income, need) in enumerate(weeks):
        bare = book.short[t] & (income <= most_income_share * need)
        if float(np.mean(bare)) >= HALF:
            return t
    return None
