"""The record of foretelling in words; it says what fell where, and passes no verdict."""

from __future__ import annotations

from math import exp

from breadline.need.coverage import FEWEST_SEASONS, Coverage
from breadline.need.foretold import FEWEST_FOR_ERROR, Compared, OwnError, Place, What
from breadline.need.words import counted, half_frames

OF = {"bees": "bees", "brood": "brood"}
PLACES: dict[Place, str] = {
    "inside": "inside",
    "below": "below the band",
    "above": "above the band",
    "died": "died, outside",
}
OWN_ERROR_OF_COUNTS = (
    "The band is meant for the yard's average colony. A count misses that by an error of its own, so fewer "
    "than 8 in 10 are to be expected inside even where the band is right."
)
GO_TOGETHER = (
    "Counts of one yard in one season go together and are taken as one in what chance leaves open, which is "
    f"told from {FEWEST_SEASONS} such seasons on. Yards of one spring go together too: that leaves more open."
)


def coverage_sentence(held: Coverage, what: What) -> str:
    """How many counts fell inside their band, and what chance leaves open."""
    if held.of == 0:
        return f"No count of {OF[what]} has come after an outlook yet."
    fell = "fell" if held.of > 1 else "was"
    said = f"Of {counted(held.of, 'count')} of {OF[what]} {held.inside} {fell} inside the band"
    said = f"{said} that should hold the average colony 8 times in 10"
    if held.too_few:
        return f"{said}: too few to tell."
    said = f"{said}; a right band would catch about {round(held.expected)} of such counts"
    if held.low is None or held.high is None:
        of = "one season of one yard" if held.seasons == 1 else f"{held.seasons} seasons of yards"
        return f"{said}. They are of {of}: too few to say what chance leaves open."
    low, high = round(held.low * 100), round(held.high * 100)
    return (
        f"{said} (what it catches could be anything from {low} to {high}\u00a0% by chance, "
        f"in {held.seasons} seasons of yards)."
    )


def coverage_cell(held: Coverage) -> str:
    """The same for a table: "7 of 9", "28 of 36 (58 to 91 %)", "2 of 3, too few to tell"."""
    if held.of == 0:
        return "none yet"
    said = f"{held.inside} of {held.of}"
    if held.too_few:
        return f"{said}, too few to tell"
    if held.low is None or held.high is None:
        return said
    return f"{said} ({round(held.low * 100)} to {round(held.high * 100)}\u00a0%)"


def own_error_sentence(own: OwnError | None, what: What) -> str:
    """The model's own error, or how many counts it wants."""
    if own is None:
        return f"The model's own error for {OF[what]} is worked out from {FEWEST_FOR_ERROR} counts on."
    leans = f"On average they were {own.leans:.2f} times the middle of the band."
    most = exp(own.most)
    if own.log_sd == 0:
        return (
            f"{own.of} counts of {OF[what]} scatter no more than counting itself explains; so few leave open "
            f"an error of the model of up to a factor of {most:.1f}, if each stands by itself. {leans}"
        )
    return (
        f"{own.of} counts of {OF[what]} scatter by a factor of {own.factor:.1f} either way beyond what "
        f"counting itself explains, by chance up to {most:.1f} if each stands by itself: the model's own "
        f"error. {leans}"
    )


def died_sentence(died: int) -> str:
    """Counts of no bees; empty where there are none."""
    if not died:
        return ""
    found, stand = ("count", "it stands") if died == 1 else ("counts", "they stand")
    return f"{died} {found} met no bees alive; {stand} in the record as died, outside the band."


def amount(value: float, row: Compared, bees_a_frame: float) -> str:
    """Bees in frames to the half, by what a frame holds [bees]; brood in [cells] to the hundred."""
    if row.what == "bees":
        return half_frames(value / bees_a_frame)
    return f"{round(value, -2):,.0f}"


def band_words(row: Compared, bees_a_frame: float) -> str:
    """The band as "7½ (5 to 11)", bees by what a frame holds [bees], brood in [cells]."""
    low, middle, high = (amount(value, row, bees_a_frame) for value in (row.low, row.middle, row.high))
    return f"{middle} ({low} to {high})"


def days_before(row: Compared) -> int:
    """Days from the showing of the outlook to the count. [d]"""
    return (row.on - row.shown_on).days
