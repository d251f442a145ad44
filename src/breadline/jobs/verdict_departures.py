"""What was done otherwise than was settled before the draw."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from breadline.jobs.check_group_trial import Trial
from breadline.jobs.lock_stands import lock_words
from breadline.jobs.trial_file import TrialFile
from breadline.language import say, say_counted
from breadline.need.words import counted, day_and_year
from breadline.trial.colonies import Became, Ended
from breadline.trial.design import Design

TwoLines = tuple[str, str]  # the line settled and that of the prices given now, as they are told


def departures(trial: Trial, lines: TwoLines | None, fed_on: Sequence[date] = ()) -> tuple[str, ...]:
    """Of a trial drawn by the program; ``fed_on`` are days on which feed was put on, where they are known."""
    said = []
    if trial.draws > 1:
        said.append(say("It was drawn {n} times before one draw was kept.", n=trial.draws))
    said += lock_departure(trial.locked_at, trial.ended, fed_on)
    said += _days(trial.design, trial.ended)
    said += _prices(lines)
    order = [end.tag for end in trial.ended]
    twice = sum(end.again is not None for end in trial.ended)
    if trial.twice and order and twice < len(trial.twice):
        due = counted(len(trial.twice), "colony", "colonies")
        said.append(say("{due} were to be graded twice; {n} were.", due=due, n=twice))
    rescued = sum(end.became is Became.RESCUED for end in trial.ended)
    if rescued:
        said.append(
            say_counted(
                "{n} colony was rescued by the rule settled beforehand, below {below:g} frames.",
                "{n} colonies were rescued by the rule settled beforehand, below {below:g} frames.",
                rescued, below=trial.rescue_below,
            )
        )  # fmt: skip
    return tuple(said)


def travelled_departures(file: TrialFile, lines: TwoLines | None, fed_on: Sequence[date]) -> tuple[str, ...]:
    """Of a trial that came as a file, and on which days it was fed."""
    design, ended = file.finished.design, file.finished.ended
    said = [] if file.sealed else [say("Its design was changed after the file was written.")]
    said += lock_departure(file.locked_at, ended, fed_on)
    return (*said, *_days(design, ended), *_prices(lines))


def lock_departure(
    locked_at: datetime | None, ended: tuple[Ended, ...], fed_on: Sequence[date] = ()
) -> list[str]:
    """What is said of a lock that is none, or came too late; nothing where it stands."""
    said = lock_words(locked_at, ended, fed_on)
    return [f"{said[0].upper()}{said[1:]}."] if said else []


def _days(design: Design, ended: tuple[Ended, ...]) -> list[str]:
    days = sorted({end.graded_on for end in ended if end.graded_on is not None and end.outcome is not None})
    if design.grading == date.min or not days or days == [design.grading]:
        return []
    first, last = day_and_year(days[0]), day_and_year(days[-1])
    told = {"first": first, "last": last, "settled": day_and_year(design.grading)}
    if first == last:
        return [say("Graded on {first}; {settled} was settled.", **told)]
    return [say("Graded from {first} to {last}; {settled} was settled.", **told)]


def _prices(lines: TwoLines | None) -> list[str]:
    """Money at other prices than those that the settled line came from."""
    if lines is None:
        return []
    then, now = lines
    return [
        say("At the prices given now it had to add {now}; {then} was settled, and decides the "
            "answer.", now=now,
            then=then)
    ]  # fmt: skip
