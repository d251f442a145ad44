"""The truck sheet is one page that is read from the seat, whatever was typed into it."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from breadline.errors import RecordError
from breadline.plan.combining import Pair
from breadline.plan.paper import Load
from breadline.sheets.truck_sheet import truck_sheet, truck_sheet_data
from tests.plan.loads import METRIC, POUND, load, steps, visit
from tests.sheets.read_back import MARKUP, PAPERS, SCRIPTS, claims_ua, kinds, places, read, sizes, words

LONG = "The yard behind the old packing shed on the road to the upper reservoir, second gate on the left"


def wordy(yards: int, patty=POUND) -> Load:
    """So many yards that share nothing and say all they can."""
    visits = tuple(
        visit(
            n, patty, yard=f"{n} {LONG}", counts=(1000, 2345, 9999), days=3 + n, beetle_rule=LONG * 3,
            steps=steps(3 + n / 2, 7 + n / 2, 0.25, 1.5),
            look_at=tuple(f"{k}{n} {LONG}" for k in range(9)),
            syrup_each_l=3.3, light=99, rim=True,
            combine=tuple(Pair(4.5, (f"hive {k}", f"other {k}")) for k in range(60)),
        )
        for n in range(yards)
    )  # fmt: skip
    return Load(visits, 0.05, 12, LONG * 4, 3, 9)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("patty", [POUND, METRIC], ids=["lb", "g"])
@pytest.mark.parametrize("make", [load, wordy])
@pytest.mark.parametrize("yards", [1, pytest.param(4, marks=pytest.mark.soak), 8])
def test_it_is_one_page_of_the_paper_with_all_yards_in_driving_order(yards, make, patty, paper):
    pdf = truck_sheet(make(yards, patty), paper)
    (page,) = read(pdf).pages
    assert [round(side) for side in page.mediabox[2:]] == list(PAPERS[paper])
    text = words(pdf)
    told = [text.find(f"{n}. {v.yard[:30]}") for n, v in enumerate(make(yards, patty).visits, start=1)]
    assert -1 not in told
    assert told == sorted(told)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("make", [load, wordy])
def test_everything_stands_inside_the_margins(make, paper):
    wide, high = PAPERS[paper]
    seen = places(truck_sheet(make(8), paper))
    assert len(seen) > 50
    assert all(20 < x < wide - 20 and 20 < y < high - 20 for _, x, y, _ in seen)


def test_it_says_what_the_crew_needs():
    text = words(truck_sheet(load(3, of_parts=2), "us-letter"))
    for said in (
        "Truck sheet · Tuesday 25 August 2026 · sheet 1 of 2", "Round 2 of 4, 3 yards",
        "57 patties of 1 lb", "54 for the hives, 3 spare", "of syrup",
        "under 4 frames of bees 4 to 7½ 8 and over none ½ patty (½ lb) 1 patty (1 lb)",
        "Gone in 7 days: beetles in the district.", "Look at fresh pollen round the brood;",
        "hives that get none ½ patty 1 patty Patties Syrup", "1. Tarweed Flat 24 colonies 3 8 13 17",
        "Syrup: 1 gal to each of 2 light colonies.", "Crew", "Out", "Back", "Patties back",
        "Driven in your own order.",
    ):  # fmt: skip
        assert said in text
    for box in ("Fed", "All eaten", "Some left", "Most left", "Maggots", "Dead"):
        assert text.count(box) >= 3


def test_the_printed_patties_add_up_to_the_load():
    on_truck = load(5)
    text = words(truck_sheet(on_truck, "a4"))
    for_hives, spare = map(int, re.search(r"(\d+) for the hives, (\d+) spare", text).groups())
    assert int(re.search(r"(\d+) patties of", text)[1]) == for_hives + spare
    printed = [row["patties"] for row in truck_sheet_data(on_truck, "a4")["yards"]]
    assert sum(map(float, printed)) == for_hives
    assert all(f" {count} " in text for count in printed)


def test_in_grams_and_litres():
    text = words(truck_sheet(load(3, METRIC), "a4"))
    assert "patties of 400 g" in text
    assert "½ patty (200 g)" in text
    assert "4 L to each of 2 light colonies" in text
    assert " lb" not in text
    assert " gal" not in text


def test_what_differs_stands_with_its_yard():
    one, other = visit(0), visit(1, steps=steps(5, 9, 0.5, 1), days=3, look_at=("queen",))
    data = truck_sheet_data(Load((one, other), 0.05, 4), "a4")
    assert data["rule"] == []
    assert data["lines"] == []
    assert data["yards"][0]["borders"].startswith("Under 4 frames of bees")
    assert data["yards"][1]["borders"].startswith("Under 5 frames of bees")
    assert data["yards"][1]["notes"] == "Gone in 3 days: beetles in the district. Look at queen."


def test_rims_and_hives_to_combine_are_told():
    pair = Pair(4.5, ("T07", "T12"))
    text = words(truck_sheet(Load((visit(rim=True, combine=(pair,)),), 0.05, 4), "us-letter"))
    assert "21 rims" in text
    assert "Combine T07 into T12, then ½ patty (½ lb)." in text
    assert "look for foulbrood and mites first" in text
    old = visit(rim=True, unfed=("T07", "T12"), unfed_why="too small")
    assert "Give nothing, too small: T07, T12." in words(truck_sheet(Load((old,), 0.05, 4), "us-letter"))
    later = visit(combine=(pair,), joined_on=date(2026, 8, 4))
    text = words(truck_sheet(Load((later,), 0.05, 4), "us-letter"))
    assert "Joined on 4 Aug: T12 ½ patty (½ lb)." in text
    assert "T07" not in text
    assert "foulbrood" not in text
    ranked = truck_sheet_data(Load((visit(combine=(Pair(4.0), Pair(4.0))),), 0.05, 4), "a4")
    assert "Combine the smallest two and two, 2 pairs" in ranked["yards"][0]["notes"]


def test_a_piece_that_no_hive_gets_has_no_column():
    one, other = visit(counts=(0, 8, 13)), visit(1, counts=(0, 5, 6))
    assert truck_sheet_data(Load((one, other), 0.05, 4), "a4")["heads"][1:3] == ["½ patty", "1 patty"]
    small = replace(other, counts=(2, 5, 6))
    assert truck_sheet_data(Load((one, small), 0.05, 4), "a4")["heads"][1] == "none"


def test_no_hive_to_combine_is_left_out_unsaid():
    many = tuple(Pair(4.5, (f"hive {n}", f"other {n}")) for n in range(60))
    note = truck_sheet_data(Load((visit(combine=many),), 0.05, 4), "a4")["yards"][0]["notes"]
    named, left = note.count("hive "), int(re.search(r"and (\d+) more", note)[1])
    assert named + left == 60
    assert "…" not in note


def test_a_yard_alone_has_room_to_write():
    text = words(truck_sheet(load(1), "us-letter"))
    assert "Round 2 of 4, Tarweed Flat" in text
    assert "Hive, and what was seen" in text


@pytest.mark.parametrize("paper", PAPERS)
def test_eight_yards_stay_legible_and_their_numbers_big(paper):
    """Counts of 14 pt and up are about 5 mm high, which is read from an arm's length."""
    pdf = truck_sheet(load(8), paper)
    assert min(sizes(pdf)) >= 8.0
    numbers = [size for text, _, _, size in places(pdf) if re.fullmatch(r"\d+", text.strip())]
    assert len(numbers) >= 32
    assert min(numbers) >= 14.0


def test_what_the_user_wrote_is_never_markup():
    typed = visit(
        yard=MARKUP[:38], beetle_rule=MARKUP, look_at=(MARKUP,), combine=(Pair(4.5, (MARKUP, "T1")),)
    )
    text = words(truck_sheet(Load((typed,), 0.0, 1, MARKUP), "a4"))
    assert text.count('#panic("no") $x$') == 6  # title, yard, rule, look, combine, order
    assert "`raw`" in text


@pytest.mark.parametrize("name", SCRIPTS)
def test_names_in_any_script_still_make_a_page(name):
    assert len(read(truck_sheet(Load((visit(yard=name),), 0.05, 1), "a4")).pages) == 1


def test_it_is_tagged_for_a_screen_reader_and_the_same_load_gives_the_same_file():
    pdf = truck_sheet(load(3), "a4")
    assert {"/H1", "/Table", "/TH", "/TD"} <= kinds(pdf)
    assert claims_ua(pdf)
    assert read(pdf).metadata.title == "Round 2 of 4, 3 yards"
    assert pdf == truck_sheet(load(3), "a4")


def test_more_yards_than_can_be_read_and_an_unknown_paper_are_refused():
    with pytest.raises(RecordError, match="9 yards"):
        truck_sheet(load(9), "a4")
    with pytest.raises(RecordError, match="a4 or us-letter"):
        truck_sheet(load(1), "a5")


def test_dry_sugar_is_told_where_it_is_too_cold_for_syrup():
    text = words(truck_sheet(Load((visit(0, METRIC, light=6, dry_sugar_each_g=1000.0),), 0.1, 1), "a4"))
    assert "6.6 kg of dry sugar" in text
    assert "Dry sugar on top: 1 kg to each of 6 light colonies." in text


def test_more_kinds_of_pieces_than_columns_are_counted_as_fed():
    visits = tuple(visit(n, steps=steps(4.0, 8.0, 0.25 + n / 4, 3.0 + n)) for n in range(3))
    data = truck_sheet_data(Load(visits, 0.0, 1), "a4")
    assert data["heads"] == ["Yard", "none", "a piece", "Patties"]
    assert [row["counts"] for row in data["yards"]] == [["3", "21"], ["3", "22"], ["3", "23"]]


def test_strong_colonies_that_get_none_stand_in_the_column_of_none():
    """The search may choose to feed the middle only."""
    data = truck_sheet_data(Load((visit(steps=steps(4.0, 8.0, 1.0, 0.0)),), 0.0, 1), "a4")
    assert data["heads"] == ["Yard", "none", "1 patty", "Patties"]
    assert data["yards"][0]["counts"] == ["16", "8"]
    assert data["rule"][2] == ["8 and over", "none"]


def test_no_syrup_no_column():
    bare = load(2)
    bare = replace(bare, visits=tuple(replace(v, syrup_each_l=0.0) for v in bare.visits))
    assert "yrup" not in words(truck_sheet(bare, "a4"))
