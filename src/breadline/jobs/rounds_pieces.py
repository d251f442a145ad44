"""The pieces of an answer in sentences: those tried, how long one may lie, and what lies beside the next."""

from __future__ import annotations

from breadline.jobs.rounds_answered import RoundsAnswer
from breadline.language import say
from breadline.need.words import counted
from breadline.plan.cuts import cut_words

CRUMBS = 0.1  # of a piece; less is not told of [share]


def pieces_said(told: RoundsAnswer) -> tuple[str, ...]:
    """All that is said of pieces."""
    return (piece_words(told), *lying_said(told))


def lying_said(told: RoundsAnswer) -> tuple[str, ...]:
    """How they lie: beside each other in the best plan, and how long for what reason."""
    return tuple(filter(None, (_beside_words(told), *told.allowed.said)))


def _beside_words(told: RoundsAnswer) -> str:
    """What the average colony has left when the next piece of the best plan goes on; empty where little."""
    plan = told.plans[told.best_at].plan
    if not plan.pieces:
        return ""
    left = told.allowed.clears.left_beside(plan) / max(piece.grams for piece in plan.pieces)
    if left < CRUMBS:
        return ""
    return say(
        "In the best plan the average colony still has about {pct} % of a piece, by the middle appetite, "
        "when a later one goes on, and eats them side by side; what the visit finds says how large the "
        "next is.",
        pct=int(round(100 * left, -1 if left > 0.2 else 0)),
    )


def piece_words(told: RoundsAnswer) -> str:
    """The pieces that were tried, of each feed in its own patty, and how long one may lie."""
    may, either = told.allowed, say(" or ")
    tried = [either.join(cut_words(cut, one.patty) for cut in one.pieces) for one in may.of_feeds]
    each = [f"{one.name} {pieces}" for one, pieces in zip(may.of_feeds, tried, strict=True)]
    pieces = tried[0] if len(set(tried)) == 1 else "; ".join(each)
    days = counted(may.limit.days, "day")
    return say("Pieces tried: {pieces}; each to be gone within {days}.", pieces=pieces, days=days)
