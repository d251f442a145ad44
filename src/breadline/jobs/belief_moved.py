"""What own check groups made of the belief under which a plan was chosen, in a sentence."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from breadline.belief.carried import Carried
from breadline.belief.gain import Situation, by_per_cent
from breadline.language import say


def belief_moved(belief: Mapping[str, Any], learnt: Mapping[Situation, Carried]) -> str:
    """Then and now, in the middle case; empty where no own season came to it or went from it.

    Parameters
    ----------
    belief
        As it is kept with a plan: situation, fed over unfed bees [ratio], number of own seasons.
    learnt
        What own check groups taught by now.
    """
    gain, seasons = belief.get("fed_over_unfed"), int(belief.get("own_seasons") or 0)
    now = next((one for situation, one in learnt.items() if situation == belief.get("situation")), None)
    if not gain or seasons == (0 if now is None else len(now.results)):
        return ""
    then = by_per_cent(float(gain[1]))
    if now is None:
        return say(
            "Feeding was then believed to bring {then} bees; what your own check groups taught of it was "
            "taken back.",
            then=then,
        )
    return say(
        "Feeding was then believed to bring {then} bees; after your own check groups it is {now}.",
        then=then,
        now=by_per_cent(math.exp(now.next_after.middle)),
    )
