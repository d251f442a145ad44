"""The eight questions of the short path, in the order of the ladder."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from breadline.errors import YardError
from breadline.language import noted, say
from breadline.need.words import MONTHS
from breadline.need.yard import PollenSeen

BREAD_NOT_SEEN = "not seen"


@dataclass(frozen=True)
class Choice:
    """One answer that can be tapped."""

    key: str
    words: str
    means: Any
    said: str = ""  # the reason in the keeper's words, where a number would be made up


@dataclass(frozen=True)
class Question:
    """One question and its answers."""

    key: str
    words: str
    hint: str
    choices: tuple[Choice, ...]

    def choice(self, key: str) -> Choice:
        """The choice of that key.

        Errors
        ------
        YardError
            If it was not offered.
        """
        for choice in self.choices:
            if choice.key == key:
                return choice
        offered = ", ".join(choice.key for choice in self.choices)
        raise YardError(
            say(self.words), say('"{key}" is not one of the answers', key=key), offered, say("Choose one")
        )


@dataclass(frozen=True)
class Brood:
    """What the look at the brood says of disease and queens."""

    foulbrood: bool | None = None
    laying: int | None = None
    looked: int | None = None


@dataclass(frozen=True)
class Flying:
    """What the bees do today."""

    pollen: PollenSeen | None
    arcs: bool | None = None
    outside_c: float | None = None  # stands for "too cold" or "warm enough"; never shown


# Only the half of the year and the country's law hang on the place here: the first
# pollen is asked for itself.
NORTH, SOUTH = 45.0, -38.0
COLD_C, WARM_C = 2.0, 15.0

QUESTIONS: tuple[Question, ...] = (
    Question(
        "where",
        noted("Where are the hives?"),
        noted("Law and custom differ."),
        (
            Choice("US", noted("United States"), (NORTH, "US")),
            Choice("CA", noted("Canada"), (NORTH, "CA")),
            Choice("GB", noted("United Kingdom"), (NORTH, "GB")),
            Choice("DE", noted("Germany"), (NORTH, "DE")),
            Choice("AU", noted("Australia"), (SOUTH, "AU")),
            Choice("NZ", noted("New Zealand"), (SOUTH, "NZ")),
            Choice("north", noted("Elsewhere, north of the equator"), (NORTH, None)),
            Choice("south", noted("Elsewhere, south of the equator"), (SOUTH, None)),
        ),
    ),
    Question(
        "brood",
        noted("What does the brood look like?"),
        "",
        (
            Choice(
                "well",
                noted("Eggs and healthy brood in every hive"),
                Brood(False, 2, 2),
                noted("Eggs in every hive"),
            ),
            Choice(
                "no_eggs",
                noted("A hive without eggs, in their season"),
                Brood(False, 1, 2),
                noted("A hive without eggs"),
            ),
            Choice("sick", noted("Sunken caps, ropy larvae or a foul smell"), Brood(True)),
            Choice("not_seen", noted("Have not looked, or too cold to open"), Brood()),
        ),
    ),
    Question(
        "mites",
        noted("Mites on 100 bees, by a wash or roll this month?"),
        "",
        (
            Choice("low", noted("0 or 1"), 1.0, noted("0 or 1 per 100 bees")),
            Choice("two", "2", 2.0),
            Choice("high", noted("3 or more"), 3.0, noted("3 or more per 100 bees")),
            Choice("not_tested", noted("Not tested"), None),
        ),
    ),
    Question(
        "honey",
        noted("Lift the back of each hive: how heavy?"),
        "",
        (
            Choice("enough", noted("All heavy"), "enough"),
            Choice("light", noted("One or more is light"), "light"),
            Choice("not_lifted", noted("Have not lifted"), None),
        ),
    ),
    Question(
        "bees",
        noted("How many combs are covered with bees?"),
        noted("Smallest hive; both sides covered count as one."),
        (
            Choice("2", noted("About 2"), 2.0),
            Choice("4", noted("About 4"), 4.0),
            Choice("6", noted("About 6"), 6.0),
            Choice("8", noted("About 8"), 8.0),
            Choice("10", noted("10 or more"), 10.0),
            Choice("not_seen", noted("Have not looked"), None),
        ),
    ),
    Question(
        "bread",
        noted("How much pollen is stored in the combs?"),
        noted("Matt, many-coloured cells beside the brood."),
        (
            Choice("none", noted("None"), 0.0),
            Choice("quarter", noted("About a quarter of a comb"), 0.25),
            Choice("half", noted("Half a comb to one comb"), 0.75, noted("½ to 1 frame of bread")),
            Choice("more", noted("More than one comb"), 1.5, noted("more than 1 frame of bread")),
            Choice("not_seen", noted("Have not looked"), BREAD_NOT_SEEN),
        ),
    ),
    Question(
        "flying",
        noted("What do the bees do today?"),
        noted("Watch an entrance for five minutes."),
        (
            Choice(
                "cold",
                noted("Too cold to fly"),
                Flying("none", None, COLD_C),
                noted("Too cold to fly or to open"),
            ),
            Choice(
                "none",
                noted("They fly, no pollen on their legs"),
                Flying("none", None, WARM_C),
                noted("The bees fly"),
            ),
            Choice(
                "little",
                noted("They fly, a little pollen"),
                Flying("little", None, WARM_C),
                noted("The bees fly"),
            ),
            Choice(
                "plenty", noted("Plenty of pollen"), Flying("plenty", None, WARM_C), noted("The bees fly")
            ),
            Choice(
                "arcs",
                noted("Plenty, and a fresh band round the brood"),
                Flying("plenty", True, WARM_C),
                noted("The bees fly"),
            ),
        ),
    ),
    Question(
        "first_pollen",
        noted("When does the first good pollen of the year come?"),
        noted("Your own date or the club's."),
        (
            *(Choice(str(n), month, n) for n, month in enumerate(MONTHS, 1)),
            Choice("unknown", noted("Don't know"), None),
        ),
    ),
)
