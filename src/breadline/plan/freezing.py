"""How long a frame has to be frozen against wax moth and hive beetle.

Hours count from when the comb itself is as cold as the freezer. Between two rows of the
published table the warmer row's longer time holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.words import warmth

Pest = Literal["wax_moth", "hive_beetle"]
Row = tuple[float, str]
ROWS: dict[Pest, tuple[Row, ...]] = {  # (at or below °C, key of the hours), the coldest first
    "wax_moth": (
        (-15.0, "freezing.wax_moth_15_h"),
        (-12.0, "freezing.wax_moth_12_h"),
        (-7.0, "freezing.wax_moth_7_h"),
        (0.0, "freezing.wax_moth_0_h"),
    ),
    "hive_beetle": ((-18.0, "freezing.beetle_18_h"),),
}
PEST_WORDS: dict[Pest, str] = {"wax_moth": noted("wax moth"), "hive_beetle": noted("hive beetle")}
AS_SHOWN = 0.25  # a thermometer that shows 0 °F stands at −17.8 °C, and the table's rows are rounded [°C]


def least_hours(pest: Pest, core_c: float, reader: Reader) -> float | None:
    """Hours with the comb at ``core_c`` [°C] that kill every stage; None where it is not cold enough [hours].

    Sources: [coloss_waxmoth] for wax moth; for the beetle a seller's page [frames_seller] and our judgement.
    """
    for at_most, key in ROWS[pest]:
        if core_c <= at_most + AS_SHOWN:
            return reader.typical(key)
    return None


def freezer_hours(pests: Sequence[Pest], freezer_c: float, reader: Reader) -> float:
    """Hours in the freezer against all of ``pests``, the cooling of the comb included [hours].

    Parameters
    ----------
    freezer_c
        As the freezer's thermometer shows. [°C]

    Errors
    ------
    YardError
        If the freezer is not cold enough for one of them.
    """
    hours = 0.0
    for pest in pests:
        least = least_hours(pest, freezer_c, reader)
        if least is None:
            coldest = max(at for at, _ in ROWS[pest])
            raise YardError(
                "freezer",
                say(
                    "{warmth} does not kill {pest_words}",
                    warmth=warmth(freezer_c),
                    pest_words=say(PEST_WORDS[pest]),
                ),
                say("{warmth} or colder", warmth=warmth(coldest)),
                say("Set it colder, or look whether you typed °F for °C"),
            )
        hours = max(hours, least)
    return hours + reader.span("freezing.core_h").high if pests else 0.0
