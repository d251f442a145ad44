"""The truck sheet on one page: the yards of a day in driving order, what goes on, what to load."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from breadline.errors import RecordError
from breadline.knowledge.cautions import caution
from breadline.language import noted, say, say_as, say_counted
from breadline.need.words import counted, short_day
from breadline.plan.cuts import cut_words, cutting_words, load_words, mass_words
from breadline.plan.paper import MOST_YARDS, Load, RoundVisit
from breadline.plan.strength_classes import cut_for
from breadline.ration.measures import in_quarters
from breadline.sheets.letterhead import Paper, cut, letterhead, long_date
from breadline.sheets.printed import printed
from breadline.sheets.syrup_words import sugar_said, syrup_each_said, syrup_said

LONGEST_LINE, MOST_LOOKS, MOST_CUTS = 150, 6, 4  # letters; things to look at; columns of pieces
LONGEST_FOOT = 480  # letters
TALLIES = (
    noted("Fed"),
    noted("All eaten"),
    noted("Some left"),
    noted("Most left"),
    noted("Maggots"),
    noted("Dead"),
)


def truck_sheet(load: Load, paper: Paper) -> bytes:
    """The sheet of one load as a tagged PDF of exactly one page.

    Errors
    ------
    RecordError
        If the paper is none of ``Paper``, or more yards are on it than can be read from a seat.
    """
    return printed("truck_sheet.typ", truck_sheet_data(load, paper), load.on)


def truck_sheet_data(load: Load, paper: Paper) -> dict[str, Any]:
    """Everything the sheet says, as plain data; its words are never markup."""
    if len(load.visits) > MOST_YARDS:
        raise RecordError(
            "truck sheet",
            say("{visits} yards on one sheet", visits=len(load.visits)),
            say("up to {most_yards}", most_yards=MOST_YARDS),
            say("Spread the round over more days or sheets"),
        )
    visits = load.visits
    sheet = (
        say(" · sheet {part} of {of_parts}", part=load.part, of_parts=load.of_parts)
        if load.of_parts > 1
        else ""
    )
    same = _same_borders(visits)
    return {
        **letterhead(
            paper, say("Truck sheet · {long_date}{sheet}", long_date=long_date(load.on), sheet=sheet)
        ),
        "title": _title(load),
        "load": _load(load),
        "rule": [list(both) for both in visits[0].rule] if same else [],
        "lines": [*_lines(visits), *_own_rounds(load)],
        "heads": _heads(visits),
        "yards": [_yard(n, visit, visits) for n, visit in enumerate(visits, start=1)],
        "tallies": [say(word) for word in TALLIES],
        "room": say("Hive, and what was seen"),
        "get": say("hives that get"),
        "signs": [
            say("Crew"),
            say_as("truck sheet", "Out"),
            say_as("truck sheet", "Back"),
            say("Patties back"),
        ],
        "foot": cut(
            say("{order} Tally one stroke a hive. {note}", order=load.order, note=load.note).strip(),
            LONGEST_FOOT,
        ),
    }


def _title(load: Load) -> str:
    """The round, of how many where all yards have as many, and where it goes."""
    where = _where(load.visits)
    if load.of_all is None:
        return say("Round {round}, {where}", round=load.round, where=where)
    return say("Round {round} of {of_rounds}, {where}", round=load.round, of_rounds=load.of_all, where=where)


def _own_rounds(load: Load) -> list[dict[str, str]]:
    """Which round of its own each yard is on; nothing where it is the same of all."""
    if load.of_all is not None:
        return []
    told = [
        say("{yard} {n} of {many}", yard=cut(visit.yard, 24), n=n, many=many)
        for visit, (n, many) in zip(load.visits, load.own, strict=True)
    ]
    return [{"head": say("Rounds"), "text": cut("; ".join(told) + ".", 2 * LONGEST_LINE)}]


def _where(visits: Sequence[RoundVisit]) -> str:
    return cut(visits[0].yard, 40) if len(visits) == 1 else counted(len(visits), "yard")


def _same(told: Sequence[str]) -> str:
    """What all say; empty where they differ."""
    return told[0] if len(set(told)) == 1 else ""


def _load(load: Load) -> list[dict[str, str]]:
    """Boxes of what goes on the truck: a number, a noun, and what is in it."""
    each = mass_words(load.patty.whole_g, load.patty.units)
    noun = say_counted("patty of {each}", "patties of {each}", load.patties, each=each)
    beside = say("{n:,} for the hives, {spare_words}", n=load.for_hives, spare_words=load.spare_words)
    boxes = [{"number": f"{load.patties:,}", "noun": noun, "beside": beside}]
    if load.syrup_l:
        number, noun = syrup_said(load.syrup_l + load.syrup_spare_l, load.patty.units).split(" ")
        spare = syrup_said(load.syrup_spare_l, load.patty.units)
        boxes.append(
            {
                "number": number,
                "noun": say("{noun} of syrup", noun=noun),
                "beside": say("{spare} of it spare", spare=spare),
            }
        )
    if load.dry_sugar_g:
        number, noun = sugar_said(load.dry_sugar_g, load.patty.units).split(" ")
        boxes.append(
            {"number": number, "noun": say("{noun} of dry sugar", noun=noun), "beside": say("spare included")}
        )
    many, grams = load.sugar_pieces
    if many:
        hives = say_counted(
            "for {n:,} check hive, spare included", "for {n:,} check hives, spare included", many
        )
        number, noun = sugar_said(grams, load.patty.units).split(" ")
        boxes.append(
            {"number": number, "noun": say("{noun} of patties of sugar alone", noun=noun), "beside": hives}
        )
    if load.rims:
        rims = say_counted("rim", "rims", load.rims)
        boxes.append({"number": f"{load.rims:,}", "noun": rims, "beside": say("one for each fed hive")})
    return boxes


def _lines(visits: Sequence[RoundVisit]) -> list[dict[str, str]]:
    """What holds in all yards of the load."""
    told = (
        [{"head": say_as("truck sheet", "Feed"), "text": cut(visits[0].feed, LONGEST_LINE)}]
        if visits[0].feed
        else []
    )
    if gone := _same([_gone(visit) for visit in visits]):
        told.append({"head": say("Gone in"), "text": gone})
    pieces = [step.cut for visit in visits for step in visit.steps]
    if how := cutting_words(pieces, visits[0].patty):
        told.append({"head": say_as("truck sheet", "Cut"), "text": cut(how, LONGEST_LINE)})
    looks = [look for look in visits[0].look_at if all(look in visit.look_at for visit in visits)]
    if looks:
        told.append({"head": say("Look at"), "text": _listed(looks)})
    if any(visit.joins for visit in visits):
        sick = caution("combining")
        told.append(
            {"head": say("Combine"), "text": say("{line} Ask {ask}.", line=say(sick.line), ask=say(sick.ask))}
        )
    return told


def _gone(visit: RoundVisit) -> str:
    why = f": {say(visit.beetle_rule).strip().rstrip('.')}" if visit.beetle_rule.strip() else ""
    return cut(f"{counted(visit.days, 'day')}{why}.", LONGEST_LINE)


def _listed(looks: Sequence[str]) -> str:
    return cut(
        "; ".join(say(look).strip().rstrip(".") for look in looks[:MOST_LOOKS]) + ".", 2 * LONGEST_LINE
    )


def _named(hives: Sequence[str]) -> str:
    """As many names as fit on a line, and how many more there are: no hive is left out unsaid."""
    return _fitting([cut(hive, 20) for hive in hives])


def _joined(visit: RoundVisit) -> str:
    """Who goes into whom, and what the joined hive then gets; without names how many of the smallest."""
    named = [pair for pair in visit.combine if pair.hives]
    if not named:
        small = counted(len(visit.combine), "pair")
        return say("the smallest two and two, {small}, then feed each by the frames of both", small=small)
    told = []
    for pair in named:
        small, into = (cut(hive, 20) for hive in pair.hives)
        piece = cut_words(cut_for(visit.steps, pair.frames), visit.patty)
        told.append(say("{small} into {into}, then {piece}", small=small, into=into, piece=piece))
    return _fitting(told, "; ")


def _by_both(visit: RoundVisit) -> str:
    """What hives that were joined on an earlier round get: no pair is told twice, only the piece."""
    named = [pair for pair in visit.combine if pair.hives]
    if not named:
        return say("by the frames of both; two that still stand apart each by its own")
    told = [
        f"{cut(pair.hives[1], 20)} {cut_words(cut_for(visit.steps, pair.frames), visit.patty)}"
        for pair in named
    ]
    return _fitting(told, "; ")


def _fitting(names: Sequence[str], between: str = ", ") -> str:
    shown = [name for n, name in enumerate(names) if len(between.join(names[: n + 1])) <= LONGEST_LINE - 60]
    left = len(names) - len(shown)
    return between.join(shown) + (say(" and {left} more, on the screen", left=left) if left else "")


def _cuts(visits: Sequence[RoundVisit]) -> list[float]:
    """The pieces of all yards from small to large, each a column of hives [patties]; none if too many."""
    got = {piece for visit in visits for piece, many in visit.by_piece.items() if many}
    cuts = sorted(got or {step.cut for visit in visits for step in visit.steps})
    return cuts if len(cuts) <= MOST_CUTS else []


def _heads(visits: Sequence[RoundVisit]) -> list[str]:
    """The first numbers are hives."""
    cuts = [cut_words(piece, visits[0].patty).partition(" (")[0] for piece in _cuts(visits)]
    syrup = [say("Syrup")] if any(visit.syrup_l for visit in visits) else []
    return [say("Yard"), *(cuts or [say("none"), say("a piece")]), _whole(visits[0]), *syrup]


def _whole(visit: RoundVisit) -> str:
    return say("Patties") if visit.patty.sold_g is None else say("Feed")


def _takes(visit: RoundVisit) -> str:
    """What the yard takes: patties, or a weight where they are not sold so that pieces come out of them."""
    if visit.patty.sold_g is None:
        return in_quarters(visit.patties)
    return load_words(visit.patties * visit.patty.mass_g, visit.patty.units)


def _yard(n: int, visit: RoundVisit, all_visits: Sequence[RoundVisit]) -> dict[str, Any]:
    syrup = [syrup_said(visit.syrup_l, visit.patty.units) if visit.syrup_l else "–"]
    by_cut = [visit.getting(piece) for piece in _cuts(all_visits)]
    borders = "" if _same_borders(all_visits) else cut(visit.line, LONGEST_LINE)
    counts = by_cut or [visit.colonies - visit.fed, visit.fed]
    return {
        "n": f"{n}.",
        "name": cut(visit.yard, 40),
        "colonies": counted(visit.colonies, "colony", "colonies"),
        "counts": [f"{count:,}" for count in counts],
        "patties": _takes(visit),
        "syrup": syrup if any(other.syrup_l for other in all_visits) else [],
        "borders": " ".join(filter(None, (*(one.said for one in visit.left_out), visit.locked_later,
                                          visit.done, borders))),
        "notes": _notes(visit, all_visits),
    }  # fmt: skip


def _same_borders(visits: Sequence[RoundVisit]) -> str:
    return _same([visit.line for visit in visits])


def _notes(visit: RoundVisit, all_visits: Sequence[RoundVisit]) -> str:
    """What holds in this yard only; what is not to be fed comes first."""
    notes = []
    units, light = visit.patty.units, counted(visit.light, "light colony", "light colonies")
    if visit.joins:
        notes.append(say("Combine {joined}.", joined=_joined(visit)))
    elif visit.combine and visit.joined_on:
        notes.append(say("Joined on {day}: {by}.", day=short_day(visit.joined_on), by=_by_both(visit)))
    if visit.unfed:
        notes.append(
            say(
                "Give nothing, {unfed_why}: {named}.",
                unfed_why=say(visit.unfed_why),
                named=_named(visit.unfed),
            )
        )
    if visit.syrup_l:
        notes.append(
            say(
                "Syrup: {syrup_said} to each of {light}.",
                syrup_said=syrup_each_said(visit.syrup_each_l, units),
                light=light,
            )
        )
    if visit.dry_sugar_g:
        notes.append(
            say(
                "Dry sugar on top: {sugar_said} to each of {light}.",
                sugar_said=sugar_said(visit.dry_sugar_each_g, units),
                light=light,
            )
        )
    if not _same([_gone(other) for other in all_visits]):
        notes.append(say("Gone in {gone}", gone=_gone(visit)))
    own = [look for look in visit.look_at if not all(look in other.look_at for other in all_visits)]
    if own:
        notes.append(say("Look at {listed}", listed=_listed(own)))
    return " ".join(cut(note, LONGEST_LINE) for note in notes)
