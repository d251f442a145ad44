"""The advice as plain lines, for the terminal, paper and the scenarios."""

from __future__ import annotations

from breadline.language import say
from breadline.need.advice import Advice
from breadline.need.words import day

MARKS = {"ok": "+", "bad": "-", "unknown": "?"}


def spoken(advice: Advice) -> str:
    """The whole advice in plain text: sentence, reasons in order, what next."""
    lines = [advice.sentence, ""]
    lines += [f"  {MARKS[r.state]} {say(r.head)}: {r.detail}" for r in advice.reasons]
    if advice.what_would_change:
        lines += ["", say("What would change it:")]
        lines += [f"  {text}" for text in advice.what_would_change]
    if advice.look_again is not None:
        lines += [
            "",
            say(
                "Look again {day}: {look_again_for}.",
                day=day(advice.look_again),
                look_again_for=advice.look_again_for,
            ),
        ]
    if advice.cautions:
        lines += ["", "Mind:"]
        lines += [say("  {text} Ask: {ask}.", text=c.text, ask=c.ask) for c in advice.cautions]
    return "\n".join(lines)
