"""What the season model misses in a situation, said from the result of its own check."""

from __future__ import annotations

from breadline.knowledge.season_checks import Checked, SeasonChecks, Situation

# What a check is of, and whether it is a share; bees otherwise.
SAID = {
    "march_adults": ("bees alive in March", False),
    "winter_reared": ("bees reared in winter among those alive in March", True),
    "syrup_only_brood": ("colonies on syrup alone that keep brood through four months without pollen", True),
    "fed_brood": ("fed colonies that keep brood through the same months", True),
}


def missed_words(situation: Situation, checks: SeasonChecks) -> str:
    """A clause: "held against published counts the season model has too many …" and how far off it is."""
    missed = checks.missed(situation)
    if not missed:
        return "the season model was not held against published counts there"
    has = " and ".join(_off(one) for one in missed)
    return f"held against published counts the season model has {has}"


def _off(one: Checked) -> str:
    what, share = SAID.get(one.key, (one.meaning, False))
    way = "too many" if one.model > one.published else "too few"
    model, counted = (_amount(value, share) for value in (one.model, one.published))
    return f"{way} {what} ({model}, counted {counted})"


def _amount(value: float, share: bool) -> str:
    return f"{round(100 * value)} in 100" if share else f"{round(value, -2):,.0f}"
