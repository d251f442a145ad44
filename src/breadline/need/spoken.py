"""The advice as plain lines, for the terminal, paper and the scenarios."""

from __future__ import annotations

from breadline.need.advice import Advice
from breadline.need.words import day

MARKS = {"ok": "+", "bad": "-", "unknown": "?"}


def spoken(advice: Advice) -> str:
    """The whole advice in plain text: sentence, reasons in order, what next."""
    lines = [advice.sentence, ""]
    lines += [f"  {MARKS[r.state]} {r.head}: {r.detail}" for r in advice.reasons]
    if advice.what_would_change:
        lines += ["", "What would change it:"]
        lines += [f"  {text}" for text in advice.what_would_change]
    if advice.look_again is not None:
        lines += ["", f"Look again {day(advice.look_again)}: {advice.look_again_for}."]
    if advice.cautions:
        lines += ["", "Mind:"]
        lines += [f"  {c.text} Ask: {c.ask}." for c in advice.cautions]
    return "\n".join(lines)
