"""Questions of one batch: entries of a yard and day that wait for one reason, to be decided together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from breadline.jobs.field_book import Question


@dataclass(frozen=True)
class Together:
    """Questions that one word can decide; a single one stands alone."""

    questions: tuple[Question, ...]

    @property
    def many(self) -> bool:
        """Whether there is more than one."""
        return len(self.questions) > 1

    @property
    def first(self) -> Question:
        """One that speaks for all."""
        return self.questions[0]

    @property
    def against(self) -> bool:
        """Whether something else stands that they are held against."""
        return any(one.against for one in self.questions)

    @property
    def lost(self) -> int:
        """Of how many hives the other entry alone has something that goes where all are taken."""
        return sum(bool(one.lost) for one in self.questions)

    @property
    def feed_alone(self) -> int:
        """Of how many entries the feed alone goes where what stands is kept."""
        return sum(one.feed_alone for one in self.questions)

    @property
    def ids(self) -> str:
        """Their keys with those of the questions, as a form holds them."""
        return " ".join(f"{one.id}.{one.asked}" for one in self.questions)


def together(questions: Sequence[Question]) -> tuple[Together, ...]:
    """Questions by batch, in the order of their first: of one yard, day and reason, each of its own hive.

    Where a hive or a day is open, or something is taken back, each stands alone.
    """
    found: dict[object, list[Question]] = {}
    for one in questions:
        alone = not one.reason or one.takes_back or not one.known or one.asks_day
        key: object = one.id if alone else (one.yard, one.on, one.reason, bool(one.against))
        there = found.setdefault(key, [])
        if any(each.tag.casefold() == one.tag.casefold() for each in there):
            found[one.id] = [one]
        else:
            there.append(one)
    return tuple(Together(tuple(rows)) for rows in found.values())
