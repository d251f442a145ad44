"""What the forms about feed offer to choose from: the word of a recipe file, and what a reader sees."""

from __future__ import annotations

from breadline.language import noted, say

RAYS = (("gamma", noted("gamma rays")), ("electron beam", noted("electron beam")))
OF_A_LABEL = (
    ("as fed", noted("the feed as fed, as it comes out of the bag")),
    ("dry matter", noted("its dry matter")),
)
OF_AN_INGREDIENT = (("as fed", noted("the feed as fed")), ("dry matter", noted("its dry matter")))
YES_NO = (("yes", noted("yes")), ("no", noted("no")))
Choices = tuple[tuple[str, str], ...]


def said(choices: Choices) -> list[tuple[str, str]]:
    """Choices in this language."""
    return [(value, say(words)) for value, words in choices]
