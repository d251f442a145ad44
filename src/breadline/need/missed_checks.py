"""What the season model misses in a situation, said from the result of its own check."""

from __future__ import annotations

from breadline.knowledge.season_checks import Checked, SeasonChecks, Situation
from breadline.language import noted, say

# What a check is of, and whether it is a share; bees otherwise.
SAID = {
    "march_adults": (noted("bees alive in March"), False),
    "winter_reared": (noted("bees reared in winter among those alive in March"), True),
    "syrup_only_brood": (
        noted("colonies on syrup alone that keep brood through four months without pollen"),
        True,
    ),
    "fed_brood": (noted("fed colonies that keep brood through the same months"), True),
}


def missed_words(situation: Situation, checks: SeasonChecks) -> str:
    """A clause: "held against published counts the season model has too many …" and how far off it is."""
    missed = checks.missed(situation)
    if not missed:
        return say("the season model was not held against published counts there")
    has = say(" and ").join(_off(one) for one in missed)
    return say("held against published counts the season model has {has}", has=has)


def _off(one: Checked) -> str:
    what, share = SAID.get(one.key, (one.meaning, False))
    what = say(what)
    way = say("too many") if one.model > one.published else say("too few")
    model, counted = (_amount(value, share) for value in (one.model, one.published))
    return say("{way} {what} ({model}, counted {counted})", way=way, what=what, model=model, counted=counted)


def _amount(value: float, share: bool) -> str:
    return say("{n} in 100", n=round(100 * value)) if share else f"{round(value, -2):,.0f}"
