"""Several growers' trials and several yards on paper. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from breadline.errors import CountTooOld, NoWeather, RecordError, YardError
from breadline.jobs.book import YardLine
from breadline.jobs.county_outlook import county, county_outlook_sheet
from breadline.jobs.pooled import pooled
from breadline.jobs.pooled_paper import Printing, county_page, every, trial_page
from breadline.jobs.trial_checked import checked
from breadline.language import speaking
from breadline.need.forecast import count_age
from breadline.need.outlook import ShortFrom
from breadline.need.words import day_and_year
from breadline.pictures.short_from_chart import ShortLine, short_from_chart
from breadline.sheets.report_sheet import report_sheet
from jobs.travelled import file
from web.pretend_book import PretendBook

HOW = Printing("Fern County (invented)", date(2026, 11, 30), "a4")
TODAY = date(2026, 1, 20)


@pytest.fixture(scope="module")
def together():
    unsealed = replace(file(4), sealed=False, name="Changed afterwards")
    return pooled([checked(one) for one in (file(1), file(2), file(9), unsealed)])


def test_a_page_of_a_trial_says_what_it_came_to_how_sure_and_where_it_lies_among_the_others(together):
    one = together.groups[0].trials[0]
    page = trial_page(one, together, HOW)
    assert page.head == "Fern County (invented) · one trial of 4 · 30 November 2026"
    assert page.rows[0][:2] == ("check", "18")
    assert page.rows[1][:2] == ("fed", "54")
    with speaking("es"):
        assert [row[0] for row in trial_page(one, together, HOW).rows[:2]] == ["testigo", "con alimento"]
    assert page.rows[-1][0] == "Difference, adjusted for strength before and the sets drawn"
    assert "clear of chance" in page.rows[-1][2]
    assert any(
        "in 3 trials fed colonies had on average" in line for line in dict(page.columns)["Beside the others"]
    )
    assert (
        "It had to add 0.90 frame to pay" in page.foot
    )  # looks that begin at 0.92 and 0.94 are read beside it
    done = dict(page.columns)["What was done"]
    assert [line.split(":")[0] for line in done[3:]] == ["Check", "Fed"], "both groups are told"
    assert page.picture.startswith("<svg")


def test_a_trial_that_broke_a_rule_has_its_page_and_stands_in_no_average(together):
    (out,) = together.left_out
    assert every(together)[-1] is out
    page = trial_page(out, together, HOW)
    assert any(
        line.startswith("Left out of the county’s average: its design was changed") for line in page.under
    )
    assert "It stands in no average." in dict(page.columns)["Beside the others"]
    whole = county_page(together, HOW)
    assert len(whole.rows) == 3
    assert "Changed afterwards: its design was changed" in dict(whole.columns)["Left out, and why"][0]


def test_the_page_of_the_county_has_its_number_its_range_and_what_is_not_known(together):
    page = county_page(together, HOW)
    assert page.title.startswith("3 fair trials, fed ")
    assert "clear of chance" in page.title
    assert "90 % range of the average" in page.under[0]
    assert any("never averaged" in line for line in dict(page.columns)["What is not known"])
    assert together.groups[0].trials[0].file.name in page.rows[0][0]


def test_one_trial_alone_is_no_average():
    page = county_page(pooled([checked(file(1))]), HOW)
    assert page.title == "1 fair trial of 1."
    assert page.boxed[1].startswith("One trial is no average.")


def line(name, short):
    answer = PretendBook().season("tarweed")
    assert answer.outlook is not None
    yard = replace(answer.yard, name=name, today=TODAY)
    return YardLine(
        name, name, 20, replace(answer, yard=yard, outlook=replace(answer.outlook, short_from=short)), None
    )


def day(n):
    return TODAY + timedelta(days=n)


def test_yards_are_told_together_the_earliest_first_and_without_names_where_that_is_asked():
    late = ShortFrom(0.6, day(30), day(45), None, day(30), False)
    soon = ShortFrom(0.9, day(10), day(14), day(20), day(10), False)
    now = ShortFrom(1.0, day(0), day(0), day(0), day(0), True)
    never = ShortFrom(0.05, None, None, None, day(180), False)
    lines = [line("Late", late), line("Never", never), line("Now", now), line("Soon", soon),
             YardLine("blind", "Blind", 4, None, "no weather")]  # fmt: skip
    told = county(lines, TODAY, lambda _: "Feed soon")
    assert told.sentence == (
        "1 of 5 yards is short of bread now; 2 more are likely to be: the first begins about 3 February, "
        "the last about 6 March; 1 yard has no outlook."
    )
    assert [row.name for row in told.rows] == ["Now", "Soon", "Late", "Never"]
    assert told.rows[0].short == "now"
    assert told.lines[2].last is None, "in some seasons not at all"
    assert told.why_not == ("No answer for Blind: no weather",)
    numbered = county(lines, TODAY, lambda _: "Feed soon", numbered=True)
    assert [row.name for row in numbered.rows] == ["Yard 1", "Yard 2", "Yard 3", "Yard 4"]
    assert "Soon" not in "".join(numbered.do)
    joined = county(lines, TODAY, lambda _: "Feed soon", beside={"Soon": "Your plan is to do nothing."}).do
    assert [text for text in joined if text.endswith("Your plan is to do nothing.")] == [
        text for text in joined if text.startswith("Soon: ")
    ]
    assert numbered.why_not == ("No answer for 1 yard: count, weather or bloom lacks.",)
    assert county([], TODAY, lambda _: "").sentence == "None of the yards can be answered for yet."
    alone = county([lines[0]], TODAY, lambda _: "").sentence
    assert alone == "1 of 1 yard is likely to be short of bread, from about 6 March."
    few = replace(late, chance=0.3, middle=None)
    may = county([line("Few", few)], TODAY, lambda _: "").sentence
    assert may.endswith("in the season ahead; 1 may, in fewer than half of the seasons.")
    assert county(lines[1:2], TODAY, lambda _: "").sentence.startswith(
        "None of 1 yard is likely to run short"
    )


def too_old(name, days):
    """A yard as the book has it whose last look was so many days ago: refused by the forecast itself."""
    yard = replace(PretendBook().season("tarweed").yard, today=TODAY)
    old = replace(yard, count=replace(yard.count, on=TODAY - timedelta(days=days)), inspections=())
    with pytest.raises(CountTooOld) as told:
        count_age(old)
    return YardLine(name, name, 4, None, str(told.value), told.value)


def no_weather_at(name):
    error = NoWeather.of(name)
    return YardLine(name, name, 4, None, str(error), error)


def test_old_counts_beside_new_ones_are_not_told_as_yards_that_will_not_run_short():
    never = line("Never", ShortFrom(0.05, None, None, None, day(180), False))
    blind = [too_old("A", 80), too_old("Birch", 60)]
    told = county([never, *blind], TODAY, lambda _: "").sentence
    assert (
        told
        == "None of 1 yard is likely to run short of bread in the season ahead; 2 others have no outlook."
    )
    assert never.answer is not None
    winter = replace(never, answer=replace(never.answer, outlook=None))
    none = county([winter, *blind], TODAY, lambda _: "").sentence
    assert none == "None of 3 yards has an outlook for the season ahead."


def test_where_no_yard_can_be_answered_for_the_page_says_why():
    blind = [too_old("A", 80), too_old("Birch", 60), too_old("Cedar", 71), no_weather_at("Dell")]
    told = county(blind, TODAY, lambda _: "")
    assert told.sentence == "None of the yards can be answered for yet."
    first, last = (day_and_year(TODAY - timedelta(days=n)) for n in (80, 60))
    assert told.why_not[0] == (
        f"No answer for 3 yards: the last looks into the hives were from {first} to {last}. Count again."
    )
    assert told.why_not[1].startswith(
        "No answer for Dell: no weather is kept for this yard. Expected a weather"
    )
    numbered = county(blind, TODAY, lambda _: "", numbered=True).why_not
    assert numbered[0] == told.why_not[0], "a yard called A leaves the sentence whole"
    assert numbered[1].startswith("No answer for 1 yard: no weather is kept for this yard.")
    assert county_outlook_sheet(told, "Fern County (invented)", "a4").startswith(b"%PDF")
    (alone,) = county([too_old("Birch", 60)], TODAY, lambda _: "").why_not
    assert alone == f"No answer for Birch: the last look into the hives was on {last}. Count again."


def test_no_yard_without_an_answer_is_dropped_without_a_word():
    kinds = [YardError("count", f"reason {n}") for n in range(6)]
    lines = [
        YardLine(f"Y{n}", f"Y{n}", 4, None, str(kinds[n]), kinds[n])
        for n in (0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5)
    ]
    said = county(lines, TODAY, lambda _: "").why_not
    assert len(said) == 5
    assert said[-1] == "And 3 yards more have no answer."
    assert county(lines[:9], TODAY, lambda _: "").why_not[-1] == "And 1 yard more has no answer."
    assert len(county(lines[:8], TODAY, lambda _: "").why_not) == 4
    named = YardError("weather", "the file of Kiln Field is too short")
    (numbered,) = county([YardLine("k", "Kiln Field", 4, None, "", named)], TODAY, lambda _: "", True).why_not
    assert "Kiln" not in numbered


@pytest.mark.parametrize("size", ["wide", "phone", "print"])
def test_the_picture_has_a_line_for_each_yard_and_says_them_in_words(size):
    lines = (
        ShortLine("Alder", day(10), day(14), day(20), "10 to 20"),
        ShortLine("Birch", None, None, None, "no outlook"),
    )
    drawn = short_from_chart(lines, (TODAY, day(120)), size)
    assert "When each yard is short of bread. Alder: 10 to 20; Birch: no outlook." in drawn
    assert "no outlook" in drawn.rpartition("</title>")[2] or drawn.count("no outlook") >= 2


def test_a_report_of_nothing_is_refused():
    with pytest.raises(RecordError, match="no page"):
        report_sheet("nothing", [], TODAY, "a4")
