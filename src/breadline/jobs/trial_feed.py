"""The feed of a trial as it is typed: protein, real pollen, and what was put on a fed colony on which day."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

from breadline.errors import TrialError
from breadline.jobs.trial_shape import Feed
from breadline.jobs.verdict_numbers import day, number
from breadline.language import say
from breadline.plan.cuts import GRAMS_A_POUND

MOST_TIMES = 60
MOST_G = 10_000.0  # put on at once [g]
IN_G = {"g": 1.0, "kg": 1000.0, "lb": GRAMS_A_POUND, "oz": GRAMS_A_POUND / 16.0}
_PUT_ON = re.compile(r"(\S+?)[\s:,;]+([\d.,]+)\s*(g|kg|lb|oz)?", re.I)


def feed_of(protein: str, pollen: str, given: Sequence[str]) -> Feed | None:
    """The feed that was typed; None where nothing was.

    Parameters
    ----------
    protein, pollen
        Of its mass, in 100; "" where not known. Less than 1 asks whether a fraction was typed, unless a
        per cent sign stands behind it.
    given
        A day and an amount with its unit each, "2026-10-01 450 g"; kg, lb and oz are read too.

    Errors
    ------
    TrialError
        With what to mend.
    """
    lines = [line.strip() for line in given if line.strip()]
    if not (protein.strip() or pollen.strip() or lines):
        return None
    if len(lines) > MOST_TIMES:
        raise TrialError("feed put on", say("{n} days", n=len(lines)), say("at most {n:,}", n=MOST_TIMES))
    put_on = sorted(_put_on(line) for line in lines)
    return Feed(
        protein_pct=_share(protein, say("protein of the feed")),
        real_pollen_pct=_share(pollen, say("real pollen in the feed")),
        given=put_on,
    )


def _share(text: str, what: str) -> float | None:
    bare = text.strip().removesuffix("%")
    value = number(bare, what, "comma" if "," in bare else "point")
    if value is not None and 0.0 < value < 1.0 and "%" not in text:
        raise TrialError(
            what, say("{value:g} in 100 is implausible", value=value), say("per cent, such as 15"),
            say("If you typed a fraction ({typed:g}), enter per cent ({right:g}); if it is so little, write "
                "{typed:g} %", typed=value, right=100 * value),
        )  # fmt: skip
    if value is not None and not 0.0 <= value <= 100.0:
        raise TrialError(
            what, say("{value:g} in 100 cannot be", value=value), say("0 to 100, per cent of its mass")
        )
    return value


def _put_on(line: str) -> tuple[date, float]:
    found = _PUT_ON.fullmatch(line)
    on = None if found is None else day(found[1], "feed put on")
    if found is None or on is None:
        raise TrialError(
            "feed put on", say("“{line}” is not a day and an amount", line=line),
            say("such as 2026-10-01 450 g, a line a day"),
            say("Grams, kg, lb or oz of feed on one fed colony"),
        )  # fmt: skip
    if found[3] is None:
        raise TrialError(
            "feed put on", say("“{line}” has no unit", line=line), say("g, kg, lb or oz behind the amount"),
            say("Write {day} {amount} g, or whichever it was", day=found[1], amount=found[2]),
        )  # fmt: skip
    grams = number(found[2], "feed put on", "comma" if "," in found[2] else "point")
    assert grams is not None
    grams *= IN_G[found[3].lower()]
    if not 0.0 < grams <= MOST_G:
        raise TrialError(
            "feed put on", say("{n:,.0f} g on one colony", n=grams), say("above 0, to {n:,.0f} g", n=MOST_G)
        )
    return on, round(grams, 1)
