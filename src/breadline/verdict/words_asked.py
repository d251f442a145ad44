"""What is asked and of whom, and each class in few words: beside a trial in a list, or inside a sentence."""

from __future__ import annotations

from breadline.language import noted, noted_as, say, say_as
from breadline.trial.classes import AnswerClass
from breadline.trial.design import CheckArm, Design, group_name
from breadline.verdict.answer import Answer
from breadline.verdict.words_agreed import both_ahead, not_covered

ASKED: dict[CheckArm, tuple[str, str, str]] = {  # what is asked, the fed ones, the check ones
    CheckArm.SAME_CARE: (noted("Feeding"), noted_as("ones", "fed"), noted("check colonies")),
    CheckArm.USUAL: (
        noted("This feed over usual practice"), noted_as("ones", "fed"), noted("those of usual practice"),
    ),
    CheckArm.HALF: (
        noted("The second half of the feed"), noted_as("ones", "fully fed"), noted("half-fed ones"),
    ),
    CheckArm.SUGAR: (
        noted("The protein feed over sugar alone"), noted_as("ones", "protein-fed"), noted("sugar-fed ones"),
    ),
}  # fmt: skip
OF_ONE: dict[CheckArm, str] = {  # what is asked where one of several fed groups is compared
    CheckArm.SAME_CARE: noted("Feeding {group}"),
    CheckArm.USUAL: noted("Feeding {group} over usual practice"),
    CheckArm.HALF: noted("The second half of {group}"),
    CheckArm.SUGAR: noted("Feeding {group} over sugar alone"),
}
IN_SHORT = {
    AnswerClass.PAID: noted("it paid"),
    AnswerClass.STRONGER_PAY_UNSURE: noted("ahead, pay unsure"),
    AnswerClass.STRONGER_DID_NOT_PAY: noted("ahead, but it did not pay"),
    AnswerClass.NO_DIFFERENCE_LARGER: noted("it did not pay, no difference that matters"),
    AnswerClass.DID_NOT_PAY: noted("it did not pay"),
    AnswerClass.WEAKER: noted("fed ones behind"),
    AnswerClass.TOO_FEW: noted("too few to tell by itself"),
    AnswerClass.NOT_FAIR: noted("not a fair comparison"),
}  # beside a trial in a list
SHORT = {of.value: said for of, said in IN_SHORT.items()} | {
    "not covered": noted("it did not pay"),
    "ahead": noted("ahead, pay unsure"),
    "drift": noted("not to be told by itself, with bees drifting along the row"),
}  # by the letter of a class, or what is told in its place; books keep the key


CLAUSE = {
    AnswerClass.PAID: noted("it paid"),
    AnswerClass.STRONGER_PAY_UNSURE: noted(
        "{fed} colonies ended ahead, and whether that covered the cost is open"
    ),
    AnswerClass.STRONGER_DID_NOT_PAY: noted("{fed} colonies ended ahead, but it did not pay"),
    AnswerClass.NO_DIFFERENCE_LARGER: noted("it did not pay, with no difference that matters"),
    AnswerClass.DID_NOT_PAY: noted("it did not pay"),
    AnswerClass.WEAKER: noted("{fed} colonies ended behind"),
    AnswerClass.TOO_FEW: noted("it can’t be told whether it paid"),
    AnswerClass.NOT_FAIR: noted("it can’t be told whether it paid"),
}  # what another reading would come to, inside a sentence


def in_short(answer: Answer) -> str:
    """What a trial came to beside its name in a list, with what both readings share where no class has it."""
    return say(SHORT[told_as(answer)])


def told_as(answer: Answer) -> str:
    """The key of those words: the letter of the class, or what is told where that says too little."""
    if not_covered(answer):
        return "not covered"
    if answer.weakened == "drift":
        return "drift"
    return "ahead" if both_ahead(answer) else answer.given.value


def clause(given: AnswerClass, design: Design) -> str:
    """A class inside a sentence: "by that line it paid"."""
    return say(CLAUSE[given], fed=asked_of(design)[1])


def clause_of(answer: Answer, design: Design) -> str:
    """An answer inside a sentence, with what both readings share where no class has it."""
    if not_covered(answer):
        return clause(AnswerClass.DID_NOT_PAY, design)
    return clause(AnswerClass.STRONGER_PAY_UNSURE if both_ahead(answer) else answer.given, design)


def asked_words(arm: CheckArm) -> tuple[str, str, str]:
    """What is asked, the fed ones and the check ones, in words."""
    what, fed, check = ASKED[arm]
    return say(what), say_as("ones", fed), say(check)


def asked_of(design: Design) -> tuple[str, str, str]:
    """The same of a trial: of several fed groups the one that is compared goes by its name."""
    what, fed, check = asked_words(design.check_arm)
    if len(design.arms) == 2:
        return what, fed, check
    group = group_name(design.arms[design.primary])
    return say(OF_ONE[design.check_arm], group=group), group, check
