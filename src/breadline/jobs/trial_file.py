"""Write and read the open file in which a trial travels; nothing in it is taken on trust."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from breadline.belief.gain import Situation
from breadline.belief.season_called import season_kept
from breadline.errors import TrialError
from breadline.jobs import trial_shape as shape
from breadline.language import say
from breadline.trial.classes import Lines
from breadline.trial.colonies import NOTHING_ELSE, Also, Ended, Started
from breadline.trial.design import Design
from breadline.trial.lock import canonical
from breadline.verdict.answer import Finished
from breadline.verdict.ends_of import ends_of
from breadline.verdict.fairness import Conduct

LARGEST = 64_000_000  # of a file [bytes]


@dataclass(frozen=True)
class Telling:
    """What a grower says of a trial that is to travel.

    Parameters
    ----------
    season
        As people say it, "autumn 2026".
    situation
        What the place gave while the feed was on; None where it was not noted.
    name
        Of the trial; "" gives it that of its season.
    owner, place
        Told only where they are ticked; "" keeps them at home.
    own_names
        Whether hives, yards, queen lines and graders keep their own names; else they are numbered.
    locked_at, locked_as
        When the design was locked, and its digest then; None where it never was.
    feed
        What was fed, without its name.
    prices
        What its grower reckons with, told only where it is ticked.
    """

    season: str
    situation: Situation | None = None
    name: str = ""
    owner: str = ""
    place: str = ""
    own_names: bool = False
    locked_at: datetime | None = None
    locked_as: str | None = None
    feed: shape.Feed | None = None
    prices: shape.Prices | None = None


@dataclass(frozen=True)
class TrialFile:
    """A trial as it was read.

    Parameters
    ----------
    source
        Name of the file.
    name, season, situation, owner, place
        As told.
    finished
        The colonies, their design and how it was carried out.
    locked_at, locked_as
        When the design was locked and its digest then; None where it never was.
    sealed
        Whether the design still is what it was when the file was written.
    feed
        What was fed; None where it was not said.
    prices
        What its grower reckons with; None where that was not ticked.
    digest
        Of its colonies, design and conduct without any name, by which a trial is known again: with and
        without own names, whatever it is called, it is one trial.
    """

    source: str
    name: str
    season: str
    situation: Situation | None
    owner: str
    place: str
    finished: Finished
    locked_at: datetime | None
    locked_as: str | None
    sealed: bool
    feed: shape.Feed | None
    digest: str = field(default="", compare=False)
    prices: shape.Prices | None = None

    @property
    def fed_on(self) -> tuple[date, ...]:
        """Days on which feed was put on, as far as the file says."""
        return () if self.feed is None else tuple(on for on, _ in self.feed.given)


def trial_text(finished: Finished, telling: Telling) -> str:
    """A trial as the text of its file.

    Hives, yards, sets, queen lines and graders are numbered in the order in which they stand, unless
    the grower ticked their own names; so is everything that refers to them.

    Errors
    ------
    TrialError
        If a colony has no end, or an end no colony.
    """
    ends_of(finished.design, finished.ended)
    if not telling.own_names:
        finished = numbered(finished)
    design = finished.design
    ends = {one.tag: one for one in finished.ended}
    told = shape.Trial(
        shape=shape.SHAPE,
        name=telling.name or f"Trial of {telling.season}",
        season=telling.season,
        situation=telling.situation,
        owner=telling.owner,
        place=telling.place,
        design=_design(design),
        lock=shape.Lock(at=telling.locked_at, sha256=telling.locked_as, sealed=seal(design)),
        conduct=shape.Conduct(
            weakest_unfed=finished.conduct.weakest_unfed,
            differently=_carried(finished.conduct)["differently"],
            swapped=list(finished.conduct.swapped),
            frames_as_rows=finished.conduct.frames_as_rows,
        ),
        feed=telling.feed,
        prices=telling.prices,
        colonies=[_colony(one, ends[one.tag]) for one in design.started],
    )
    plain = told.model_dump(mode="json")
    for one in plain["colonies"]:
        if one["also"] is None:  # files without it are as they always were
            del one["also"]
    if design.apart is None:  # likewise
        del plain["design"]["apart"]
    if telling.prices is None:
        del plain["prices"]
    return json.dumps(plain, ensure_ascii=False, indent=1) + "\n"


def trial_from_text(text: str, source: str) -> TrialFile:
    """A trial from the text of its file.

    Errors
    ------
    TrialError
        If it is not such a file; with the field, by its place in the file, and what is wrong there.
    """
    try:
        told = shape.Trial.model_validate_json(text, strict=True)
    except ValidationError as wrong:
        raise _refused(wrong, source) from None
    design = _locked(told, source)
    conduct = Conduct(told.conduct.weakest_unfed, told.conduct.differently, tuple(told.conduct.swapped),
                      told.conduct.frames_as_rows)  # fmt: skip
    finished = Finished(design, tuple(_ended(one) for one in told.colonies), conduct)
    return TrialFile(
        source=source,
        name=told.name,
        season=season_kept(told.season),
        situation=told.situation,
        owner=told.owner,
        place=told.place,
        finished=finished,
        locked_at=told.lock.at,
        locked_as=told.lock.sha256,
        sealed=told.lock.sealed == seal(design),
        feed=told.feed,
        digest=known_again(finished),
        prices=told.prices,
    )


def read_trial(path: Path) -> TrialFile:
    """The trial of a file on disk; errors as in ``trial_from_text``."""
    size = path.stat().st_size
    if size > LARGEST:
        raise TrialError(
            str(path), say("it is {size:.0f} MB long", size=size / 1000000.0), say("at most 64 MB")
        )
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise TrialError(str(path), say("it is not UTF-8"), say("a trial's own file, in JSON")) from None
    return trial_from_text(text, str(path))


def seal(design: Design) -> str:
    """Digest of a design in its one written form; the box names of hives are no part of a file."""
    bare = replace(design, started=tuple(replace(one, hive="") for one in design.started))
    return hashlib.sha256(canonical(bare).encode()).hexdigest()


def known_again(finished: Finished) -> str:
    """Digest by which a trial is known again, whatever its hives, yards and graders are called."""
    bare = numbered(finished)
    order = {one.tag: n for n, one in enumerate(bare.design.started)}  # as in a file, however ends came in
    ended = sorted(bare.ended, key=lambda end: order.get(end.tag, len(order)))
    rows = [{name: getattr(end, name) for name in _OF_END} | {"tag": end.tag} for end in ended]
    told = [
        canonical(bare.design),
        rows,
        {name: value for name, value in vars(bare.conduct).items() if name != "fed_in_open"},
    ]
    return hashlib.sha256(json.dumps(told, sort_keys=True, default=str).encode()).hexdigest()


def _carried(conduct: Conduct) -> dict[str, Any]:
    """How a trial was carried out as its file has it: dry feed on the way is what one group had besides."""
    besides = "; ".join(text for text in (conduct.differently, conduct.fed_in_open) if text)
    told = vars(replace(conduct, differently=besides))
    return {name: value for name, value in told.items() if name != "fed_in_open"}


def numbered(finished: Finished) -> Finished:
    """The same trial with numbers in place of every name that says whose or where it is."""
    started = finished.design.started
    tags = _numbers([one.tag for one in started], "")
    yards = _numbers([one.yard for one in started], "yard ")
    units = _numbers([one.unit for one in started], "range ")
    blocks = _numbers([one.block for one in started], "set ")
    lines = _numbers([one.queen_line for one in started], "line ")
    graders = _numbers([one.grader for one in finished.ended], "grader ")
    begun = tuple(
        replace(one, tag=tags[one.tag], yard=yards[one.yard], block=blocks[one.block], hive="",
                unit=units[one.unit], queen_line=lines[one.queen_line])
        for one in started
    )  # fmt: skip
    ends = tuple(
        replace(one, tag=tags.get(one.tag, one.tag), grader=graders[one.grader],
                merged_into=tags.get(one.merged_into, "elsewhere") if one.merged_into else "")
        for one in finished.ended
    )  # fmt: skip
    swapped = tuple(tags.get(tag, tag) for tag in finished.conduct.swapped)
    conduct = replace(finished.conduct, swapped=swapped)
    apart = finished.design.apart
    design = replace(
        finished.design, started=begun, apart=None if apart is None else tuple(yards[y] for y in apart)
    )
    return replace(finished, design=design, ended=ends, conduct=conduct, visits=())


def _numbers(names: list[str], lead: str) -> dict[str, str]:
    known = dict.fromkeys(name for name in names if name)
    return {"": ""} | {name: f"{lead}{n}" for n, name in enumerate(known, 1)}


def _design(design: Design) -> shape.Design:
    return shape.Design(
        outcome=design.outcome,
        check_arm=design.check_arm,
        drawn=design.unit,
        allocation=design.allocation,
        arms=list(design.arms),
        primary=design.primary,
        break_even=design.lines.break_even,
        margin=design.lines.margin,
        grading=None if design.grading == date.min else design.grading,
        grade=design.grade,
        seed=design.seed,
        open_feed=design.open_feed,
        staggered=design.staggered,
        apart=None if design.apart is None else list(design.apart),
    )


def _locked(told: shape.Trial, source: str) -> Design:
    of = told.design
    if of.primary >= len(of.arms) or any(one.arm >= len(of.arms) for one in told.colonies):
        raise TrialError(
            source,
            say("a colony or the comparison names an arm that there is not"),
            say("0 to {most}, as arms has {n} names", most=len(of.arms) - 1, n=len(of.arms)),
        )
    if elsewhere := set(of.apart or ()) - {one.yard for one in told.colonies}:
        raise TrialError(
            source,
            say("apart names {elsewhere}, where no hive stands", elsewhere=min(elsewhere)),
            say("yards of its hives"),
        )
    return Design(
        outcome=of.outcome,
        check_arm=of.check_arm,
        unit=of.drawn,
        allocation=of.allocation,
        arms=tuple(of.arms),
        primary=of.primary,
        lines=Lines(of.break_even, of.margin),
        grading=of.grading or date.min,
        started=tuple(_started(one) for one in told.colonies),
        grade=of.grade,
        seed=of.seed,
        open_feed=of.open_feed,
        staggered=of.staggered,
        apart=None if of.apart is None else tuple(of.apart),
    )


def _colony(one: Started, end: Ended) -> shape.Colony:
    begun = {name: getattr(one, name) for name in _OF_START}
    also = None if end.also == NOTHING_ELSE else shape.Also(**vars(end.also))
    return shape.Colony(**begun, **{name: getattr(end, name) for name in _OF_END}, also=also)


def _started(one: shape.Colony) -> Started:
    return Started(**{name: getattr(one, name) for name in _OF_START})


def _ended(one: shape.Colony) -> Ended:
    also = NOTHING_ELSE if one.also is None else Also(**one.also.model_dump())
    return Ended(tag=one.tag, **{name: getattr(one, name) for name in _OF_END}, also=also)


def _refused(wrong: ValidationError, source: str) -> TrialError:
    first = wrong.errors()[0]
    place = ", ".join(f"number {part + 1}" if isinstance(part, int) else str(part) for part in first["loc"])
    if first["type"] == "json_invalid":
        return TrialError(
            source,
            say("it is no trial file (a .json file that this program wrote)"),
            say("a trial's own file, {shape}", shape=shape.SHAPE),
            say(
                "A spreadsheet of a finished trial goes under Verdict; breadline verdict FILE --travel OUT "
                "makes a trial file of it"
            ),
        )
    more = wrong.error_count() - 1
    also = f" ({more} more)" if more else ""
    return TrialError(
        f"{source}, {place}" if place else source,
        f"{first['msg'][:1].lower()}{first['msg'][1:]}{also}",
        say("a trial's own file, {shape}", shape=shape.SHAPE),
        say("breadline verdict FILE --travel OUT writes one; the page on the trial file has every field"),
    )


_OF_START = ("tag", "yard", "block", "unit", "arm", "baseline", "row", "place", "queen_line")
_OF_END = ("became", "outcome", "graded_on", "grader", "again", "guessed", "merged_into", "taken")
