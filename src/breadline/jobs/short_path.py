"""The short path: eight plain questions, no account, no weather file, one straight answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from breadline.jobs.short_questions import BREAD_NOT_SEEN, COLD_C, QUESTIONS, WARM_C, Question
from breadline.knowledge.countries import law_of
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say
from breadline.need.advice import Advice, Reason, advise
from breadline.need.ladder.before_feed import NO_EGGS
from breadline.need.ladder.survey import nearest
from breadline.need.words import counted, frames_of, warmth
from breadline.need.yard import Count, Forage, Health, Place, Yard

__all__ = ["QUESTIONS", "Question", "ShortAnswers", "straight_answer", "unanswered"]

FRAME_MEANS = "frame_of_bees.liebefeld"
HIVES = 2  # the path is for somebody with a few hives; the words then say "2 hives"


@dataclass(frozen=True)
class ShortAnswers:
    """One choice a question (keys of :data:`QUESTIONS`), and the day of asking.

    Errors
    ------
    YardError
        If a question has no answer, or an answer that was not offered.
    """

    where: str
    brood: str
    mites: str
    honey: str
    bees: str
    bread: str
    flying: str
    first_pollen: str
    today: date

    def __post_init__(self) -> None:
        for question in QUESTIONS:
            question.choice(getattr(self, question.key))

    def means(self, key: str) -> Any:
        """What the chosen words stand for."""
        question = next(q for q in QUESTIONS if q.key == key)
        return question.choice(getattr(self, key)).means


def unanswered(given: Mapping[str, str]) -> list[Question]:
    """Questions without an answer, or with one that was not offered."""
    return [q for q in QUESTIONS if given.get(q.key) not in {choice.key for choice in q.choices}]


def straight_answer(answers: ShortAnswers, shelf: Shelf | None = None) -> Advice:
    """Does it need protein feed, in one sentence, with its reasons.

    Bread that was not looked at is tried as none and as plenty: where both give
    the same answer it stands, else the answer is to look.
    """
    if answers.means("bread") is not BREAD_NOT_SEEN:
        return _in_own_words(_advised(answers, float(answers.means("bread")), shelf), answers)
    none, plenty = (_advised(answers, frames, shelf) for frames in (0.0, 2.0))
    same = (none.answer, none.sentence) == (plenty.answer, plenty.sentence)
    return _in_own_words(none if same else _look_for_bread(none), answers)


def yard_of(answers: ShortAnswers, bread_frames: float) -> Yard:
    """The yard that the eight answers describe; what was not asked stays unknown."""
    latitude, country = answers.means("where")
    brood, flying = answers.means("brood"), answers.means("flying")
    return Yard(
        name=say("Your hives"),
        place=Place(latitude=latitude, country=country),
        colonies=HIVES,
        today=answers.today,
        count=Count(
            on=answers.today, bread=bread_frames, bread_unit="frames", colonies_looked_in=HIVES,
            frames_of_bees=answers.means("bees"), frame_means=FRAME_MEANS,
        ),
        health=Health(
            foulbrood_signs=brood.foulbrood, mites_per_100=answers.means("mites"),
            queens_laying=brood.laying, queens_looked_for=brood.looked, honey=answers.means("honey"),
        ),
        forage=Forage(
            coming_in=flying.pollen, fresh_arcs=flying.arcs, outside_c=flying.outside_c,
            first_reliable_pollen=_next(answers.means("first_pollen"), answers.today),
        ),
        kept_for="hobby",
    )  # fmt: skip


def _advised(answers: ShortAnswers, bread_frames: float, shelf: Shelf | None) -> Advice:
    yard = yard_of(answers, bread_frames)
    return advise(yard, None, (shelf or load()).reader(), law_of(yard.place.country), None)


def _next(month: int | None, today: date) -> date | None:
    """The middle of the month in question, past or to come as the ladder counts it for a yard."""
    return None if month is None else nearest(today, month, 15)


def _look_for_bread(advice: Advice) -> Advice:
    return replace(
        advice,
        answer="look_again",
        state="cannot_tell",
        sentence=say(
            "Can't tell yet: look for stored pollen beside the brood in {hives} hives.", hives=HIVES
        ),
        look_again=None,
        look_again_for=say("stored pollen, on a still day warm enough to open"),
        what_would_change=(say("Stored pollen seen, or none seen."),),
        cautions=(),
    )


def _in_own_words(advice: Advice, answers: ShortAnswers) -> Advice:
    """Reasons in the keeper's words where the ladder would name a number that nobody measured."""
    said: dict[str, Reason] = {}
    for reason in advice.reasons:
        said[reason.head] = reason
    own = {"Warmth": "flying", "Mites": "mites", "Queens": "brood"}
    for head, key in own.items():
        question = next(q for q in QUESTIONS if q.key == key)
        choice = question.choice(getattr(answers, key))
        if head in said and choice.said:
            said[head] = replace(said[head], detail=say(choice.said))
    if answers.means("bread") is BREAD_NOT_SEEN and "Bread" in said:
        said["Bread"] = Reason(
            "Bread", say("Not looked at: it decides only once the rest is right"), "unknown"
        )
    elif "Bread" in said:
        detail = _as_seen(said["Bread"].detail, answers)
        said["Bread"] = replace(said["Bread"], detail=detail[:1].upper() + detail[1:])
    cautions = tuple(replace(caution, text=_unmeasured(caution.text)) for caution in advice.cautions)
    sentence = _uncounted(_as_seen(_unmeasured(advice.sentence), answers), answers)
    return replace(advice, sentence=sentence, reasons=tuple(said.values()), cautions=cautions)


def _uncounted(text: str, answers: ShortAnswers) -> str:
    """The text without the number of hives, which nobody was asked."""
    brood = answers.means("brood")
    if brood.laying is None or brood.laying == brood.looked:
        return text
    missing = counted(brood.looked - brood.laying, "hive")
    return text.replace(
        say(NO_EGGS, missing=missing, looked=brood.looked),
        say("Queens first: a hive is without eggs. Requeen or combine; protein can't raise brood that isn't "
            "laid."),
    )  # fmt: skip


def _as_seen(text: str, answers: ShortAnswers) -> str:
    """The text with the bread as it was answered, not as the number that stands for the answer."""
    choice = next(q for q in QUESTIONS if q.key == "bread").choice(answers.bread)
    return text.replace(frames_of(choice.means, "bread", parts=4), say(choice.said)) if choice.said else text


def _unmeasured(text: str) -> str:
    """The text without the temperatures that only stand for "too cold" and "warm enough"."""
    for where in ("US", "elsewhere"):  # both ways of writing a temperature
        text = text.replace(say("At {warmth}", warmth=warmth(COLD_C, where)), say("On a day too cold to fly"))
        text = text.replace(say("At {warmth}", warmth=warmth(WARM_C, where)), say("On a day when bees fly"))
    return text
