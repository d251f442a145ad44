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
CONTENTS = (
    noted("water"), noted("fat"), noted("ash"), noted("fibre"), noted("sugars"), noted("lactose"),
    noted("starch"), noted("linoleic"), noted("linolenic"), noted("sodium"), noted("potassium"),
    noted("calcium"), noted("phosphorus"), noted("zinc"),
)  # fmt: skip
TRAITS = (
    noted("syrup"), noted("sugar"), noted("oil"), noted("soy"), noted("raw soy"), noted("dairy"),
    noted("yeast"), noted("live yeast"), noted("egg"), noted("salty"), noted("pollen"), noted("honey"),
    noted("powder"), noted("acid"), noted("wheat"), noted("raw pulse"),
)  # fmt: skip
Choices = tuple[tuple[str, str], ...]


def said(choices: Choices) -> list[tuple[str, str]]:
    """Choices in this language."""
    return [(value, say(words)) for value, words in choices]


def content(name: str) -> str:
    """One of ``NUTRIENTS`` as the head of a line: "Fat"."""
    return say(name).capitalize()


def content_in(name: str, unit: str) -> str:
    """The same with its unit: "Fat, %"; ``unit`` as in ``NUTRIENTS``."""
    if unit == "g":
        return say("{what}, %", what=content(name))
    return say("{what}, mg/100 g", what=content(name))
