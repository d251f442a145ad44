"""A whole season of the demo operation, from the plan of one January to that of the next; all invented.

Outlook and plan in January, a check group drawn and locked before the first round, rounds and grading entered
as a phone enters them, the verdict and what it taught, a new count a year on, and the plan that follows.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np

from breadline.errors import RecordError
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.book import Book, key_of
from breadline.jobs.check_group_trial import Asked, Trial
from breadline.jobs.demo import TODAY
from breadline.jobs.demo_trial import learn
from breadline.jobs.field_book import FieldBook
from breadline.jobs.field_record import SHAPE
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.trial_book import Kept, TrialsBook
from breadline.language import say
from breadline.need.yard import Yard
from breadline.records import yards
from breadline.records.address import BookAt
from breadline.records.engine import looking, open_book, shut_book, writing
from breadline.records.ids import new_id
from breadline.trial.classes import Lines
from breadline.trial.colonies import CHECK as CHECK_ARM
from breadline.trial.design import CheckArm, Outcome

NAME = "Late winter patties 2026 (invented)"
SEASON = "spring 2026"
YARD, TAGS = "Long Culvert", "LC-{:02}"
NEXT = date(2027, 1, 20)
LOCKED, GRADED = datetime(2026, 1, 20, 15, tzinfo=UTC), date(2026, 3, 25)
SEED = 20260120
POLLEN = date(2026, 3, 1)  # from when loads came in, so that the rule of the plan stopped the rounds
CHECK = 16  # colonies left unfed
USUAL, BENEFIT, SPREAD = 8.5, -0.3, 1.4  # invented: unfed colonies, what feed added, how they differ [frames]
DIED = (3, 21)  # whose places in the walking order were found empty
PLAN = """money = "US$"
year = {year}
[target]
kind = "frames"
on = {year}-03-25
grade = 8
fee = 190
fee_year = {before}
paid = "hive_by_hive"
[[feed]]
name = "Protein patty"
price = 1.45
per = "lb"
patty_lb = 1
sugar_pct = 45
box_lb = 40
[work]
minutes_colony = 2
wage = 20
miles = 24
mile = 0.70
minutes_drive = 50
[rounds]
intervals = [7, 10, 14, 21]
most_rounds = 6
honey_lb = 30
"""


def live_season(path: BookAt, way: Way | None = None) -> None:
    """Write the season into the demo's book, and the plan of the next; once.

    Errors
    ------
    RecordError
        If the book has no yard of the demo.
    """
    keys = Book(path, TODAY).keys_by_name()
    if YARD not in keys:
        raise RecordError(
            "demo",
            say("its yard {yard} is not in this book", yard=YARD),
            say("the demo's own book"),
            say("Choose another --book"),
        )
    if any(isinstance(one, Kept) and one.trial.name == NAME for one in TrialsBook(path, NEXT).trials()):
        return
    key = keys[YARD]
    _hives_listed(path, key)
    _choose(path, key, TODAY, way or Way())
    trial = _check_group(path)
    _rounds_given(path, key, trial)
    _graded(path, key, trial)
    trials = TrialsBook(path, GRADED + timedelta(days=1))
    done = next(one for one in trials.trials() if isinstance(one, Kept) and one.trial.name == NAME).trial
    situation = _plan(path, key).belief["situation"]
    learn(done, BeliefBook(path, trials.today), trials.today, situation, SEASON)
    _a_year_on(path, key)
    _choose(path, key, NEXT, way or Way())


def _hives_listed(path: BookAt, key: str) -> None:
    book = FieldBook(path, TODAY)
    book.place_hives(
        key, [(TAGS.format(n), f"row {1 + (n - 1) // 8}") for n in range(1, _colonies(path, key) + 1)]
    )


def _colonies(path: BookAt, key: str) -> int:
    return RoundsBook(path, TODAY).yard(key).colonies


def _choose(path: BookAt, key: str, on: date, way: Way) -> None:
    """The best plan of a day, chosen."""
    book = RoundsBook(path, on)
    told = book.rounds(key, PLAN.format(year=on.year, before=on.year - 1), way)
    book.keep_plan(key, told, told.taken(None), "A new season" if on == NEXT else "")


def _plan(path: BookAt, key: str) -> PlanKept:
    """The plan of the season, as it was chosen."""
    kept = RoundsBook(path, TODAY).plan(key)
    assert kept is not None
    return kept


def _check_group(path: BookAt) -> Trial:
    book = TrialsBook(path, LOCKED.date())
    lines = Lines(break_even=0.5, margin=0.5)
    asked = Asked(NAME, Outcome.FRAMES, CheckArm.SAME_CARE, lines, GRADED, 3.0, SEED, check=CHECK)
    kept = book.draw(book.candidates((YARD,)), asked, LOCKED - timedelta(hours=1))
    return book.lock(kept.key, LOCKED).trial


def _rounds_given(path: BookAt, key: str, trial: Trial) -> None:
    """The rounds of the plan until pollen came in, hive by hive; check hives get nothing."""
    check = {one.hive for one in trial.design.started if one.arm == CHECK_ARM}
    fed = [one.tag for one in FieldBook(path, TODAY).hives(key)[1] if one.tag not in check]
    for one in (each for each in _plan(path, key).rounds if each.on < POLLEN):
        seen = {"put_on": {"value": round(one.grams, 1), "unit": "g"}}
        _sent(path, key, "round", one.on, [(tag, {"seen": seen}) for tag in fed])


def _graded(path: BookAt, key: str, trial: Trial) -> None:
    """Every hive on the locked day, to the half frame, in the order of its sheet; two were found dead."""
    rng = np.random.default_rng(SEED)
    told: list[tuple[str, Mapping[str, Any]]] = []
    for n, one in enumerate(trial.design.started):
        frames = USUAL + BENEFIT * (one.arm != CHECK_ARM) + SPREAD * rng.standard_normal()
        seen = {"frames_of_bees": {"value": max(1.0, round(2.0 * frames) / 2.0), "unit": "frames"}}
        told.append((one.tag, {"standing": "dead"} if n in DIED else {"seen": seen}))
    _sent(path, key, "grading", GRADED, told)


def _sent(
    path: BookAt, key: str, work: str, on: date, told: Sequence[tuple[str, Mapping[str, Any]]]
) -> None:  # fmt: skip
    """A batch as a phone sends it in the evening."""
    at, now = (
        datetime(on.year, on.month, on.day, 15, tzinfo=UTC),
        datetime(on.year, on.month, on.day, 22, tzinfo=UTC),
    )
    records = [
        {
            "id": str(new_id()),
            "work": work,
            "yard": key,
            "tag": tag,
            "at": at.isoformat(),
            "by": "Sorrel",
            **more,
        }
        for tag, more in told
    ]
    body = {"shape": SHAPE, "phone": "demo", "now": now.isoformat(), "records": records}
    answer = FieldBook(path, on).take(json.dumps(body).encode(), now)
    refused = [one for one in answer["answers"] if one["answer"] != "stored"]
    assert not refused, refused[:3]


def _a_year_on(path: BookAt, key: str) -> None:
    """The same yard a year later, found as it was: what changes the plan is what was learnt."""
    engine = open_book(path)
    with looking(engine) as session:
        then = yards.yard_as_known(session, key_of(key), NEXT)
    of = _counted(then)
    with writing(engine) as session:
        yards.say_again(session, key_of(key), of)
    shut_book(engine)


def _counted(of: Yard) -> Yard:
    day = NEXT - timedelta(days=1)
    count = replace(of.count, on=day, colonies_looked_in=8)
    health = replace(of.health, mites_per_100=0.4, mites_on=date(2027, 1, 5))
    goal = None if of.goal is None else replace(of.goal, on=date(2027, 3, 25))
    # what was counted hive by hive stands in the book already; told again as averages it would take its place
    return replace(of, today=NEXT, colonies=38, count=count, health=health, goal=goal, inspections=())
