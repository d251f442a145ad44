"""What has to be said beside a fit: definitions that differ, missing weather, feed nobody wrote down."""

from __future__ import annotations

from itertools import combinations

from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.fit.evidence import bees_a_frame, inspected_size, mean_frames
from breadline.need.words import day
from breadline.need.yard import Count, Inspection, Yard

WORTH_A_WORD = 1.5  # times; two counts of one day that differ so much are named


def notes_on(yard: Yard, reader: Reader, one_past: bool) -> tuple[str, ...]:
    """Sentences on what the inspections are and what the fit had to take for granted."""
    notes: list[str] = []
    for one in sorted(yard.inspections, key=lambda i: (i.on, i.reader)):
        notes += _frames(one, yard.count, reader)
    notes += _of_one_day(yard, reader)
    if not one_past:
        notes.append(
            say(
                "Some days between the count and today are not in the weather file: past years stand "
                "in for them, and the fit is the less sure for it."
            )
        )
    if yard.fed_without_record:
        notes.append(
            say(
                "The yard was fed without a record of what: pollen income and feed cannot be told "
                "apart, so anything from none to a patty every two weeks is reckoned with, and the "
                "site figure stays wide."
            )
        )
    return tuple(notes)


def _frames(one: Inspection, count: Count, reader: Reader) -> list[str]:
    said = []
    if one.frames_of_bees is not None or one.frames_each:
        here = bees_a_frame(one, count, reader) * inspected_size(one, count, reader)
        first = Inspection(on=count.on, frame_means=count.frame_means)
        if count.frame_means is not None:
            there = bees_a_frame(first, count, reader) * inspected_size(first, count, reader)
            if here != there:
                said.append(
                    say(
                        "A frame of bees is {here:,.0f} bees on {day} and {there:,.0f} at the count: each is "
                        "turned into bees by its own definition and boxes.",
                        here=here,
                        day=day(one.on),
                        there=there,
                    )
                )
    if len(set(one.boxes or count.boxes)) > 1 and (one.frames_of_brood or one.bread_unit == "frames"):
        said.append(say("Boxes of {day} are mixed: its frames are taken as deep frames.", day=day(one.on)))
    return said


def _of_one_day(yard: Yard, reader: Reader) -> list[str]:
    """Two counts of one day that chance may explain, but that a keeper will stop at."""
    said = []
    for a, b in combinations(sorted(yard.inspections, key=lambda i: (i.on, i.reader)), 2):
        many = [mean_frames(one) for one in (a, b)]
        if a.on != b.on or many[0] is None or many[1] is None:
            continue
        bees = [
            frames * bees_a_frame(one, yard.count, reader) * inspected_size(one, yard.count, reader)
            for frames, one in zip((many[0], many[1]), (a, b), strict=True)
        ]
        if max(bees) >= WORTH_A_WORD * min(bees):
            said.append(
                say(
                    "Two counts of {day} lie far apart, {many:g} and {many2:g} frames of bees: unlike "
                    "colonies and readers may differ so much, so both are used. Is one of them a slip?",
                    day=day(a.on),
                    many=many[0],
                    many2=many[1],
                )
            )
    return said
