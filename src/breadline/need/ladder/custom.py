"""The last rung: law and custom of the country."""

from __future__ import annotations

from datetime import timedelta

from breadline.need.ladder.sight import Finding, Reason, Ruling, Sight

BROOD_CYCLE = timedelta(days=21)


def law_and_custom(sight: Sight) -> Finding:
    """Where good practice of the country is not to feed protein, the answer is no.

    A country without a source on the shelf is never answered with another's
    custom: the reason then names whom to ask.
    """
    law = sight.law
    if law.default == "no":
        reason = Reason("Law and custom", f"{law.name}: the custom is not to feed protein. {law.why}", "bad")
        return Finding("law", (reason,), _against_custom(sight), sources=law.sources)
    if law.default == "by need":
        return Finding(
            "law", (Reason("Law and custom", f"{law.name}: {law.why}", "ok"),), sources=law.sources
        )
    where = f"{law.name}: no source read on feeding protein" if law.name else "No country given"
    return Finding("law", (Reason("Law and custom", f"{where}; ask {sight.inspector}", "unknown"),))


def _against_custom(sight: Sight) -> Ruling:
    law = sight.law
    return Ruling(
        "no_need",
        "no_need",
        f"No: in {law.name} good practice is not to feed protein; no effect is shown, and feed can end in "
        "honey as foreign matter.",
        sight.today + BROOD_CYCLE,
        "brood, bread and food, as at any look",
        (f"Other advice from {sight.inspector}.",),
    )
