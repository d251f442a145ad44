"""What a mix holds per 100 g, where weights and contents may each be known only as a range."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from breadline.knowledge.ingredient import Content


def mixed(weights: Sequence[Content], contents: Sequence[Content]) -> Content:
    """Content of the mix, in the unit of ``contents``, from weights [g] that vary each on its own.

    Exact: the highest mean has the richer ingredients at their most and the others at their least.
    """
    least = [(w, c.low) for w, c in zip(weights, contents, strict=True)]
    most = [(w, c.high) for w, c in zip(weights, contents, strict=True)]
    return Content(0.0 - _highest([(w, -c) for w, c in least]), _highest(most))


def _highest(parts: Iterable[tuple[Content, float]]) -> float:
    """Highest weighted mean of the second by weights that lie anywhere in the first."""
    by_content = sorted(parts, key=lambda part: -part[1])
    best = float("-inf")
    for split in range(len(by_content) + 1):
        weights = [w.high if i < split else w.low for i, (w, _) in enumerate(by_content)]
        total = sum(weights)
        if total > 0:
            held = sum(w * c for w, (_, c) in zip(weights, by_content, strict=True))
            best = max(best, held / total)
    return best
