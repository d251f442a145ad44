"""``breadline rounds``: search, plan, sheet and stop, break-even first."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import cast
from uuid import uuid4

from rich.console import Console
from rich.status import Status

from breadline.cli.printed import first_season, say, shown, told
from breadline.cli.rounds_kept import (
    ToPrint,
    at_hand_there,
    day_named,
    kept_back_there,
    papers_kept,
    plan_kept,
    there,
    yard_in,
)
from breadline.errors import InputToMend, PlanError, YardError
from breadline.jobs import rounds_full as full
from breadline.jobs import rounds_paper, rounds_stop
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.check_hives import left_out
from breadline.jobs.rounds import SEED, Beside, RoundsAnswer, Way, rounds_from_files
from breadline.jobs.rounds_feeds import FilesBeside
from breadline.jobs.rounds_file import plan_from_text, read_plan
from breadline.jobs.rounds_told import all_lines, refused_lines, rounds_document
from breadline.jobs.rounds_words import no_round_words
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.jobs.yard_as_of import read_yard_as_of
from breadline.jobs.yard_file import read_yard
from breadline.jobs.yards_named import same_name, several_words
from breadline.language import say as worded
from breadline.need.yard import Yard
from breadline.plan.ranked import Ranked
from breadline.plan.search import Look
from breadline.plan.stop import Remaining, Signs
from breadline.records.address import BookAt
from breadline.sheets.letterhead import Paper
from breadline.weather.read import read_weather

PAPERS = ("a4", "us-letter")
ONLY = {
    "truck": "truck-",
    "order": "order-",
    "batch": "batch-",
    "labels": "labels-",
    "calendar": "rounds.ics",
}


@dataclass(frozen=True)
class Asking:
    """What was typed."""

    yards: tuple[Path, ...]
    weather: Path | None
    plan: Path | None
    figures: Path | None
    seed: int | None
    as_json: bool
    book: BookAt | None = None  # whose recipes and bought feeds the plan file may name
    as_of: str | None = None  # the day it is asked as of


@dataclass(frozen=True)
class Seen:
    """What was typed of a look at the entrance and into hives."""

    bees_in: int | None
    with_pollen: int | None
    minutes: float | None  # [min]
    hives: int
    arcs: str | None  # "5/6"
    flying_days: int | None
    threshold: float | None  # [%]


@dataclass(frozen=True)
class Rest:
    """What else the stop goes by."""

    weather: Path | None
    plan: Path | None
    rounds_left: int
    piece: float  # [patties]
    book: BookAt | None = None  # whose recipes and bought feeds the plan file may name
    feed: str = ""  # which of several feeds is given
    as_of: str | None = None  # the day it is asked as of


def search(asking: Asking, only: Sequence[str] = ()) -> None:
    """Print the plans of each yard, or ``only`` those of some names; one that is refused stops no other."""
    asking = replace(asking, yards=_of_names(asking.yards, only))
    refused: list[InputToMend] = []
    answers = _worked_out(asking, refused)
    if not answers:
        raise refused[0]
    if asking.as_json:
        shown({**rounds_document(answers), "refused": [error.as_dict() for error in refused]})
    else:
        told(all_lines(answers))
        told(refused_lines(refused))
    if refused:
        raise SystemExit(InputToMend.exit_code)


def _of_names(yards: tuple[Path, ...], only: Sequence[str]) -> tuple[Path, ...]:
    """The files of the yards that are named, all where none is; one that cannot be read stops no other."""
    if not only:
        return yards
    known: list[tuple[str, str]] = []
    refused: list[InputToMend] = []
    for path in yards:
        try:
            known.append((f"{path}", read_yard(path).name))
        except InputToMend as error:
            refused.append(error)
    if refused and not all(same_name(known, name) for name in only):
        raise refused[0]  # it may be the one that is meant
    return tuple(Path(_file_of(known, name)) for name in only)


def _file_of(known: Sequence[tuple[str, str]], name: str) -> str:
    """The file of the yard of a name; PlanError where none or several of them have it."""
    found = same_name(known, name)
    if len(found) > 1:
        raise PlanError(
            "--yard", f'"{name}": {several_words(len(found))}',
            worded("a name that one of these files has: {files}", files=", ".join(found)),
            worded("Give the file of the one you mean alone"),
        )  # fmt: skip
    if not found:
        raise PlanError(
            "--yard",
            worded('"{name}" is no yard of these files', name=name),
            worded("one of these: {names}", names=", ".join(sorted(told for _, told in known))),
        )
    return found[0]


@dataclass(frozen=True)
class Choice:
    """Which plan is taken, why, and the threshold it is stopped by."""

    take: int | None = None
    why: str = ""
    threshold: float | None = None  # [%]


def plan(asking: Asking, choice: Choice) -> None:
    """Print one plan of each yard in full; keep it where a book is named."""
    share = rounds_stop.threshold_share(choice.threshold, "--threshold")
    answers = [_stopped_at(asking, one, share) for one in searched(asking)]
    taken = [one.taken(choice.take) for one in answers]  # of every yard before any is kept
    kept = _keep(asking, tuple(zip(answers, taken, strict=True)), choice.why)
    if asking.as_json:
        shown(full.plans_document(answers, choice.take, kept))
        return
    for one, at, row in zip(answers, taken, kept, strict=True):
        told(full.plan_lines(one, at, row))


def _stopped_at(asking: Asking, one: RoundsAnswer, share: float | None) -> RoundsAnswer:
    """The answer with the threshold that was typed, else of the plan file, else of the kept plan."""
    if share is not None:
        return replace(one, threshold=share)
    if asking.book is None:
        return one
    there, key = yard_in(asking.book, one.yard)
    return there.with_threshold(key, one)


def _keep(asking: Asking, taken: Sequence[tuple[RoundsAnswer, Ranked]], why: str) -> list[full.Kept | None]:
    """The plans as they are kept, all of them or none: every yard is looked for before one is kept."""
    if asking.book is None:
        return [None] * len(taken)
    there = [yard_in(asking.book, one.yard) for one, _ in taken]
    return [
        full.Kept(book.keep_plan(key, one, at, why), one.yard.today)
        for (book, key), (one, at) in zip(there, taken, strict=True)
    ]


@dataclass(frozen=True)
class Printed:
    """What was typed of the paper."""

    only: str | None = None
    paper: str | None = None
    as_chosen: bool = False  # the plans that the book keeps, as they were chosen


def sheet(asking: Asking, take: int | None, out: Path, printed: Printed) -> None:
    """Write the files of the plans of all yards."""
    only = printed.only
    if printed.paper is not None and printed.paper not in PAPERS:
        raise PlanError("--paper", worded('"{paper}" is not known', paper=printed.paper), ", ".join(PAPERS))
    if only is not None and only not in ONLY:
        raise PlanError(
            "--only",
            worded('"{only}" is not known', only=only),
            ", ".join(ONLY),
            worded("Leave it out for all files"),
        )
    of = _to_print(asking, take, printed)
    how = rounds_paper.Printing(of.today, cast(Paper | None, printed.paper), changed=of.changed)
    made = rounds_paper.files_of(rounds_paper.papers(of.yards, how), datetime.now(UTC), str(uuid4()))
    out.mkdir(parents=True, exist_ok=True)
    files = []
    for name, content in made.items():
        if only is None or name.startswith(ONLY[only]):
            (out / name).write_bytes(content)
            files.append(out / name)
    if asking.as_json:
        shown(full.sheet_document([one.yard for one in of.yards], files, of.said))
        return
    say(*of.said, *(worded("{chart} written", chart=path) for path in files))


def _running(book: BookAt | None, one: RoundsAnswer) -> RoundsAnswer:
    """The answer with what the check groups of the book keep back, where the yard is in one."""
    if book is None:
        return one
    return replace(one, kept=kept_back_there(book, one.yard))


def _to_print(asking: Asking, take: int | None, printed: Printed) -> ToPrint:
    """What the sheets are printed from: the chosen plans as they are kept, else plans searched now."""
    if not printed.as_chosen:
        answers = searched(asking)
        papers = [left_out(yard_paper(one, one.taken(take)), one.kept) for one in answers]
        first = [(one.yard.name, "" if one.before is None else no_round_words(one.before)) for one in answers]
        said = tuple(f"{name}: {words}" for name, words in first if words)
        return ToPrint(tuple(papers), answers[0].yard.today, said, tuple(first))
    if take is not None:
        raise PlanError(
            "--take",
            worded("goes with a search"),
            worded("--as-chosen alone"),
            worded("Leave one of them out"),
        )
    return papers_kept(asking.book, asking.yards, day_named(asking.as_of))


def stop(yard_path: Path, seen: Seen, rest: Rest, as_json: bool) -> None:
    """Print whether to stop."""
    yard = read_yard_as_of(yard_path, day_named(rest.as_of))
    known = at_hand_there(rest.book, yard)
    weather, shelf = (None, None) if known is None else (known.weather, known.shelf)
    if rest.weather is not None:
        place = yard.place
        weather = read_weather(
            rest.weather, latitude=place.latitude, longitude=place.longitude, today=yard.today
        )
    file = rest.plan or (yard_path.parent / "rounds.toml" if rest.rounds_left else None)
    plan = None if file is None else read_plan(file, yard.today, FilesBeside(file.parent, rest.book))
    left: rounds_stop.Left | Remaining = rounds_stop.Left(rest.rounds_left, rest.piece, plan, rest.feed)
    kept = plan_kept(rest.book, yard)
    if kept is not None and plan is None:
        source = FilesBeside(yard_path.parent, rest.book)
        asked = partial(plan_from_text, kept.asked, kept.chosen_on, "the kept plan", source, read_back=True)
        left = rounds_stop.left_of(kept, yard, yard.today, asked, kept_back_there(rest.book, yard))
    signs = rounds_stop.with_kept(_signs(seen, yard), kept)
    with Console(stderr=True).status(worded("Running the season again {why} …", why=first_season())):
        found = rounds_stop.stop_answer(yard, signs, left, weather, shelf)
    if as_json:
        shown(rounds_stop.stop_document(found))
        return
    told(rounds_stop.stop_lines(found))


def _signs(seen: Seen, yard: Yard) -> Signs:
    count = None
    if (seen.bees_in is None) != (seen.with_pollen is None):
        raise YardError(
            "count at the entrance",
            worded("one of two numbers is missing"),
            worded("--bees-in and --with-pollen"),
        )
    if seen.bees_in is not None and seen.with_pollen is not None:
        count = rounds_stop.entrance(yard, seen.bees_in, seen.with_pollen, seen.minutes, seen.hives)
    arcs, looked = None, 0
    if seen.arcs is not None:
        found = re.fullmatch(r"\s*(\d+)\s*(?:/|of)\s*(\d+)\s*", seen.arcs)
        if found is None:
            raise YardError(
                "--arcs",
                worded('"{arcs}" is not two numbers', arcs=seen.arcs),
                worded("hives with an arc of those looked in, 5/6"),
            )
        arcs, looked = int(found[1]), int(found[2])
    pollen = yard.forage.coming_in if count is None else None
    share = rounds_stop.threshold_share(seen.threshold, "--threshold")
    return Signs(count, None, pollen, arcs, looked, seen.flying_days, share)


def searched(asking: Asking) -> list[RoundsAnswer]:
    """The answer of each yard; the first that is refused ends it, named by its file where there are more."""
    return _worked_out(asking)


def _worked_out(asking: Asking, refused: list[InputToMend] | None = None) -> list[RoundsAnswer]:
    """The answer of each yard, with progress on standard error; by what the book's own trials taught.

    Those that are refused are put into ``refused``, where there is such a list, and the others worked out.
    """
    if asking.weather is None:
        raise PlanError("--weather", worded("is left out"), worded("a weather file of past years"),
                        worded("Name it, or print the plans a book keeps with --as-chosen"))  # fmt: skip
    if not asking.yards:
        raise PlanError(
            "yards", worded("none is named"), worded("one yard file or more"), worded("Name the yards' files")
        )
    if asking.book is not None:
        there(asking.book)
    learnt = None if asking.book is None else BeliefBook(asking.book).known().beliefs
    answers, of = [], Beside(asking.figures, asking.book, learnt, day_named(asking.as_of))
    first = worded("Reading the weather and running the seasons {why} …", why=first_season())
    with Console(stderr=True).status(first) as status:
        for n, yard in enumerate(asking.yards, 1):
            lead = worded("Yard {n} of {of}: ", n=n, of=len(asking.yards)) if len(asking.yards) > 1 else ""
            way = Way(SEED if asking.seed is None else asking.seed, on_look=_progress(status, lead))
            try:
                answer = rounds_from_files(yard, asking.weather, asking.plan, of, way)
            except InputToMend as error:
                if len(asking.yards) < 2:
                    raise
                named = _of_file(error, yard.name)
                if refused is None:
                    raise named from None
                refused.append(named)
                continue
            answers.append(_running(asking.book, answer))
    return answers


def _of_file(error: InputToMend, file: str) -> InputToMend:
    """The same error with the yard's file in it."""
    if error.where.startswith(file):
        return error
    return type(error)(f"{file}, {error.where}", error.what, error.expected, error.do)


def _progress(status: Status, lead: str) -> Callable[[Look], None]:
    def on_look(look: Look) -> None:
        status.update(
            worded(
                "{lead}{plans:,} plans tried in {members:,} seasons …",
                lead=lead,
                plans=look.plans,
                members=look.members,
            )
        )

    return on_look
