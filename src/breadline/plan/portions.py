"""The portion for a colony: what it eats before the next visit and before beetles breed in it.

Cut down to a piece that people cut, never up. Small colonies get less, or none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.strength import bees_on_frames
from breadline.need.words import counted, frames_of, half_frames, in_hundred
from breadline.plan.appetite import Appetite
from breadline.plan.beetles import Beetles, Limit
from breadline.plan.cuts import Patty, cut_down, cut_words

LONGEST_ROUND = 60  # days between visits; beyond it no piece is planned for [days]


@dataclass(frozen=True)
class Round:
    """What a round of feeding goes by, the same for every colony of a yard."""

    limit: Limit
    days_to_next_visit: int
    beetles: Beetles
    patty: Patty
    appetite: Appetite
    bees_a_frame: float  # the definition in use [bees/frame]

    @property
    def days(self) -> int:
        """How long a piece lies: until the next visit, and never past the limit."""
        if not 1 <= self.days_to_next_visit <= LONGEST_ROUND:
            raise YardError(
                "days to the next visit",
                f"{self.days_to_next_visit}",
                say("1 to {longest_round} days", longest_round=LONGEST_ROUND),
            )
        return min(self.days_to_next_visit, self.limit.days)


@dataclass(frozen=True)
class Portion:
    """The piece for one colony."""

    frames: float  # of bees [frames]
    cut: float  # 0 = none [patties]
    grams: float  # [g]
    days: int  # within which it is to be gone
    gone_in_time: float  # chance of that, by what is known of appetite; 1 where none is given [share]
    why: str  # the limit that held

    @property
    def given(self) -> bool:
        """Whether the colony gets any."""
        return self.cut > 0.0


def least_frames(beetles: Beetles, reader: Reader) -> float:
    """Frames of bees below which a colony gets none; 0 where no beetles are [frames]."""
    if beetles == "none":
        return 0.0
    return reader.typical("ladder.cluster_frames" if beetles == "seen" else "portion.least_frames")


def portion(frames: float, of: Round, reader: Reader) -> Portion:
    """The piece for a colony of so many ``frames`` of bees [frames].

    Errors: YardError if the frames are below 0 or the next visit is no number of days ahead.
    """
    bees, days = bees_on_frames(frames, of.bees_a_frame), of.days
    least = least_frames(of.beetles, reader)
    if frames < least:
        why = say(
            "under {frames} frames of bees beetles breed in it before it is eaten", frames=half_frames(least)
        )
        return Portion(frames, 0.0, 0.0, days, 1.0, why)
    could = of.appetite.typical * bees * days / 1000.0
    most = reader.typical("portion.most_patties")
    cut = cut_down(could, of.patty, most)
    grams = cut * of.patty.mass_g
    if not cut:
        why = say("too few bees to clear even a quarter piece in {many}", many=counted(days, "day"))
        return Portion(frames, 0.0, 0.0, days, 1.0, why)
    why = (
        say("as much as is laid on at a time")
        if cut >= most
        else say("what they clear in {many}", many=counted(days, "day"))
    )
    return Portion(frames, cut, grams, days, of.appetite.clears(grams, bees, days), why)


def portion_words(piece: Portion, patty: Patty) -> str:
    """One colony's line: "5½ frames of bees: ½ patty (½ lb), to be gone in 7 days"."""
    said = frames_of(piece.frames, "bees")
    if not piece.given:
        return say("{said}: none; {why}", said=said, why=piece.why)
    chance = in_hundred(piece.gone_in_time)
    return say(
        "{said}: {cut_words}, to be gone in {many} (by what colonies were seen to eat, {chance} clear it)",
        said=said,
        cut_words=cut_words(piece.cut, patty),
        many=counted(piece.days, "day"),
        chance=chance,
    )


@dataclass(frozen=True)
class Step:
    """From so many frames of bees on a colony gets this cut."""

    from_frames: float  # to the half frame [frames]
    cut: float  # [patties]


def steps(of: Round, most_frames: float, reader: Reader) -> tuple[Step, ...]:
    """Where the cut changes with strength, to the half frame, up to ``most_frames`` [frames]."""
    found = [Step(0.0, portion(0.0, of, reader).cut)]
    for halves in range(1, int(most_frames * 2) + 1):
        cut = portion(halves / 2.0, of, reader).cut
        if cut != found[-1].cut:
            found.append(Step(halves / 2.0, cut))
    return tuple(found)


def crew_line(found: Sequence[Step], patty: Patty) -> str:
    """The steps as one line a crew can remember.

    "Under 3½ frames none; from 3½ ¼ patty (¼ lb); from 10 1 patty (1 lb)."
    """
    if len(found) == 1:
        return say("Every colony: {cut_words}.", cut_words=cut_words(found[0].cut, patty))
    first = say(
        "Under {frames} frames {cut_words}",
        frames=half_frames(found[1].from_frames),
        cut_words=cut_words(found[0].cut, patty),
    )
    rest = [
        say(
            "from {frames}: {cut_words}",
            frames=half_frames(step.from_frames),
            cut_words=cut_words(step.cut, patty),
        )
        for step in found[1:]
    ]
    return "; ".join([first, *rest]) + "."


def grams_for(frames: Sequence[float], of: Round, reader: Reader) -> float:
    """Feed for one round over these colonies' ``frames`` of bees [frames], without spare [g]."""
    return sum(portion(f, of, reader).grams for f in frames)
