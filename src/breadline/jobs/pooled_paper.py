"""Several growers' trials on paper: a page for each, and one for the county."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breadline.belief.gain import IN_WORDS, by_per_cent
from breadline.belief.season_called import season_said
from breadline.jobs.pooled import Group, Together
from breadline.jobs.pooled_told import ends_of, pooled_chart, pooled_sentence, said_range
from breadline.jobs.trial_checked import Checked
from breadline.jobs.verdict import Prices, Verdict, VerdictAsked
from breadline.jobs.verdict_chart import shown_of
from breadline.jobs.verdict_file import verdict_of_travelled
from breadline.jobs.verdict_prices_now import line_at
from breadline.language import noted, say
from breadline.measures import Units
from breadline.need.words import counted, day_and_year
from breadline.pictures.colonies_chart import colonies_chart, colonies_sentence
from breadline.sheets.letterhead import Paper
from breadline.sheets.report_sheet import ReportPage, report_sheet
from breadline.trial.classes import LEVEL
from breadline.trial.design import group_name
from breadline.trial.honey import in_unit, unit_of
from breadline.verdict.amounts import amount, span
from breadline.verdict.words_adjusted import difference_head
from breadline.verdict.words_asked import in_short
from breadline.verdict.words_difference import lines_beside, needed_said

MOST_LINES = 4  # of a column
HOW_DONE = 3  # lines of what was done before those of the groups, of which none is left out
FOOT = noted(
    "Worked out again from the colonies of the trial’s own file. Ranges: nine times in ten. Dead colonies "
    "count as 0."
)
NOT_KNOWN = (
    noted("What feeding brings in another forage: a dearth and a flow are never averaged."),
    noted("Whether it paid at other prices than each grower’s own."),
    noted("What happens in other seasons than those listed."),
)


@dataclass(frozen=True)
class Printing:
    """Whose pages they are, their day and their paper; and in what honey is told, None in kilograms."""

    whose: str
    on: date
    paper: Paper
    weighed: Units | None = None


def trial_pages(told: Together, how: Printing) -> bytes:
    """One page for each trial, those left out too, as one PDF.

    Errors
    ------
    TrialError, RecordError
        If a trial cannot be judged, or there is none.
    """
    pages = [trial_page(one, told, how) for one in every(told)]
    return report_sheet(say("Trials, a page each"), pages, how.on, how.paper)


def one_trial(told: Together, at: int, how: Printing) -> bytes:
    """The page of one trial by its place in ``every``."""
    one = every(told)[at]
    return report_sheet(one.file.name, [trial_page(one, told, how)], how.on, how.paper)


def county_sheet(told: Together, how: Printing) -> bytes:
    """All trials on one page: average by forage, picture, each trial, and those left out with why."""
    return report_sheet(say("Trials together"), [county_page(told, how)], how.on, how.paper)


def every(told: Together) -> tuple[Checked, ...]:
    """All trials in the order of their pages: those in an average first."""
    return tuple(one for group in told.groups for one in group.trials) + told.left_out


def trial_page(one: Checked, told: Together, how: Printing) -> ReportPage:
    """What the page of a trial says."""
    design, verdict = one.file.finished.design, _judged(one, how.weighed)
    said, shown = verdict.spoken, shown_of(verdict)
    broke = said.broke or (say("Nothing that makes the comparison unfair."),)
    needs = needed_said(verdict.answer, design, verdict.measure, line_at(verdict.now))
    out = (say("Left out of the county’s average: {why}.", why=one.left_out),) if one.left_out else ()
    return ReportPage(
        head=_head(how, say("one trial of {n}", n=len(every(told)))),
        title=said.sentence,
        under=tuple(text for text in (said.held_back, _of(one), said.range_said, *out) if text),
        picture=colonies_chart(shown, "print"),
        shows=colonies_sentence(shown),
        heads=(say("Group"), say("Colonies started"), say("Counted as 0"), say("Mean at grading")),
        rows=(*_arms(verdict), *_difference(verdict)),
        columns=(
            (say("What was done"), said.done[: HOW_DONE + len(verdict.answer.arms)]),
            (say("What broke, and how sure"), (*broke, *one.remarks, *said.sure)[: MOST_LINES + 1]),
            (say("Beside the others"), _beside(one, told)),
        ),
        boxed=(say("Next season"), said.next_season),
        foot=f"{say(FOOT)} {say('It had to add {needs} to pay, as its grower settled it.', needs=needs)}",
    )  # fmt: skip


def county_page(told: Together, how: Printing) -> ReportPage:
    """What the page of the county says."""
    groups = sorted(told.groups, key=lambda group: -len(group.trials))
    said = [group.sentence for group in groups]
    title = _short(groups[0]) if groups and groups[0].mean is not None else told.sentence
    left = tuple(f"{one.file.name}: {one.left_out}." for one in told.left_out)
    return ReportPage(
        head=_head(how, counted(len(every(told)), "trial")),
        title=title,
        under=(*said, told.sentence),
        picture=pooled_chart(told, "print"),
        shows=pooled_sentence(told),
        heads=(
            say("Trial"), say("Season"), say("Fed and check"), say("Fed against check"),
            say("What it came to"),
        ),
        rows=tuple(_row(one) for group in groups for one in group.trials),
        columns=(
            (say("Left out, and why"), left or (say("None: all kept to the rules."),)),
            (say("What is not known"), tuple(say(text) for text in NOT_KNOWN)),
        ),
        boxed=(say("What it means"), _means(groups)),
        foot=say(FOOT),
    )  # fmt: skip


def _judged(one: Checked, weighed: Units | None) -> Verdict:
    design = one.file.finished.design
    lines = in_unit(design, (), unit_of(design.outcome, weighed == "lb"))[0].lines
    settled = Prices(break_even=lines.break_even, margin=lines.margin)
    asked = VerdictAsked(settled if one.file.prices is None else Prices(), weighed=weighed)
    return verdict_of_travelled(one.file, asked)


def _head(how: Printing, what: str) -> str:
    return " · ".join(part for part in (how.whose, what, day_and_year(how.on)) if part)


def _of(one: Checked) -> str:
    file = one.file
    fed = (
        say("fed {forage}", forage=say(IN_WORDS[file.situation]))
        if file.situation
        else say("forage not noted")
    )
    return " · ".join(
        part for part in (file.name, season_said(file.season), fed, file.owner, file.place) if part
    )


def _arms(verdict: Verdict) -> tuple[tuple[str, ...], ...]:
    measure = verdict.measure
    return tuple(
        (
            group_name(arm.name), str(arm.started),
            say("{n}, {unknown} unknown", n=arm.lost, unknown=arm.unknown) if arm.unknown else str(arm.lost),
            amount(arm.mean, measure) if arm.mean == arm.mean else say("none known"),
        )
        for arm in verdict.answer.arms
    )  # fmt: skip


def _difference(verdict: Verdict) -> tuple[tuple[str, ...], ...]:
    here = verdict.answer.here
    if here is None:
        return ()
    clear = say("clear of chance") if verdict.answer.clear_of_chance else say("not clear of chance")
    design = verdict.finished.design
    lines, measure = lines_beside(verdict.answer, design), verdict.measure.over(here.low, here.high)
    return (
        (
            difference_head(verdict.answer, design),
            "",
            clear,
            f"{amount(here.contrast.estimate, measure)}, {span(here.low, here.high, lines, measure.digits)}",
        ),
    )


def _beside(one: Checked, told: Together) -> tuple[str, ...]:
    group = next((each for each in told.groups if one in each.trials), None)
    ends = ends_of(one)
    own = (
        say("This one: {range}.", range=said_range(*ends))
        if ends
        else say("This one: nothing that could be compared.")
    )
    if group is None:
        return (own, say("It stands in no average."))
    if group.mean is None:
        return (own, say("It is the only fair trial of its forage."))
    return (own, group.sentence)


def _row(one: Checked) -> tuple[str, ...]:
    ends = ends_of(one)
    said = said_range(*ends) if ends else "–"
    fed, check = one.colonies(fed=True), one.colonies(fed=False)
    return (
        one.file.name,
        season_said(one.file.season),
        say("{fed} and {check}", fed=fed, check=check),
        said,
        in_short(one.answer),
    )


def _short(group: Group) -> str:
    """The first sentence of the county: how much, and whether that is clear of chance."""
    mean = group.mean
    assert mean is not None
    low, high = mean.interval(LEVEL)
    clear = say("clear of chance") if low > 0 or high < 0 else say("not clear of chance")
    trials = counted(mean.trials, "fair trial")
    if group.situation:
        trials = say("{trials}, fed {forage}", trials=trials, forage=say(IN_WORDS[group.situation]))
    told = {"trials": trials, "usual": by_per_cent(math.exp(mean.mean)), "clear": clear}
    if group.honey:
        return say("{trials}: fed colonies had {usual} honey, {clear}.", **told)
    return say("{trials}: fed colonies had {usual} bees, {clear}.", **told)


def _means(groups: Sequence[Group]) -> str:
    told = [group for group in groups if group.mean is not None]
    if not told:
        return say("One trial is no average. Draw check groups in more yards of that forage.")
    beyond = told[0].mean.next_trial(LEVEL) if told[0].mean else None
    further = (
        say("the next grower’s trial may still come out on either side")
        if beyond and beyond[0] < 0 < beyond[1]
        else say("the next grower’s trial would most likely lie on the same side") if beyond
        else say("two trials cannot say where a further one would lie")
    )  # fmt: skip
    return say(
        "The average is of these yards and seasons; {further}. Whether it pays is a sum of each grower’s own "
        "prices: see the pages of the trials.",
        further=further,
    )
