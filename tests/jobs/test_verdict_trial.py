"""The verdict of a trial that the program drew, with its day and departures; and of one that travelled."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from breadline.errors import TrialError
from breadline.jobs import trial_file
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.check_group_file import trial_text
from breadline.jobs.check_group_trial import Trial, locked
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_feed import feed_of
from breadline.jobs.trial_taught import taught_by
from breadline.jobs.verdict import Prices, Told, VerdictAsked
from breadline.jobs.verdict_chart import verdict_svg
from breadline.jobs.verdict_file import Readings, verdict_of_content
from breadline.jobs.verdict_onward import Onward, to_learn_from, travelling, with_second_sentence
from breadline.jobs.verdict_page import page_of
from breadline.jobs.verdict_reporting import reporting_items
from breadline.jobs.verdict_told import verdict_document, verdict_lines
from breadline.language import speaking
from breadline.need.yard import Count, Given, Place, Yard
from breadline.pictures.colonies_shown import colonies_shown
from breadline.records import yards
from breadline.records.engine import open_book, shut_book, writing
from breadline.trial.classes import AnswerClass, Lines
from breadline.trial.colonies import Became, Ended, Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.trial.honey import POUND

GRADING = date(2027, 2, 10)
ASKED = VerdictAsked(Prices(16, 18, year=2026), Told(), draws=999)


def trial(**design) -> Trial:
    started = tuple(
        Started(f"Birch {20 + k}", f"yard {k // 8}", f"set {k // 2}", k % 2, 6.0 + k % 3) for k in range(40)
    )
    settled = Design(
        Outcome.FRAMES, CheckArm.SAME_CARE, Unit.COLONY, Allocation.DRAWN, ("check", "fed"), 1,
        Lines(0.9, 0.5), GRADING, started, seed=7, staggered=True,
    )  # fmt: skip
    settled = replace(settled, **design)
    order = tuple(one.tag for one in started)
    drawn = Trial("Winter feed", settled, order, frozenset(order[:4]), 2.0, datetime(2026, 8, 1, tzinfo=UTC))
    return locked(drawn, datetime(2026, 8, 2, tzinfo=UTC))


def graded(one: Trial, gain: float = 2.0, on: date = GRADING, **changed: Ended) -> Trial:
    rng = np.random.default_rng(11)
    ends = [
        Ended(s.tag, Became.GRADED, round(2 * (s.baseline + gain * s.arm + rng.normal(0, 0.8))) / 2, on)
        for s in one.design.started
    ]
    return replace(one, ended=tuple(changed.get(end.tag.replace(" ", ""), end) for end in ends))


def verdict(one: Trial, today: date = GRADING, asked=ASKED):
    return verdict_of_content("trial.json", trial_text(one).encode(), asked, today)


def test_before_its_day_readings_are_shown_and_no_group():
    told = verdict(graded(trial()), date(2027, 2, 9))
    assert isinstance(told, Readings)
    assert len(told.readings) == 40
    assert not {"arm", "fed", "group"} & {name for row in told.readings for name in vars(row)}
    assert told.sentence.startswith("No verdict before the grading date that was settled, 10 February 2027")


def test_from_its_day_on_it_is_judged_by_what_was_settled():
    told = verdict(graded(trial()), asked=replace(ASKED, prices=Prices(18, 18, year=2027)))
    assert told.answer.given is AnswerClass.PAID
    assert told.finished.design.lines == Lines(0.9, 0.5)
    assert told.locked
    assert any(
        "it had to add 1.0 frame; 0.9 frame was settled, and decides" in text for text in told.deviations
    )
    assert told.spoken.sentence.startswith("Feeding paid")
    assert dict(reporting_items(told))["How lots were drawn"] == "By lot, number 7."


def honey(gain: float, line: float = 4.0) -> Trial:
    """Fed colonies so many kilograms ahead, with a line that was settled."""
    rng = np.random.default_rng(4)
    one = trial(outcome=Outcome.HONEY, lines=Lines(line, 4.0))
    ends = [
        Ended(s.tag, Became.GRADED, round(20 + s.baseline + gain * s.arm + rng.normal(0, 2), 1), GRADING)
        for s in one.design.started
    ]
    return replace(one, ended=tuple(ends))


def test_where_todays_prices_come_to_another_line_both_are_said_and_the_settled_one_decides():
    told = verdict(honey(4.5), asked=replace(ASKED, prices=Prices(16, 8, year=2027)))
    assert told.answer.given is AnswerClass.STRONGER_PAY_UNSURE  # by 4 kg
    page = page_of(told)
    said = (
        "Judged by the line settled at the draw, 4.0 kg; at the prices given now it would be 2.0 kg, and by "
        "that line it paid."
    )
    assert page.both_lines == said
    assert [text for _, text in verdict_lines(told)][1] == said
    assert verdict_document(told)["prices_now"] == {"break_even": 2.0, "class": "A", "said": said}
    cells = {cell.head: (cell.big, cell.small) for cell in page.cells}
    assert cells["It had to add"] == ("4.0 kg", "as it was settled")
    assert "Left over, prices now" in cells
    assert "By the line it is judged by it had to add about 4.0 kg." in told.spoken.range_said
    assert "to pay" not in told.spoken.range_said
    assert "4.0 kg, the line it is judged by" in dict(page.items)["Question"]
    svg = verdict_svg(told, "wide")
    assert all(words in svg for words in ("judged here", "pays now"))
    assert "it is judged by 4.0 kg, and pays from 2.0 kg at the prices given now" in svg


@pytest.mark.parametrize(
    ("settled_lb", "now_lb", "told_as"),
    [
        (16.02, 16.08, None),  # both read 16 lb
        (16.4, 16.6, None),  # a fifth of a pound apart
        (15.6, 17.2, ("16 lb", "17 lb")),
        (15.6, 16.4, ("15.6 lb", "16.4 lb")),  # both read 16 lb, and lie nearly a pound apart
    ],
)
def test_two_lines_of_honey_in_pounds_are_two_only_where_they_are_told_as_two(settled_lb, now_lb, told_as):
    one = honey(14.5, settled_lb * POUND)  # far ahead of either line
    priced = Prices(now_lb, 1.0, year=2027)
    told = verdict(one, asked=replace(ASKED, measure="lb", prices=priced))
    deviations = [text for text in told.deviations if "At the prices given now" in text]
    shown = colonies_shown(told.answer, told.finished.design, told.worth, told.measure, "")
    settled = "16 lb" if told_as is None else told_as[0]
    if told_as is None:
        assert (told.both_lines, told.now, deviations, shown.break_even_now) == ("", None, [], None)
    else:
        settled, now = told_as
        assert f"settled at the draw, {settled}; at the prices given now it would be {now}" in told.both_lines
        assert deviations[0].startswith(
            f"At the prices given now it had to add {now}; {settled} was settled,"
        )
        assert shown.break_even_now == pytest.approx(now_lb)
        assert verdict_document(told)["prices_now"]["break_even"] == pytest.approx(now_lb)
    assert dict(reporting_items(told))["Question"].startswith(f"Does it add at least {settled},")


@pytest.mark.parametrize("gain", [0.9, 2.0])
def test_two_lines_of_frames_that_read_alike_are_told_with_the_digit_that_parts_them(gain):
    one = graded(trial(lines=Lines(0.86, 0.5)), gain)
    told = verdict(one, asked=replace(ASKED, prices=Prices(15.04, 16, year=2027)))  # it has to add 0.94
    assert (
        "settled at the draw, 0.86 frame; at the prices given now it would be 0.94 frame" in told.both_lines
    )
    said = "\n".join(
        [*(text for _, text in verdict_lines(told)), f"{page_of(told)}", verdict_svg(told, "wide")]
    )
    assert "0.86 frame" in said
    assert not re.search(r"\b0\.9 frame\b", said), "neither line is told in another way anywhere"
    near = verdict(one, asked=replace(ASKED, prices=Prices(14.4, 16, year=2027)))  # 0.90, within 0.05
    assert (near.both_lines, near.now) == ("", None)


def test_the_other_line_is_judged_by_the_same_rules_and_the_same_answer_is_said_to_be_the_same():
    told = verdict(honey(12.0), asked=replace(ASKED, prices=Prices(16, 8, year=2027)))
    assert told.answer.given is AnswerClass.PAID
    assert told.both_lines.endswith("it would be 2.0 kg, and by that line the answer is the same.")
    settled = verdict(honey(4.5, 2.0))
    now = verdict(honey(4.5), asked=replace(ASKED, prices=Prices(16, 8, year=2027))).now
    assert now.by_it.given is settled.answer.given is AnswerClass.PAID


def test_one_line_is_said_once():
    for prices in (Prices(32, 8, year=2027), Prices(year=2027)):
        told = verdict(honey(4.5), asked=replace(ASKED, prices=prices))
        assert (told.now, told.both_lines, page_of(told).both_lines) == (None, "", "")
    assert {cell.head: cell.small for cell in page_of(verdict(honey(4.5), asked=replace(
        ASKED, prices=Prices(32, 8, year=2027)))).cells}["It had to add"] == "at your prices"  # fmt: skip


def test_prices_so_near_that_only_an_end_of_the_range_tells_them_apart_are_said_too():
    one = verdict(honey(4.5))
    low = one.answer.here.low
    told = verdict(honey(4.5, low - 0.044), asked=replace(ASKED, prices=Prices(low + 0.004, 1, year=2027)))
    assert told.answer.given is AnswerClass.PAID
    assert told.now.by_it.given is AnswerClass.STRONGER_PAY_UNSURE
    other = "by that line fed colonies ended ahead, and whether that covered the cost is open."
    assert told.both_lines.endswith(other)


def test_a_late_lock_is_set_aside_in_the_verdict_as_in_what_it_teaches():
    """One rule in both places: the class is said, the lock counts as none, and both say why."""
    early = trial().design.started[0].tag
    late = graded(trial(), **{early.replace(" ", ""): Ended(early, Became.DEAD, None, date(2026, 7, 30))})
    told = verdict(late)
    assert told.answer.given is verdict(graded(trial())).answer.given
    assert not told.locked
    (said,) = [text for text in told.deviations if "locked" in text]
    assert said.startswith(
        "It was locked on 2 August 2026, after the first end was known on 30 July 2026, so it"
    )
    text = travelling(told, Onward("dearth", "winter 2026", own_names=True))
    one = checked(trial_file.trial_from_text(text, "t.json"))
    assert one.left_out == ""
    assert [f"{remark[0].upper()}{remark[1:]}." for remark in one.remarks] == [said]


def test_departures_are_printed():
    told = verdict(replace(graded(trial(), on=date(2027, 2, 14)), draws=3))
    text = " ".join(told.deviations)
    assert "drawn 3 times" in text
    assert "Graded on 14 February 2027; 10 February 2027 was settled." in text
    assert "4 colonies were to be graded twice; 0 were." in text
    unlocked = replace(graded(trial()), locked_at=None, seal=None)
    assert "Nothing was locked beforehand" in verdict(unlocked).deviations[0]


def test_an_end_that_is_missing_is_listed_with_its_tag():
    open_one = graded(trial())
    with pytest.raises(TrialError, match="no end: Birch 25"):
        verdict(replace(open_one, ended=tuple(e for e in open_one.ended if e.tag != "Birch 25")))


@pytest.mark.parametrize("left", [1, 3, 20])
def test_ends_that_are_missing_are_told_to_a_spanish_reader_in_spanish(left):
    open_ones = graded(trial())
    with speaking("es"), pytest.raises(TrialError) as refused:
        verdict(replace(open_ones, ended=open_ones.ended[left:]))
    text = " ".join((refused.value.what, refused.value.expected, refused.value.do))
    assert "falta el final: Birch 20" in text
    for english in ("colonies", "with", "no end", "and 8 more", "an end", "Look what"):
        assert not re.search(rf"\b{english}\b", text), text


def test_merged_across_groups_breaks_fairness_and_within_does_not():
    across = graded(trial(), Birch20=Ended("Birch 20", Became.MERGED, merged_into="Birch 21"))
    within = graded(trial(), Birch20=Ended("Birch 20", Became.MERGED, merged_into="Birch 22"))
    assert verdict(across).answer.given is AnswerClass.NOT_FAIR
    told = verdict(within)
    assert told.answer.given is not AnswerClass.NOT_FAIR
    assert told.answer.arms[0].lost == 1


def test_no_line_of_an_unlocked_price_is_needed():
    told = verdict(graded(trial()), asked=VerdictAsked(draws=999))
    assert told.answer.given is AnswerClass.PAID
    assert told.spoken.money.startswith("What was left over is not told, for nobody said")


def test_a_trial_that_travelled_comes_to_the_same():
    own = verdict(graded(trial()))
    text = trial_file.trial_text(own.finished, trial_file.Telling("winter 2027"))
    theirs = verdict_of_content("theirs.json", text.encode(), ASKED, date(2027, 3, 1))
    assert theirs.answer.here == own.answer.here
    assert theirs.finished.design.started[0].tag == "1"


@pytest.mark.parametrize("text", ['{"shape": "else/1"}', "{broken", "[1]"])
def test_a_file_that_is_no_trial_is_said(text):
    with pytest.raises(TrialError):
        verdict_of_content("trial.json", text.encode(), ASKED, GRADING)


def test_what_a_trial_taught_itself_is_no_earlier_evidence_beside_it(tmp_path):
    """Asked again after it was learnt from in a season of another name, the second sentence is the same."""
    path = tmp_path / "book.sqlite"
    shut_book(open_book(path))
    found, asked = verdict(graded(trial())), Onward("dearth", book=path)
    first = with_second_sentence(found, asked).together
    assert "before this trial" in first
    file, _ = to_learn_from(found, Onward("dearth", "winter 2027", path), GRADING)
    BeliefBook(path, GRADING).learn(taught_by(checked(file)))
    assert with_second_sentence(found, asked).together == first
    other = with_second_sentence(verdict(graded(trial(), 2.5)), asked).together
    assert "before this trial" in other
    assert other.partition("before this trial")[2] != first.partition("before this trial")[2]


def _late(one: Trial, days: int = 9) -> Trial:
    """The same, drawn on its day and locked some days later."""
    return replace(one, locked_at=one.drawn_at + timedelta(days=days))


def test_feed_typed_before_the_lock_sets_it_aside_in_verdict_lesson_and_average_alike():
    found = verdict(graded(_late(trial())))
    assert found.locked
    feed = feed_of("15", "", ["2026-08-04 450 g"])
    onward = Onward("dearth", "winter 2026", feed=feed)
    told = with_second_sentence(found, onward)
    assert not told.locked
    assert any("after the first feed of 4 August 2026" in said for said in told.deviations)
    other = trial_file.trial_from_text(travelling(found, onward), "t.json")
    assert any("after the first feed" in said for said in checked(other).remarks)
    again = verdict_of_content("t.json", travelling(found, onward).encode(), ASKED, GRADING)
    assert not again.locked
    assert [said for said in again.deviations if "first feed" in said] == [
        said for said in told.deviations if "first feed" in said
    ]


@pytest.mark.parametrize(("fed", "stands"), [(date(2026, 8, 4), False), (date(2026, 7, 20), True)])
def test_feed_that_only_the_book_knows_of_sets_a_lock_aside_from_the_draw_on(tmp_path, fed, stands):
    """Feed put on before the draw is another feeding; another copy, without the book, is not let believe."""
    path = tmp_path / "book.sqlite"
    engine = open_book(path)
    with writing(engine) as session:
        day = date(2026, 8, 5)
        yard = Yard("yard 2", Place(52.0), 8, day, Count(day, 6.0, "frames"), given=(Given(fed, 450.0),))
        yards.add_yard(session, yard)
    shut_book(engine)
    found = verdict(graded(_late(trial())))
    onward = Onward(None, "winter 2026", book=path)
    told = with_second_sentence(found, onward)
    assert told.locked is stands
    assert told.fed_on == (() if stands else (fed,))
    other = trial_file.trial_from_text(travelling(found, onward), "t.json")
    assert (other.locked_at is not None) is stands
    assert bool(checked(other).remarks) is not stands
