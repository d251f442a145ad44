"""A yard's rounds as lines for the terminal and as a document for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isinf
from typing import Any

from breadline.errors import InputToMend
from breadline.jobs import rounds_words as words
from breadline.jobs.rounds import RoundsAnswer, day_of, who_gets_it
from breadline.jobs.rounds_aim import aim_words
from breadline.jobs.rounds_all import MANY, shared_notes, short_lines, summary_lines
from breadline.jobs.rounds_cost import cost_words
from breadline.jobs.rounds_file import FeedAsked
from breadline.jobs.rounds_near import near_words
from breadline.jobs.rounds_needs import order_words
from breadline.jobs.rounds_pieces import lying_said, pieces_said
from breadline.jobs.rounds_stop_day import stop_words
from breadline.jobs.rounds_who import combining_line, crew_words, who_words
from breadline.jobs.season import figures_document
from breadline.language import say
from breadline.need.words import counted, day_and_year
from breadline.plan.classes import Classes
from breadline.plan.combining import Combined
from breadline.plan.ranked import Ranked
from breadline.plan.targets import last_day

SHAPE = "breadline.rounds/1"
Line = tuple[str, str]  # style, text


def all_lines(answers: Sequence[RoundsAnswer]) -> Iterator[Line]:
    """One yard or several for a terminal: of several what to do at each first, and what holds of all once.

    Of many a few lines each: what one rests on is had with that yard alone.
    """
    if len(answers) < 2:
        for told in answers:
            yield from rounds_lines(told)
        return
    shared = shared_notes([[text for _, text in _once(told)] for told in answers])
    if len(answers) >= MANY:
        yield from short_lines(answers)
    else:
        yield from summary_lines(answers)
        for told in answers:
            yield from rounds_lines(told, shared)
            yield "", ""
    yield from _said_once(answers, shared)


def _said_once(answers: Sequence[RoundsAnswer], shared: frozenset[str]) -> Iterator[Line]:
    """What holds of all yards, and what holds of most of them."""
    each = [{text for _, text in _once(told)} for told in answers]
    said = dict.fromkeys(line for told in answers for line in _once(told) if line[1] in shared)
    of_all = [line for line in said if all(line[1] in texts for texts in each)]
    of_most = [line for line in said if line not in of_all]
    for head, lines in ((say("Of all yards"), of_all), (say("Of most of the yards, not of all"), of_most)):
        if lines:
            yield "bold", head
            yield from ((style, f" - {text}") for style, text in lines)


def refused_lines(refused: Sequence[InputToMend]) -> Iterator[Line]:
    """The yards that could not be worked out, each with what to mend."""
    yield from _part(say("Not worked out"), [f"- {error}" for error in refused])


def _once(told: RoundsAnswer) -> Iterator[Line]:
    """What may hold of other yards as well."""
    yield from (("", text) for text in pieces_said(told))
    yield from (("", text) for text in told.feeds_said)
    yield from (("", text) for text in told.answer.breeding.sentences)
    yield from _rests_on(told)


def rounds_lines(told: RoundsAnswer, once: frozenset[str] = frozenset()) -> Iterator[Line]:
    """The answer for a terminal: break-even first, then what to do, the plans, and why.

    ``once`` is what is said of all yards together, and left out here.
    """
    yard = told.yard
    yield "bold", f"{yard.name}: {counted(yard.colonies, 'colony', 'colonies')}, {day_and_year(yard.today)}"
    yield "", say("Wanted: {aim}.", aim=aim_words(told.plan.target))
    yield "", ""
    if told.before is not None:
        yield "bold", words.decision(told)
        yield "", say("The plans below are for later, or show what it would bring all the same.")
        yield "", ""
    yield "bold", told.answer.break_even
    yield "bold", words.best_words(told)
    if supers := words.supers_words(told, told.plans[told.best_at]):
        yield "bold", supers
    yield from _part(
        say("Plans worth a look"), [f"{k}. {words.plan_line(told, one)}" for k, one in enumerate(told.plans)]
    )
    if near := near_words(told):
        yield "", f" {near}"
    struck = [words.struck_line(told, one) for one in told.answer.found.struck]
    yield from _part(say("Struck out"), [f"- {text}" for text in struck])
    best = told.plans[told.best_at]
    why = (*told.answer.why, cost_words(told, best), *words.missed_words(told))
    yield from _part(say("Why"), [f"- {text}" for text in why if text])
    feeds = [text for text in (*words.feeds_words(told), *told.feeds_said) if text not in once]
    yield from _part(say("The feeds"), [f"- {text}" for text in feeds])
    yield from _part(say("What turns the answer"), [f"- {text}" for text in words.turn_words(told)])
    who = who_gets_it(told, best)
    yield from _part(
        say("Who gets it"),
        [f"- {t}" for t in (crew_words(told, best, who), *who_words(told, who)) if t],
    )
    when = (order_words(told, best), stop_words(told, best), words.check_group(told, best))
    yield from _part(say("Order, stop, and learn from it"), [f"- {text}" for text in when if text])
    yield from _part(say("Take care"), [f"- {t}" for t in words.cautions(told) if t != supers])
    yield from _part(
        say("By the calendar of the brood"),
        [f"- {text}" for text in told.answer.breeding.sentences if text not in once],
    )
    yield from _part("Pieces", [f"- {text}" for text in pieces_said(told) if text not in once])
    if told.learnt is not None:
        yield from _part(say("What your own check groups taught"), [f"- {told.likely}"])
    rest = [line for line in _rests_on(told) if line[1] not in once]
    yield from (("", ""), *rest) if rest else ()


def _part(head: str, lines: Sequence[str]) -> Iterator[Line]:
    if lines:
        yield "", ""
        yield "bold", head
        yield from (("", f" {line}") for line in lines)


def _rests_on(told: RoundsAnswer) -> Iterator[Line]:
    found = told.answer.found
    looks = ", ".join(
        say("{plans:,} plans in {members:,} seasons", plans=look.plans, members=look.members)
        for look in found.looks
    )
    yield (
        "dim",
        say(
            "Looked at {looks}; shared stretches saved {saving:.1f} times the work. Seed {seed}.",
            looks=looks,
            saving=found.saving,
            seed=told.seed,
        ),
    )
    if told.learnt is None:
        yield "dim", told.likely
    yield from (("dim", text) for text in told.notes)
    memory = sum(f.read.startswith("from memory") for f in told.figures)
    yield (
        "dim",
        say(
            "{figures} figures used, {memory} of them from memory; --json lists each with its source.",
            figures=len(told.figures),
            memory=memory,
        ),
    )


def rounds_document(answers: Sequence[RoundsAnswer]) -> dict[str, Any]:
    """The answers of one or more yards for other programs."""
    return {"shape": SHAPE, "yards": [_yard(told) for told in answers]}


def _yard(told: RoundsAnswer) -> dict[str, Any]:
    found, best = told.answer.found, told.plans[told.best_at]
    who = who_gets_it(told, best)
    return {
        "yard": told.yard.name,
        "colonies": told.yard.colonies,
        "today": told.yard.today.isoformat(),
        "target_day": last_day(told.plan.target).isoformat(),
        "break_even": told.answer.break_even,
        "sentence": words.decision(told),
        "first_before_feed": "" if told.before is None else told.before.sentence,
        "money": told.answer.question.prices.money,
        "best": told.best_at,
        "plans": [plan_document(told, one) for one in told.plans],
        "near": near_words(told),
        "struck": [plan_document(told, one) for one in found.struck],
        "why": list(told.answer.why),
        "turns": list(words.turn_words(told)),
        "feeds": [_feed(one) for one in told.plan.feeds],
        "feeds_said": [*words.feeds_words(told), *told.feeds_said],
        "missed": list(words.missed_words(told)),
        "who": None if who is None else who_document(told, best, who),
        "order": order_words(told, best),
        "stop": stop_words(told, best),
        "threshold": round(told.threshold, 3),
        "check_group": words.check_group(told, best),
        "warnings": list(words.cautions(told)),
        "breeding": list(told.answer.breeding.sentences),
        "pieces": {
            "patties": list(told.allowed.pieces),
            "patty_g": told.allowed.patty.mass_g,
            "of_feeds": [{"feed": one.name, "patties": list(one.pieces), "counted_in_g": one.patty.mass_g,
                          "patty_g": one.patty.whole_g} for one in told.allowed.of_feeds],
            "days": told.allowed.limit.days,
            "said": list(lying_said(told)),
        },
        "situation": told.situation,
        "likely": told.likely,
        "notes": list(told.notes),
        "looks": [{"plans": look.plans, "members": look.members} for look in found.looks],
        "saving": round(found.saving, 2),
        "seed": told.seed,
        "figures": figures_document(told.figures),
    }  # fmt: skip


def _feed(one: FeedAsked) -> dict[str, Any]:
    """A feed as it was asked for, and what its recipe or label says."""
    known = one.known
    return {
        "name": one.name,
        "price_kg": _cents(one.price.amount),
        "price_year": one.price.year,
        "patty_g": one.patty_g,
        "sugar": round(one.sugar, 3),
        "by": None if known is None else {
            "kind": known.kind, "name": known.name, "version": known.version,
            "protein_pct": [round(known.protein.low, 2), round(known.protein.high, 2)],
            "price_years": list(known.years),
            "shift_log_ratio": [round(known.shift.mean, 4), round(known.shift.sd, 4)],
        },
    }  # fmt: skip


def plan_document(told: RoundsAnswer, at: Ranked) -> dict[str, Any]:
    """One plan."""
    cost = at.cost
    return {
        "kind": at.plan.kind,
        "sentence": words.plan_name(told, at),
        "feed": told.answer.question.prices.feeds[at.plan.feed].name if at.plan.pieces else "",
        "rounds": [{"on": day_of(told, piece.day).isoformat(), "grams": round(piece.grams, 1)}
                   for piece in at.plan.pieces],
        "until_pollen": at.plan.by_rule,
        "gain": _cents(at.gain),
        "gain_low": _cents(at.gain_low),
        "gain_high": _cents(at.gain_high),
        "money": _cents(at.money),
        "pays": round(at.pays, 3),
        "starve": round(at.starved, 3),
        "live_for_one_unfed": round(at.kept, 3),
        "chance": round(at.chance, 3),
        "frames": [round(f, 1) for f in at.frames],
        "cost": {"feed": _cents(cost.feed), "labour": _cents(cost.labour), "travel": _cents(cost.travel),
                 "syrup": _cents(cost.syrup), "total": _cents(cost.total)},
        "feed_g": round(at.feed_g, 1),
        "feed_most_g": round(at.feed_most_g, 1),
        "sugar_g": round(at.sugar_g, 1),
        "fed": round(at.fed, 4),
        "piece": round(at.piece, 4),
        "struck": at.struck,
    }  # fmt: skip


def who_document(told: RoundsAnswer, at: Ranked, who: Classes) -> dict[str, Any]:
    """Who gets it."""
    return {
        "line": crew_words(told, at, who),
        "bands": [{"from_frames": band.from_frames, "gets": band.gets, "share": round(band.share, 3),
                   "to_frames": None if isinf(band.to_frames) else band.to_frames} for band in who.bands],
        "more": _cents(who.more),
        "combine_below_frames": who.combine_below,
        "small": list(who.small),
        "combine": [{"hives": list(pair.hives), "frames": round(pair.frames, 1)} for pair in who.combine],
        "combining": None if who.combining is None else combining_document(told, who.combining),
    }  # fmt: skip


def combining_document(told: RoundsAnswer, of: Combined) -> dict[str, Any]:
    """What combining brings."""
    return {
        "sentence": combining_line(told, of),
        "pairs": of.pairs,
        "with_next": of.with_next,
        "pays": of.pays,
        "gain": _cents(of.gain),
        "gain_low": _cents(of.gain_low),
        "gain_high": _cents(of.gain_high),
        "making_joined": round(of.making, 3),
        "making_apart": round(of.apart, 3),
        "minutes": list(of.minutes),
        "rank_lasts": of.lasts,
    }


def _cents(amount: float) -> float:
    return round(amount, 2) + 0.0
