"""The eight questions of the short path, in the order of the ladder."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from breadline.errors import YardError
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
        raise YardError(self.words, f'"{key}" is not one of the answers', offered, "Choose one")


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
        "where", "Where are the hives?", "Law and custom differ.",
        (
            Choice("US", "United States", (NORTH, "US")),
            Choice("CA", "Canada", (NORTH, "CA")),
            Choice("GB", "United Kingdom", (NORTH, "GB")),
            Choice("DE", "Germany", (NORTH, "DE")),
            Choice("AU", "Australia", (SOUTH, "AU")),
            Choice("NZ", "New Zealand", (SOUTH, "NZ")),
            Choice("north", "Elsewhere, north of the equator", (NORTH, None)),
            Choice("south", "Elsewhere, south of the equator", (SOUTH, None)),
        ),
    ),
    Question(
        "brood", "What does the brood look like?", "",
        (
            Choice("well", "Eggs and healthy brood in every hive", Brood(False, 2, 2)),
            Choice("no_eggs", "A hive without eggs, in their season", Brood(False, 1, 2)),
            Choice("sick", "Sunken caps, ropy larvae or a foul smell", Brood(True)),
            Choice("not_seen", "Have not looked, or too cold to open", Brood()),
        ),
    ),
    Question(
        "mites", "Mites on 100 bees, by a wash or roll this month?", "",
        (
            Choice("low", "0 or 1", 1.0, "0 or 1 per 100 bees"),
            Choice("two", "2", 2.0),
            Choice("high", "3 or more", 3.0, "3 or more per 100 bees"),
            Choice("not_tested", "Not tested", None),
        ),
    ),
    Question(
        "honey", "Lift the back of each hive: how heavy?", "",
        (
            Choice("enough", "All heavy", "enough"),
            Choice("light", "One or more is light", "light"),
            Choice("not_lifted", "Have not lifted", None),
        ),
    ),
    Question(
        "bees", "How many combs are covered with bees?", "Smallest hive; both sides covered count as one.",
        (
            Choice("2", "About 2", 2.0),
            Choice("4", "About 4", 4.0),
            Choice("6", "About 6", 6.0),
            Choice("8", "About 8", 8.0),
            Choice("10", "10 or more", 10.0),
            Choice("not_seen", "Have not looked", None),
        ),
    ),
    Question(
        "bread", "How much pollen is stored in the combs?", "Matt, many-coloured cells beside the brood.",
        (
            Choice("none", "None", 0.0),
            Choice("quarter", "About a quarter of a comb", 0.25),
            Choice("half", "Half a comb to one comb", 0.75, "½ to 1 frame of bread"),
            Choice("more", "More than one comb", 1.5, "more than 1 frame of bread"),
            Choice("not_seen", "Have not looked", BREAD_NOT_SEEN),
        ),
    ),
    Question(
        "flying", "What do the bees do today?", "Watch an entrance for five minutes.",
        (
            Choice("cold", "Too cold to fly", Flying("none", None, COLD_C), "Too cold to fly or to open"),
            Choice("none", "They fly, no pollen on their legs", Flying("none", None, WARM_C), "The bees fly"),
            Choice("little", "They fly, a little pollen", Flying("little", None, WARM_C), "The bees fly"),
            Choice("plenty", "Plenty of pollen", Flying("plenty", None, WARM_C), "The bees fly"),
            Choice(
                "arcs", "Plenty, and a fresh band round the brood",
                Flying("plenty", True, WARM_C), "The bees fly",
            ),
        ),
    ),
    Question(
        "first_pollen", "When does the first good pollen of the year come?", "Your own date or the club's.",
        (
            Choice("1", "January", 1), Choice("2", "February", 2), Choice("3", "March", 3),
            Choice("4", "April", 4), Choice("5", "May", 5), Choice("6", "June", 6), Choice("7", "July", 7),
            Choice("8", "August", 8), Choice("9", "September", 9), Choice("10", "October", 10),
            Choice("11", "November", 11), Choice("12", "December", 12),
            Choice("unknown", "Don't know", None),
        ),
    ),
)  # fmt: skip
