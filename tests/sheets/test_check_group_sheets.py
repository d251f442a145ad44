"""The paper of a check group: the grader's never tells a group, every hive is on its list, pages are few."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from time import process_time

import pytest

from breadline.errors import RecordError
from breadline.language import speaking
from breadline.sheets import check_group_sheets as sheets
from breadline.sheets import printed as letters
from breadline.sheets.check_group_protocol import protocol_sheet
from breadline.trial.classes import Lines
from breadline.trial.colonies import Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from tests.sheets.read_back import MARKUP, PAPERS, claims_ua, places, read, words

ON = date(2026, 8, 22)
LISTS = {
    "feeding": sheets.feeding_list, "grading": sheets.grading_sheet, "second": sheets.second_sheet,
    "scraping": sheets.scraping_list, "ends": sheets.open_ends_sheet, "tags": sheets.tag_sheet,
    "protocol": protocol_sheet,
}  # fmt: skip


def trial(
    hives: int = 12, yards: int = 2, arms=("check", "fed"), check_arm=CheckArm.SAME_CARE
) -> sheets.OnPaper:
    """An invented trial; every second hive is fed."""
    started = tuple(
        Started(
            f"Birch {100 * y + n}",
            f"Yard {y}",
            f"set {n // 2}",
            n % len(arms),
            7.0,
            1,
            n + 1,
            hive=f"h{y}-{n}",
        )
        for y in range(1, yards + 1)
        for n in range(hives)
    )
    design = Design(
        Outcome.FRAMES, check_arm, Unit.COLONY, Allocation.DRAWN, arms, 1, Lines(0.9, 0.5),
        date(2026, 11, 20), started, seed=7,
    )  # fmt: skip
    tags = tuple(one.tag for one in started)
    order = tuple(sorted(tags, key=lambda tag: (started[tags.index(tag)].yard, tag[::-1])))
    return sheets.OnPaper(
        "Autumn patties", design, order, frozenset(tags[::7]), 3.0, tags[:5], "a1b2" * 16,
        date(2026, 8, 21), ON, "a4",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("name", "paper"),
    [*((name, "a4") for name in LISTS), ("grading", "us-letter"), ("protocol", "us-letter")],
)
def test_a_small_trial_is_one_page_of_its_paper_each(name, paper):
    pdf = LISTS[name](replace(trial(), paper=paper))
    (page,) = read(pdf).pages
    assert [round(side) for side in page.mediabox[2:]] == list(PAPERS[paper])
    assert claims_ua(pdf)
    text = words(pdf)
    assert "page 1 of" not in text
    assert "Autumn patties" in text


# each list with two of these, the rest by ./scripts/soak tests
SIZES = {
    (9, 7): "feeding scraping",
    (15, 4): "grading ends",
    (37, 2): "grading ends",
    (52, 2): "feeding scraping",
}


@pytest.mark.parametrize(
    ("name", "hives", "yards"),
    [
        pytest.param(name, *size, marks=[] if name in here.split() else pytest.mark.soak)
        for size, here in SIZES.items()
        for name in ("feeding", "grading", "scraping", "ends")
    ],
)
def test_what_is_not_laid_out_for_being_too_high_never_fitted(monkeypatch, name, hives, yards):
    """A list looks at the height of its rows before it lays them out; that must never say no wrongly."""
    real, judged = letters._with_what_it_follows, []

    def held(template):
        source = real(template).decode()
        quick = "let fits(k, groups) = may-fit(k, groups) and high-of(k, groups) <= high"
        assert source.count(quick) == 1
        judged.append(template)
        slow = (
            "let fits(k, groups) = { let fit = high-of(k, groups) <= high; "
            "assert(may-fit(k, groups) or not fit); fit }"
        )
        return source.replace(quick, slow).encode()

    monkeypatch.setattr(letters, "_with_what_it_follows", held)
    slow = LISTS[name](trial(hives, yards))
    monkeypatch.setattr(letters, "_with_what_it_follows", real)
    quick = LISTS[name](trial(hives, yards))
    assert judged
    pages = range(len(read(slow).pages))
    assert [places(slow, n) for n in pages] == [places(quick, n) for n in pages]
    assert len(read(quick).pages) == len(pages)


def test_a_list_of_a_thousand_hives_costs_little_more_than_its_own_pages(monkeypatch):
    """Trying what fits costs no more than another two layouts. It was five times the pages themselves."""
    real, of = letters._with_what_it_follows, trial(60, 12)

    def straight(template):
        before, _, _ = real(template).decode().partition("#context {\n  let (wide, high)")
        return (
            before + "#for (n, group) in d.groups.enumerate() { if n > 0 { pagebreak() }; head-of(0.9); "
            "rows-of(0.8, (group,)) }"
        ).encode()

    def cost() -> float:
        before = process_time()
        sheets.grading_sheet(of)
        return process_time() - before

    own = cost()
    monkeypatch.setattr(letters, "_with_what_it_follows", straight)
    assert own < 3 * cost()


def test_a_long_list_has_numbered_pages_and_no_hive_is_lost():
    of = trial(45, 2)
    for name in ("feeding", "grading"):
        pdf = LISTS[name](of)
        pages = len(read(pdf).pages)
        text = " ".join(words(pdf, n) for n in range(pages))
        assert f"page {pages} of {pages}" in words(pdf, pages - 1)
        seen = Counter(tag for tag in of.order if f"{tag} " in f"{text} ")
        assert len(seen) == 90, name


def test_small_yards_share_pages_and_none_is_split():
    of = trial(5, 16)
    for name in ("feeding", "scraping", "grading"):
        pdf = LISTS[name](of)
        pages = [words(pdf, n) for n in range(len(read(pdf).pages))]
        assert len(pages) <= 4, f"{name}: 16 yards of five hives"
        for yard in range(1, 17):
            (page,) = [text for text in pages if f"Yard {yard} " in text]
            assert all(f"Birch {100 * yard + n} " in page for n in range(5)), (name, yard)


def test_where_whole_yards_are_drawn_the_crew_has_a_list_of_yards():
    of = trial(30, 6)
    gets = ("Yard 2", "Yard 3", "Yard 5")
    fed = tuple(replace(one, arm=int(one.yard in gets)) for one in of.design.started)
    yards = replace(of, design=replace(of.design, started=fed, unit=Unit.YARD, open_feed=True))
    (page,) = read(sheets.feeding_list(yards)).pages
    text = " ".join(page.extract_text().split())
    assert text.count("no protein feed") == 3
    assert "Yard 2 protein feed" in text
    assert "Birch" not in text
    assert "Take feeders, sacks and spilt feed out of ALL yards" in words(sheets.scraping_list(yards))
    protocol = words(protocol_sheet(yards))
    assert "3 of 6 yards are the check group: 90 of 180 colonies graded." in protocol
    assert "gets feed at once inside its own hive" in protocol
    assert not any(f"Yard {n}" in protocol for n in range(1, 7)), "the grader may read it"


def test_the_graders_sheets_say_nothing_of_the_groups():
    of = trial()
    for name in ("grading", "second"):
        text = words(LISTS[name](of))
        told = text.replace("check fed", "")  # the boxes for the guess, alike on every line
        assert "check" not in told.replace("Check", "")
        assert "fed" not in told
        assert text.count("check fed") == (24 if name == "grading" else 4)
    turned = replace(of.design, started=tuple(replace(s, arm=1 - s.arm) for s in of.design.started))
    for name in ("grading", "scraping", "tags"):
        assert words(LISTS[name](of)) == words(LISTS[name](replace(of, design=turned)))


def test_the_grading_sheet_is_in_drawn_order():
    of = trial(yards=1)
    text = words(sheets.grading_sheet(of))
    at = [text.index(f"{tag} ") for tag in of.order]
    assert at == sorted(at)


def test_the_crews_list_says_who_gets_what():
    text = words(sheets.feeding_list(trial()))
    assert text.count("no protein feed") == 12
    assert "Keep this list away from whoever grades" in text
    half = words(sheets.feeding_list(trial(arms=("half", "full rate"), check_arm=CheckArm.HALF)))
    assert half.count("half the rate") == 12
    assert half.count("full rate") == 12 + 2  # each hive, and the count of each yard
    sugar = trial(check_arm=CheckArm.SUGAR)
    assert words(sheets.feeding_list(sugar)).count("sugar patty, no protein") == 12
    assert "what differs is the protein feed, not the sugar" in words(protocol_sheet(sugar))


def test_everybody_is_scraped_and_open_ends_are_asked_for():
    assert "ALL hives" in words(sheets.scraping_list(trial()))
    text = words(sheets.open_ends_sheet(trial()))
    assert "5 colonies without an end" in text
    assert "Birch 104" in text
    assert "Birch 105" not in text
    with pytest.raises(RecordError, match="every colony has its end"):
        sheets.open_ends_sheet(replace(trial(), without_end=()))


def test_the_protocol_says_what_was_locked_and_the_rescue_rule():
    text = words(protocol_sheet(trial()))
    for said in (
        "12 of 24 colonies are the check group", "Friday 20 November 2026", "It pays from 0.9 frames of bees",
        "below 3 frames of bees", "Somebody other than the grader scrapes", "seal a1b2a1b2",
    ):  # fmt: skip
        assert said in text
    of = trial()
    by_grade = replace(of.design, outcome=Outcome.MAKING_GRADE, grade=8.0)
    line = words(protocol_sheet(replace(of, design=by_grade)))
    assert "share making grade, 8 frames or more" in line
    half = words(protocol_sheet(trial(check_arm=CheckArm.HALF)))
    assert "whether the second half is worth it, never whether feeding pays" in half
    assert "Not yet locked." in words(protocol_sheet(replace(trial(), locked_on=None)))


def test_words_are_never_markup():
    of = trial()
    started = tuple(replace(s, yard=MARKUP[:40], hive=MARKUP[:20]) for s in of.design.started)
    strange = replace(of, name=MARKUP, design=replace(of.design, started=started))
    for make in (sheets.grading_sheet, sheets.tag_sheet, protocol_sheet):
        assert '#panic("no")' in words(make(strange))


def test_a_paper_that_is_none_is_refused():
    with pytest.raises(RecordError, match="“a5” is not known"):
        sheets.grading_sheet(replace(trial(), paper="a5"))


@pytest.mark.parametrize("name", ["grading", "tags"])
@pytest.mark.parametrize(("code", "said"), [("en", "page 1 of"), ("es", "página 1 de")])
def test_pages_are_counted_in_the_readers_language(name, code, said):
    with speaking(code):
        pages = read(LISTS[name](trial(hives=60))).pages
    assert len(pages) > 1
    text = " ".join(pages[0].extract_text().split())
    assert f"{said} {len(pages)}" in text
    assert ("page 1 of" in text) is (code == "en")
