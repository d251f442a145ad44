"""How a mix keeps: the activity of its water, reckoned from sugar and water, and what that allows to grow.

Norrish's equation for one solute: a = x_w · exp(−K · x_s²), x the shares of molecules. All sugar counts as
sucrose, and no other solute counts: honey, invert and high-fructose syrups, salts and protein bind more, so
the answer is the highest that is likely. Sugar beyond what water dissolves lies as crystals and is left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.ration.analysis import Analysis

SUCROSE_G_PER_MOL, WATER_G_PER_MOL = 342.30, 18.015  # molar masses [g/mol]
_STORAGE = {
    "dry": noted("It keeps as flour does: dry, cool, dark, closed, and away from moths and mice."),
    "syrup-like": noted(
        "Wrap it so that it neither dries nor draws damp, keep it cool, and "
        "freeze what the round after next will need; look and smell before use."
    ),
    "moist": noted(
        "Mix it for one round, keep it cold and wrapped, and freeze what is left over the same day."
    ),
    "wet": noted("It spoils within days: mix it for the day, or freeze it at once."),
}


@dataclass(frozen=True)
class Keeping:
    """How a mix keeps.

    ``activity`` is the activity of its water [1], ``None`` where the mix is too dry for a solution;
    ``step`` says in one word which storage goes with it.
    """

    activity: Content | None
    step: str  # dry, syrup-like, moist or wet
    grows: str
    storage: str  # our judgement
    blank: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """As it is told."""
        said = f"{self.grows} {self.storage}"
        if self.activity is None:
            return said
        return f"{said} {say('(Activity of its water: {told}.)', told=_told(self.activity))}"


def activity_of_syrup(sucrose_g: float, water_g: float, norrish_k: float) -> float:
    """Activity of water in a sucrose syrup, all dissolved. [1]

    Parameters
    ----------
    sucrose_g, water_g
        Their weights. [g]
    norrish_k
        The constant of sucrose. [1]

    Errors
    ------
    RecipeError
        If there is no water, or a weight is below 0.

    Sources
    -------
    [norrish1966] for the equation, [baeza2010] where it was read.
    """
    if not (water_g > 0 and sucrose_g >= 0):
        raise RecipeError(
            "syrup",
            say(
                "{sucrose_g:g} g sugar in {water_g:g} g water is no syrup",
                sucrose_g=sucrose_g,
                water_g=water_g,
            ),
            say("some water"),
        )
    sugar, water = sucrose_g / SUCROSE_G_PER_MOL, water_g / WATER_G_PER_MOL
    share = sugar / (sugar + water)
    return (1.0 - share) * math.exp(-norrish_k * share * share)


def keeping(analysis: Analysis, reader: Reader) -> Keeping:
    """How the mix keeps, from its sugar and water; the shelf's ``analysis.*`` figures."""
    sugars, water = analysis.amounts["sugars"], analysis.amounts["water"]
    blank = tuple(dict.fromkeys(water.blank + sugars.blank))
    dry = reader.typical("analysis.dry_mix_water_pct")
    if water.content.high < dry:
        return Keeping(None, "dry", say("Too dry for most things to grow."), say(_STORAGE["dry"]), blank)
    k, most = reader.typical("analysis.norrish_sucrose"), reader.typical("analysis.sucrose_dissolves")
    low = _activity(sugars.content.high, max(water.content.low, 1e-9), k, most)
    high = _activity(sugars.content.low, water.content.high, k, most)
    step, grows = _step(round(high, 2), reader)
    return Keeping(Content(low, high), step, grows, say(_STORAGE[step]), blank)


def _activity(sugar: float, water: float, k: float, dissolves: float) -> float:
    return activity_of_syrup(min(sugar, dissolves * water), water, k)


def _step(activity: float, reader: Reader) -> tuple[str, str]:
    """By the highest activity that is likely."""
    if activity < reader.typical("analysis.moulds_stop"):
        return "dry", say("Nothing grows in it while it stays that dry.")
    if activity <= reader.typical("analysis.disease_germs_stop"):
        return "syrup-like", say("Bacteria do not grow in it; yeasts and moulds of sugar can.")
    if activity <= reader.typical("analysis.bacteria_stop"):
        return "moist", say("Most bacteria are held back; yeasts and moulds grow in it.")
    return "wet", say("Bacteria, yeasts and moulds grow in it.")


def _told(activity: Content) -> str:
    low, high = round(activity.low, 2), round(activity.high, 2)
    return (
        say("about {high:.2f} at most", high=high)
        if low == high
        else say("{low:.2f} to {high:.2f}", low=low, high=high)
    )
