"""The short path: what eight plain answers come to. The ladder itself is tried in tests/seasons."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.errors import YardError
from breadline.jobs.short_path import QUESTIONS, ShortAnswers, straight_answer, unanswered, yard_of
from breadline.knowledge.shelf import load

WINTER = ShortAnswers(
    "US", "not_seen", "not_tested", "light", "4", "not_seen", "cold", "3", today=date(2027, 2, 20)
)
SPRING = ShortAnswers("US", "well", "low", "enough", "8", "none", "none", "4", today=date(2027, 4, 10))


def test_light_hives_in_the_cold_get_sugar_and_no_protein():
    advice = straight_answer(WINTER)
    assert advice.answer == "something_first"
    assert advice.sentence.startswith("No protein feed now")
    assert "mites" in advice.sentence


def test_no_bread_and_no_pollen_on_sound_hives_is_a_yes():
    assert straight_answer(SPRING).answer == "feed"


def test_germany_is_a_no_by_custom_where_the_same_hives_elsewhere_are_a_yes():
    german = straight_answer(replace(SPRING, where="DE"))
    assert german.answer == "no_need"
    assert "Germany" in german.sentence


def test_signs_of_foulbrood_stop_everything():
    advice = straight_answer(replace(SPRING, brood="sick"))
    assert advice.answer == "something_first"
    assert "inspector" in advice.sentence


def test_bread_not_looked_at_is_never_taken_for_none():
    advice = straight_answer(replace(SPRING, bread="not_seen"))
    assert advice.answer == "look_again"
    assert advice.state == "cannot_tell"
    assert "stored pollen" in advice.sentence
    bread = next(reason for reason in advice.reasons if reason.head == "Bread")
    assert bread.state == "unknown"


def test_bread_not_looked_at_does_not_hide_what_comes_first():
    same = straight_answer(replace(SPRING, mites="high", bread="not_seen"))
    assert same.answer == "something_first"
    assert same.rung == "mites"


def test_no_number_is_said_that_nobody_measured():
    for flying in ("cold", "none", "plenty"):
        advice = straight_answer(replace(WINTER, flying=flying))
        said = " ".join(
            [advice.sentence, *(r.detail for r in advice.reasons), *(c.text for c in advice.cautions)]
        )
        assert "36 °F" not in said
        assert "59 °F" not in said
        assert "67" not in said


def test_a_southern_spring_is_the_southern_one():
    assert yard_of(replace(WINTER, where="NZ"), 0.0).place.latitude < 0
    winter = replace(SPRING, where="NZ", bees="4", flying="cold", first_pollen="8", today=date(2027, 6, 25))
    assert straight_answer(winter).answer != "feed"


def test_first_pollen_just_past_stays_this_years_and_else_is_the_next():
    march = replace(WINTER, first_pollen="3")
    assert yard_of(replace(march, today=date(2027, 4, 10)), 0.0).forage.first_reliable_pollen == date(
        2027, 3, 15
    )
    assert yard_of(replace(march, today=date(2027, 10, 1)), 0.0).forage.first_reliable_pollen == date(
        2028, 3, 15
    )


def test_the_frame_of_the_question_is_a_definition_on_the_shelf():
    means = yard_of(WINTER, 0.0).count.frame_means
    assert means is not None
    assert load()[means].unit == "bees/frame"


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda q: q.key)
def test_an_answer_that_was_not_offered_is_refused(question):
    with pytest.raises(YardError, match="not one of the answers"):
        replace(WINTER, **{question.key: "something else"})


def test_what_is_unanswered_is_named_in_order():
    given = {q.key: q.choices[0].key for q in QUESTIONS}
    assert unanswered(given) == []
    del given["honey"]
    given["where"] = "Mars"
    assert [q.key for q in unanswered(given)] == ["where", "honey"]


def test_every_question_offers_what_a_person_can_say_without_looking():
    for question in QUESTIONS:
        words = " ".join(choice.words.lower() for choice in question.choices)
        assert any(
            part in words
            for part in ("not looked", "not lifted", "not tested", "don't know", "elsewhere", "too cold")
        )


@pytest.mark.parametrize(
    ("bread", "said"),
    [
        ("quarter", "¼ frame of bread"),
        ("half", "½ to 1 frame of bread"),
        ("more", "more than 1 frame of bread"),
    ],
)
@pytest.mark.parametrize("flying", ["none", "little", "plenty"])
def test_bread_is_said_as_it_was_answered_and_not_as_the_number_that_stands_for_it(bread, said, flying):
    advice = straight_answer(replace(SPRING, bread=bread, flying=flying))
    detail = next(reason.detail for reason in advice.reasons if reason.head == "Bread")
    assert said in detail.lower()
    text = f"{advice.sentence} {detail}"
    assert not any(made_up in text for made_up in ("¾ frame", "1½ frames"))
