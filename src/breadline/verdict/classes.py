"""Which of two classes says less, and what is said where two analyses differ."""

from __future__ import annotations

from breadline.trial.classes import AnswerClass

_WEAKER: dict[AnswerClass, frozenset[AnswerClass]] = {  # of each class, those that say less
    AnswerClass.PAID: frozenset({AnswerClass.STRONGER_PAY_UNSURE, AnswerClass.TOO_FEW}),
    AnswerClass.STRONGER_PAY_UNSURE: frozenset({AnswerClass.TOO_FEW}),
    AnswerClass.STRONGER_DID_NOT_PAY: frozenset({AnswerClass.TOO_FEW}),
    AnswerClass.NO_DIFFERENCE_LARGER: frozenset({AnswerClass.DID_NOT_PAY, AnswerClass.TOO_FEW}),
    AnswerClass.DID_NOT_PAY: frozenset({AnswerClass.TOO_FEW}),
    AnswerClass.WEAKER: frozenset({AnswerClass.TOO_FEW}),
    AnswerClass.TOO_FEW: frozenset(),
    AnswerClass.NOT_FAIR: frozenset(),
}


def is_weaker(one: AnswerClass, other: AnswerClass) -> bool:
    """Whether ``one`` says less than ``other``: G < B < A, G < E < D, G < C, G < F.

    Not a fair comparison (H) is no answer at all, so it is weaker than every other class.
    """
    if one is AnswerClass.NOT_FAIR:
        return other is not AnswerClass.NOT_FAIR
    return one in _WEAKER[other]


def weaker_of_both(one: AnswerClass, other: AnswerClass) -> AnswerClass:
    """The nearest class that says no more than either of two; itself where they agree."""
    if AnswerClass.NOT_FAIR in (one, other):
        return AnswerClass.NOT_FAIR
    shared = (_WEAKER[one] | {one}) & (_WEAKER[other] | {other})
    return max(shared, key=lambda said: len(_WEAKER[said]))
