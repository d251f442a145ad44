"""The verdict as people say it: the class first, then the money, then what next season should do."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.language import say
from breadline.trial.classes import AnswerClass
from breadline.trial.design import Allocation, Design, Unit
from breadline.verdict.amounts import FRAMES, Measure, amount, span
from breadline.verdict.answer import Answer
from breadline.verdict.fairness import Broken
from breadline.verdict.words_agreed import both_ahead, not_covered
from breadline.verdict.words_asked import asked_of
from breadline.verdict.words_behind import done_lines, sure_lines
from breadline.verdict.words_difference import (
    apart_said,
    difference_sentence,
    left_over,
    lines_beside,
    money_sentence,
    needs_sentence,
)
from breadline.verdict.words_held_back import held_back
from breadline.verdict.words_next import FEW, more_needed, next_season, units
from breadline.verdict.worth import Worth


@dataclass(frozen=True)
class Spoken:
    """A verdict in sentences.

    Parameters
    ----------
    sentence
        The class, from these colonies alone.
    range_said
        The difference and its range.
    money
        What was left over, with its range; "" where nothing can be said of it.
    next_season
        What to do next.
    done, sure, broke
        What was done, how sure it is, what broke.
    held_back
        Which reading makes the class weaker than the range by itself, and what it shows; "" where none does.
    """

    sentence: str
    range_said: str
    money: str
    next_season: str
    done: tuple[str, ...]
    sure: tuple[str, ...]
    broke: tuple[str, ...]
    held_back: str = ""


def verdict_sentence(answer: Answer, design: Design, measure: Measure = FRAMES) -> str:
    """The class in words, or what both readings share where no class has a word for it."""
    what, fed, _ = asked_of(design)
    if not_covered(answer):
        return say(
            "{what} did not cover its cost; how far {fed} colonies lie apart from the others is open.",
            what=what, fed=fed,
        )  # fmt: skip
    if both_ahead(answer):
        return class_sentence(AnswerClass.STRONGER_PAY_UNSURE, design, measure)
    if answer.weakened == "drift":
        return say(
            "Can’t tell whether {what} paid: the groups stand in one row, and bees drift along it.",
            what=_small(what),
        )
    if (
        answer.given is AnswerClass.TOO_FEW
        and answer.here is not None
        and answer.weakened in ("", "permutation")
    ):
        more = more_needed(answer, answer.here, design)
        finely = measure.over(answer.here.low, answer.here.high).digits
        if more is not None and more.too_close and sum(units(answer, design)) >= FEW:
            return say(
                "Can’t tell whether {what} paid: it may have added anything from {range} {unit}.",
                what=_small(what), unit=say(measure.many),
                range=span(answer.here.low, answer.here.high, lines_beside(answer, design), finely),
            )  # fmt: skip
    return class_sentence(answer.given, design, measure, apart_said(answer, design, measure))


def class_sentence(given: AnswerClass, design: Design, measure: Measure = FRAMES, apart: str = "") -> str:
    """The class in the program's own words, about what the check group leaves to be asked.

    ``apart`` is the difference that matters as it is written beside a range, if there is one.
    """
    what, fed, check = asked_of(design)
    told = {"what": what, "fed": fed, "check": check, "small": _small(what)}
    if given is AnswerClass.NOT_FAIR:
        return say("Not a fair comparison: these colonies can’t say whether {small} paid.", **told)
    apart = apart or amount(design.lines.margin, measure)
    return {
        AnswerClass.PAID: say("{what} paid: {fed} colonies ended ahead by more than it cost.", **told),
        AnswerClass.STRONGER_PAY_UNSURE: _big(
            say("{fed} colonies ended ahead; whether that covered the cost is open.", **told)
        ),
        AnswerClass.STRONGER_DID_NOT_PAY: say(
            "{what} did not pay: {fed} colonies ended ahead, but by less than it cost.", **told
        ),
        AnswerClass.NO_DIFFERENCE_LARGER: say(
            "{what} did not pay: {fed} and {check} are less than {apart} apart.", apart=apart, **told
        ),
        AnswerClass.DID_NOT_PAY: say(
            "{what} did not pay: whatever it added was worth less than it cost.", **told
        ),
        AnswerClass.WEAKER: _big(say("{fed} colonies ended behind {check}.", **told)),
        AnswerClass.TOO_FEW: say(
            "Can’t tell whether {small} paid: too few yards, for how much they differ.", **told
        )
        if design.unit is Unit.YARD
        else say("Can’t tell whether {small} paid: too few colonies, for how much they differ.", **told),
    }[given]


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


def broken_line(broken: Broken) -> str:
    """One breach as a line: what, and the facts."""
    return f"{_big(say(broken.breach.value))}: {broken.facts}."


def spoken(answer: Answer, design: Design, worth: Worth | None, measure: Measure = FRAMES) -> Spoken:
    """Everything that is said of a verdict."""
    sentence = verdict_sentence(answer, design, measure)
    if design.allocation is Allocation.UNKNOWN and answer.given is not AnswerClass.NOT_FAIR:
        sentence = say("If lots decided which colonies were fed, {sentence}", sentence=_small(sentence))
    here, left = answer.here, left_over(answer, worth)
    said = (
        difference_sentence(answer, here, design, measure)
        + " "
        + needs_sentence(answer, design, measure, worth)
        if here
        else ""
    )
    if not here and answer.why_not:
        sentence = class_sentence(answer.given, design, measure).split(": ")[0] + "."
        said = f"{_big(answer.why_not)}."
    return Spoken(
        sentence,
        said,
        money_sentence(left, worth, design) if left and worth else "",
        next_season(answer, design),
        done_lines(answer, design, measure),
        sure_lines(answer, design, measure),
        tuple(broken_line(one) for one in answer.broken),
        held_back(answer, design, measure, worth),
    )
