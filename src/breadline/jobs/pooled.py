"""Trials of several growers together: one average a situation, and where a further trial would lie."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from breadline.belief.gain import IN_WORDS, Situation, by_per_cent
from breadline.errors import TrialError
from breadline.jobs.trial_checked import Checked, checked
from breadline.jobs.trial_file import read_trial
from breadline.language import noted, say
from breadline.need.words import counted
from breadline.trial.classes import LEVEL
from breadline.verdict.pooling import Method, Pooled, Results, pool

METHODS: tuple[Method, ...] = ("reml", "dersimonian_laird", "paule_mandel")
SAME = noted("the same trial as another file")
FURTHER = noted(
    "The true difference in a further trial would lie from {low} to {high}; what it finds can lie wider."
)


@dataclass(frozen=True)
class Group:
    """Trials that answer one question: one outcome, one forage situation.

    Parameters
    ----------
    situation
        None where the trials do not say.
    honey
        Whether they are of honey.
    trials
        Those that are fair.
    by
        Their average by each method; empty with fewer than two.
    """

    situation: Situation | None
    honey: bool
    trials: tuple[Checked, ...]
    by: dict[Method, Pooled]

    @property
    def head(self) -> str:
        """What they are of, in words."""
        what = say("Honey") if self.honey else say("Bees")
        if self.situation is None:
            return say("{what}, forage not noted", what=what)
        return say("{what}, fed {forage}", what=what, forage=say(IN_WORDS[self.situation]))

    @property
    def mean(self) -> Pooled | None:
        """The average that is told."""
        return self.by.get("reml")

    @property
    def sentence(self) -> str:
        """What these trials say together."""
        if self.mean is None:
            return say("{head}: one trial is no average; it stands alone.", head=self.head)
        low, high = self.mean.interval(LEVEL)
        told = {
            "head": self.head, "trials": counted(self.mean.trials, "trial"),
            "usual": _times(self.mean.mean), "low": _times(low), "high": _times(high),
        }  # fmt: skip
        said = (
            say(
                "{head}: in {trials} fed colonies had on average {usual} honey than check colonies; 90 % "
                "range of the average: {low} to {high}.",
                **told,
            )
            if self.honey
            else say(
                "{head}: in {trials} fed colonies had on average {usual} bees than check colonies; 90 % "
                "range of the average: {low} to {high}.",
                **told,
            )
        )
        beyond = self.mean.next_trial(LEVEL)
        if beyond is None:
            return f"{said} {say('Two trials cannot say how far a further one may lie from them.')}"
        further = {"low": _times(beyond[0]), "high": _times(beyond[1])}
        return f"{said} {say(FURTHER, **further)}"


@dataclass(frozen=True)
class Together:
    """Every trial that was given.

    Parameters
    ----------
    groups
        Those in an average, or alone.
    left_out
        Those that are in none; each says why.
    """

    groups: tuple[Group, ...]
    left_out: tuple[Checked, ...]

    @property
    def in_this_language(self) -> Together:
        """The same with the words of each trial in this language, where another reader's was spoken."""
        groups = tuple(
            replace(group, trials=tuple(one.in_this_language for one in group.trials))
            for group in self.groups
        )
        seen = {one.file.digest for group in groups for one in group.trials}
        return Together(groups, tuple(_said_again(one, seen) for one in self.left_out))

    @property
    def sentence(self) -> str:
        """The first sentence."""
        fair, out = sum(len(group.trials) for group in self.groups), len(self.left_out)
        if not fair:
            return say("None of these trials is a fair comparison, so there is no average.")
        told = {"fair": counted(fair, "fair trial"), "all": fair + out}
        if not out:
            return say("{fair} of {all}.", **told)
        return say("{fair} of {all}; {left} left out, with the reason.", left=counted(out, "trial"), **told)


def pooled_files(paths: Sequence[Path]) -> Together:
    """The trials of several files together.

    Errors
    ------
    TrialError
        If a file is no trial's own file.
    """
    return pooled([checked(read_trial(path)) for path in paths])


def pooled(trials: Sequence[Checked]) -> Together:
    """Trials together, each judged by itself first.

    A trial that broke a rule is listed and left out; so is a file that is given twice. Trials of one
    name go by the names of their files.
    """
    seen: set[str] = set()
    fair, out = [], []
    for one in _told_apart(trials):
        again = one.file.digest in seen
        seen.add(one.file.digest)
        if again:
            out.append(_left(one, say(SAME)))
        elif one.left_out or one.ratio is None:
            out.append(one)
        else:
            fair.append(one)
    keys = dict.fromkeys((one.honey, one.file.situation) for one in fair)
    return Together(
        tuple(
            _group(honey, situation, [o for o in fair if (o.honey, o.file.situation) == (honey, situation)])
            for honey, situation in keys
        ),
        tuple(out),
    )


def _told_apart(trials: Sequence[Checked]) -> list[Checked]:
    """Files travel without the names of their owners, so that many are called alike."""
    times = Counter(one.file.name for one in trials)

    def named(one: Checked) -> Checked:
        own = one.file.source.removesuffix(".json")
        return one if times[one.file.name] == 1 or not own else replace(one, file=replace(one.file, name=own))

    return [named(one) for one in trials]


def _group(honey: bool, situation: Situation | None, trials: list[Checked]) -> Group:
    if len(trials) < 2:
        return Group(situation, honey, tuple(trials), {})
    results = Results(*(np.array([_ratio(one)[k] for one in trials]) for k in (0, 1)))
    return Group(situation, honey, tuple(trials), {method: pool(results, method) for method in METHODS})


def _ratio(one: Checked) -> tuple[float, float]:
    if one.ratio is None:
        raise TrialError(one.file.source, say("has no log ratio"), say("a fair trial"))
    return one.ratio.estimate, one.ratio.se


def _left(one: Checked, why: str) -> Checked:
    return replace(one, left_out=why)


def _said_again(one: Checked, seen: set[str]) -> Checked:
    """One that was left out, in this language; of a file that came before, that is the reason."""
    again = one.file.digest in seen
    seen.add(one.file.digest)
    return _left(one.in_this_language, say(SAME)) if again else one.in_this_language


def _times(log_ratio: float) -> str:
    return by_per_cent(float(np.exp(log_ratio)))
