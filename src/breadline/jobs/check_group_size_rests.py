"""What the size of a check group rests on, and how its benefits are written."""

from __future__ import annotations

from math import ceil

from breadline.jobs.check_group_size import SizeAnswer
from breadline.language import say, say_as
from breadline.need.words import counted
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.targets import Frames
from breadline.span import Z95
from breadline.trial.classes import LEVEL
from breadline.trial.design import Outcome, Unit
from breadline.trial.planner import POWER
from breadline.trial.shares import unfed_for_shares
from breadline.trial.value_path import MakingGrade

NOBODY_SEES = 100.0  # frames, or kg, that no feed adds to a colony


def amount(value: float, outcome: Outcome) -> str:
    """A benefit with its unit: "1.3 frames", "4.1 kg (9.0 lb)"."""
    sign = "−" if value <= -0.05 else ""
    if outcome is Outcome.HONEY:
        return f"{sign}{abs(value):.1f} kg ({sign}{abs(value) * 1000 / GRAMS_A_POUND:.1f} lb)"
    return say("{n} frames", n=f"{sign}{abs(value):.1f}")


def benefit_told(benefit: float) -> str:
    """A smallest difference in the table, "none" where no benefit is told [unit of the outcome]."""
    return f"{benefit:.1f}" if benefit < NOBODY_SEES else no_benefit()


def no_benefit() -> str:
    """What stands in the table where no benefit is told."""
    return say_as("a benefit", "none")


def _if_they_differ(answer: SizeAnswer) -> tuple[str, ...]:
    """What the proposed size tells where colonies differ less or more than taken."""
    (least, most), (low, high) = answer.spread.log_sd_ends, answer.told_if[answer.proposal.best]
    if low >= NOBODY_SEES:
        return ()
    told = {"least": least, "most": most, "low": amount(low, answer.asked.outcome)}
    if high >= NOBODY_SEES:
        return (
            say(
                "If they differ by {least:.2f}, a benefit of {low} is told from nothing by the proposed "
                "size; if by {most:.2f}, no benefit at all.",
                **told,
            ),
        )
    return (
        say(
            "If they differ by {least:.2f}, a benefit of {low} is told from nothing by the proposed size; "
            "if by {most:.2f}, only {high}.",
            high=amount(high, answer.asked.outcome),
            **told,
        ),
    )


def _bare_share(answer: SizeAnswer) -> tuple[str, ...]:
    """What the same benefit would take if hives making the grade were only counted."""
    path, row = answer.stakes.path, answer.proposal.proposed.row
    if not isinstance(path, MakingGrade) or answer.asked.unit is Unit.YARD or row.from_zero >= NOBODY_SEES:
        return ()
    if isinstance(path.target, Frames) and path.target.paid == "sample_average":  # no hive makes it by itself
        return ()
    shares = path.share_of(path.check), path.share_at(row.from_zero)
    if round(100 * shares[0]) == round(100 * shares[1]):  # the line is out of reach, or made by all
        return ()
    known = unfed_for_shares(shares, row.fed_each, 1.0 - LEVEL, POWER)
    return (
        say(
            "A benefit of {benefit} lifts the share that makes the grade from {low:.0f} to {high:.0f} in "
            "100. Told by counting those hives alone it takes {n:,.0f} unfed colonies, by their frames "
            "{check}.",
            benefit=amount(row.from_zero, answer.asked.outcome),
            low=100 * shares[0],
            high=100 * shares[1],
            n=ceil(known / (1.0 - answer.asked.missing)),
            check=row.check,
        ),
    )


def rests_on(answer: SizeAnswer) -> list[str]:
    """The spread and who told it, the belief, the seasons ahead."""
    spread, asked, ahead = answer.spread, answer.asked, answer.stakes.ahead
    said = [
        say(
            "Colonies of one yard differ by {sd:.2f} on the log scale, from {source}; one grader's error is "
            "{share:.0f} in 100 of that variance.",
            sd=spread.log_sd,
            source=spread.told_by[0],
            share=100 * spread.reader_share,
        ),
        *_if_they_differ(answer),
        *_bare_share(answer),
    ]
    if asked.baseline:
        said.append(
            say(
                "An earlier grading goes with the last one at r = {r:.2f}, from {source}.",
                r=spread.baseline_r,
                source=spread.told_by[1],
            )
        )
    else:
        said.append(say("No grading before the draw is counted on."))
    if asked.unit is Unit.YARD:
        said.append(
            say(
                "{share:.0f} in 100 of the variance lies between yards, from {source}.",
                share=100 * spread.icc,
                source=spread.told_by[2],
            )
        )
    said.append(
        say(
            "A living unfed colony has {alive} on the day; of 100, {dead:.0f} are dead by then and count "
            "as 0, and of {missing:.0f} nobody will know.",
            alive=amount(answer.unfed.alive, asked.outcome),
            dead=100 * answer.unfed.dead,
            missing=100 * asked.missing,
        )
    )
    belief = answer.stakes.belief
    said.append(
        say(
            "Believed: {mean} over all seasons, nine times in ten within {reach} of that, and a season "
            "usually {between} off it; from {source}.",
            mean=amount(belief.mean, asked.outcome),
            reach=amount(Z95 * belief.sd, asked.outcome),
            between=amount(belief.between, asked.outcome),
            source=answer.believed_by,
        )
    )
    said.append(
        say(
            "The answer is used on {colonies:,.0f} colonies in the next {seasons}, in the same situation "
            "only, each later one counting {less:g} in 100 less.",
            colonies=ahead.colonies,
            seasons=counted(ahead.seasons, "season"),
            less=100 * ahead.discount,
        )
    )
    if not answer.stakes.grading.a_colony:
        said.append(say("No wage was given, so grading counts as free."))
    said.append(
        say("Without a comparison all would be fed.")
        if answer.stakes.fed_otherwise
        else say("Without a comparison none would be fed.")
    )
    return said
