"""What an answer for a yard goes by, part by part, and which parts changed since a plan was chosen."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from breadline.language import noted, say
from breadline.need.words import day_and_year
from breadline.need.yard import Yard

WORDS = {
    "counts": noted("the counts"),
    "given": noted("what was written down as given"),
    "yard": noted("the facts of the yard or what is seen of pollen"),
    "weather": noted("the weather file"),
    "figures": noted("figures you edited"),
    "feeds": noted("a recipe, a bought feed or a price"),
    "taught": noted("what check groups taught"),
    "program": noted("the program, or figures it brings"),
}
LETTERS = 16  # of a digest; enough to tell one from another


def parts_of(yard: Yard, earlier: object, beside: Mapping[str, str]) -> dict[str, str]:
    """What an answer goes by, each part as a digest that changes when it does.

    Parameters
    ----------
    yard
        As known on the book's day; the day itself is no part.
    earlier
        Its looks before the count.
    beside
        "weather", "figures", "feeds", "taught" and "program", in any words that change when they do.
    """
    own = ("name", "today", "count", "inspections", "given", "notes", "forage")
    facts = {name: getattr(yard, name) for name in Yard.__dataclass_fields__ if name not in own}
    forage = replace(yard.forage, seen_on=None)  # set by the day that passes alone
    whole = {
        "counts": f"{yard.count}{yard.inspections}{earlier}",
        "given": f"{yard.given}",
        "yard": f"{facts}{forage}",
    }
    return {key: digest_of(text) for key, text in {**whole, **beside}.items()}


def digest_of(text: str) -> str:
    """One part, as it is kept with a plan."""
    return hashlib.sha256(text.encode()).hexdigest()[:LETTERS]


def foot_note(changed: Sequence[tuple[str, str]]) -> str:
    """What stands at the foot of sheets: of each yard, by its name, what changed; empty where nothing did."""
    told = [(name, said) for name, said in changed if said]
    if len(changed) == 1:
        return told[0][1] if told else ""
    return " ".join(f"{name}: {said[0].lower()}{said[1:]}" for name, said in told)


def changed_words(then: Mapping[str, str] | None, now: Mapping[str, str], chosen_on: date) -> str:
    """Which parts differ from those of the day a plan was chosen; empty where none does.

    "Since it was chosen on 20 January 2026 these changed: the counts and the weather file."
    A plan of an older book, kept without its parts, is told so.
    """
    on = day_and_year(chosen_on)
    if then is None:
        return say(
            "What changed since it was chosen on {on} is not known: the book kept no marks of it then.", on=on
        )
    differ = [say(words) for key, words in WORDS.items() if then.get(key) != now.get(key)]
    if not differ:
        return ""
    listed = say(" and ").join(filter(None, (", ".join(differ[:-1]), differ[-1])))
    if len(differ) == 1:
        return say("Since it was chosen on {on} this changed: {names}.", on=on, names=listed)
    return say("Since it was chosen on {on} these changed: {names}.", on=on, names=listed)
