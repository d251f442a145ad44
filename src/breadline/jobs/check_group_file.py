"""The file of a trial: one JSON document with its design, its colonies, its seal and what became of them."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import fields
from datetime import date, datetime
from pathlib import Path
from typing import Any, TypeVar

from breadline import __version__
from breadline.errors import BreadlineError, TrialError
from breadline.jobs.check_group_table import text_of
from breadline.jobs.check_group_trial import Trial, seal_holds
from breadline.language import say
from breadline.trial.classes import Lines
from breadline.trial.colonies import Also, Became, Ended, Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit

SHAPE = "breadline.trial_draw/1"
T = TypeVar("T")


def trial_document(trial: Trial) -> dict[str, Any]:
    """A trial as plain data; see docs/guide/check-group.md for its fields."""
    return {
        "shape": SHAPE, "program": __version__, "name": trial.name,
        "drawn_at": trial.drawn_at.isoformat(), "draws": trial.draws,
        "locked_at": None if trial.locked_at is None else trial.locked_at.isoformat(), "seal": trial.seal,
        "design": design_document(trial.design),
        "rescue_below_frames": trial.rescue_below,
        "order": list(trial.order), "twice": [tag for tag in trial.order if tag in trial.twice],
        "said": list(trial.said),
        "colonies": [plain(one) for one in trial.design.started],
        "ends": [plain(one) for one in trial.ended],
    } | ({"kept_as": trial.kept_as} if trial.kept_as else {})  # fmt: skip


def design_document(design: Design) -> dict[str, Any]:
    """What is locked, but for the colonies, as plain data."""
    return {
        "outcome": design.outcome.value, "grade_frames": design.grade, "check_arm": design.check_arm.value,
        "unit": design.unit.value, "allocation": design.allocation.value, "arms": list(design.arms),
        "primary": design.primary, "break_even": design.lines.break_even, "margin": design.lines.margin,
        "grading": design.grading.isoformat(), "seed": design.seed, "open_feed": design.open_feed,
        "staggered": design.staggered,
    } | ({} if design.apart is None else {"apart": list(design.apart)})  # fmt: skip


def trial_text(trial: Trial) -> str:
    """A trial as the text of its file."""
    return json.dumps(trial_document(trial), ensure_ascii=False, indent=1) + "\n"


def read_trial(path: Path, sealed: bool = True) -> Trial:
    """The trial of a file; with its seal unbroken, unless that is what is asked.

    Errors
    ------
    TrialError
        If it is no file of a trial, or what was locked was changed since.
    """
    return trial_from_text(text_of(path, "the file of a trial, from draw --out"), path.name, sealed)


def trial_from_text(text: str, file: str, sealed: bool = True) -> Trial:
    """The trial of a file's text."""
    try:
        told = json.loads(text)
    except (json.JSONDecodeError, RecursionError) as error:
        raise TrialError(
            file, say("it is not JSON: {error}", error=error), say("the file that the draw wrote")
        ) from None
    return trial_of(told, file, sealed)


def trial_of(told: Any, file: str, sealed: bool = True) -> Trial:
    """The trial of plain data; refused where its seal is broken."""
    if not isinstance(told, dict) or told.get("shape") != SHAPE:
        raise TrialError(file, say("it is no trial"), say('a file whose "shape" is "{shape}"', shape=SHAPE))
    try:
        trial = _trial(told)
    except BreadlineError:
        raise
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise TrialError(
            file,
            say("a field is missing or wrong ({error})", error=error),
            say("the file that the draw wrote"),
        ) from None
    _whole(trial, file)
    if sealed and trial.locked_at is not None and not seal_holds(trial):
        raise TrialError(
            file,
            say("the seal is broken: something that was locked was changed in the file afterwards"),
            say("the file as it was locked"),
            say("Go back to your copy; a change of plan is told as a deviation"),
        )
    return trial


def design_from(told: Mapping[str, Any], started: tuple[Started, ...]) -> Design:
    """A design from plain data and its colonies."""
    return Design(
        Outcome(told["outcome"]), CheckArm(told["check_arm"]), Unit(told["unit"]),
        Allocation(told["allocation"]), tuple(str(arm) for arm in told["arms"]), int(told["primary"]),
        Lines(float(told["break_even"]), float(told["margin"])), date.fromisoformat(told["grading"]), started,
        _maybe(float, told["grade_frames"]), _maybe(int, told["seed"]), bool(told["open_feed"]),
        _maybe(bool, told["staggered"]), _names(told.get("apart")),
    )  # fmt: skip


def _trial(told: Mapping[str, Any]) -> Trial:
    started = tuple(_started(one) for one in told["colonies"])
    return Trial(
        name=str(told["name"]),
        design=design_from(told["design"], started),
        order=tuple(told["order"]),
        twice=frozenset(told["twice"]),
        rescue_below=float(told["rescue_below_frames"]),
        drawn_at=datetime.fromisoformat(told["drawn_at"]),
        draws=int(told["draws"]),
        locked_at=_maybe(datetime.fromisoformat, told["locked_at"]),
        seal=told["seal"],
        said=tuple(told["said"]),
        ended=tuple(ended_from(one) for one in told["ends"]),
        kept_as=str(told.get("kept_as") or ""),
    )


def _started(told: Mapping[str, Any]) -> Started:
    return Started(
        str(told["tag"]), str(told["yard"]), str(told["block"]), int(told["arm"]),
        _maybe(float, told["baseline"]), _maybe(int, told["row"]), _maybe(int, told["place"]),
        str(told["queen_line"]), str(told["hive"]), str(told["unit"]),
    )  # fmt: skip


def ended_from(told: Mapping[str, Any]) -> Ended:
    """What became of one colony, from plain data."""
    return Ended(
        str(told["tag"]), Became(told["became"]), _maybe(float, told["outcome"]),
        _maybe(date.fromisoformat, told["graded_on"]), str(told["grader"]), _maybe(float, told["again"]),
        _maybe(int, told["guessed"]), str(told["merged_into"]), float(told["taken"]),
        Also(**{name: _maybe(float, value) for name, value in (told.get("also") or {}).items()}),
    )  # fmt: skip


def _names(value: Any) -> tuple[str, ...] | None:
    return None if value is None else tuple(str(name) for name in value)


def _maybe(kind: Callable[[Any], T], value: Any) -> T | None:
    return None if value is None else kind(value)


def plain(row: Started | Ended) -> dict[str, Any]:
    """A colony, or what became of it, as plain data; what else was read stands there only where it was."""
    told = {f.name: _shown(getattr(row, f.name)) for f in fields(row)}
    return {name: value for name, value in told.items() if name != "also" or value}


def _shown(value: Any) -> Any:
    if isinstance(value, Also):
        return {name: read for name, read in vars(value).items() if read is not None}
    if isinstance(value, Became):
        return value.value
    return value.isoformat() if isinstance(value, date) else value


def _whole(trial: Trial, file: str) -> None:
    tags = [one.tag for one in trial.design.started]
    if len(set(tags)) < len(tags):
        raise TrialError(file, say("two hives wear the same tag"), say("a tag of its own for each"))
    if elsewhere := set(trial.design.apart or ()) - {one.yard for one in trial.design.started}:
        raise TrialError(
            file,
            say("apart names {elsewhere}, where no hive stands", elsewhere=min(elsewhere)),
            say("yards of its hives"),
        )
    if sorted(trial.order) != sorted(tags):
        raise TrialError(
            file, say("the order of grading names other hives than were drawn"), say("every hive once")
        )
    ends = [one.tag for one in trial.ended]
    strange = [tag for tag in ends if tag not in set(tags)]
    if strange:
        raise TrialError(
            file,
            say("{strange} has an end and was never started", strange=strange[0]),
            say("hives that were drawn"),
        )
    if len(set(ends)) < len(ends):
        raise TrialError(file, say("a hive has two ends"), say("one for each"))
