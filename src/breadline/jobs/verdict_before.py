"""The second sentence of a verdict: what these colonies and what was known before say together."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from breadline.belief.carried import before_own_seasons
from breadline.belief.gain import IN_WORDS, SURVIVAL, Situation
from breadline.belief.season_effects import Before, Learnt, SeasonResult, learnt
from breadline.belief.survival_learnt import in_all
from breadline.errors import TrialError
from breadline.jobs.trial_checked import ratio_of
from breadline.jobs.trial_lived import deaths_of
from breadline.jobs.verdict import Verdict
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.plan.surviving import kept_alive_ends
from breadline.span import Span
from breadline.trial.design import CheckArm, Design, Outcome, group_name
from breadline.verdict.ends_of import Came

MOSTLY_EARLIER = 0.5  # of the earlier variance of the mean that is left: earlier evidence weighs more [share]


@dataclass(frozen=True)
class Known:
    """What is known beside these colonies.

    Parameters
    ----------
    situation
        What the place gave while the feed was on.
    season
        The trial's own, as people say it.
    earlier
        Results of one's own earlier seasons of the same situation, dead colonies as 0.
    """

    situation: Situation
    season: str = "this season"
    earlier: tuple[SeasonResult, ...] = ()


@dataclass(frozen=True)
class PaysHere:
    """Chance that feeding pays here in a further season.

    Parameters
    ----------
    chance
        With these colonies and what was known before. [share]
    before
        Without these colonies. [share]
    mostly_earlier
        Whether earlier evidence weighs more in it than these colonies.
    situation
        What it holds for.
    group
        Which of several fed groups it is told by; "" where there is one.
    """

    chance: float
    before: float
    mostly_earlier: bool
    situation: Situation
    group: str = ""

    @property
    def sentence(self) -> str:
        """As it stands second in the verdict."""
        told = {
            "forage": say(IN_WORDS[self.situation]), "chance": tenths(self.chance),
            "before": tenths(self.before),
        }  # fmt: skip
        said = (
            say(
                "Together with what was known before, the chance that feeding {group} pays here, fed "
                "{forage}, is {chance}; before this trial it was {before}.",
                group=self.group, **told,
            )
            if self.group
            else say(
                "Together with what was known before, the chance that feeding pays here, fed {forage}, is "
                "{chance}; before this trial it was {before}.",
                **told,
            )
        )  # fmt: skip
        return f"{said} {say('Most of this comes from earlier evidence.')}" if self.mostly_earlier else said


def asks_feeding(design: Design) -> bool:
    """Whether a trial asks what is believed of bees: fed or not, and not by honey."""
    return design.check_arm is CheckArm.SAME_CARE and design.outcome is not Outcome.HONEY


def pays_here(verdict: Verdict, known: Known, reader: Reader) -> PaysHere | None:
    """Chance that feeding pays here, in a further season with its own luck.

    None where these colonies cannot move the belief about bees: an unfair comparison, honey, another
    question than feeding, or nothing that could be worked out.
    """
    design, answer = verdict.finished.design, verdict.answer
    if answer.broken or answer.here is None or not asks_feeding(design):
        return None
    try:
        ratio = ratio_of(design, answer.came)
    except TrialError:
        return None
    line = math.log1p(max(design.lines.break_even, 0.0) / ratio.check)
    own = SeasonResult(known.season, ratio.estimate, ratio.se)
    prior = _of_started(known.situation, share_lost(design, answer.came), reader)
    before, after = (learnt(prior, [*known.earlier, *results]) for results in ((), (own,)))
    left = _variance(after) / _variance(before)
    group = "" if len(design.arms) == 2 else group_name(design.arms[design.primary])
    return PaysHere(_above(after, line), _above(before, line), left > MOSTLY_EARLIER, known.situation, group)


def tenths(chance: float) -> str:
    """A chance [share] as it is told: "about 7 in 10"."""
    near = round(10 * chance)
    if near < 1:
        return say("less than 1 in 10")
    return say("more than 9 in 10") if near > 9 else say("about {n} in 10", n=near)


def share_lost(design: Design, came: Came) -> float:
    """Colonies of both groups that count as 0, of those whose end is known. [share]

    Of both together: of a few check colonies often none is lost, or half.
    """
    lost = in_all(deaths_of(design, came))
    return (lost.fed_lost + lost.check_lost) / max(1, lost.fed + lost.check)


def _of_started(situation: Situation, lost: float, reader: Reader) -> Before:
    """The shelf's belief as one of colonies started, as this trial's result and its break-even are.

    What is believed of survival is laid on that of bees at the share ``lost`` [share], as in the size of
    a check group.
    """
    bees = before_own_seasons(situation, reader)
    lives = np.log(kept_alive_ends(1.0 - lost, reader.span(SURVIVAL[situation])))
    ends = np.array([bees.mean.low, bees.mean.typical, bees.mean.high]) + lives
    return replace(bees, mean=Span(*ends.tolist()))


def _above(of: Learnt, line: float) -> float:
    return 1.0 - float(of.next_below(np.array([line]))[0])


def _variance(of: Learnt) -> float:
    weight = of.weight.sum(1)
    return float(weight @ (of.mean - of.expected) ** 2)
