"""The demo's check group of last autumn, finished, and what it taught; every count is invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import numpy as np

from breadline.belief.gain import Situation
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.check_group_trial import Asked, Trial
from breadline.jobs.trial_book import Kept, TrialsBook
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import trial_from_text
from breadline.jobs.trial_taught import taught_by
from breadline.jobs.verdict import Prices, VerdictAsked
from breadline.jobs.verdict_file import Readings, verdict_of_trial
from breadline.jobs.verdict_onward import Onward, travelling
from breadline.records.address import BookAt
from breadline.trial.classes import Lines
from breadline.trial.colonies import Also, Became, Ended
from breadline.trial.design import CheckArm, Outcome

NAME = "Autumn patties 2025 (invented)"
SEASON = "autumn 2025"
YARDS = ("Upper Sluice", "Long Culvert")
DRAWN, GRADED = datetime(2025, 8, 20, 9, tzinfo=UTC), date(2025, 11, 20)
SEED = 20250820
CHECK = 20  # colonies left unfed, ten in each yard
USUAL, BENEFIT, SPREAD = 7.0, 1.8, 1.6  # invented: unfed colonies, what feed added, how they differ [frames]
DEAD = 0.05  # share
FOUND_DEAD = date(2025, 10, 16)
BROOD = 0.8  # half frames of brood a frame of bees, invented


def put_trial_in(path: BookAt, today: date) -> None:
    """Last autumn's check group with its ends and its lesson, where the demo's book does not have it yet."""
    book, beliefs = TrialsBook(path, today), BeliefBook(path, today)
    there = [one for one in book.trials() if isinstance(one, Kept) and one.trial.name == NAME]
    kept = there[0] if there else book.draw(book.candidates(YARDS), _asked(), DRAWN)
    if kept.trial.locked_at is None:
        kept = book.lock(kept.key, DRAWN)
    if kept.trial.without_end:
        book.keep_ends(kept.key, _ends(kept.trial))
    if not any(lesson.taught.name == NAME for lesson in beliefs.known().lessons):
        learn(book.trial(kept.key).trial, beliefs, today, "dearth", SEASON)


def _asked() -> Asked:
    lines = Lines(break_even=0.9, margin=0.5)
    return Asked(NAME, Outcome.FRAMES, CheckArm.SAME_CARE, lines, GRADED, 3.0, SEED, check=CHECK, fed_each=1)


def _ends(trial: Trial) -> list[Ended]:
    """An invented count for each colony, to the half frame; some are dead."""
    rng = np.random.default_rng(SEED)
    found = []
    for one in trial.design.started:
        frames = USUAL + BENEFIT * (one.arm != 0) + SPREAD * rng.standard_normal()
        if rng.random() < DEAD:
            found.append(Ended(one.tag, Became.DEAD, graded_on=FOUND_DEAD))
            continue
        frames = max(1.0, round(2.0 * frames) / 2.0)
        also = Also(brood=round(frames * BROOD) / 2.0, eaten=None if one.arm == 0 else 60.0 * frames)
        found.append(Ended(one.tag, Became.GRADED, frames, GRADED, "Sorrel", also=also))
    return found


def learn(trial: Trial, beliefs: BeliefBook, today: date, situation: Situation, season: str) -> None:
    """The lesson of a finished trial, on the scale of the outcome: the season model would take a while."""
    verdict = verdict_of_trial(trial, VerdictAsked(Prices()), today, trial.name)
    assert not isinstance(verdict, Readings)
    onward = Onward(situation, season, own_names=True)
    file = replace(trial_from_text(travelling(verdict, onward), trial.name), name=trial.name)
    beliefs.learn(taught_by(checked(file), situation))
