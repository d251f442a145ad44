"""Where each number of a colony lies in a block of the compiled season model.

A block ``b`` has shape (ROWS, LANES): a row a number, a column a member. Ages first,
then single numbers, what does not change, today's sky and what a day leaves behind.
"""

from __future__ import annotations

from dataclasses import fields

from breadline.need.season import COURSE, FLOWS
from breadline.need.season_signal import Laying
from breadline.need.season_traits import TRAITS

EGG, LARVA, SEALED, YOUNG, WANTED = 0, 3, 9, 21, 31
HIVE, FIELD, STORE, RESERVE, SIGNAL, SIGNAL_UNFED, LEAN, PATTY = range(40, 48)
STATE_ROWS = 48
AGED = {"egg": EGG, "larva": LARVA, "sealed": SEALED, "young": YOUNG, "wanted": WANTED}
SINGLE = {
    "hive": HIVE,
    "field": FIELD,
    "store": STORE,
    "reserve": RESERVE,
    "signal": SIGNAL,
    "signal_unfed": SIGNAL_UNFED,
    "lean": LEAN,
    "patty": PATTY,
}

FIXED = (*(f.name for f in fields(Laying)), *TRAITS)  # worked out once a member
(WINTER, LITTLE, D50, KD, STEEP, LMAX, V, C0, ALPHA, BRAKE, DEM0, REWARDED, HALF_RETURN,
 ALIVE, MU0, RISK, SITE, TRIP, PMIN, PMAX, RD, SR, LARVA_G, LARVAE_A_G, YOUNG_G, OLDER_G,
 HOLDS_G, EGG_G, EGGS_A_G, SPEND, THRIFT, FOLLOW, MOST_G, LEAST_G, RHO, EQUIVALENCE,
 FEED_A_G) = range(STATE_ROWS, STATE_ROWS + len(FIXED))  # fmt: skip

SKY = STATE_ROWS + len(FIXED)  # flight hours, pollen, its quality, nectar
FLIGHT_H, POLLEN, QUALITY, NECTAR = range(SKY, SKY + 4)
OUT = SKY + 4  # the fields of ``Course``
ADULTS, BROOD, SEALED_ALL, EMERGED, REACH_G, NEED_G, EATEN_G, STORE_G, INCOME_G = range(
    OUT, OUT + len(COURSE)
)
KEPT = OUT + len(COURSE)  # the fields of ``Flows``
(BREAD, HELD, INCOME, USEFUL, BACK, ATE, GIVEN, UNUSED, SPILLED, LEFT) = range(KEPT, KEPT + len(FLOWS))
HAD, WORST = KEPT + len(FLOWS), KEPT + len(FLOWS) + 1
(YOUNG_ALL, LARVAE, IN_HIVE, A_BEE, ADULT_NEED, NEED, FOR_POLLEN, POTENTIAL, OFFERED, WISH) = range(
    WORST + 1, WORST + 11
)
ROWS = WORST + 11
