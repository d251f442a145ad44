"""What a rule or a gate says of a feed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from breadline.knowledge.feed_rules import LEVELS, FeedRule, Level, feed_rule, grounds
from breadline.knowledge.figure import Read
from breadline.language import say
from breadline.ration.plain_words import listed


@dataclass(frozen=True)
class Remark:
    """One line about a feed, with its reason and whom to ask.

    Parameters
    ----------
    key, level
        The rule, and how hard it speaks.
    line, why, ask
        What it says, why, and who knows more.
    law
        What the country's law says of it, as far as a source was read; else empty.
    about
        Names of the ingredients it is about, in the order of the recipe.
    source, read
        Where it comes from, and how that was read.
    """

    key: str
    level: Level
    line: str
    why: str
    ask: str
    source: str
    read: Read
    law: str = ""
    about: tuple[str, ...] = ()

    @property
    def grounds(self) -> str:
        """How well it is founded, in words."""
        return grounds(self.source, self.read)

    @property
    def text(self) -> str:
        """Line, law, reason and whom to ask as one paragraph."""
        return " ".join(
            part for part in (self.line, self.law, self.why, say("Ask: {whom}", whom=f"{self.ask}.")) if part
        )


def remark(
    rule: FeedRule | str, names: Iterable[str] = (), law: str = "", ask: str = "", **amounts: str
) -> Remark:
    """A rule as it speaks of these ingredients and amounts (as written, with their units)."""
    rule = feed_rule(rule) if isinstance(rule, str) else rule
    about = tuple(dict.fromkeys(names))
    line = say(rule.line, names=listed(about), **amounts)
    said = say(rule.why), say(ask or rule.ask)
    return Remark(rule.key, rule.level, line, *said, rule.source, rule.read, law, about)


def hardest_first(remarks: Iterable[Remark]) -> tuple[Remark, ...]:
    """Refusals, then cautions, then notes; within a level as they came."""
    return tuple(sorted(remarks, key=lambda r: LEVELS.index(r.level)))


def refused(remarks: Iterable[Remark]) -> bool:
    """Whether one of them is a refusal: no batch sheet, no order."""
    return any(r.level == "refuse" for r in remarks)
