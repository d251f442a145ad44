"""One count beside the band that was foretold for it: a small mark for a line of the record."""

from __future__ import annotations

from breadline.errors import OurFault
from breadline.need.foretold import Compared
from breadline.pictures.palette import SCREEN

WIDTH, HEIGHT, MIDDLE = 190, 22, 11  # px
EDGE = 8  # px kept free at both ends, for the mark itself


def foretold_mark(row: Compared, top: float) -> str:
    """Inline SVG: the band as a bar with its middle, the count as a filled dot inside, an open one outside.

    Parameters
    ----------
    row
        The count and its band [bees] or [cells].
    top
        What the right end stands for, in the same unit; 0 is at the left. Above 0.

    Errors
    ------
    OurFault
        If the band is not in order or ``top`` is not above 0.
    """
    if not (0 <= row.low <= row.middle <= row.high and top > 0):
        raise OurFault(
            "record", f"{row.low}, {row.middle}, {row.high} is no band", "low, middle, high from 0 up"
        )

    def at(value: float) -> float:
        return round(EDGE + min(1.0, value / top) * (WIDTH - 2 * EDGE), 1)

    low, middle, high, here = (at(v) for v in (row.low, row.middle, row.high, row.counted))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="foretold" width="{WIDTH}" height="{HEIGHT}" '
        f'viewBox="0 0 {WIDTH} {HEIGHT}" fill="none" aria-hidden="true">'
        f'<path d="M{EDGE} {MIDDLE}H{WIDTH - EDGE}" stroke="{SCREEN.hair}" stroke-width="1"/>'
        f'<path d="M{EDGE} 5V17" stroke="{SCREEN.line}" stroke-width="1.2"/>'
        f'<path d="M{low} {MIDDLE}H{max(high, low + 2)}" stroke="{SCREEN.sky_pale}" stroke-width="10"/>'
        f'<path d="M{low} 6V16M{high} 6V16" stroke="{SCREEN.sky}" stroke-width="1.2"/>'
        f'<path d="M{middle} 6V16" stroke="{SCREEN.sky}" stroke-width="2"/>{_count(here, row)}</svg>'
    )


def _count(x: float, row: Compared) -> str:
    if row.place == "died":
        arms = f"M{x - 4} {MIDDLE - 4}L{x + 4} {MIDDLE + 4}M{x - 4} {MIDDLE + 4}L{x + 4} {MIDDLE - 4}"
        return f'<path d="{arms}" stroke="{SCREEN.ink}" stroke-width="2.4"/>'
    fill = SCREEN.ink if row.place == "inside" else SCREEN.paper
    return f'<circle cx="{x}" cy="{MIDDLE}" r="4.6" fill="{fill}" stroke="{SCREEN.ink}" stroke-width="2"/>'
