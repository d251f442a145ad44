"""Who gets nothing, or something else than the plan's piece, because of a check group that runs.

The one place that says it, for the phone, the truck sheets, labels, orders and calendars alike.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import floor

from breadline.jobs.book import Book, key_of
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.rounds_yard_paper import YardPaper
from breadline.jobs.trial_book import Damaged, TrialsBook
from breadline.language import noted, say
from breadline.need.words import half_frames
from breadline.plan.paper import LeftOut, RoundVisit
from breadline.plan.strength_classes import colonies_in
from breadline.records.colonies import in_rows
from breadline.records.engine import looking
from breadline.records.yard_names import names_of
from breadline.trial.colonies import CHECK
from breadline.trial.design import CheckArm, Outcome, Unit

GETS = {
    CheckArm.SAME_CARE: noted("nothing"),
    CheckArm.USUAL: noted("as usual"),
    CheckArm.HALF: noted("half a piece"),
    CheckArm.SUGAR: noted("sugar alone"),
}
HIVES: dict[CheckArm, Callable[[str], str]] = {
    CheckArm.SAME_CARE: lambda tags: say("Give nothing: check hives {tags}.", tags=tags),
    CheckArm.USUAL: lambda tags: say("Feed as you usually do: check hives {tags}.", tags=tags),
    CheckArm.HALF: lambda tags: say("Give half a piece: check hives {tags}.", tags=tags),
    CheckArm.SUGAR: lambda tags: say("Give a patty of sugar alone: check hives {tags}.", tags=tags),
}
YARD: dict[CheckArm, Callable[[], str]] = {
    CheckArm.SAME_CARE: lambda: say("Give nothing: check yard."),
    CheckArm.USUAL: lambda: say("Feed as you usually do: check yard."),
    CheckArm.HALF: lambda: say("Give half a piece: check yard."),
    CheckArm.SUGAR: lambda: say("Give a patty of sugar alone: check yard."),
}


@dataclass(frozen=True)
class CheckHive:
    """A hive of a check group: the tag it wears, its name in the trial and in its yard, its frames.

    ``worn_by`` is the hive that is listed by the tag worn, where one is.
    """

    worn: str
    hive: str
    listed: str
    worn_by: str = ""
    frames: float | None = None  # of bees before the draw [frames]

    @property
    def names(self) -> frozenset[str]:
        """Every name that it goes by."""
        return frozenset(one for one in (self.worn, self.hive, self.listed, self.worn_by) if one)


@dataclass(frozen=True)
class Kept:
    """What a trial keeps back in one yard, up to its day of grading: some hives, or the whole of it."""

    gets: CheckArm
    rescue_below: float
    last: date
    hives: tuple[CheckHive, ...]
    whole: bool

    @property
    def rescue(self) -> str:
        """Which of them are fed all the same; empty where none is."""
        if self.rescue_below <= 0.0:
            return ""
        frames = half_frames(self.rescue_below)
        return say("One under {frames} frames of bees is fed all the same.", frames=frames)


def kept_back(trial: Trial, names: Sequence[str], tags: frozenset[str], today: date) -> Kept | None:
    """What a trial keeps back in a yard; None where it is not locked, over, or all of them have an end.

    ``names`` are those of the yard, with the ones it had before; ``tags`` those of its hives.
    """
    of = trial.design
    if trial.seal is None or today > of.grading:
        return None
    left_out = [one for one in trial.without_end if one.yard in names and one.arm == CHECK]
    if not left_out:
        return None
    known, in_frames = hives_known(names, tags), of.outcome is not Outcome.HONEY
    hives = tuple(
        CheckHive(one.tag, one.hive, known.get(one.hive.casefold(), one.tag),
                  known.get(one.tag.casefold(), ""), one.baseline if in_frames else None)
        for one in left_out
    )  # fmt: skip
    return Kept(of.check_arm, trial.rescue_below, of.grading, hives, of.unit is Unit.YARD)


def hives_known(names: Sequence[str], tags: frozenset[str]) -> dict[str, str]:
    """The hives of a yard by their names, and as a trial over yards names them."""
    ways = [f"{name} " for name in names] + [""]
    return {f"{way}{tag}".casefold(): tag for tag in sorted(tags) for way in ways}


def kept_back_in(book: Book, yard_id: str) -> tuple[Kept, ...]:
    """What the running trials of a book keep back in one of its yards."""
    key = key_of(yard_id)
    with looking(book._engine) as session:
        names = names_of(session, key)
        tags = frozenset(one.tag for one in in_rows(session, key) if one.standing == "stands")
    trials = [one.trial for one in TrialsBook(book.path, book.today).trials() if not isinstance(one, Damaged)]
    found = [kept_back(trial, names, tags, book.today) for trial in trials]
    return tuple(one for one in found if one is not None)


@dataclass(frozen=True)
class CheckRow:
    """What a check hive is told as beside its row: what it gets, and below which frames it is rescued."""

    gets: str
    rescue_below: float  # [frames]


def check_rows(book: Book, yard_id: str, on: date) -> dict[str, CheckRow]:
    """The check hives of a yard on a day, by every name in small letters; ``*`` is the whole yard."""
    found: dict[str, CheckRow] = {}
    for kept in kept_back_in(book, yard_id):
        if on <= kept.last:
            names = ["*"] if kept.whole else [name for hive in kept.hives for name in hive.names]
            row = CheckRow(say(GETS[kept.gets]), kept.rescue_below)
            found |= {name.casefold(): row for name in names}
    return found


def with_check_group(book: Book, yard_id: str, paper: YardPaper) -> YardPaper:
    """The sheets of a plan, with the check groups that run on the days of its rounds left out."""
    kept = kept_back_in(book, yard_id) if paper.visits else ()
    if not kept:
        return paper
    return replace(paper, visits=tuple(_without(visit, kept, dict(paper.hives)) for visit in paper.visits))


def _without(visit: RoundVisit, kept: Sequence[Kept], graded: Mapping[str, float]) -> RoundVisit:
    for one in kept:
        if visit.on > one.last or any(not other.hives for other in visit.left_out):
            continue
        if one.whole:
            told = f"{YARD[one.gets]()} {one.rescue}".strip()
            left = LeftOut(visit.counts, GETS[one.gets], told, share=_share(one))
            return replace(visit, left_out=(left,))
        visit = _apart(visit, one.hives, graded)
        tags = ", ".join(hive.worn for hive in one.hives)
        counts = _counts(visit, one.hives, graded)
        names = frozenset(name for hive in one.hives for name in hive.names)
        told = f"{HIVES[one.gets](tags)} {one.rescue}".strip()
        left = LeftOut(counts, GETS[one.gets], told, names, _share(one))
        visit = replace(visit, left_out=(*visit.left_out, left))
    return visit


def _share(kept: Kept) -> float:
    """Of the plan's piece [share]."""
    return 0.5 if kept.gets is CheckArm.HALF else 0.0


def _apart(visit: RoundVisit, hives: Sequence[CheckHive], graded: Mapping[str, float]) -> RoundVisit:
    """A check hive is joined with none: its pair stays two hives, each in its own class."""
    names = {name for hive in hives for name in hive.names}
    split = [pair for pair in visit.combine if names & set(pair.hives)]
    if not split:
        return visit
    joined = colonies_in(visit.steps, [pair.frames for pair in split])
    alone = colonies_in(visit.steps, [graded[tag] for pair in split for tag in pair.hives if tag in graded])
    counts = tuple(max(0, n - a) + b for n, a, b in zip(visit.counts, joined, alone, strict=True))
    left = tuple(pair for pair in visit.combine if pair not in split)
    return replace(visit, counts=counts, combine=left)


def _counts(visit: RoundVisit, hives: Sequence[CheckHive], graded: Mapping[str, float]) -> tuple[int, ...]:
    """How many of them are in each class: by their frames, else as the others of the yard are."""
    room = [n - sum(one.counts[k] for one in visit.left_out) for k, n in enumerate(visit.counts)]
    known = [graded.get(hive.listed, hive.frames) for hive in hives]
    by_frames = colonies_in(visit.steps, [frames for frames in known if frames is not None])
    counts = [min(n, most) for n, most in zip(by_frames, room, strict=True)]
    left = [most - n for n, most in zip(counts, room, strict=True)]
    more = min(len(hives) - sum(counts), sum(left))
    if more <= 0:
        return tuple(counts)
    exact = [more * n / sum(left) for n in left]
    added = [min(floor(one), most) for one, most in zip(exact, left, strict=True)]
    for k in sorted(range(len(left)), key=lambda k: added[k] - exact[k]):
        if sum(added) < more and added[k] < left[k]:
            added[k] += 1
    return tuple(a + b for a, b in zip(counts, added, strict=True))
