"""What a round takes along: which yard gets what on which day, and what goes on the truck.

The search fills these; the sheets print them. Pieces are quarter patties, which floats hold exactly,
and so are their sums: what a load carries is the sum of its yards, rounded up to whole patties, and
the spare on top.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import ceil

from breadline.errors import PlanError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.yard import Place
from breadline.plan.combining import Pair
from breadline.plan.cuts import Patty
from breadline.plan.portions import Step
from breadline.plan.strength_classes import checked_steps, who_gets

MOST_YARDS = 8  # on one truck sheet that is still read from an arm's length


@dataclass(frozen=True)
class LeftOut:
    """Hives of a check group: on a visit they do not get the piece of the plan.

    Parameters
    ----------
    counts
        How many of them are in each class of the visit.
    gets, said
        What they get, in a word or two, and the sentence for whoever feeds, with the tags that they wear.
    hives
        By every name: the tag they wear and the one they are listed by; none where it is the whole yard.
    share
        Of the piece that they get all the same. [share]
    sugar
        Of the piece, as a patty of sugar alone. [share]
    """

    counts: tuple[int, ...]
    gets: str
    said: str
    hives: frozenset[str] = frozenset()
    share: float = 0.0
    sugar: float = 0.0


@dataclass(frozen=True)
class RoundVisit:
    """One yard on one round.

    Parameters
    ----------
    yard, round, on
        The yard's name, the number of the round from 1, and the day.
    steps, counts
        What a colony gets by its frames of bees, from few to many, and how many colonies are in
        each class.
    patty
        What the pieces are cut from.
    days, beetle_rule
        Within how many days the piece is to be gone, and why, in words.
    look_at
        What to look at in this yard, a few words each.
    light
        Light colonies, which get syrup or sugar.
    syrup_each_l, dry_sugar_each_g
        For each of them: syrup [L]; dry sugar where it is too cold for syrup [g].
    rim
        Whether each fed colony needs a rim over its frames.
    combine
        Who is joined with whom: a pair is one colony in ``counts``, in the class of both its bees.
    unfed, unfed_why
        Hives that get nothing, and why; only in sheets kept by older books.
    place
        Where it is, for the driving order.
    feed
        What is fed, where the plans of a day may differ in it.
    joined_on
        The day on which pairs are joined; None where that is this visit's.
    left_out
        Check groups that run on that day, within ``counts``.
    locked_later
        That all hives were fed before a check group was locked, as a sentence.
    done
        What of it is written down as given already, as a sentence.
    """

    yard: str
    round: int
    on: date
    steps: tuple[Step, ...]
    counts: tuple[int, ...]
    patty: Patty
    days: int
    beetle_rule: str = ""
    look_at: tuple[str, ...] = ()
    light: int = 0
    syrup_each_l: float = 0.0
    dry_sugar_each_g: float = 0.0
    rim: bool = False
    combine: tuple[Pair, ...] = ()
    unfed: tuple[str, ...] = ()
    unfed_why: str = ""
    place: Place | None = None
    feed: str = ""
    joined_on: date | None = None
    left_out: tuple[LeftOut, ...] = ()
    locked_later: str = ""
    done: str = ""

    def __post_init__(self) -> None:
        checked_steps(self.steps, self.yard)
        if len(self.counts) != len(self.steps) or min(self.counts) < 0:
            raise PlanError(
                self.yard,
                say("{counts} colonies", counts=self.counts),
                say("a count for each of {steps} classes", steps=len(self.steps)),
            )
        if self.round < 1 or self.days < 1:
            raise PlanError(
                self.yard,
                say("round {round}, gone in {days} days", round=self.round, days=self.days),
                say("1 or more of each"),
            )
        if not 0 <= self.light <= self.colonies:
            raise PlanError(
                self.yard,
                say("{light} light of {colonies} colonies", light=self.light, colonies=self.colonies),
                say("no more than there are"),
            )
        if not 0.0 <= self.syrup_each_l < 100.0 or not 0.0 <= self.dry_sugar_each_g < 50_000.0:
            raise PlanError(
                self.yard,
                say(
                    "{syrup_each_l:g} L of syrup, {dry_sugar_each_g:g} g of sugar a colony",
                    syrup_each_l=self.syrup_each_l,
                    dry_sugar_each_g=self.dry_sugar_each_g,
                ),
                say("up to 100 L and 50 kg"),
                say("Give it for one colony, not for the yard"),
            )

    @property
    def colonies(self) -> int:
        """All colonies of the yard, a pair that is joined as one."""
        return sum(self.counts)

    @property
    def fed(self) -> int:
        """Colonies that get a piece."""
        return sum(n for piece, n in self.by_piece.items() if piece)

    @property
    def by_piece(self) -> dict[float, int]:
        """How many colonies get which piece [patties], check hives with what is theirs."""
        found: dict[float, int] = {}
        for n, (step, many) in enumerate(zip(self.steps, self.counts, strict=True)):
            found[step.cut] = found.get(step.cut, 0) + many
            for one in self.left_out:
                found[step.cut] -= one.counts[n]
                piece = step.cut * one.share
                found[piece] = found.get(piece, 0) + one.counts[n]
        return found

    @property
    def patties(self) -> float:
        """What the yard gets, in quarters (of half a piece in eighths), without spare [patties]."""
        return sum(n * piece for piece, n in self.by_piece.items())

    @property
    def syrup_l(self) -> float:
        """Syrup for the yard, without spare [L]."""
        return self.syrup_each_l * self.light

    @property
    def dry_sugar_g(self) -> float:
        """Dry sugar for the yard, without spare [g]."""
        return self.dry_sugar_each_g * self.light

    @property
    def sugar_pieces(self) -> tuple[int, float]:
        """Check hives that get a patty of sugar alone, and how much all of them get, without spare [g]."""
        each = [
            (many, step.cut * one.sugar * self.patty.mass_g)
            for one in self.left_out
            for many, step in zip(one.counts, self.steps, strict=True)
        ]
        return sum(many for many, grams in each if grams), sum(many * grams for many, grams in each)

    @property
    def without_feed(self) -> int:
        """Check hives that get none of the feed."""
        return sum(sum(one.counts) for one in self.left_out if not one.share)

    def getting(self, cut: float) -> int:
        """Colonies that get this ``cut`` [patties]."""
        return self.by_piece.get(cut, 0)

    @property
    def joins(self) -> bool:
        """Whether pairs are joined on this visit; on a later one they are one hive each."""
        return bool(self.combine) and self.joined_on in (None, self.on)

    def pair_of(self, tag: str) -> Pair | None:
        """The pair that a hive is joined in."""
        return next((pair for pair in self.combine if tag in pair.hives), None)

    @property
    def line(self) -> str:
        """Who gets what, as the one line that a crew can remember."""
        said = "; ".join(f"{who}: {gets}" for who, gets in self.rule)
        return f"{said[0].upper()}{said[1:]}."

    @property
    def rule(self) -> tuple[tuple[str, str], ...]:
        """Who, and what they get: check hives first, then by frames of bees."""
        if self.left_out and sum(sum(one.counts) for one in self.left_out) == self.colonies:
            return ((say("check yard"), say(self.left_out[0].gets)),)
        apart = dict.fromkeys((say("check hives"), say(one.gets)) for one in self.left_out)
        return (*apart, *who_gets(self.steps, self.patty, others=bool(apart)))


@dataclass(frozen=True)
class Load:
    """What one truck takes on one day: its yards in driving order, and the spare.

    Parameters
    ----------
    visits
        One round, one day, one patty; in driving order.
    spare
        What is loaded on top, for dropped and miscounted pieces. [share]
    of_rounds
        How many rounds the plan has.
    order
        How the driving order came about, in words.
    part, of_parts
        Which sheet of the day, where the round has more yards than one sheet takes.
    note
        What changed since the plans were chosen, in words; empty where nothing did.
    own
        Of each visit which round of its own yard it is, and of how many; none where the plan is one yard's.
    """

    visits: tuple[RoundVisit, ...]
    spare: float
    of_rounds: int
    order: str = ""
    part: int = 1
    of_parts: int = 1
    note: str = ""
    own: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        if not self.visits:
            raise PlanError("load", say("no yard is on it"), say("at least one"))
        if len({(v.round, v.on, v.patty, v.feed) for v in self.visits}) > 1:
            raise PlanError(
                "load", say("its yards differ in round, day, feed or patty"), say("one of each on a truck")
            )
        if not 0.0 <= self.spare <= 1.0:
            raise PlanError("spare", f"{self.spare:g}", say("0 to 1"), say("Give 0.05 for five in a hundred"))

    @property
    def round(self) -> int:
        """The number of the round."""
        return self.visits[0].round

    @property
    def of_all(self) -> int | None:
        """How many rounds all its yards have; None where this is not the same round of each."""
        if not self.own:
            return self.of_rounds
        of = {many if n == self.round else None for n, many in self.own}
        return of.pop() if len(of) == 1 else None

    @property
    def on(self) -> date:
        """The day."""
        return self.visits[0].on

    @property
    def patty(self) -> Patty:
        """What the pieces are cut from."""
        return self.visits[0].patty

    @property
    def feed(self) -> str:
        """What is fed; empty where nothing was said of it."""
        return self.visits[0].feed

    @property
    def given(self) -> float:
        """What the hives of the load get, as patties are bought, without spare [patties]."""
        return sum(visit.patties for visit in self.visits) * (self.patty.mass_g / self.patty.whole_g)

    @property
    def for_hives(self) -> int:
        """Whole patties to open for all yards of the load, as they are bought."""
        return ceil(self.given - 1e-9)

    @property
    def patties(self) -> int:
        """All patties to load: what is left of the last one opened is spare too."""
        return ceil(self.given * (1.0 + self.spare) - 1e-9)

    @property
    def spare_patties(self) -> int:
        """Whole patties on top."""
        return self.patties - self.for_hives

    @property
    def spare_words(self) -> str:
        """What of the load is spare: "3 spare", or the rest of the one that is opened."""
        if self.spare_patties or not self.spare:
            return say("{n:,} spare", n=self.spare_patties)
        return say("what is left over is spare")

    @property
    def syrup_l(self) -> float:
        """Syrup for all yards, without spare [L]."""
        return sum(visit.syrup_l for visit in self.visits)

    @property
    def syrup_spare_l(self) -> float:
        """Syrup on top [L]."""
        return self.syrup_l * self.spare

    @property
    def dry_sugar_g(self) -> float:
        """Dry sugar for all yards, spare included [g]."""
        return sum(visit.dry_sugar_g for visit in self.visits) * (1.0 + self.spare)

    @property
    def sugar_pieces(self) -> tuple[int, float]:
        """Check hives that get a patty of sugar alone, and how much of it goes on, spare included [g]."""
        each = [visit.sugar_pieces for visit in self.visits]
        return sum(many for many, _ in each), sum(grams for _, grams in each) * (1.0 + self.spare)

    @property
    def rims(self) -> int:
        """Rims to take along."""
        return sum(visit.fed + visit.sugar_pieces[0] for visit in self.visits if visit.rim)


def usual_spare(reader: Reader) -> float:
    """What is loaded on top where the keeper said nothing [share]."""
    return reader.typical("paper.spare_share")
