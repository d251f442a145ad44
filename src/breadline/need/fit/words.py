"""How a fit is said: what was believed before and after, and how well the last look was foretold."""

from __future__ import annotations

from collections.abc import Callable

from breadline.need.fit.told import FEWEST, Fitted, Foretold
from breadline.need.outlook import Band, Range
from breadline.need.words import counted, day, frames_of, half_frames, quarter_frames

BREAD = "bread in g"
MOST_FRAMES = 60  # no hive has more; widened ranges can reach beyond


def headline(told: Fitted) -> str:
    """One sentence over the picture of before and after."""
    if not told.fits:
        return "The model does not fit this yard."
    if not told.feed_known:
        return "Your counts narrow the colony, but not what the place gives: nobody wrote down what was fed."
    low, high = told.after.site.low, told.after.site.high
    if low > 1.0 or high < 1.0:
        more = "more" if low > 1.0 else "less"
        return (
            f"Your counts speak for {more} pollen here than at the usual place: "
            f"{low:.1f} to {high:.1f} times, in 8 cases of 10."
        )
    return (
        "Your counts leave open whether this place gives more or less pollen than the usual one: "
        f"{low:.1f} to {high:.1f} times."
    )


def before_after_words(told: Fitted) -> str:
    """Adults today and the site figure, before and after; 8 in 10 lie in the ranges."""
    was, now = (_bees(b.adults, told.bees_a_frame) for b in (told.before, told.after))
    many = counted(told.from_inspections + 1, "inspection")
    what = "With your inspections" if told.fits else "Widened because the model does not fit"
    return (
        f"{what}, the average colony has {now} today; by the first count alone it "
        f"would be {was}. Pollen income of the place, "
        f"against the usual one: {_site(told.after.site)}, before {_site(told.before.site)}. "
        f"{_days(told, many)}"
    )


def _days(told: Fitted, many: str) -> str:
    last = max(one.on for one in told.looked)
    return f"From the count of {day(told.dates[0])} and {many} up to {day(last)}."


def foretold_words(told: Fitted) -> str:
    """How well the last inspection was foretold from those before it, and how many of all counts were."""
    last = told.last_foretold
    before = counted(told.from_inspections, "inspection") if told.from_inspections else ""
    source = f"the count and {before} before it" if before else "the count alone"
    parts = "; ".join(_one(f, told) for f in last)
    said = f"The inspection of {day(last[0].on)} was foretold from {source}: {parts}."
    if len(told.foretold) == len(last):
        return said
    inside = sum(f.inside for f in told.foretold)
    return f"{said} Of all {len(told.foretold)} figures counted so far, {inside} fell inside; 8 in 10 should."


def effective_words(told: Fitted) -> str:
    """The effective number of draws, in plain words."""
    first = (
        f"Of {told.draws:,} draws of figures, bloom and count, about {told.effective_first:,.0f} agree with"
    )
    if not told.moved:
        return f"{first} your inspections, and the fit rests on them."
    return (
        f"{first} your inspections as they were drawn. That is too few, so draws were moved in small steps, "
        f"within the published ranges; the fit rests on about {told.effective:,.0f} different ones."
    )


def misfit_words(told: Fitted) -> str:
    """Why no sharp answer is given; empty where the model fits."""
    if told.fits:
        return ""
    if told.effective < FEWEST:
        odds = f"only {told.effective:.0f} of {told.draws:,} draws come near them"
    elif told.chance_of_misfit < 0.001:
        odds = "were the model right, fewer than 1 yard in 1,000 would be counted so far off"
    else:
        many = counted(max(1, round(1000 * told.chance_of_misfit)), "yard")
        odds = f"were the model right, about {many} in 1,000 would be counted so far off"
    return (
        f"No figures within the published ranges explain the counts of this yard "
        f"({odds}). The ranges are widened instead. Were colonies "
        "added, split, joined or lost, did some swarm, or was a count written in the wrong frames? If the "
        "yard changed, make the last inspection the count, with afresh = true."
    )


def sentences(told: Fitted) -> tuple[str, ...]:
    """Everything that is said beside the picture, in order."""
    said = (
        misfit_words(told),
        before_after_words(told),
        foretold_words(told),
        effective_words(told) if told.fits else "",
        *told.notes,
    )
    return tuple(one for one in said if one)


def before_and_after(told: Fitted) -> tuple[tuple[str, str, str], ...]:
    """The average colony today by the first count alone and with the inspections: what, before, after."""
    was, now = told.before, told.after
    bees, brood = told.bees_a_frame, told.cells_a_frame
    return (
        ("frames of bees", _frames(was.adults, bees, half_frames), _frames(now.adults, bees, half_frames)),
        (
            "frames of brood",
            _frames(was.brood, brood, quarter_frames),
            _frames(now.brood, brood, quarter_frames),
        ),
        (BREAD, _frames(was.bread_g, 1.0, _tens), _frames(now.bread_g, 1.0, _tens)),
        ("pollen of the place, times the usual", _times(was.site), _times(now.site)),
    )


def foretold_rows(told: Fitted) -> tuple[tuple[str, str, str, str], ...]:
    """Each figure of each inspection: its day and what, as foretold, as counted, and where it lies."""
    rows = []
    for f in told.foretold:
        low, high, seen, noun = _figures(f, told)
        what = BREAD if f.what == "bread" else noun
        rows.append((f"{day(f.on)}, {what}", f"{low} to {high}", seen, "inside" if f.inside else "outside"))
    return tuple(rows)


def _times(site: Range) -> str:
    return _site(site).replace(" times", "")


def _frames(band: Band, a_frame: float, say: Callable[[float], str]) -> str:
    low, middle, high = (float(v[-1]) / a_frame for v in (band.low, band.middle, band.high))
    return f"{say(middle)} ({say(low)} to {say(high)})"


def _tens(grams: float) -> str:
    return f"{round(grams, -1):,.0f}"


def _bees(adults: Band, a_frame: float) -> str:
    low, middle, high = (float(v[-1]) / a_frame for v in (adults.low, adults.middle, adults.high))
    top = half_frames(high) if high <= MOST_FRAMES else f"more than {MOST_FRAMES}"
    return f"{frames_of(middle, 'bees')} ({half_frames(low)} to {top})"


def _site(site: Range) -> str:
    return f"{site.middle:.1f} times ({site.low:.1f} to {site.high:.1f})"


def _figures(f: Foretold, told: Fitted) -> tuple[str, str, str, str]:
    """Low, high and counted as they are said, and of what."""
    if f.what == "bees":
        low, high, seen = (half_frames(v / told.bees_a_frame) for v in (f.low, f.high, f.counted))
        return low, high, seen, "frames of bees"
    if f.what == "brood":
        low, high, seen = (quarter_frames(v / told.cells_a_frame) for v in (f.low, f.high, f.counted))
        return low, high, seen, "frames of brood"
    low, high, seen = (_tens(v) for v in (f.low, f.high, f.counted))
    return low, high, seen, "g of bread"


def _one(f: Foretold, told: Fitted) -> str:
    low, high, seen, noun = _figures(f, told)
    where = "inside" if f.inside else f"outside, {f.ratio:.1f} times the middle"
    return f"{low} to {high} {noun}, {seen} counted, {where}"
