"""The second part of the evidence: what one's own check groups taught, before, after, and why."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from breadline.belief.carried import Carried, Ends
from breadline.belief.gain import SITUATIONS, Situation, by_per_cent
from breadline.belief.season_called import season_said
from breadline.belief.survival_learnt import in_all
from breadline.jobs.belief_book import Known, Lesson, Taught
from breadline.knowledge.evidence import IN_WORDS
from breadline.language import noted, say
from breadline.need.words import day_and_year
from breadline.pictures.belief_chart import Reading, Situated
from breadline.span import Z95
from breadline.trial.classes import AnswerClass
from breadline.verdict.through_model import Mode
from breadline.verdict.words_asked import SHORT
from breadline.verdict.words_drift import taken_as_seen

NONE_YET = noted(
    "No check group of yours has taught anything yet: plans go by what is believed of published trials. "
    "Leave some colonies unfed, and the next plan goes by your own."
)
COARSE = 0.5  # width of a range from which on hundredths say more than is known [g/g]
NOTHING = 0.01  # a gram of feed that replaces less is worth nothing [g/g]


@dataclass(frozen=True)
class OwnTrial:
    """One trial that the belief goes by, in words."""

    name: str
    digest: str
    learnt_on: str
    result: str
    moved: str
    worth: tuple[str, ...]  # what the yards' own season model shows of the feed
    drift: str = ""  # that its difference is taken as seen, where its groups stood in one row
    older: str = ""  # that its class was judged by an earlier version


@dataclass(frozen=True)
class OwnSituation:
    """What was learnt of one forage situation."""

    situation: Situation
    head: str
    sentence: str
    next_season: str
    why: tuple[str, ...]
    situated: Situated
    rows: tuple[tuple[str, str], ...]  # what, and the middle with its range
    trials: tuple[OwnTrial, ...]
    caption: str  # of which colonies the picture is


@dataclass(frozen=True)
class OwnEvidence:
    """Everything that a book's own check groups taught."""

    situations: tuple[OwnSituation, ...]

    @property
    def sentence(self) -> str:
        """The first sentence."""
        return self.situations[0].sentence if self.situations else say(NONE_YET)


def own_evidence(known: Known) -> OwnEvidence:
    """What a book's own check groups taught, in the order of the situations."""
    return OwnEvidence(
        tuple(
            _situation(known.beliefs[s], [one for one in known.lessons if one.taught.situation == s])
            for s in SITUATIONS
            if s in known.beliefs
        )
    )


def _situation(now: Carried, lessons: Sequence[Lesson]) -> OwnSituation:
    readings = (
        *(_result(one) for one in lessons),
        Reading(say("believed before"), now.before.low, now.before.middle, now.before.high, kind="before"),
        Reading(say("believed now"), now.after.low, now.after.middle, now.after.high, belief=True),
        _reading(say("next season, with its own luck"), now.next_after),
    )
    head = say(IN_WORDS[now.situation])
    return OwnSituation(
        situation=now.situation,
        head=head,
        sentence=now.moved,
        next_season=f"{now.next_told} {say('Plans go by this.')}",
        why=_why(now),
        situated=Situated(head, readings),
        rows=tuple((one.name, Ends(one.low, one.middle, one.high).words) for one in readings),
        trials=tuple(_trial(one) for one in lessons),
        caption=_caption(lessons),
    )


def _caption(lessons: Sequence[Lesson]) -> str:
    """Of which colonies the picture is; all lessons of a situation are read alike."""
    if any(one.taught.lived is None for one in lessons):
        return say(
            "Bees of fed colonies against check, per colony started, dead ones as none. Ranges hold 9 in 10."
        )
    return say(
        "Bees of fed colonies against check, of those that lived; losses are told beside it. Ranges hold 9 "
        "in 10."
    )


def _result(lesson: Lesson) -> Reading:
    of, season = lesson.taught.result, lesson.taught.season
    reach = Z95 * of.se
    return Reading(
        say("your trial, {season}", season=season_said(season)), of.log_ratio - reach, of.log_ratio,
        of.log_ratio + reach, kind="own",
    )  # fmt: skip


def _reading(name: str, ends: Ends) -> Reading:
    return Reading(name, ends.low, ends.middle, ends.high)


def _why(now: Carried) -> tuple[str, ...]:
    said = []
    share = now.put_down_to_the_season
    if share is not None and share >= 0.05:
        tenths = min(9, max(1, round(10 * share)))
        said.append(
            say(
                "About {tenths} in 10 of what the season lay off the belief is put down to the season itself "
                "or to chance; the rest moves the belief. A second season that agrees moves it more than one "
                "that lies twice as far off.",
                tenths=tenths,
            )
        )
    if len(now.results) > 1:
        apart = by_per_cent(math.exp(now.season_sd.middle))
        said.append(
            say(
                "A season is believed to lie about {apart} or fewer off their mean; that is why next "
                "season's range is wider than that of the mean.",
                apart=apart,
            )
        )
    else:
        said.append(
            say(
                "One season cannot say how much seasons differ, so next season's range stays wide; each "
                "further one narrows it."
            )
        )
    if now.survival is not None:
        said.append(now.survival.sentence)
    said.append(say("It holds for this forage situation only; the others stay as they were."))
    return tuple(said)


def _trial(lesson: Lesson) -> OwnTrial:
    of = lesson.taught
    return OwnTrial(
        name=of.name,
        digest=of.trial,
        learnt_on=day_and_year(lesson.learnt_on),
        result=say(
            "{fed} fed, {check} check; {result}{lost}",
            fed=of.fed,
            check=of.check,
            result=lesson_result(lesson),
            lost=_lost(of),
        ),
        moved=say("{before} before it, {after} after", before=lesson.before.words, after=lesson.after.words),
        worth=worth_words(of.modes),
        drift=taken_as_seen(of.one_row),
        older=older_words(lesson),
    )


def older_words(lesson: Lesson) -> str:
    """That an earlier version judged the class, with fewer draws of lots; "" where this one did."""
    if not lesson.older:
        return ""
    version = lesson.program.partition("+")[0]
    return say(
        "Its class was kept by an earlier version ({version}), which drew lots less often; work it out "
        "again. The belief about bees does not hang on it.",
        version=version,
    )


def lesson_result(lesson: Lesson) -> str:
    """What a trial came to: "fed colonies had 20 % more bees (2 % to 41 % more); it paid"."""
    seen = lesson.taught.result
    reach = Z95 * seen.se
    result = Ends(seen.log_ratio - reach, seen.log_ratio, seen.log_ratio + reach)
    told = {"result": result.words, "came_to": _came_to(lesson.taught)}
    if seen.of_living:
        return say("fed colonies that lived had {result}; {came_to}", **told)
    return say("fed colonies had {result}; {came_to}", **told)


def _came_to(of: Taught) -> str:
    """The words beside the trial in a list; an older book does not know why a class says too little."""
    if of.told_as is None and of.given == AnswerClass.TOO_FEW.value:
        return say("its class alone does not tell whether it paid")
    return say(SHORT[of.told_as or of.given])


def _lost(of: Taught) -> str:
    if of.lived is None:
        return say("; colonies that died count in it as 0")
    deaths = in_all(of.lived.deaths)
    if not deaths.fed_lost + deaths.check_lost:
        return ""
    return say(
        "; counted as 0: {fed_lost} of {fed} fed, {check_lost} of {check} check colonies",
        fed_lost=deaths.fed_lost, fed=deaths.fed, check_lost=deaths.check_lost, check=deaths.check,
    )  # fmt: skip


def worth_words(modes: Sequence[Mode]) -> tuple[str, ...]:
    """What a gram of the feed replaced, mode by mode; nothing where the yards could not be asked."""
    if not modes:
        return ()
    parts = []
    for mode in modes:
        chance = max(1, round(100 * mode.share))
        if mode.high < NOTHING:
            parts.append(say("{n} in 100 that it was worth nothing", n=chance))
        else:
            low, middle, high = grams_said(mode.low, mode.middle, mode.high)
            parts.append(
                say("{n} in 100 that a gram replaced {middle} g of pollen ({low} to {high})", n=chance,
                    low=low, middle=middle, high=high)
            )  # fmt: skip
    return (say("By the season model of the yards themselves: {worth}.", worth="; ".join(parts)),)


def grams_said(low: float, middle: float, high: float) -> tuple[str, str, str]:
    """A range as finely as it is known: tenths where it is wider than half a gram, else hundredths [g/g]."""
    digits = 1 if high - low > COARSE else 2
    least, usual, most = (f"{value:.{digits}f}" for value in (low, middle, high))
    return least, usual, most
