"""How patties are cut and said: whole, half, quarter; pounds or grams; with or without a rim."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import say, say_counted
from breadline.measures import Units

QUARTERS = (0.25, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0)  # cuts that people make [patties]
LEAST_PATTY_G, MOST_PATTY_G = 50.0, 3000.0
GRAMS_A_POUND = 453.59237  # by definition of the international pound
_SIGNS = {0.125: "⅛", 0.25: "¼", 0.375: "⅜", 0.5: "½", 0.625: "⅝", 0.75: "¾", 0.875: "⅞"}
NEAR_ENOUGH = 0.03  # of a mass, that rounding may take or add [share]
_OUNCES = 16.0


@dataclass(frozen=True)
class Patty:
    """The patty that the pieces are cut from, or that they are counted in where they are weighed out."""

    mass_g: float  # [g]
    units: Units
    thickness_mm: float | None = None  # [mm]
    sold_g: float | None = None  # of the patty as sold, where pieces are weighed out of it [g]

    @property
    def whole_g(self) -> float:
        """Of one as it is bought and loaded [g]."""
        return self.mass_g if self.sold_g is None else self.sold_g

    def __post_init__(self) -> None:
        if not LEAST_PATTY_G <= self.mass_g <= MOST_PATTY_G:
            raise YardError(
                "mass of a patty",
                f"{self.mass_g:g} g",
                say("50 to 3,000 g"),
                say("If you typed pounds or ounces, give grams: 1 lb is 454 g"),
            )


def usual_patty(units: Units, reader: Reader) -> Patty:
    """The patty that most cut from, where the keeper named none: a pound, or 400 g."""
    key = "portion.patty_lb_g" if units == "lb" else "portion.patty_metric_g"
    return Patty(reader.typical(key), units)


def cut_down(could_eat_g: float, patty: Patty, most_patties: float) -> float:
    """The largest cut that is no more than the bees could eat; 0 where a quarter is too much [patties].

    Parameters
    ----------
    could_eat_g
        What the colony could eat while the piece lies. [g]
    patty
        The patty that is cut.
    most_patties
        Patties laid on a colony at a time. [patties]
    """
    room = min(could_eat_g / patty.mass_g, most_patties) + 1e-9
    return max((cut for cut in QUARTERS if cut <= room), default=0.0)


def cuttable(cut: float) -> bool:
    """Whether people cut such a piece: a quarter, a half, whole ones and halves [patties]."""
    return any(abs(cut - known) < 1e-3 for known in QUARTERS)


def smaller(cut: float) -> float:
    """The next smaller cut; a quarter goes to nothing [patties]."""
    return max((c for c in QUARTERS if c < cut - 1e-9), default=0.0)


def larger(cut: float, most_patties: float) -> float:
    """The next larger cut, up to ``most_patties`` [patties]."""
    return min((c for c in QUARTERS if cut + 1e-9 < c <= most_patties + 1e-9), default=cut)


def cut_words(cut: float, patty: Patty) -> str:
    """A piece [patties] as a crew says it: "½ patty (½ lb)", "¼ patty (100 g)", "1 lb (by weight)"."""
    if cut <= 0.0:
        return say("none")
    if patty.sold_g is not None:
        return say("{mass_words} (by weight)", mass_words=mass_words(cut * patty.mass_g, patty.units))
    each = mass_words(cut * patty.mass_g, patty.units)
    number = 1 if cut <= 1.0 else 2
    return say_counted("{n} patty ({each})", "{n} patties ({each})", number, n=_mixed(cut), each=each)


def cutting_words(cuts: Sequence[float], patty: Patty) -> str:
    """How pieces [patties] are weighed out of a patty not sold in their quarters; empty where it is.

    "By weight: a patty of 1½ lb makes 3 pieces of ½ lb, or 1 of 1 lb with ½ lb left; what is left goes on
    with the next."
    """
    if patty.sold_g is None:
        return ""
    said, over = [], False
    for n, cut in enumerate(sorted({cut for cut in cuts if cut > 0.0})):
        grams, each = cut * patty.mass_g, mass_words(cut * patty.mass_g, patty.units)
        many = int(patty.sold_g / grams + 1e-3)
        left = patty.sold_g - many * grams
        left = left if left > 0.02 * patty.sold_g else 0.0
        over = over or left > 0.0
        if not many:
            said.append(say("less than one of {each}", each=each))
            continue
        pieces = say("{n} of {each}", n=many, each=each)
        if not n:
            pieces = say_counted("{n} piece of {each}", "{n} pieces of {each}", many, each=each)
        rest = say(" with {left} left", left=mass_words(left, patty.units)) if left else ""
        said.append(f"{pieces}{rest}")
    next_one = say("; what is left goes on with the next") if over else ""
    whole = mass_words(patty.sold_g, patty.units)
    return say(
        "By weight: a patty of {whole} makes {pieces}{next_one}.",
        whole=whole,
        pieces=say(", or ").join(said),
        next_one=next_one,
    )


def mass_words(grams: float, units: Units) -> str:
    """A mass as it is weighed out [g].

    Pounds: to the quarter below 3 lb, else whole; with ounces below 10 lb where that would be off by more
    than 3 in 100; ounces below a quarter pound. Grams: to
    10 g below a kilogram (to 5 g from 100 g to a quarter), to 100 g below ten, else whole kilograms.
    """
    if units == "g":
        if grams >= 9950.0:
            return f"{round(grams / 1000.0):,d} kg"
        step = 5.0 if 100.0 <= grams < 245.0 else 10.0 if grams < 995.0 else 100.0
        return f"{round(grams / step) * int(step):,d} g"
    pounds = grams / GRAMS_A_POUND
    quarters = round(pounds * 4.0)
    near = round(pounds) if pounds >= 3.0 else quarters / 4.0
    if 1.0 <= pounds < 10.0 and abs(near - pounds) > NEAR_ENOUGH * pounds:
        full, ounces = divmod(round(pounds * _OUNCES), int(_OUNCES))
        return f"{full} lb {ounces} oz" if ounces else f"{full} lb"
    if pounds >= 3.0:
        return f"{round(pounds):,d} lb"
    if quarters == 0 or (pounds < 1.0 and abs(pounds * 4.0 - quarters) > 0.1):
        return f"{round(pounds * _OUNCES)} oz"
    whole, rest = divmod(quarters, 4)
    part = ("", "¼", "½", "¾")[rest]
    return f"{whole if whole or not part else ''}{part} lb"


def load_words(grams: float, units: Units) -> str:
    """A mass as it is loaded: as it is weighed out, and never less than is wanted [g]."""
    if units == "g":
        step = (
            5.0 if 100.0 <= grams < 245.0 else 10.0 if grams < 995.0 else 100.0 if grams < 9950.0 else 1000.0
        )
    else:
        pounds = grams / GRAMS_A_POUND
        step = GRAMS_A_POUND / (_OUNCES if pounds < 1.0 else 4.0 if pounds < 3.0 else 1.0)
    return mass_words(ceil(grams / step - 1e-6) * step, units)


def _mixed(cut: float) -> str:
    whole, part = int(cut), _SIGNS.get(round(cut % 1.0 * 8) / 8, "")
    return f"{whole if whole or not part else ''}{part}"


@dataclass(frozen=True)
class Rim:
    """Whether a rim is needed over the frames, and why."""

    needed: bool
    height_mm: float  # [mm]
    sentence: str


def rim(patty: Patty, beetles_about: bool, reader: Reader) -> Rim:
    """A rim for a patty too thick for the gap, and wherever bees have to patrol it for beetles.

    Common practice, no source, for the height; [mangum2018] for what fits without.
    """
    height, fits = reader.typical("portion.rim_mm"), reader.typical("portion.fits_mm")
    of = say("a ¾ in (19 mm)") if height == 19.0 else say("a {height:g} mm", height=height)
    size = say("{size} rim over the frames", size=of)
    thick = patty.thickness_mm is not None and patty.thickness_mm > fits
    if thick:
        return Rim(
            True,
            height,
            say(
                "Use {size}: over {fits:g} mm thick it does not fit between the boxes.", size=size, fits=fits
            ),
        )
    if beetles_about:
        return Rim(
            True,
            height,
            say("Use {size}, so that bees can walk all round the piece; take it off after.", size=size),
        )
    return Rim(False, height, say("No rim needed: up to {fits:g} mm fits between the boxes.", fits=fits))
