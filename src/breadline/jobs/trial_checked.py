"""A trial that came as a file, judged again from its colonies: fair or not, and what it came to."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from breadline.errors import TrialError
from breadline.jobs.lock_stands import lock_words
from breadline.jobs.trial_file import TrialFile
from breadline.jobs.verdict import Prices, by_grade, worth_of
from breadline.language import language, say
from breadline.trial.colonies import CHECK
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.verdict.answer import Answer, answer, in_one_row
from breadline.verdict.elsewhere import elsewhere
from breadline.verdict.ends import Ends
from breadline.verdict.ends_of import BoolArray, Came
from breadline.verdict.log_ratio import LogRatio, log_ratio
from breadline.verdict.words_drift import taken_as_seen
from breadline.verdict.yard_means import means_of_yards

SEED = 6  # that of the trial's own page, so that both read it alike


@dataclass(frozen=True)
class Checked:
    """A trial with its own verdict, worked out here.

    Parameters
    ----------
    file
        As it was read.
    answer
        From its colonies; what the file's owner made of them is not asked.
    ratio
        Fed over check; None where it cannot be told.
    left_out
        Why it enters no average and teaches nothing; "" where it does.
    remarks
        What somebody should know who trusts it.
    told_in
        The language of all these words.
    """

    file: TrialFile
    answer: Answer
    ratio: LogRatio | None
    left_out: str
    remarks: tuple[str, ...]
    told_in: str = field(default_factory=language, compare=False)

    @property
    def in_this_language(self) -> Checked:
        """The same with its words said in this language, where it was judged for another reader."""
        if self.told_in == language():
            return self
        untold = self.answer.broken or self.answer.why_not  # worked out in no time, and told in it
        found = _judged(self.file) if untold else self.answer
        if found.elsewhere is not None and found.elsewhere.why_not:
            found = replace(found, elsewhere=elsewhere(self.file.finished.design, found.came))
        return _told(self.file, found)

    @property
    def honey(self) -> bool:
        """Whether it is of honey and not of bees."""
        return self.file.finished.design.outcome is Outcome.HONEY

    def colonies(self, fed: bool) -> int:
        """Colonies started in the fed arm of the comparison, or in the check group."""
        primary = self.file.finished.design.primary
        return self.answer.arms[primary if fed else CHECK].started


def checked(file: TrialFile) -> Checked:
    """Judge a trial again from its colonies.

    Errors
    ------
    TrialError
        If a colony has no end, or an end no colony; with the name of the file.
    """
    return _told(file, _judged(file))


def _judged(file: TrialFile) -> Answer:
    try:
        worth = worth_of(file.finished.design, file.finished.ended, prices_of(file))
        return answer(by_grade(file.finished, worth), np.random.default_rng(SEED))
    except TrialError as wrong:
        raise TrialError(f"{file.source}, {wrong.where}", wrong.what, wrong.expected, wrong.do) from wrong


def _told(file: TrialFile, found: Answer) -> Checked:
    why = _broken(file, found)
    ratio: LogRatio | None = None
    if not found.broken and not found.why_not:
        try:
            ratio = ratio_of(file.finished.design, found.came)
        except TrialError as none:
            why = why or f"{none.where}: {none.what}"
    return Checked(file, found, ratio, why, _remarks(file))


def prices_of(file: TrialFile) -> Prices:
    """What the grower of a trial reckons with, where the file says it."""
    of = file.prices
    return Prices() if of is None else Prices(of.cost, of.price, unit=of.money, year=of.year)


def ratio_of(design: Design, came: Came) -> LogRatio:
    """Fed over check in the locked comparison, dead colonies as 0; see ``ratio_among``."""
    return ratio_among(design, came, ~came.missing)


def ratio_among(design: Design, came: Came, rows: BoolArray) -> LogRatio:
    """Fed over check among some colonies, by colonies or by whole yards as they were drawn.

    ``rows`` says which, none whose end is not known, shape (colonies,).

    Errors
    ------
    TrialError
        If a mean is not clear of 0, or the arms cannot be compared.
    """
    known = came.some(rows)
    if design.unit is Unit.COLONY:
        return log_ratio(known, design.primary)
    chosen = (known.arm == CHECK) | (known.arm == design.primary)
    arm = (known.arm[chosen] == design.primary).astype(np.int64)
    two = Ends(known.outcome[chosen], arm, known.block[chosen], known.baseline[chosen])
    return log_ratio(means_of_yards(two, came.yard[rows][chosen]), 1)


def _broken(file: TrialFile, found: Answer) -> str:
    """Every reason to leave it out, the first one; "" where there is none."""
    design = file.finished.design
    if not file.sealed:
        return say("its design was changed after the file was written")
    if found.broken:
        return say("not a fair comparison: {why}", why="; ".join(one.facts for one in found.broken))
    if design.allocation is Allocation.UNKNOWN:
        return say(
            "nobody has said that lots decided which were fed; where they did, it counts once that is said"
        )
    if design.check_arm is not CheckArm.SAME_CARE:
        return say(
            "its check group had {what}, which asks another question", what=say(design.check_arm.value)
        )
    return found.why_not


def _remarks(file: TrialFile) -> tuple[str, ...]:
    said = lock_words(file.locked_at, file.finished.ended, file.fed_on), _drift(file.finished.design)
    return tuple(one for one in said if one)


def _drift(design: Design) -> str:
    """That bees between the groups make the difference smaller, where it goes on from here."""
    return taken_as_seen(in_one_row(design))
