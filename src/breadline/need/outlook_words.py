"""How an outlook is said: short from when, and how long the bread lasts."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from breadline.language import noted, say
from breadline.need.outlook import Outlook, Range, ShortFrom, Spell
from breadline.need.words import (
    chance_in_hundred,
    day,
    day_and_year,
    day_range,
    days_or_weeks,
    from_few_years,
)

NOT_TOLD = noted("can't tell, because the season model does not fit this yard's counts")
CLOSE = timedelta(days=7)  # a spell that begins within the week is the one foretold


def short_from_words(short: ShortFrom | None, today: date | None = None, *, with_chance: bool = True) -> str:
    """ "Now", "about 9 February (28 January to 2 March)", or "not before 20 June".

    The range holds 8 seasons in 10; an end that lies beyond the outlook is said
    as "or not at all"; one more than half a year from ``today`` carries its year. None, where
    the model does not fit the yard, is told as that.
    """
    if short is None:
        return say(NOT_TOLD)
    chance = ""
    if with_chance:
        said = chance_in_hundred(short.chance, short.few_years)
        chance = say(
            "; {said} seasons fall short at all{from_few_years}",
            said=said,
            from_few_years=from_few_years(short.few_years),
        )
    if short.now:
        return say("now{chance}", chance=chance)
    if short.middle is None:
        if short.earliest is None or short.chance < 0.1:
            return say("not before {day}", day=day(short.not_before, today))
        if today is not None and short.earliest <= today:
            return say("from today on in some seasons{chance}", chance=chance)
        return say("not before {day}{chance}", day=day(short.earliest, today), chance=chance)
    last = say("or not at all") if short.latest is None else say("to {day}", day=day(short.latest, today))
    first = short.earliest or short.middle
    return say(
        "about {day} ({day2} {last}){chance}",
        day=day(short.middle, today),
        day2=day(first, today),
        last=last,
        chance=chance,
    )


def ending_sentences(outlook: Outlook) -> tuple[str, ...]:
    """Where an outlook ends and why, where its frames end before that, and what can be said instead."""
    ends = say(
        "The outlook ends on {day_and_year}: {because}.",
        day_and_year=day_and_year(outlook.dates[-1]),
        because=outlook.stops_because.rstrip("."),
    )
    said = (ends, *outlook.beyond)
    frames = outlook.frames_end
    if frames is None:
        return said
    only = say(
        "Bees and frames are foretold only until {day_and_year}: {because}. Pollen and bread "
        "are reckoned on with the bees of the model; take their amounts after it as rough.",
        day_and_year=day_and_year(frames.on),
        because=frames.because,
    )
    return tuple(dict.fromkeys((*said, only, *frames.instead)))


def bread_lasts(lasts: Range | None) -> str:
    """How long the bread lasts with no pollen coming in; days below 7, else weeks.

    None, where the model does not fit the yard, is told as that.
    """
    if lasts is None:
        return say("can't tell")
    return say("none") if lasts.high < 0.5 else days_or_weeks(lasts.low, lasts.high)


def bread_sentence(lasts: Range | None) -> str:
    """The same as a sentence."""
    if lasts is None:
        return say("How long the bread lasts can't be told either.")
    said = bread_lasts(lasts)
    return (
        say("No bread in the comb.")
        if said == say("none")
        else say("Bread for {said} if no pollen came in.", said=said)
    )


def spell_sentences(outlook: Outlook, weigh: Callable[[float], str]) -> tuple[str, ...]:
    """When it is short, a sentence for each spell, without a stop; ``weigh`` writes a weight [g].

    A spell needs half of the seasons short on one day. Seasons that fall short on
    different days make none, and are told in a sentence of their own before it.
    """
    today = outlook.today or outlook.start
    scattered = _scattered(outlook, today)
    return (*scattered, *(_spell_sentence(spell, weigh, today) for spell in outlook.spells))


def _spell_sentence(spell: Spell, weigh: Callable[[float], str], today: date) -> str:
    low, high = weigh(spell.missing_g.low), weigh(spell.missing_g.high)
    grams = low if low == high else say("{low} to {high}", low=low, high=high)
    missing = say("{grams} of pollen missing a colony", grams=grams)
    most = _at_once(spell.chance, spell.few_years)
    return say(
        "Short about {day_range}: {most}; {missing}",
        day_range=day_range(spell.start, spell.end, today),
        most=most,
        missing=missing,
    )


def _scattered(outlook: Outlook, today: date) -> tuple[str, ...]:
    """Half of the seasons were short at some time before the first spell begins: say so."""
    short = outlook.short_from
    before = outlook.spells[0].start if outlook.spells else None
    if short is None or short.middle is None or (before is not None and before <= short.middle + CLOSE):
        return ()
    chance = max(
        float(share)
        for on, share in zip(outlook.dates, outlook.short, strict=True)
        if on >= today and (before is None or on < before)
    )
    until = say(" before {day}", day=day(before, today)) if before else ""
    most = _at_once(chance, short.few_years)
    return (
        say(
            "By about {day} half of the seasons have been short, but not all on the same days: {most}{until}",
            day=day(short.middle, today),
            most=most,
            until=until,
        ),
    )


def _at_once(chance: float, few_years: int | None) -> str:
    said = chance_in_hundred(chance, few_years)
    if few_years is None:
        return say("up to {chance} seasons at once", chance=said)
    return say("on the worst day {chance} seasons at once", chance=said)


def season_headline(outlook: Outlook, name: str) -> str:
    """The sentence over the bread chart; "runs out" only where most seasons are short from then on."""
    short, today = outlook.short_from, outlook.today or outlook.start
    if short is None:
        return say("The season model does not fit {name}: it cannot tell when bread is short.", name=name)
    if short.now:
        until = _ends(outlook, today)
        return say("{name} is short of bread now", name=name) + (
            say(", until about {day}.", day=day(until, today)) if until else "."
        )
    if short.middle is not None:
        until = _ends(outlook, short.middle)
        if until is not None:
            stays = say("stays short until about {day}", day=day(until, today))
            return say(
                "{name} runs out of bread about {day} and {stays}.",
                name=name,
                day=day(short.middle, today),
                stays=stays,
            )
        return say(
            "Half of the seasons leave {name} short of bread by about {day}.",
            name=name,
            day=day(short.middle, today),
        )
    if short.earliest is not None and short.earliest <= today:
        return say("{name} may be short of bread from today on.", name=name)
    if short.earliest is not None:
        return say(
            "{name} may fall short of bread, but not before {day}.", name=name, day=day(short.earliest, today)
        )
    return say("{name} is not short of bread before {day}.", name=name, day=day(short.not_before, today))


def _ends(outlook: Outlook, begins: date) -> date | None:
    """End of the spell of shortage that holds or closely follows ``begins``; None where there is none."""
    for spell in outlook.spells:
        if spell.start <= begins + CLOSE and begins <= spell.end:
            return spell.end
    return None
