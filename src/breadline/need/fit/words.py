"""How a fit is said: what was believed before and after, and how well the last look was foretold."""

from __future__ import annotations

from collections.abc import Callable

from breadline.language import noted, say, say_as
from breadline.need.fit.told import FEWEST, Fitted, Foretold
from breadline.need.outlook import Band, Range
from breadline.need.words import counted, day, frames_of, half_frames, quarter_frames

BREAD = noted("bread in g")
MOST_FRAMES = 60  # no hive has more; widened ranges can reach beyond


def headline(told: Fitted) -> str:
    """One sentence over the picture of before and after."""
    if not told.fits:
        return say("The model does not fit this yard.")
    if not told.feed_known:
        return say(
            "Your counts narrow the colony, but not what the place gives: nobody wrote down what was fed."
        )
    low, high = told.after.site.low, told.after.site.high
    if low > 1.0 or high < 1.0:
        more = say_as("pollen", "more") if low > 1.0 else say_as("pollen", "less")
        return say(
            "Your counts speak for {more} pollen here than at the usual place: {low:.1f} to "
            "{high:.1f} times, in 8 cases of 10.",
            more=more,
            low=low,
            high=high,
        )
    return say(
        "Your counts leave open whether this place gives more or less pollen than the usual "
        "one: {low:.1f} to {high:.1f} times.",
        low=low,
        high=high,
    )


def before_after_words(told: Fitted) -> str:
    """Adults today and the site figure, before and after; 8 in 10 lie in the ranges."""
    was, now = (_bees(b.adults, told.bees_a_frame) for b in (told.before, told.after))
    many = counted(told.from_inspections + 1, "inspection")
    what = say("With your inspections") if told.fits else say("Widened because the model does not fit")
    return say(
        "{what}, the average colony has {now} today; by the first count alone it would be "
        "{was}. Pollen income of the place, against the usual one: {site}, before {site2}. "
        "{days}",
        what=what,
        now=now,
        was=was,
        site=_site(told.after.site),
        site2=_site(told.before.site),
        days=_days(told, many),
    )


def _days(told: Fitted, many: str) -> str:
    last = max(one.on for one in told.looked)
    return say(
        "From the count of {day} and {many} up to {day2}.", day=day(told.dates[0]), many=many, day2=day(last)
    )


def foretold_words(told: Fitted) -> str:
    """How well the last inspection was foretold from those before it, and how many of all counts were."""
    last = told.last_foretold
    before = counted(told.from_inspections, "inspection") if told.from_inspections else ""
    source = say("the count and {before} before it", before=before) if before else say("the count alone")
    parts = "; ".join(_one(f, told) for f in last)
    said = say(
        "The inspection of {day} was foretold from {source}: {parts}.",
        day=day(last[0].on),
        source=source,
        parts=parts,
    )
    if len(told.foretold) == len(last):
        return said
    inside = sum(f.inside for f in told.foretold)
    return say(
        "{said} Of all {foretold} figures counted so far, {inside} fell inside; 8 in 10 should.",
        said=said,
        foretold=len(told.foretold),
        inside=inside,
    )


def effective_words(told: Fitted) -> str:
    """The effective number of draws, in plain words."""
    first = say(
        "Of {draws:,} draws of figures, bloom and count, about {effective_first:,.0f} agree with",
        draws=told.draws,
        effective_first=told.effective_first,
    )
    if not told.moved:
        return say("{first} your inspections, and the fit rests on them.", first=first)
    return say(
        "{first} your inspections as they were drawn. That is too few, so draws were moved "
        "in small steps, within the published ranges; the fit rests on about "
        "{effective:,.0f} different ones.",
        first=first,
        effective=told.effective,
    )


def misfit_words(told: Fitted) -> str:
    """Why no sharp answer is given; empty where the model fits."""
    if told.fits:
        return ""
    if told.effective < FEWEST:
        odds = say(
            "only {effective:.0f} of {draws:,} draws come near them",
            effective=told.effective,
            draws=told.draws,
        )
    elif told.chance_of_misfit < 0.001:
        odds = say("were the model right, fewer than 1 yard in 1,000 would be counted so far off")
    else:
        many = counted(max(1, round(1000 * told.chance_of_misfit)), "yard")
        odds = say("were the model right, about {many} in 1,000 would be counted so far off", many=many)
    return say(
        "No figures within the published ranges explain the counts of this yard ({odds}). "
        "The ranges are widened instead. Were colonies added, split, joined or lost, did "
        "some swarm, or was a count written in the wrong frames? If the yard changed, make "
        "the last inspection the count, with afresh = true.",
        odds=odds,
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
        (
            say("frames of bees"),
            _frames(was.adults, bees, half_frames),
            _frames(now.adults, bees, half_frames),
        ),
        (
            say("frames of brood"),
            _frames(was.brood, brood, quarter_frames),
            _frames(now.brood, brood, quarter_frames),
        ),
        (say(BREAD), _frames(was.bread_g, 1.0, _tens), _frames(now.bread_g, 1.0, _tens)),
        (say("pollen of the place, times the usual"), _times(was.site), _times(now.site)),
    )


def foretold_rows(told: Fitted) -> tuple[tuple[str, str, str, str], ...]:
    """Each figure of each inspection: its day and what, as foretold, as counted, and where it lies."""
    rows = []
    for f in told.foretold:
        low, high, seen, noun = _figures(f, told)
        what = say(BREAD) if f.what == "bread" else noun
        rows.append(
            (
                f"{day(f.on)}, {what}",
                say("{low} to {high}", low=low, high=high),
                seen,
                noted("inside") if f.inside else noted("outside"),
            )
        )
    return tuple(rows)


def _times(site: Range) -> str:
    return say(
        "{typical} ({low} to {high})",
        typical=f"{site.middle:.1f}",
        low=f"{site.low:.1f}",
        high=f"{site.high:.1f}",
    )


def _frames(band: Band, a_frame: float, written: Callable[[float], str]) -> str:
    low, middle, high = (float(v[-1]) / a_frame for v in (band.low, band.middle, band.high))
    return say("{typical} ({low} to {high})", typical=written(middle), low=written(low), high=written(high))


def _tens(grams: float) -> str:
    return f"{round(grams, -1):,.0f}"


def _bees(adults: Band, a_frame: float) -> str:
    low, middle, high = (float(v[-1]) / a_frame for v in (adults.low, adults.middle, adults.high))
    top = (
        half_frames(high) if high <= MOST_FRAMES else say("more than {most_frames}", most_frames=MOST_FRAMES)
    )
    return say(
        "{frames_of} ({half_frames} to {top})",
        frames_of=frames_of(middle, "bees"),
        half_frames=half_frames(low),
        top=top,
    )


def _site(site: Range) -> str:
    return say(
        "{middle:.1f} times ({low:.1f} to {high:.1f})", middle=site.middle, low=site.low, high=site.high
    )


def _figures(f: Foretold, told: Fitted) -> tuple[str, str, str, str]:
    """Low, high and counted as they are said, and of what."""
    if f.what == "bees":
        low, high, seen = (half_frames(v / told.bees_a_frame) for v in (f.low, f.high, f.counted))
        return low, high, seen, say("frames of bees")
    if f.what == "brood":
        low, high, seen = (quarter_frames(v / told.cells_a_frame) for v in (f.low, f.high, f.counted))
        return low, high, seen, say("frames of brood")
    low, high, seen = (_tens(v) for v in (f.low, f.high, f.counted))
    return low, high, seen, say("g of bread")


def _one(f: Foretold, told: Fitted) -> str:
    low, high, seen, noun = _figures(f, told)
    where = say("inside") if f.inside else say("outside, {ratio:.1f} times the middle", ratio=f.ratio)
    return say(
        "{low} to {high} {noun}, {seen} counted, {where}",
        low=low,
        high=high,
        noun=noun,
        seen=seen,
        where=where,
    )
