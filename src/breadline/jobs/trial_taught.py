"""What one's own fair trial teaches, ready for the book."""

from __future__ import annotations

from datetime import date

from breadline.belief.gain import Situation
from breadline.errors import TrialError
from breadline.jobs.belief_book import Taught
from breadline.jobs.trial_checked import Checked
from breadline.jobs.trial_lived import lived_of
from breadline.language import say
from breadline.trial.design import Design
from breadline.verdict.answer import in_one_row
from breadline.verdict.through_model import Mode
from breadline.verdict.words_asked import told_as


def taught_by(one: Checked, situation: Situation | None = None, modes: tuple[Mode, ...] = ()) -> Taught:
    """What a trial teaches.

    Parameters
    ----------
    one
        The trial, judged here.
    situation
        What the place gave while the feed was on, where the file does not say.
    modes
        Equivalences that the yards' own model shows.

    Errors
    ------
    TrialError
        If it was not fair, or is of honey, or nobody says what the place gave: such a trial moves no
        belief about bees.
    """
    source, of = one.file.source, one.file.situation or situation
    if one.left_out or one.ratio is None:
        raise TrialError(source, say("nothing can be learnt: {why}", why=one.left_out),
                         say("a fair comparison of protein feed with none"),
                         say("Another one moves no belief"))  # fmt: skip
    if one.honey:
        raise TrialError(source, say("it is of honey"), say("a trial of frames of bees"),
                         say("Its verdict stands; the belief of a plan is about bees"))  # fmt: skip
    if of is None:
        raise TrialError(source, say("it does not say what the place gave while the feed was on"),
                         say("dearth, poor_spring or pollen"), say("Say it with --situation"))  # fmt: skip
    if situation not in (None, of):
        raise TrialError(source, say("it says {of} and you say {situation}", of=of, situation=situation),
                         say("one situation"),
                         say("Forage is noted before the result is known; the file's word holds"),
                         )  # fmt: skip
    return Taught(
        situation=of,
        season=one.file.season,
        name=one.file.name,
        trial=one.file.digest,
        graded_on=_graded_on(one),
        given=one.answer.given.value,
        log_ratio=one.ratio.estimate,
        se=one.ratio.se,
        fed=one.colonies(fed=True),
        check=one.colonies(fed=False),
        modes=modes,
        lived=lived_of(one),
        one_row=_one_row(one.file.finished.design),
        told_as=told_as(one.answer),
    )


def _one_row(design: Design) -> bool | None:
    """Whether the groups stood in one row without alternating; None where nobody knows how they stood."""
    return None if design.staggered is None else in_one_row(design)


def _graded_on(one: Checked) -> date:
    """The last day on which a colony was graded, else the locked one, else unknown as the first of days."""
    days = [end.graded_on for end in one.file.finished.ended if end.graded_on is not None]
    return max(days, default=one.file.finished.design.grading)
