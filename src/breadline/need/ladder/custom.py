"""The last rung: law and custom of the country."""

from __future__ import annotations

from datetime import timedelta

from breadline.language import say
from breadline.need.ladder.sight import Finding, Reason, Ruling, Sight

BROOD_CYCLE = timedelta(days=21)


def law_and_custom(sight: Sight) -> Finding:
    """Where good practice of the country is not to feed protein, the answer is no.

    A country without a source on the shelf is never answered with another's
    custom: the reason then names whom to ask.
    """
    law = sight.law
    if law.default == "no":
        reason = Reason(
            "Law and custom",
            say("{name}: the custom is not to feed protein. {why}", name=say(law.name), why=say(law.why)),
            "bad",
        )
        return Finding("law", (reason,), _against_custom(sight), sources=law.sources)
    if law.default == "by need":
        return Finding(
            "law",
            (Reason("Law and custom", say("{name}: {why}", name=say(law.name), why=say(law.why)), "ok"),),
            sources=law.sources,
        )
    where = (
        say("{name}: no source read on feeding protein", name=say(law.name))
        if law.name
        else say("No country given")
    )
    return Finding(
        "law",
        (
            Reason(
                "Law and custom",
                say("{where}; ask {inspector}", where=where, inspector=sight.inspector),
                "unknown",
            ),
        ),
    )


def _against_custom(sight: Sight) -> Ruling:
    law = sight.law
    return Ruling(
        "no_need",
        "no_need",
        say(
            "No: in {name} good practice is not to feed protein; no effect is shown, and feed "
            "can end in honey as foreign matter.",
            name=say(law.name),
        ),
        sight.today + BROOD_CYCLE,
        say("brood, bread and food, as at any look"),
        (say("Other advice from {inspector}.", inspector=sight.inspector),),
    )
