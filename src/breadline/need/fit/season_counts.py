"""Counts that a book gathered over a season, as one start and the inspections after it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import isclose

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.need.fit.evidence import mean_frames
from breadline.need.forecast import outlook_ends
from breadline.need.yard import Count, Inspection, Yard

# A mean of hives is written down to a tenth of a frame, and grams to about half a per cent.
A_TENTH = 0.05
ROUNDED = 0.005


@dataclass(frozen=True)
class Look:
    """A visit that lies in the book before the newest count."""

    on: date
    seen: Count | Inspection | None  # None where neither was made
    fed_without_record: bool = False  # said on that visit


def of_this_season(yard: Yard, earlier: Sequence[Look], reader: Reader) -> tuple[Yard, tuple[Look, ...]]:
    """The yard as its last inspections see it, where its newest count lies in a season before them.

    An inspection that holds bees with their frame, brood and bread says all that a count says. Where the
    season model may not be run from the count to the last inspection, the first such inspection from
    which it may is the count, and what lies before it is of an earlier season. Before winter there is none:
    then the last look is, if it says enough, and no outlook is drawn from it. Else the yard stays as it is.

    Parameters
    ----------
    yard, earlier
        As for ``begun_at_first_count``.
    """
    if not yard.inspections:
        return yard, tuple(earlier)
    looks = sorted(yard.inspections, key=lambda one: one.on)
    last = looks[-1].on
    if _reaches(yard.count.on, last, yard, reader):
        return yard, tuple(earlier)
    for one in looks:
        reaches = _reaches(one.on, last, yard, reader)
        if _whole(one, yard.count) and (reaches or one is looks[-1]):
            before = [Look(other.on, other) for other in looks if other.on < one.on]
            since = tuple(other for other in looks if reaches and other.on >= one.on and other is not one)
            begun = replace(yard, count=_as_count(one, yard.count), inspections=since)
            return begun, (*earlier, Look(yard.count.on, yard.count), *before)
    return yard, tuple(earlier)


def begun_at_first_count(yard: Yard, earlier: Sequence[Look], reader: Reader) -> Yard:
    """The yard as it began this season: its first count stays the count, each later one is an inspection.

    The start goes back from the newest count as far as the counts are of the same colonies
    (none ``afresh``, of a nuc, of a package or of no bees) and the season model may be fitted
    from there to the last look: not across winter, not over more than half a year, not from
    a count that leaves bees or brood open (later ones may). Of two
    counts of one day the later entry stands. A count and an inspection of one day that tell
    the same are one look.

    Parameters
    ----------
    yard
        As the book knows it: the newest count, and the inspections after it.
    earlier
        The looks before that count, oldest first, those of one day in the order of their entry.
    reader
        The shelf, for where a season ends.
    """
    counts = _of_one_season(yard, earlier, reader)
    if len(counts) == 1:
        return yard
    start, written = counts[0], [look.seen for look in earlier if isinstance(look.seen, Inspection)]
    since = [one for one in (*written, *yard.inspections) if one.on >= start.on]
    looks = _each_once([*map(as_inspection, counts[1:]), *since], start)
    unrecorded = any(look.fed_without_record for look in earlier if look.on >= start.on)
    return replace(
        yard,
        count=start,
        inspections=tuple(sorted(looks, key=lambda one: (one.on, one.reader))),
        fed_without_record=yard.fed_without_record or unrecorded,
    )


def _of_one_season(yard: Yard, earlier: Sequence[Look], reader: Reader) -> list[Count]:
    """The counts that belong together, from the first to the newest; the newest alone without an outlook."""
    counts = [yard.count]
    last = max([yard.count.on, *(one.on for one in yard.inspections)])
    if not _reaches(yard.today, yard.today, yard, reader):
        return counts
    died = [look.on for look in earlier if isinstance(look.seen, Inspection) and _none_left(look.seen)]
    for count in reversed([look.seen for look in earlier if isinstance(look.seen, Count)]):
        if count.on == counts[0].on:
            continue  # mended since
        if any(count.on <= on for on in died) or not _same_colonies(count, counts[0]):
            break
        if not _reaches(count.on, last, yard, reader):
            break
        counts.insert(0, count)
    while len(counts) > 1 and not _can_begin(counts[0]):
        del counts[0]
    return counts


def as_inspection(count: Count) -> Inspection:
    """A later count as what an inspection says; brood that nobody wrote down is not counted."""
    bees = None if count.frame_means is None else count.frames_of_bees
    return Inspection(
        on=count.on,
        colonies_looked_in=count.colonies_looked_in,
        frames_of_bees=bees,
        frame_means=None if bees is None else count.frame_means,
        frames_of_brood=count.frames_of_brood if count.brood_counted else None,
        bread=count.bread,
        bread_unit=count.bread_unit,
        boxes=count.boxes,
    )


def _as_count(one: Inspection, before: Count) -> Count:
    """An inspection that holds all that a count says, as one; boxes that it does not tell are as before."""
    bees, bread = mean_frames(one), one.bread
    assert bees is not None
    assert bread is not None
    assert one.frames_of_brood is not None
    return Count(
        on=one.on,
        bread=bread,
        bread_unit=one.bread_unit,
        frames_of_bees=bees,
        frame_means=one.frame_means or before.frame_means,
        frames_of_brood=one.frames_of_brood,
        colonies_looked_in=one.colonies_looked_in,
        boxes=one.boxes or before.boxes,
        frames_per_box=before.frames_per_box,
    )


def _whole(one: Inspection, before: Count) -> bool:
    told = (mean_frames(one), one.frame_means or before.frame_means, one.frames_of_brood, one.bread)
    return None not in told and not _none_left(one)


def same_look(a: Inspection, b: Inspection) -> bool:
    """Whether two inspections of one day are one look written down twice: what both tell is alike."""
    if a.on != b.on or (a.boxes and b.boxes and a.boxes != b.boxes):
        return False
    one, other = _figures(a), _figures(b)
    both = one.keys() & other.keys()
    return bool(both) and all(
        isclose(one[key][0], other[key][0], rel_tol=ROUNDED, abs_tol=A_TENTH) and one[key][1] == other[key][1]
        for key in both
    )


def _figures(one: Inspection) -> dict[str, tuple[float, str]]:
    """What was counted: by kind, the figure in its own unit, and what that unit means."""
    frames = mean_frames(one)
    means = (one.frame_means or "").removeprefix("frame_of_bees.")
    found = {
        "bees": (frames, means),
        "brood": (one.frames_of_brood, ""),
        "bread": (one.bread, one.bread_unit),
    }
    return {key: (value, unit) for key, (value, unit) in found.items() if value is not None}


def _same_colonies(count: Count, following: Count) -> bool:
    """Whether the colonies of a count are those of the next one, as far as the book tells."""
    new = following.afresh or following.start != "colony"
    return not (new or 0.0 in (count.frames_of_bees, following.frames_of_bees))


def _can_begin(count: Count) -> bool:
    """Whether bees and brood of a count are known: the season model cannot start from a guess at them."""
    if count.start == "package" and count.bees_kg is not None:
        return True  # on bare comb
    return count.frames_of_bees is not None and count.frame_means is not None and count.brood_counted


def _none_left(one: Inspection) -> bool:
    return 0.0 in (one.frames_of_bees, *one.frames_each)


def _reaches(start: date, last: date, yard: Yard, reader: Reader) -> bool:
    """Whether the season model may run from one day to another."""
    try:
        return last <= outlook_ends(start, yard.place.latitude, reader).on
    except YardError:  # before midwinter, after the last brood
        return False


def _each_once(looks: Sequence[Inspection], start: Count) -> list[Inspection]:
    """Every look once; the start itself is none of them."""
    kept = [as_inspection(start)]
    for one in looks:
        at = next((n for n, known in enumerate(kept) if same_look(known, one)), None)
        if at is None:
            kept.append(one)
        elif at:
            kept[at] = _joined(kept[at], one)
    return kept[1:]


def _joined(a: Inspection, b: Inspection) -> Inspection:
    """One look of both; hives told one by one, boxes and the reader's name are kept."""
    full, other = (b, a) if b.frames_each else (a, b)
    no_bees = full.frames_of_bees is None and not full.frames_each
    return replace(
        full,
        frames_of_bees=other.frames_of_bees if no_bees else full.frames_of_bees,
        frame_means=full.frame_means or other.frame_means,
        frames_of_brood=other.frames_of_brood if full.frames_of_brood is None else full.frames_of_brood,
        bread=other.bread if full.bread is None else full.bread,
        bread_unit=other.bread_unit if full.bread is None else full.bread_unit,
        boxes=full.boxes or other.boxes,
        reader=full.reader or other.reader,
    )
