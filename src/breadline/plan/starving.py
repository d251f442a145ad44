"""Colonies that run out of stores on the way: they are lost, in money and in chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from breadline.language import say
from breadline.need.season_tree import Ends, Watch
from breadline.plan.plans import Plan
from breadline.span import FloatArray

TRACE_G = 1e-6  # a colony that draws on nothing still has a logarithm [g]


@dataclass(frozen=True)
class Stores:
    """How stores lie between colonies, and whether sugar is given with the rounds."""

    log_sd: float  # between colonies of a yard [log]
    sugar_beside: bool = False
    reckoned: bool = True  # not across a winter or a dearth that the season model may not foretell


def starved(plans: Sequence[Plan], ends: Ends, watch: Watch, stores: Stores, last: int) -> FloatArray:
    """Share of the colonies whose stores are spent by the last day, of each plan and season. [share]

    Parameters
    ----------
    plans, ends
        What was walked; shape (plans, members).
    watch
        With the stores of the average colony; where they are not known nobody starves.
    stores
        Colonies lie about the average as a lognormal. Where sugar is given with the rounds, only who is
        bare before the first of them starves; unfed colonies get their sugar today.
    last
        Last day of the ensemble. [d]

    Returns
    -------
    FloatArray
        Shape (plans, members). [share]
    """
    if not stores.reckoned:
        return np.zeros(ends.drawn_g.shape)
    if stores.sugar_beside:
        return np.asarray(bare_before_sugar(plans, ends.bare_on, last), dtype=np.float64)
    s = stores.log_sd
    drawn = np.log(np.maximum(ends.drawn_g, TRACE_G) / watch.honey_g)
    return np.asarray(ndtr((drawn + s * s / 2.0) / s))


def bare_before_sugar(plans: Sequence[Plan], bare_on: FloatArray, last: int) -> np.ndarray:
    """Whether the average colony is bare before the round that brings sugar; (plans, members), days in [d].

    Where no round is given sugar comes today.
    """
    first = np.array([min(last + 1, plan.start) if plan.start is not None else 0 for plan in plans])
    return np.asarray(bare_on < first[:, None])


def losses_words(
    by_keeper: bool,
    losses: float,
    unfed: float,
    fed: float | None,
    kept: float | None = None,
    learnt: bool = False,
) -> str:
    """What is lost until the date, as it is told; [share] of the colonies, ``fed`` None for no plan.

    ``kept`` is what lives under the best plan for one colony that lives unfed [ratio]; ``learnt``
    whether own check groups have moved what is believed of that.
    """
    said = say(
        "{n} colonies are taken to die before the date unfed ({of}){fed}.",
        n=_hundred(losses),
        of=say("as you entered") if by_keeper else say("our figure; enter your own"),
        fed=_fed(losses, kept, learnt),
    )
    if unfed < 0.005 and (fed is None or fed < 0.005):
        return said
    if fed is None:
        more = say("Of the others {n} starve unfed: they are lost in money and in chance.", n=_hundred(unfed))
    else:
        more = say(
            "Of the others {n} starve unfed, {fed} under the best plan: they are lost in money and "
            "in chance.",
            n=_hundred(unfed),
            fed=_hundred(fed),
        )
    return f"{said} {more}"


def _fed(losses: float, kept: float | None, learnt: bool) -> str:
    """What is believed of feeding and survival, where there is a plan; [share] and [ratio]."""
    if kept is None:
        return ""
    lost = round(100 * (1.0 - (1.0 - losses) * kept))
    many = say("as many") if lost == round(100 * losses) else say("{lost} in 100", lost=lost)
    whose = say("our judgement, with what your own check groups taught") if learnt else say("our judgement")
    return say(
        ", {many} under the best plan by what is believed of feeding and survival ({whose})",
        many=many,
        whose=whose,
    )


def _hundred(share: float) -> str:
    return say("{share} in 100", share=round(100 * share))
