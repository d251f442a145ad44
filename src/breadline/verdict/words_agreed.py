"""What range and lots agree on where one class has no word for it."""

from __future__ import annotations

from breadline.trial.classes import AnswerClass
from breadline.verdict.answer import Answer

AHEAD = {AnswerClass.PAID, AnswerClass.STRONGER_PAY_UNSURE, AnswerClass.STRONGER_DID_NOT_PAY}
NOT_COVERED = {
    AnswerClass.STRONGER_DID_NOT_PAY,
    AnswerClass.NO_DIFFERENCE_LARGER,
    AnswerClass.DID_NOT_PAY,
    AnswerClass.WEAKER,
}


def both_ahead(answer: Answer) -> bool:
    """Whether range and lots agree that fed colonies ended ahead, though one class has no word for it."""
    return _agreed_of(answer, AHEAD)


def not_covered(answer: Answer) -> bool:
    """Whether range and lots agree that it did not cover the cost, though one class has no word for it."""
    return _agreed_of(answer, NOT_COVERED)


def _agreed_of(answer: Answer, classes: set[AnswerClass]) -> bool:
    if answer.weakened != "permutation" or answer.here is None or answer.given is not AnswerClass.TOO_FEW:
        return False
    return {answer.here.given, answer.by_permutation} <= classes
