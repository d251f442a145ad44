"""The record of foretelling in words; it says what fell where, and passes no verdict."""

from __future__ import annotations

from math import exp

from breadline.language import noted, say, say_counted
from breadline.need.coverage import FEWEST_SEASONS, Coverage
from breadline.need.foretold import FEWEST_FOR_ERROR, Compared, OwnError, Place, What
from breadline.need.words import counted, half_frames

OF = {"bees": "bees", "brood": "brood"}
PLACES: dict[Place, str] = {
    "inside": noted("inside"),
    "below": noted("below the band"),
    "above": noted("above the band"),
    "died": noted("died, outside"),
}
OWN_ERROR_OF_COUNTS = noted(
    "The band is meant for the yard's average colony. A count misses that by an error of "
    "its own, so fewer than 8 in 10 are to be expected inside even where the band is "
    "right."
)


def go_together() -> str:
    """Which counts stand for one."""
    return say(
        "Counts of one yard in one season go together and are taken as one in what chance "
        "leaves open, which is told from {n} such seasons on. Yards of one spring go "
        "together too: that leaves more open.",
        n=FEWEST_SEASONS,
    )


def coverage_sentence(held: Coverage, what: What) -> str:
    """How many counts fell inside their band, and what chance leaves open."""
    if held.of == 0:
        return say("No count of {of} has come after an outlook yet.", of=say(OF[what]))
    said = say_counted(
        "Of {counts} of {of} {inside} was inside the band",
        "Of {counts} of {of} {inside} fell inside the band",
        held.of, counts=counted(held.of, "count"), of=say(OF[what]), inside=held.inside,
    )  # fmt: skip
    said = say("{said} that should hold the average colony 8 times in 10", said=said)
    if held.too_few:
        return say("{said}: too few to tell.", said=said)
    said = say(
        "{said}; a right band would catch about {expected} of such counts",
        said=said,
        expected=round(held.expected),
    )
    if held.low is None or held.high is None:
        of = (
            say("one season of one yard")
            if held.seasons == 1
            else say("{seasons} seasons of yards", seasons=held.seasons)
        )
        return say("{said}. They are of {of}: too few to say what chance leaves open.", said=said, of=of)
    low, high = round(held.low * 100), round(held.high * 100)
    return say(
        "{said} (what it catches could be anything from {low} to {high} % by chance, in "
        "{seasons} seasons of yards).",
        said=said,
        low=low,
        high=high,
        seasons=held.seasons,
    )


def coverage_cell(held: Coverage) -> str:
    """The same for a table: "7 of 9", "28 of 36 (58 to 91 %)", "2 of 3, too few to tell"."""
    if held.of == 0:
        return say("none yet")
    said = say("{inside} of {of}", inside=held.inside, of=held.of)
    if held.too_few:
        return say("{said}, too few to tell", said=said)
    if held.low is None or held.high is None:
        return said
    return say(
        "{said} ({low} to {high}\u00a0%)", said=said, low=round(held.low * 100), high=round(held.high * 100)
    )


def own_error_sentence(own: OwnError | None, what: What) -> str:
    """The model's own error, or how many counts it wants."""
    if own is None:
        return say(
            "The model's own error for {of} is worked out from {fewest_for_error} counts on.",
            of=say(OF[what]),
            fewest_for_error=FEWEST_FOR_ERROR,
        )
    leans = say("On average they were {leans:.2f} times the middle of the band.", leans=own.leans)
    most = exp(own.most)
    if own.log_sd == 0:
        return say(
            "{n} counts of {what} scatter no more than counting itself explains; so few leave "
            "open an error of the model of up to a factor of {most:.1f}, if each stands by "
            "itself. {leans}",
            n=own.of,
            what=say(OF[what]),
            most=most,
            leans=leans,
        )
    return say(
        "{n} counts of {what} scatter by a factor of {factor:.1f} either way beyond what "
        "counting itself explains, by chance up to {most:.1f} if each stands by itself: the "
        "model's own error. {leans}",
        n=own.of,
        what=say(OF[what]),
        factor=own.factor,
        most=most,
        leans=leans,
    )


def died_sentence(died: int) -> str:
    """Counts of no bees; empty where there are none."""
    if not died:
        return ""
    return say_counted(
        "{n} count met no bees alive; it stands in the record as died, outside the band.",
        "{n} counts met no bees alive; they stand in the record as died, outside the band.", died,
    )  # fmt: skip


def amount(value: float, row: Compared, bees_a_frame: float) -> str:
    """Bees in frames to the half, by what a frame holds [bees]; brood in [cells] to the hundred."""
    if row.what == "bees":
        return half_frames(value / bees_a_frame)
    return f"{round(value, -2):,.0f}"


def band_words(row: Compared, bees_a_frame: float) -> str:
    """The band as "7½ (5 to 11)", bees by what a frame holds [bees], brood in [cells]."""
    low, middle, high = (amount(value, row, bees_a_frame) for value in (row.low, row.middle, row.high))
    return say("{typical} ({low} to {high})", typical=middle, low=low, high=high)


def of_hives(row: Compared) -> str:
    """Of how many hives a count is the mean; empty where the yard's average was told."""
    if row.hives is None:
        return ""
    said = say("mean of {hives}", hives=counted(row.hives, "hive"))
    if not row.empty:
        return said
    return say("{said}, without {empty} that had no bees", said=said, empty=row.empty)


def place_words(row: Compared) -> str:
    """Where the count lies; a count of no brood inside says why it does."""
    said = say(PLACES[row.place])
    if row.what == "brood" and row.counted == 0 and row.place == "inside":
        seen = amount(row.least, row, 1.0)
        return say(
            "{said}: none seen may be up to {seen}, and the band begins below that", said=said, seen=seen
        )
    return said


def days_before(row: Compared) -> int:
    """Days from the showing of the outlook to the count. [d]"""
    return (row.on - row.shown_on).days
