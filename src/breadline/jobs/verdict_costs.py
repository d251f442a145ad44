"""Which cost a verdict takes: what fed colonies got more than the check group, by what that got."""

from __future__ import annotations

from breadline.language import noted, say
from breadline.trial.design import CheckArm

COST = {
    CheckArm.SAME_CARE: noted("what feeding one colony cost"),
    CheckArm.HALF: noted("what the second half of the feed cost a colony"),
    CheckArm.SUGAR: noted("what the protein feed cost a colony more than the sugar patty"),
    CheckArm.USUAL: noted("what feeding cost a colony more than usual practice"),
}
ASKED = {  # the same as the head of a field
    CheckArm.SAME_CARE: noted("What feeding one colony cost"),
    CheckArm.HALF: noted("What the second half of the feed cost a colony"),
    CheckArm.SUGAR: noted("What the protein feed cost a colony more than the sugar patty"),
    CheckArm.USUAL: noted("What feeding cost a colony more than usual practice"),
}
HEAD = {  # of the cost among the numbers of an answer
    CheckArm.SAME_CARE: noted("Cost of feeding"),
    CheckArm.HALF: noted("Cost of the second half"),
    CheckArm.SUGAR: noted("Cost more than sugar"),
    CheckArm.USUAL: noted("Cost more than usual"),
}
TAKEN = {  # said with every answer
    CheckArm.HALF: noted(
        "The cost counts as that of the second half alone: what the full rate cost a colony more than half "
        "the rate, with no trip that both needed."
    ),
    CheckArm.SUGAR: noted(
        "The cost counts as what the protein feed cost a colony more than the sugar patty, with no trip that "
        "both needed."
    ),
    CheckArm.USUAL: noted(
        "The cost counts as what feeding cost a colony more than usual practice, with no trip that both "
        "needed."
    ),
}
COVERS = {  # said at the draw
    CheckArm.HALF: noted("What it pays from has to cover the second half of the feed alone."),
    CheckArm.SUGAR: noted(
        "What it pays from has to cover what the protein feed costs more than the sugar patty."
    ),
    CheckArm.USUAL: noted("What it pays from has to cover what feeding costs more than usual practice."),
}


def cost_taken(arm: CheckArm, cost: float | None) -> tuple[str, ...]:
    """What a typed cost was taken for, where not all of feeding is compared; nothing where none was typed."""
    return () if cost is None or arm not in TAKEN else (say(TAKEN[arm]),)


def has_to_cover(arm: CheckArm) -> tuple[str, ...]:
    """What the break-even has to cover, where not all of feeding is compared."""
    return (say(COVERS[arm]),) if arm in COVERS else ()
