"""Which remarks on a feed go on its batch sheet: what the mixing room must mind, and no more."""

from __future__ import annotations

from collections.abc import Iterable

from breadline.errors import RecipeError
from breadline.language import noted, say
from breadline.ration.remark import Remark

NO_DRUGS = noted("No drugs in this batch: medicated feed is a veterinarian’s business.")
# notes that are about mixing and keeping; all other notes are about the recipe, and stay on the screen
AT_THE_MIXER = ("allergens", "syrup_fresh", "pollen_own", "pollen_dose_enough")
TOGETHER = ("dust", "sparks")
HANDS = ("allergens", *TOGETHER)  # the mixer's own health


def mixing_room_lines(remarks: Iterable[Remark]) -> tuple[str, ...]:
    """Cautions, then allergens and dust, then that there are no drugs in it.

    Errors
    ------
    RecipeError
        If one of the remarks is a refusal: then there is no batch, and no sheet.
    """
    told = tuple(remarks)
    for remark in told:
        if remark.level == "refuse":
            raise RecipeError(
                "batch sheet",
                remark.line,
                say("a feed that nothing speaks against"),
                say("Ask {ask}", ask=remark.ask) if remark.ask else say("See the Feed page"),
            )
    cautions = [remark.line for remark in told if remark.level == "caution"]
    notes = [remark.line for key in AT_THE_MIXER for remark in told if remark.key == key]
    dusty = " ".join(remark.line for key in TOGETHER for remark in told if remark.key == key)
    return tuple(line for line in (*cautions, *notes, dusty, say(NO_DRUGS)) if line)
