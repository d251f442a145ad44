"""What a plan brings over doing nothing: a bar from low to high, a dot for the mean, a line at nought."""

from __future__ import annotations

from breadline.pictures.palette import SCREEN

WIDE, HIGH, EDGE = 190, 22, 6


def gain_mark(low: float, mean: float, high: float, ends: tuple[float, float]) -> str:
    """The mark as SVG, on a scale that all plans of a table share.

    Parameters
    ----------
    low, mean, high
        10th percentile, mean and 90th percentile. [money/colony]
    ends
        The scale's ends, nought among them. [money/colony]
    """
    first, last = ends
    wide = max(last - first, 1e-9)

    def at(value: float) -> float:
        return EDGE + (WIDE - 2 * EDGE) * (min(max(value, first), last) - first) / wide

    nought, y = at(0.0), HIGH / 2
    return (
        f'<svg class="gain" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" width="{WIDE}" '
        f'height="{HIGH}" aria-hidden="true" focusable="false">'
        f'<path d="M{nought:.1f} 1V{HIGH - 1}" stroke="{SCREEN.ink}" stroke-width="1.5"/>'
        f'<path d="M{at(low):.1f} {y}H{at(high):.1f}" stroke="{SCREEN.crumb}" stroke-width="8"/>'
        f'<circle cx="{at(mean):.1f}" cy="{y}" r="4.5" fill="{SCREEN.crust}"/></svg>'
    )


def common_ends(ranges: list[tuple[float, float]]) -> tuple[float, float]:
    """The scale that holds all ranges and nought. [money/colony]"""
    low = min([0.0, *(first for first, _ in ranges)])
    return low, max([0.0, *(last for _, last in ranges)])
