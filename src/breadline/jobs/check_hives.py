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
from breadline.jobs.kept_back import CheckHive, Kept
from breadline.jobs.lock_stands import local_day
from breadline.jobs.rounds_yard_paper import YardPaper
from breadline.jobs.trial_book import Damaged, TrialsBook
from breadline.language import noted, say
from breadline.need.words import day_and_year
from breadline.plan.combining import Pair
from breadline.plan.paper import LeftOut, RoundVisit
from breadline.plan.strength_classes import colonies_in
from breadline.records.colonies import in_rows
from breadline.records.engine import looking
from breadline.records.yard_names import names_of
from breadline.trial.colonies import CHECK, Started
from breadline.trial.design import CheckArm, Outcome, Unit

GETS: dict[CheckArm, str] = {
    CheckArm.SAME_CARE: noted("nothing"),
    CheckArm.USUAL: noted("as usual"),
    CheckArm.HALF: noted("half a piece"),
    CheckArm.SUGAR: noted("sugar alone"),
}
HIVES: dict[CheckArm, Callable[[str], str]] = {
    CheckArm.SAME_CARE: lambda tags: say("Give nothing: check hives {tags}.", tags=tags),
    CheckArm.USUAL: lambda tags: say("Feed as you usually do: check hives {tags}.", tags=tags),
    CheckArm.HALF: lambda tags: say("Give half a piece: check hives {tags}.", tags=tags),
    CheckArm.SUGAR: lambda tags: say("Sugar alone in place of the piece: check hives {tags}.", tags=tags),
}
YARD: dict[CheckArm, Callable[[], str]] = {
    CheckArm.SAME_CARE: lambda: say("Give nothing: check yard."),
    CheckArm.USUAL: lambda: say("Feed as you usually do: check yard."),
    CheckArm.HALF: lambda: say("Give half a piece: check yard."),
    CheckArm.SUGAR: lambda: say("Sugar alone in place of the piece: check yard."),
}


def kept_back(trial: Trial, names: Sequence[str], tags: frozenset[str], today: date) -> Kept | None:
    """What a trial keeps back in a yard; None where it is not locked, over, or all of them have an end.

    ``names`` are those of the yard, with the ones it had before; ``tags`` those of its hives.
    """
    of = trial.design
    if not _runs(trial, today) or not (left_out := _left_out(trial, names)):
        return None
    known, in_frames = hives_known(names, tags), of.outcome is not Outcome.HONEY
    hives = tuple(
        CheckHive(one.tag, one.hive, known.get(one.hive.casefold(), one.tag),
                  known.get(one.tag.casefold(), ""), one.baseline if in_frames else None)
        for one in left_out
    )  # fmt: skip
    since = trial.drawn_at if trial.locked_at is None else trial.locked_at
    return Kept(of.check_arm, trial.rescue_below, of.grading, hives, of.unit is Unit.YARD,
                local_day(since), local_day(trial.drawn_at))  # fmt: skip


def hives_known(names: Sequence[str], tags: frozenset[str]) -> dict[str, str]:
    """The hives of a yard by their names, and as a trial over yards names them."""
    ways = [f"{name} " for name in names] + [""]
    return {f"{way}{tag}".casefold(): tag for tag in sorted(tags) for way in ways}


def running_trials(book: Book) -> tuple[Trial, ...]:
    """The trials of a book that can be read, are locked and not over."""
    found = TrialsBook(book.path, book.today).locked()
    trials = [one.trial for one in found if not isinstance(one, Damaged)]
    return tuple(one for one in trials if _runs(one, book.today))


def kept_back_in(book: Book, yard_id: str, running: Sequence[Trial] | None = None) -> tuple[Kept, ...]:
    """What the running trials of a book keep back in one of its yards; ``running`` where they are at hand."""
    key = key_of(yard_id)
    running = running_trials(book) if running is None else running
    if not running:
        return ()
    with looking(book._engine) as session:
        names = names_of(session, key)
        there = [trial for trial in running if _left_out(trial, names)]
        if not there:
            return ()
        tags = frozenset(one.tag for one in in_rows(session, key) if one.standing == "stands")
    found = [kept_back(trial, names, tags, book.today) for trial in there]
    return tuple(one for one in found if one is not None)


def _runs(trial: Trial, today: date) -> bool:
    return trial.seal is not None and today <= trial.design.grading


def _left_out(trial: Trial, names: Sequence[str]) -> list[Started]:
    return [one for one in trial.without_end if one.yard in names and one.arm == CHECK]


@dataclass(frozen=True)
class CheckRow:
    """What a check hive is told as beside its row: what it gets, and below which frames it is rescued."""

    gets: str
    rescue_below: float  # [frames]


def check_rows(book: Book, yard_id: str, on: date) -> dict[str, CheckRow]:
    """The check hives of a yard on a day, by every name in small letters; ``*`` is the whole yard."""
    found: dict[str, CheckRow] = {}
    for kept in kept_back_in(book, yard_id):
        if kept.since <= on <= kept.last:
            names = ["*"] if kept.whole else [name for hive in kept.hives for name in hive.names]
            row = CheckRow(say(GETS[kept.gets]), kept.rescue_below)
            found |= {name.casefold(): row for name in names}
    return found


def with_check_group(
    book: Book,
    yard_id: str,
    paper: YardPaper,
    given: Mapping[date, date] | None = None,
    running: Sequence[Trial] | None = None,
) -> YardPaper:
    """The sheets of a plan, with the check groups that run on the days of its rounds left out.

    ``given``: the rounds, by their day in the plan, that are known to have been given, and on which day.
    ``running``: the trials that run, where they are at hand.
    """
    return left_out(paper, kept_back_in(book, yard_id, running) if paper.visits else (), given)


def left_out(paper: YardPaper, kept: Sequence[Kept], given: Mapping[date, date] | None = None) -> YardPaper:
    """The same for what is ``kept`` back in the yard."""
    if not kept:
        return paper
    graded, known = dict(paper.hives), given or {}
    visits = (_without(visit, kept, graded, known.get(visit.on)) for visit in paper.visits)
    return replace(paper, visits=tuple(visits))


def _without(
    visit: RoundVisit, kept: Sequence[Kept], graded: Mapping[str, float], given: date | None
) -> RoundVisit:
    for one in kept:
        if visit.on > one.last or any(not other.hives for other in visit.left_out):
            continue
        if given is not None and given < one.since:
            visit = replace(visit, locked_later=_locked_later(one, given))
            continue
        visit, apart = _apart(visit, one, graded)
        also = (one.rescue, apart, "" if given is not None else _planned_before(visit, one))
        left = _left(visit, one, graded, [text for text in also if text])
        visit = replace(visit, left_out=(left,) if one.whole else (*visit.left_out, left))
    return visit


def _left(visit: RoundVisit, kept: Kept, graded: Mapping[str, float], also: Sequence[str]) -> LeftOut:
    """The check hives of one group on a visit; all hives where the yard is one."""
    share, sugar = _share(kept), _sugar(kept)
    if kept.whole:
        said = " ".join([YARD[kept.gets](), *_none_of_it(visit, kept, visit.counts), *also])
        return LeftOut(visit.counts, GETS[kept.gets], said, share=share, sugar=sugar)
    counts = _counts(visit, kept.hives, graded)
    first = HIVES[kept.gets](", ".join(hive.worn for hive in kept.hives))
    said = " ".join([first, *_none_of_it(visit, kept, counts), *also])
    names = frozenset(name for hive in kept.hives for name in hive.names)
    return LeftOut(counts, GETS[kept.gets], said, names, share, sugar)


def _none_of_it(visit: RoundVisit, kept: Kept, counts: Sequence[int]) -> list[str]:
    """That check hives of a class that gets no piece get nothing in its place; nothing where none is."""
    none = sum(many for many, step in zip(counts, visit.steps, strict=True) if not step.cut)
    if not none or kept.gets not in (CheckArm.SUGAR, CheckArm.HALF):
        return []
    return [say("Those of a class that gets no piece get none ({n} of them by their frames).", n=none)]


def _locked_later(kept: Kept, given: date) -> str:
    """That a round was given before anybody knew the check hives, and what that does to the lock."""
    told = say("Given on {day}, before the check group was locked, so to all hives.", day=day_and_year(given))
    if given < kept.drawn:
        return told
    return f"{told} {say('The lock then counts as none.')}"


def _planned_before(visit: RoundVisit, kept: Kept) -> str:
    """That a round's day lies before the lock, and nobody wrote down that it was given."""
    if visit.on >= kept.since:
        return ""
    return say(
        "The check group was locked after this day, on {day}: if all hives were fed before, write that down.",
        day=day_and_year(kept.since),
    )


def _share(kept: Kept) -> float:
    """Of the plan's piece [share]."""
    return 0.5 if kept.gets is CheckArm.HALF else 0.0


def _sugar(kept: Kept) -> float:
    """Of the plan's piece, as a patty of sugar alone [share]."""
    return 1.0 if kept.gets is CheckArm.SUGAR else 0.0


def _apart(visit: RoundVisit, kept: Kept, graded: Mapping[str, float]) -> tuple[RoundVisit, str]:
    """A check hive is joined with none: its pair stays two hives, each in its own class.

    Where pairs have no names any of them may be of a check hive, so that none is joined; said then.
    """
    names = {name for hive in kept.hives for name in hive.names}
    split = [pair for pair in visit.combine if kept.whole or not pair.hives or names & set(pair.hives)]
    if not split:
        return visit, ""
    joined = colonies_in(visit.steps, [pair.frames for pair in split])
    each = [frames for pair in split for frames in _each(pair, graded)]
    alone = colonies_in(visit.steps, each)
    counts = tuple(max(0, n - a) + b for n, a, b in zip(visit.counts, joined, alone, strict=True))
    left = tuple(pair for pair in visit.combine if pair not in split)
    unknown = any(not pair.hives for pair in split)
    told = say("Combine none: a small hive may be a check hive.") if unknown else ""
    return replace(visit, counts=counts, combine=left), told


def _each(pair: Pair, graded: Mapping[str, float]) -> list[float]:
    """The frames of bees of both hives of a pair; even where nobody graded them. [frames]"""
    if not pair.hives:
        return [pair.frames / 2.0, pair.frames / 2.0]
    return [graded[tag] for tag in pair.hives if tag in graded]


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
