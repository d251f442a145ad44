"""What is known of feeding from published trials, and what is believed of it."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.belief.gain import SITUATIONS, Situation, likely_gain
from breadline.belief.votes import Pooled, pooled_of
from breadline.knowledge.evidence import IN_WORDS, Comparison, comparisons, voting
from breadline.knowledge.shelf import Shelf
from breadline.language import noted, say
from breadline.pictures.belief_chart import Reading, Situated

AT_THEIR_WORD = noted("verdicts at their word")
WARY = noted("verdicts, read warily")
BELIEVED = noted("what Breadline believes")
TRUST = (
    noted(
        "Almost every trial was read as a summary, not as tables: most stand here as a verdict without a "
        "number."
    ),
    noted("Most groups had 3 to 10 colonies. So few see only a large gain, and what they see is too large."),
    noted(
        "Trials that found nothing are seldom printed, and nearly all in a dearth were small and in one yard."
    ),
    noted(
        "In three studies the forage was partly the authors' own explanation of their result; those rows say "
        "so."
    ),
    noted(
        "Some unfed colonies got no sugar either, or had pollen traps; there, feed looks better than it is."
    ),
    noted(
        "Nearly all trials end with the feeding. The one large long trial found smaller colonies and more "
        "deaths later on, and no more honey."
    ),
    noted("Whether the feed held real pollen does not split the trials; whether pollen came in does."),
)


@dataclass(frozen=True)
class Believed:
    """One forage situation: what the verdicts say, read in two ways, and what is believed."""

    situation: Situation
    head: str
    plain: Pooled
    wary: Pooled
    belief: Reading
    sentence: str
    key: str  # of the figure
    edited: bool  # by the user

    @property
    def situated(self) -> Situated:
        """As the picture takes it."""
        votes = ((say(AT_THEIR_WORD), self.plain), (say(WARY), self.wary))
        readings = [Reading(name, p.low, p.middle, p.high) for name, p in votes]
        return Situated(self.head, (*readings, self.belief))


@dataclass(frozen=True)
class EvidenceTold:
    """Every comparison, those that vote, and the belief in each situation."""

    rows: tuple[Comparison, ...]
    votes: tuple[Comparison, ...]
    believed: tuple[Believed, ...]

    @property
    def studies(self) -> int:
        """How many studies the rows come from."""
        return len({row.source for row in self.rows})

    @property
    def sentence(self) -> str:
        """The first sentence: what the verdicts say, by forage."""
        dearth = [row.verdict for row in self.votes if row.forage_class == "dearth"]
        pollen = [row.verdict for row in self.votes if row.forage_class == "pollen"]
        return say(
            "Where no pollen came in, {more} of {all} comparisons found more bees or brood where fed; where "
            "pollen came in, {more2} of {all2}.",
            more=dearth.count("positive"), all=len(dearth), more2=pollen.count("positive"), all2=len(pollen),
        )  # fmt: skip


def evidence_told(shelf: Shelf) -> EvidenceTold:
    """The evidence with this shelf's figures."""
    return EvidenceTold(comparisons(), voting(), tuple(_believed(s, shelf) for s in SITUATIONS))


def _believed(situation: Situation, shelf: Shelf) -> Believed:
    reader, key = shelf.reader(), f"belief.{situation}_gain"
    span, edited = reader.span(key), shelf[key].edited
    name = say("what you believe") if edited else say(BELIEVED)
    return Believed(
        situation,
        say(IN_WORDS[situation]),
        pooled_of(situation, reader),
        pooled_of(situation, reader, "wary"),
        Reading(name, span.low, span.typical, span.high, belief=True),
        likely_gain(situation, reader).sentence,
        key,
        edited,
    )
