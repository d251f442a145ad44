"""What the page of the cheapest mix says of a search as it stands: the mix so far, or why there is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from breadline.errors import BreadlineError
from breadline.jobs.cheapest_search import Search
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.ration import remarks_on
from breadline.jobs.ration_terms import told_in
from breadline.jobs.recipe_written import RecipeFile
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.ration.analysis import analyse
from breadline.ration.batch_contents import money
from breadline.ration.measures import System, weight_said
from breadline.ration.remark import Remark
from breadline.ration.solved_words import conflict_sentences, doubts, ends_sentences, free_sentence, too_big
from breadline.ration.solver import Conflict, Solved, so_far
from breadline.ration.standing_words import idle_sentence
from breadline.web import feed_words, mix_words
from breadline.web.recipe_form import trouble_of

NO_MIX = noted("No mix is found yet, and none is ruled out.")


def in_trouble(error: BreadlineError, where: str = "") -> dict[str, Any]:
    """What is said where there is no mix; ``where`` is what the field is called on the page."""
    return {"trouble": trouble_of(error, where), "search": None, "now": say("To be mended")}


def answer(desk: FeedDesk, search: Search) -> dict[str, Any]:
    """What is said of a search as it stands."""
    if search.trouble is not None:
        return in_trouble(search.trouble)
    unit = told_in(search.file)
    done, sought = search.done, search.sought  # before all else: they may turn while this is told
    found = search.found
    shown: dict[str, Any] = {
        "trouble": None, "search": search, "per": say(feed_words.PER[unit]), "done": done, "sought": sought,
        "mixes": len(search.passed), "progress": "" if done else progress_words(search, unit),
    }  # fmt: skip
    if isinstance(found, Conflict):
        return shown | _conflict(found, unit, open=not (found.proven or sought))
    shown["now"] = mix_words.cost(found, unit)
    remarks = _remarks(desk, search.file, found)
    stands = search.stands
    return shown | {
        "conflict": (), "headline": mix_words.headline(found, unit),
        "parts": mix_words.part_lines(found, unit, None if sought else mix_before(search)),
        "batch": _batch(found, unit), "free": free_sentence(found),
        "too_big": too_big(found.problem, unit), "doubts": doubts(found),
        "sure": mix_words.search_words(found) if sought else "",
        "no": feed_words.refusal_sentence(remarks), "refused": [r for r in remarks if r.level == "refuse"],
        "cautions": [r for r in remarks if r.level == "caution"], "stands": stands is not None,
        "holds": mix_words.hold_lines(found, stands, unit) if stands else [],
        "idle": idle_sentence(found.problem, stands) if stands else "",
        "ranges": mix_words.range_lines(found, stands, unit) if stands else [],
        "ends": ends_sentences(found, search.both, unit) if search.both else (),
        "next_best": mix_words.next_words(found, stands, unit) if stands else "",
    }  # fmt: skip


def progress_words(search: Search, unit: System) -> str:
    """How far a search has come."""
    if search.sought:
        return say("Working out what holds the cost up.")
    going = say(
        "Searching on, {seconds:.0f} s of at most {limit:.0f} s.", seconds=search.seconds, limit=search.limit
    )
    told, mixes, found = search.told, list(search.passed), search.found
    if not mixes or isinstance(found, Conflict):
        return f"{going} {say(NO_MIX)}"
    costs = mix_words.cost(found, unit)
    if len(mixes) == 1:
        so_far = say("The first mix costs {cost}.", cost=costs)
    else:
        was = mix_words.per(mixes[0].cost, found, unit)
        so_far = say("Mix {n} costs {cost}; the first cost {was}.", n=len(mixes), cost=costs, was=was)
    if told is None or told.gap >= 1:
        return f"{going} {so_far}"
    open_yet = say("One up to {gap:.1f} % cheaper may still exist.", gap=100 * told.gap)
    return f"{going} {so_far} {open_yet}".replace(" %", "\u00a0%")


def mix_before(search: Search) -> Solved | None:
    """The mix that the one of now took the place of; None where it is the first."""
    return so_far(search.problem, search.passed[-2]) if len(search.passed) > 1 else None


def _conflict(found: Conflict, unit: System, *, open: bool) -> dict[str, Any]:
    """What is at odds; nothing yet where the search for a first mix still goes on."""
    if open:
        return {
            "conflict": (say(NO_MIX),),
            "now": say("No mix yet"),
            "parts": [],
        }
    near = found.nearest
    return {
        "conflict": conflict_sentences(found, unit), "now": say("No mix has all of this"),
        "parts": mix_words.part_lines(near, unit) if near else [],
    }  # fmt: skip


def _batch(found: Solved, unit: System) -> str:
    if found.batch_kg is None or found.batch_cost is None:
        return ""
    of = found.problem.money
    weight, cost = weight_said(1000 * found.batch_kg, unit), money(found.batch_cost, of)
    return say("A batch of {weight} costs {money}.", weight=weight, money=cost)


def _remarks(desk: FeedDesk, file: RecipeFile, found: Solved) -> Sequence[Remark]:
    """What the rules say of the mix that was found."""
    recipe = replace(found.recipe, name=file.name)
    return remarks_on(file, recipe, analyse(recipe), Reader(desk.shelf))
