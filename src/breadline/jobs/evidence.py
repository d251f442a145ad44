"""What is known of feeding from published trials, and what is believed of it."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.belief.gain import SITUATIONS, Situation, likely_gain
from breadline.belief.votes import Pooled, pooled_of
from breadline.knowledge.evidence import IN_WORDS, Comparison, comparisons, voting
from breadline.knowledge.shelf import Shelf
from breadline.pictures.belief_chart import Reading, Situated

AT_THEIR_WORD = "verdicts at their word"
WARY = "verdicts, read warily"
BELIEVED = "what Breadline believes"
TRUST = (
    "Almost every trial was read as a summary, not as tables: most stand here as a verdict without a number.",
    "Most groups had 3 to 10 colonies. So few see only a large gain, and what they see is too large.",
    "Trials that found nothing are seldom printed, and nearly all in a dearth were small and in one yard.",
    "In three studies the forage was partly the authors' own explanation of their result; those rows say so.",
    "Some unfed colonies got no sugar either, or had pollen traps; there, feed looks better than it is.",
    "Nearly all trials end with the feeding. The one large long trial found smaller colonies and more deaths "
    "later on, and no more honey.",
    "Whether the feed held real pollen does not split the trials; whether pollen came in does.",
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
        votes = ((AT_THEIR_WORD, self.plain), (WARY, self.wary))
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
        return (
            f"Where no pollen came in, {dearth.count('positive')} of {len(dearth)} comparisons found more "
            f"bees or brood where fed; where pollen came in, {pollen.count('positive')} of {len(pollen)}."
        )


def evidence_told(shelf: Shelf) -> EvidenceTold:
    """The evidence with this shelf's figures."""
    return EvidenceTold(comparisons(), voting(), tuple(_believed(s, shelf) for s in SITUATIONS))


def _believed(situation: Situation, shelf: Shelf) -> Believed:
    reader, key = shelf.reader(), f"belief.{situation}_gain"
    span, edited = reader.span(key), shelf[key].edited
    name = "what you believe" if edited else BELIEVED
    return Believed(
        situation,
        IN_WORDS[situation],
        pooled_of(situation, reader),
        pooled_of(situation, reader, "wary"),
        Reading(name, span.low, span.typical, span.high, belief=True),
        likely_gain(situation, reader).sentence,
        key,
        edited,
    )
