"""A season's answer as lines for the terminal and as a document for other programs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import date
from functools import partial
from math import isfinite
from typing import Any

from breadline.jobs.fit_told import fit_document, fit_lines
from breadline.jobs.season import SeasonAnswer
from breadline.language import say
from breadline.measures import units_of
from breadline.need.few_years import chance_range
from breadline.need.outlook import Band, Outlook, Range, ShortFrom, Spell
from breadline.need.outlook_words import bread_sentence, ending_sentences, short_from_words, spell_sentences
from breadline.need.words import counted, day_and_year
from breadline.pictures.wording import weight

SHAPE = "breadline.season/1"
Line = tuple[str, str]  # style, text


def season_lines(told: SeasonAnswer) -> Iterator[Line]:
    """The answer for a terminal: the sentence, short from, reasons, what would change it."""
    yard, advice, outlook = told.yard, told.advice, told.outlook
    yield "bold", f"{yard.name}: {counted(yard.colonies, 'colony', 'colonies')}, {day_and_year(yard.today)}"
    yield "", ""
    yield "bold", advice.sentence
    yield "", ""
    if outlook is not None:
        yield (
            "",
            say(
                "Short from: {short_from_words}",
                short_from_words=short_from_words(outlook.short_from, yard.today),
            ),
        )
        yield "", bread_sentence(outlook.lasts_days)
        weigh = partial(weight, units=units_of(yard.place.country))
        yield from (("", f"{said}.") for said in spell_sentences(outlook, weigh))
    else:
        yield "", told.no_outlook
    if advice.look_again is not None:
        yield (
            "",
            say(
                "Look again: {day_and_year}, {look_again_for}",
                day_and_year=day_and_year(advice.look_again),
                look_again_for=advice.look_again_for,
            ).rstrip(", "),
        )
    yield "", ""
    yield "bold", say("Why, in this order")
    for n, reason in enumerate(advice.reasons, 1):
        yield "", f" {n}. {say(reason.head)}. {reason.detail}".rstrip()
    if advice.what_would_change:
        yield "", ""
        yield "bold", say("What would change it")
        for text in advice.what_would_change:
            yield "", f" - {text}"
    if advice.cautions:
        yield "", ""
        yield "bold", say("Take care")
        for caution in advice.cautions:
            yield "", say(" - {text} Ask: {ask}.", text=caution.text, ask=caution.ask)
    if told.fitted is not None:
        yield "", ""
        yield "bold", say("What your inspections say")
        for text in fit_lines(told.fitted):
            yield "", f" - {text}"
    yield "", ""
    yield from _rests_on(told)


def _rests_on(told: SeasonAnswer) -> Iterator[Line]:
    if told.outlook is not None:
        out = told.outlook
        drawn = say("{members:,} draws of weather, figures and count", members=out.members)
        yield (
            "dim",
            say(
                "Weather: {weather_label}. {drawn}, seed {seed}.",
                weather_label=out.weather_label,
                drawn=drawn,
                seed=told.seed,
            ),
        )
        yield from (("dim", text) for text in ending_sentences(out))
        yield "dim", say("Left out: {listed}.", listed=", ".join(say(one) for one in out.leaves_out))
        for note in out.notes if told.fitted is None else ():
            yield "dim", note
    for text in told.calendar_notes:
        yield "dim", text
    for read in told.weather_notes:
        yield "dim", read.said
    memory = sum(f.read.startswith("from memory") for f in told.figures)
    edited = [f.key for f in told.figures if f.edited]
    yield (
        "dim",
        say(
            "{figures} figures used, {memory} of them from memory; --json lists each with its source.",
            figures=len(told.figures),
            memory=memory,
        ),
    )
    if edited:
        yield "dim", say("Edited by you: {listed}.", listed=", ".join(edited))
    yield "dim", say("This is advice, not law. Inspector, label and veterinarian come first.")


def season_document(told: SeasonAnswer) -> dict[str, Any]:
    """The answer as a JSON document; its shape is described in ``docs/guide/commands.md``."""
    return {
        "shape": SHAPE,
        "yard": _plain(asdict(told.yard)),
        "seed": told.seed,
        "advice": _plain(asdict(told.advice)),
        "outlook": None if told.outlook is None else outlook_document(told.outlook),
        "no_outlook": told.no_outlook,
        "fitted": None if told.fitted is None else fit_document(told.fitted),
        "figures": [asdict(f) for f in told.figures],
        "notes": {
            "weather": [note.plain() for note in told.weather_notes],
            "calendar": list(told.calendar_notes),
        },
    }


def outlook_document(out: Outlook) -> dict[str, Any]:
    """Units are in the names: g a colony and day, days, bees, cells."""
    return {
        "start": out.start.isoformat(),
        "end": out.dates[-1].isoformat(),
        "ends_because": out.stops_because,
        "beyond_end": list(out.beyond),
        "frames_end": out.frames_until.isoformat(),
        "frames_end_because": "" if out.frames_end is None else out.frames_end.because,
        "beyond_frames_end": [] if out.frames_end is None else list(out.frames_end.instead),
        "short_from": _short_from(out.short_from),
        "bread_lasts_days": None if out.lasts_days is None else _range(out.lasts_days),
        "spells": [
            {
                "start": s.start.isoformat(),
                "end": s.end.isoformat(),
                "chance": round(s.chance, 3),
                "chance_range": _chance_range(s),
                "missing_g": _range(s.missing_g),
            }
            for s in out.spells
        ],
        "dates": [d.isoformat() for d in out.dates],
        "chance_short": None if out.short_from is None else [round(float(v), 3) for v in out.short],
        "need_g_day": _band(out.need_g, 1),
        "income_g_day": _band(out.income_g, 1),
        "bread_g": _band(out.bread_g, 0),
        "bread_days": _band(out.bread_days, 1),
        "adults": _band(out.adults, 0),
        "adults_fed": None if out.adults_fed is None else _band(out.adults_fed, 0),
        "brood_cells": _band(out.brood, 0),
        "bees_a_frame": out.bees_a_frame,
        "band": "10th, 50th and 90th percentile of the ensemble",
        "weather": out.weather_label,
        "weather_gives_year_to_year_range": out.weather_years,
        "members": out.members,
        "leaves_out": list(out.leaves_out),
        "notes": list(out.notes),
    }


def _short_from(short: ShortFrom | None) -> dict[str, Any] | None:
    """Null where the model does not fit the yard: then there is no date to give."""
    return None if short is None else _plain(asdict(short)) | {"chance_range": _chance_range(short)}


def _band(band: Band, digits: int) -> dict[str, list[float]]:
    return {k: [round(float(v), digits) for v in getattr(band, k)] for k in ("low", "middle", "high")}


def _chance_range(said: ShortFrom | Spell) -> list[float] | None:
    """Where the chance may lie, as few years of weather leave it open; null where they are enough."""
    if said.few_years is None:
        return None
    return [round(end, 3) for end in chance_range(said.chance, said.few_years)]


def _range(value: Range) -> dict[str, float | None]:
    """Null where it lies beyond the outlook."""
    return {k: round(v, 1) if isfinite(v) else None for k, v in asdict(value).items()}


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, dict):
        return {k: _plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(v) for v in value]
    return value
