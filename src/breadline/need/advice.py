"""The advice: the first rung of the ladder that applies decides.

Inspector's matters, mites, queens, stores, date and weather, beetles, pollen,
law and custom: feed cannot mend what stands before it. A fact that is not known
stands before a "feed", never before a "no".
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from breadline.knowledge.calendars import Calendar
from breadline.knowledge.countries import CountryLaw
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.ladder.before_feed import inspectors_matter, mites, queen, stores
from breadline.need.ladder.cautions import cautions
from breadline.need.ladder.custom import law_and_custom
from breadline.need.ladder.pollen import pollen_balance
from breadline.need.ladder.sight import Answer, Caution, Finding, Reason, Ruling, Sight, State
from breadline.need.ladder.survey import survey
from breadline.need.ladder.timing import beetles, too_early_or_cold
from breadline.need.outlook import Outlook
from breadline.need.yard import Yard

__all__ = ["Advice", "Caution", "Reason", "advise"]

LADDER: tuple[Callable[[Sight], Finding], ...] = (
    inspectors_matter,
    mites,
    queen,
    stores,
    too_early_or_cold,
    beetles,
    pollen_balance,
    law_and_custom,
)


NO_WEATHER = noted("A weather file: with it the answer says from when the yard is short.")

FIRST = {
    "foulbrood": noted("The inspector"),
    "mites": noted("Mites"),
    "queen": noted("Queens"),
    "stores": noted("Stores"),
    "beetles": noted("Beetles"),
}


@dataclass(frozen=True)
class Advice:
    """Feed, no need, look again or something first, and why."""

    answer: Answer
    state: State  # the mark beside it
    sentence: str  # the sentence they came for
    rung: str  # which rung decided
    reasons: tuple[Reason, ...]  # always in the order of the ladder
    what_would_change: tuple[str, ...]
    look_again: date | None
    look_again_for: str
    cautions: tuple[Caution, ...]  # for this step only
    sources: tuple[str, ...]  # keys of the bibliography
    figures: tuple[str, ...]  # keys of the figures used

    @property
    def comes_first(self) -> str:
        """What comes before protein, "Mites"; empty where nothing does."""
        return say(FIRST[self.rung]) if self.answer == "something_first" else ""


def advise(
    yard: Yard,
    outlook: Outlook | None,
    shelf_reader: Reader,
    law: CountryLaw | None,
    calendar: Calendar | None,
    fits: bool = True,
) -> Advice:
    """Does this yard need protein, why, and what to look at next.

    Parameters
    ----------
    yard
        What the keeper knows; ``None`` in it means "not known".
    outlook
        The season model's answer; None on the short path, which then goes by
        counted bread, pollen seen and breeding arithmetic, and says so.
    shelf_reader
        Hands out the ladder's figures and remembers which.
    law
        Law and custom of the yard's country; None where no source was read.
    calendar
        Starter calendar of the region, for the first pollen the keeper did not give.
    fits
        False where the season model does not fit the yard's own counts: then no date
        of the outlook decides.
    """
    sight = replace(survey(yard, outlook, shelf_reader, law, calendar), fits=fits)
    findings = tuple(rung(sight) for rung in LADDER)
    decided = _decides(findings)
    ruling = _with_open_questions(decided, findings, sight)
    minded = cautions(sight, ruling, decided.rung)
    return Advice(
        answer=ruling.answer,
        state=ruling.state,
        sentence=ruling.sentence,
        rung=decided.rung,
        reasons=tuple(reason for finding in findings for reason in finding.reasons),
        what_would_change=ruling.what_would_change,
        look_again=ruling.look_again,
        look_again_for=ruling.look_again_for,
        cautions=minded,
        sources=_sources(decided, findings, minded),
        figures=shelf_reader.used,
    )


def _decides(findings: tuple[Finding, ...]) -> Finding:
    """The first rung that says no or not yet; else the first open question; else feed."""
    ruled = [finding for finding in findings if finding.ruling is not None]
    for finding in ruled:
        if not finding.waits and finding.ruling is not None and finding.ruling.answer != "feed":
            return _custom_first(finding, findings)
    waiting = [finding for finding in ruled if finding.waits]
    return waiting[0] if waiting else ruled[-1]


def _custom_first(finding: Finding, findings: tuple[Finding, ...]) -> Finding:
    """Where custom is not to feed, "not yet" would promise a feed that never comes."""
    law = findings[-1]
    stops = finding.ruling is not None and finding.ruling.state == "stop"
    return law if law.ruling is not None and finding.rung in ("timing", "pollen") and not stops else finding


def _with_open_questions(decided: Finding, findings: tuple[Finding, ...], sight: Sight) -> Ruling:
    """Ask for a mite test beside a "no", and say what the short path did without."""
    assert decided.ruling is not None
    ruling = decided.ruling
    when = say("on the next mild day") if sight.cold_today else say("today")
    untested = any(finding.rung == "mites" and finding.waits for finding in findings)
    if untested and decided.rung in ("stores", "timing", "pollen", "law") and ruling.answer != "feed":
        ruling = replace(
            ruling, sentence=say("{sentence} Test for mites {when}.", sentence=ruling.sentence, when=when)
        )
    if decided.rung == "timing" and ruling.answer != "feed" and sight.yard.health.honey is None:
        ruling = replace(
            ruling,
            state="cannot_tell",
            sentence=say(
                "{sentence} Lift the hives today: a light one needs sugar.", sentence=ruling.sentence
            ),
        )
    if sight.outlook is None and decided.rung == "pollen":
        ruling = replace(ruling, what_would_change=_once((*ruling.what_would_change, say(NO_WEATHER))))
    return ruling


def _sources(decided: Finding, findings: tuple[Finding, ...], minded: tuple[Caution, ...]) -> tuple[str, ...]:
    """Keys of the bibliography, those of the deciding rung first."""
    others = (key for finding in findings for key in finding.sources)
    return _once((*decided.sources, *others, *(c.source for c in minded if c.source)))


def _once(items: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(items))
