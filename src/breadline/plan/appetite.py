"""What a colony eats of a protein feed: milligrams a bee a day × bees × days."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtri

from breadline.errors import FigureError, YardError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.pollen_loads import bee_eats_mg
from breadline.span import FloatArray

KEY = "appetite.mg_bee_day"
QUANTILES = 999  # odd, so that the middle one is the shelf's typical value
JUST = 1e-9  # what arithmetic may lose at the ends of the band
MICROGRAMS = 1000.0  # µg in a mg: the slip that the error names


@dataclass(frozen=True)
class Appetite:
    """What a bee of the colony eats in a day, all bees of the colony counted.

    Sources: [brodschneider2010] for the shipped range; a colony's own visits come before it.
    """

    mg_bee_day: FloatArray  # one value a draw, shape (draws,) [mg/day]
    told_by: str  # what it rests on, in words

    @property
    def typical(self) -> float:
        """The middle draw [mg/day]."""
        return float(np.median(self.mg_bee_day))

    def eaten_g(self, bees: float, days: float) -> FloatArray:
        """What so many bees eat in so many days, shape (draws,) [g]."""
        return eaten_g(bees, self.mg_bee_day, days)

    def clears(self, portion_g: float, bees: float, days: float) -> float:
        """Share of the draws in which the portion of ``portion_g`` [g] is gone in ``days`` [days] [share]."""
        return float(np.mean(self.eaten_g(bees, days) >= portion_g))


def shipped_appetite(reader: Reader) -> Appetite:
    """What published colonies ate: evenly spaced quantiles, held inside the band of what is possible.

    No dice: the same shelf gives the same portion, whoever asks.
    """
    least, most = band(reader)
    mg = np.clip(reader.span(KEY).at(_scores()), least, most)
    return Appetite(mg, say("what small trial colonies were seen to eat"))


def own_appetite(mg_bee_day: float, reader: Reader) -> Appetite:
    """A keeper's own figure of ``mg_bee_day`` [mg/day], with the spread from visit to visit.

    Errors: FigureError if no colony can eat so little or so much.
    """
    return Appetite(_about(possible(mg_bee_day, reader), reader), say("your own figure"))


def _scores() -> FloatArray:
    """Normal scores of evenly spaced quantiles, shape (QUANTILES,) [1]."""
    return np.asarray(ndtri((np.arange(QUANTILES) + 0.5) / QUANTILES))


def _about(mg: float, reader: Reader) -> FloatArray:
    """One colony's appetite as it varies from visit to visit, inside the band [mg/day]."""
    least, most = band(reader)
    return np.clip(mg * np.exp(reader.typical("appetite.visit_log_sd") * _scores()), least, most)


def band(reader: Reader) -> tuple[float, float]:
    """Least and most that a bee can be planned to eat in a day, of colonies that take the feed [mg/day].

    Published rates over all diets span about 1 to 7 mg; see ``docs/method/portions.md``
    for the two that lie below.
    """
    return reader.figure(KEY).bounds


def possible(mg_bee_day: float, reader: Reader) -> float:
    """The same appetite, if a colony can have it [mg/day].

    Errors: FigureError outside the band; it names the slip of the unit where there may be one.
    """
    least, most = band(reader)
    if least <= mg_bee_day <= most:
        return mg_bee_day
    raise FigureError(
        "appetite",
        say("{mg_bee_day:g} mg a bee a day is not possible", mg_bee_day=mg_bee_day),
        say("{least:g} to {most:g} mg a bee a day", least=least, most=most),
        _slip(mg_bee_day, least, most),
    )


def _slip(mg: float, least: float, most: float) -> str:
    if least <= mg * MICROGRAMS <= most:
        return say(
            "If you typed grams a bee ({mg:g}), enter milligrams ({mg2:g})", mg=mg, mg2=mg * MICROGRAMS
        )
    if least <= mg / MICROGRAMS <= most:
        return say(
            "If you typed micrograms a bee ({mg:g}), enter milligrams ({mg2:g})", mg=mg, mg2=mg / MICROGRAMS
        )
    if mg > most:
        return say("If you typed grams a colony, divide by its bees: 50 g over 20,000 bees is 2.5 mg a bee")
    return say("A colony that takes less is not taking the feed: find out why before you plan more of it")


def eaten_g(bees: float, mg_bee_day: FloatArray | float, days: float) -> FloatArray:
    """What so many bees eat in so many days; the shape of ``mg_bee_day``.

    Parameters
    ----------
    bees
        All adult bees of the colony. [bees]
    mg_bee_day
        What one of them eats. [mg/day]
    days
        How long the piece lies. [days]

    Returns
    -------
    FloatArray
        Feed eaten. [g]

    Errors
    ------
    YardError
        If there are less than no bees, or the days run backwards.
    """
    if not bees >= 0.0 or not np.isfinite(bees):
        raise YardError(
            "bees of the colony", f"{bees}", say("0 or more"), say("Count the frames of bees again")
        )
    if not days >= 0.0:
        raise YardError("days that the piece lies", f"{days}", say("0 or more"))
    return np.asarray(bees * np.asarray(mg_bee_day, dtype=np.float64) / 1000.0 * days)


def clears_a_day_g(portion_g: float, days: float) -> float:
    """What a colony eats a day that clears a portion [g] in so many days [g/day].

    Errors: YardError if it took no time at all.
    """
    if not days > 0.0:
        raise YardError("days from laying on to the visit", f"{days}", say("more than 0 days"))
    return portion_g / days


@dataclass(frozen=True)
class SeenToEat:
    """What a visit tells of a colony's appetite."""

    mg_bee_day: float  # [mg/day]
    at_least: bool  # nothing was left: it may have eaten faster
    taken: bool  # False where it ate less than colonies that take their feed


def seen_to_eat(given_g: float, left_g: float, days: float, bees: float, reader: Reader) -> SeenToEat:
    """What the bees ate between two visits, worked back to one bee.

    Parameters
    ----------
    given_g, left_g
        The piece when it was laid on, and what was left of it. [g]
    days
        Between the two visits. [days]
    bees
        All adult bees of the colony. [bees]

    Errors
    ------
    YardError
        If more was left than given, or nothing was given.
    FigureError
        If so few bees cannot have eaten so much in that time.
    """
    if not 0.0 <= left_g <= given_g or given_g == 0.0:
        raise YardError(
            "leftover",
            say("{left_g:g} g of {given_g:g} g", left_g=left_g, given_g=given_g),
            say("no more left than was given"),
        )
    mg = bee_eats_mg(clears_a_day_g(given_g - left_g, days), bees)
    least, most = band(reader)
    if mg > most * (1.0 + JUST):
        raise FigureError(
            "appetite",
            say("{bees:,.0f} bees would each have eaten {mg:.1f} mg a day", bees=bees, mg=mg),
            say("up to {most:g} mg a bee a day", most=most),
            say(
                "Look whether mice or another colony took it, whether it fell down, and count the bees again"
            ),
        )
    return SeenToEat(mg, at_least=left_g == 0.0, taken=mg >= least * (1.0 - JUST))


def learned(before: Appetite, seen: SeenToEat, reader: Reader) -> Appetite | None:
    """The appetite to plan the next piece with, after a visit; None where the feed is not taken.

    A piece that was all gone tells only how much at least: of what was thought before,
    the part at or above that stays. A leftover tells it, but for the spread between visits.
    """
    if not seen.taken and not seen.at_least:
        return None
    if not seen.at_least:
        return Appetite(_about(seen.mg_bee_day, reader), say("what this colony was seen to eat"))
    still = before.mg_bee_day[before.mg_bee_day >= seen.mg_bee_day]
    mg = still if still.size else _about(seen.mg_bee_day, reader)
    return Appetite(
        mg, say("{told_by}, and that this colony eats at least what it was given", told_by=before.told_by)
    )
