"""A plan file, and every way in which one can be wrong. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.errors import PlanError
from breadline.jobs.rounds_file import for_another_yard, plan_from_text, read_plan
from breadline.jobs.rounds_form import a_year_on, first_typed, in_units, kind_of, parts_of, text_of, typed_of
from breadline.jobs.rounds_last_year import on_this_year
from breadline.jobs.yard_file import read_yard
from breadline.language import speaking
from breadline.need.yard import Given
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, WinterBees
from house import tree

TODAY = date(2026, 1, 20)
FOLDER = tree.ROOT / "examples" / "first-rounds"
EXAMPLE = (FOLDER / "rounds.toml").read_text("utf-8")
POUND = 453.59237


def plan(text: str = EXAMPLE):
    return plan_from_text(text, TODAY)


def changed(old: str, new: str) -> str:
    assert old in EXAMPLE
    return EXAMPLE.replace(old, new, 1)


def test_the_example_is_read_in_whole():
    asked = read_plan(FOLDER / "rounds.toml", TODAY)
    assert isinstance(asked.target, Frames)
    assert (asked.target.grade, asked.target.fee.amount, asked.target.fee.year) == (8.0, 190.0, 2025)
    assert asked.feeds[0].price.amount == pytest.approx(1.45 / POUND * 1000)
    assert asked.feeds[0].price.year == 2026
    assert asked.rounds.honey_kg == pytest.approx(30 * POUND / 1000)
    assert asked.hives[1] == ("CF-07", 7.5)
    assert [one.grams for one in asked.last_year] == pytest.approx([POUND, POUND])


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("on = 2026-03-25", "on = 2026-01-10", "not ahead of today"),
        ("on = 2026-03-25", "on = 2028-03-25", "more than a year ahead"),
        ("fee = 190", "fee = 0", r"\[target\], fee: 0 is not a price"),
        ("fee = 190", "fee = -5", "-5 is not a price"),
        ("fee = 190", 'fee = "190 a hive"', "is text"),
        ("grade = 8 ", "grade = 15200 ", "divide by what a frame means"),
        ('paid = "hive_by_hive"', 'paid = "per hive"', "not one of the words"),
        ('kind = "frames"', 'kind = "almonds"', "not one of the words"),
        ("price = 1.45", "price = 145", "in cents, write 1.45"),
        ("price = 1.45", "price = 0", "0 is not a price"),
        ('per = "lb"\npatty', 'per = "bag"\npatty', "not one of the words"),
        ("patty_lb = 1", "patty_lb = 18", "cannot be"),
        ("sugar_pct = 45", "sugar_pct = 145", "more than the whole"),
        ("minutes_colony = 2 ", "minutes_colony = 120 ", "divide by 60"),
        ("intervals = [7,", "intervals = [0,", "implausible"),
        ("most_rounds = 6", "most_rounds = 60", "implausible"),
        ("year = 2026", "year = 26", "implausible"),
        ('money = "US$"', "", "whose money"),
        ("year = 2026", "", "not of which year"),
        ("latitude = 33.95", "", "one of latitude and longitude"),
        ("minutes_colony", "minute_colony", "Did you mean"),
        ("on = 2025-02-10\nlb = 1", "on = 2025-02-10\nlb = 400", "not for the yard"),
        ("[target]", "[target", "not TOML"),
    ],
)
def test_what_cannot_be_says_what_to_mend(old, new, says):
    with pytest.raises(PlanError, match=says):
        plan(changed(old, new))


def test_no_feed_is_an_error_of_its_own():
    start, end = EXAMPLE.index("[[feed]]"), EXAMPLE.index("[work]")
    with pytest.raises(PlanError, match="no feed is chosen"):
        plan(EXAMPLE[:start] + EXAMPLE[end:])


def test_a_start_before_today_belongs_into_the_record():
    with pytest.raises(PlanError, match="lies before today"):
        plan(changed("[rounds]", "[rounds]\nstart = 2026-01-02"))


def test_errors_name_the_line():
    with pytest.raises(PlanError, match=r"line 9, \[target\], fee"):
        plan(changed("fee = 190", "fee = 0"))


def test_an_empty_or_missing_file_says_where_to_start(tmp_path):
    with pytest.raises(PlanError, match="empty"):
        plan(" \n")
    with pytest.raises(PlanError, match="first-rounds"):
        read_plan(tmp_path / "none.toml", TODAY)


TARGETS = {
    Splits: 'kind = "splits"\non = 2026-03-25\nbrood = 4\nbees = 6\nvalue = 175',
    HoneyFlow: 'kind="honey_flow"\non = 2026-05-01\nuntil = 2026-06-15\nusual_kg = 9\nprice = 3\nper = "lb"',
    WinterBees: 'kind = "winter_bees"\non = 2026-10-01\ngrade = 8\nvalue = 200',
    KeepAlive: 'kind = "keep_alive"\non = 2026-05-01\ngrade = 3\nvalue = 200',
}


@pytest.mark.parametrize("kind", TARGETS, ids=lambda kind: kind.__name__)
def test_every_kind_of_target_is_read(kind):
    start, end = EXAMPLE.index("kind = "), EXAMPLE.index("[[feed]]")
    assert isinstance(plan(EXAMPLE[:start] + TARGETS[kind] + "\n" + EXAMPLE[end:]).target, kind)


def test_last_years_rounds_fall_on_the_same_days_ahead():
    moved = on_this_year(
        (Given(date(2025, 2, 10), 450.0), Given(date(2024, 2, 29), 1.0)), TODAY, date(2026, 3, 25)
    )
    assert [one.on for one in moved] == [date(2026, 2, 10), date(2026, 2, 28)]
    assert on_this_year((Given(date(2025, 1, 5), 450.0),), TODAY, date(2026, 3, 25)) == ()


def test_what_is_typed_on_the_page_is_a_plan_file_and_comes_back():
    yard = read_yard(FOLDER / "yard.toml")
    typed = first_typed(yard, kind_of(yard), TODAY) | {
        "target.fee": "190", "target.paid": "hive_by_hive", "feed.price": "1.45", "feed.per": "lb",
        "feed.patty_lb": "1", "work.minutes_colony": "2", "syrup.price": "0.45", "syrup.sugar_pct": "67",
    }  # fmt: skip
    text = text_of("frames", typed)
    asked = plan(text)
    assert isinstance(asked.target, Frames)
    assert asked.target.on == date(2026, 3, 25)
    kind, again = typed_of(text)
    assert kind == "frames"
    assert again == typed


def test_a_country_that_weighs_in_kilograms_is_asked_in_its_units_and_they_come_back():
    yard = read_yard(FOLDER / "yard.toml")
    there = replace(yard, place=replace(yard.place, country="NZ"), goal=None, colonies=2)
    kind = kind_of(there)
    first = first_typed(there, kind, TODAY)
    shown = [one.key for part in in_units(parts_of(kind), "g", first) for one in part.fields]
    assert (kind, first["money"], first["feed.per"], first["syrup.per"]) == ("keep_alive", "NZ$", "kg", "kg")
    assert not [key for key in shown if key.endswith("_lb") or "mile" in key]
    typed = first | {
        "target.on": "2026-03-25", "target.grade": "3", "target.value": "200", "feed.price": "9",
        "feed.patty_g": "500", "work.km": "16.09344", "work.a_km": "0.5", "rounds.honey_kg": "12",
        "rounds.beetles_about": "false",
    }  # fmt: skip
    asked = plan(text_of(kind, typed))
    assert asked.work.miles == pytest.approx(10.0)
    assert asked.work.mile.amount == pytest.approx(0.5 * 1.609344)
    assert (asked.feeds[0].patty_g, asked.rounds.honey_kg, asked.rounds.beetles_about) == (500.0, 12.0, False)
    again = typed_of(text_of(kind, typed))[1]
    assert again == {key: value for key, value in typed.items() if key != "syrup.per"}
    in_pounds = in_units(parts_of(kind), "g", {"rounds.honey_lb": "30"})
    assert "rounds.honey_lb" in [one.key for part in in_pounds for one in part.fields], "typed so, kept so"


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("units", ["lb", "g"])
@pytest.mark.parametrize(
    "typed",
    [{"feed.patty_lb": "2"}, {"feed.patty_g": "500"}, {"rounds.honey_kg": "9", "feed.patty_lb": "2"}],
)
def test_a_field_that_was_typed_in_another_unit_says_that_unit_and_shows_what_was_typed(
    language, units, typed
):
    """Typed in pounds and looked at in kilograms, or the other way: no number stands under another unit."""
    with speaking(language):
        shown = {one.key: one for part in in_units(parts_of("frames"), units, typed) for one in part.fields}
    for key in typed:
        assert shown[key].words.endswith(f", {key.rpartition('_')[2]}")
    others = [key for key in ("rounds.honey_lb", "feed2.patty_lb") if key.replace("_lb", "_kg") not in typed]
    assert all((key in shown) == (units == "lb") for key in others)


@pytest.mark.parametrize(("language", "says"), [("en", "145 a patty is implausible"),
                                                ("es", "145 por torta es inverosímil")])  # fmt: skip
def test_a_price_of_a_patty_that_cannot_be_is_refused_in_the_readers_words(language, says):
    with speaking(language), pytest.raises(PlanError, match=says):
        plan(changed("price = 1.45", "price = 145").replace('per = "lb"\npatty', 'per = "patty"\npatty', 1))


def test_a_hive_that_stands_there_twice_is_refused():
    twice = "".join(f'\n[[hive]]\ntag = "{tag}"\nframes = 3\n' for tag in ("T7", "t7"))
    with pytest.raises(PlanError, match="t7 stands there twice"):
        plan(EXAMPLE + twice)


def test_miles_and_kilometres_at_once_are_refused():
    with pytest.raises(PlanError, match="miles is there too"):
        plan(EXAMPLE.replace("miles = 24", "miles = 24\nkm = 38", 1))


def test_another_yard_is_asked_without_the_hives_of_this_one():
    """Hives that were graded stand in one yard: in another they would be named, joined and given labels."""
    said = for_another_yard(EXAMPLE.replace("[drive]", '[[hive]]\ntag = "X"\nframes = 3\n[drive]', 1))
    there, here = plan(said), plan(EXAMPLE)
    assert here.hives
    assert there.hives == ()
    assert (there.target, there.feeds, there.drive) == (here.target, here.feeds, here.drive)
    with pytest.raises(PlanError, match="list in one line"):
        for_another_yard('hive = [{tag = "A", frames = 3}]\n' + for_another_yard(EXAMPLE))


def test_what_the_page_does_not_ask_comes_back_as_the_whole_file():
    kind, typed = typed_of(EXAMPLE)
    assert (kind, typed["target.grade"]) == ("frames", "8")
    assert typed["file"] == EXAMPLE
    assert text_of(kind, typed).strip() == EXAMPLE.strip()


@pytest.mark.parametrize(("field", "value", "says"), [
    ("target.fee", "188,50", "decimal comma"),
    ("target.fee", "a lot", "is text"),
    ("feed.name", 'x"\n[target]', "Did you mean|name"),
])  # fmt: skip
def test_nothing_typed_can_break_out_of_its_field(field, value, says):
    yard = read_yard(FOLDER / "yard.toml")
    typed = first_typed(yard, "frames", TODAY) | {"target.fee": "190", "target.paid": "hive_by_hive",
                                                  "feed.price": "1.45", "feed.per": "lb"}  # fmt: skip
    text = text_of("frames", typed | {field: value})
    if field == "feed.name":
        assert plan(text).feeds[0].name == value.strip()
        return
    with pytest.raises(PlanError, match=says):
        plan(text)


def test_what_was_asked_last_season_is_asked_a_year_on():
    asked = {"target.on": "2024-02-29", "target.until": "2024-03-25", "move.on": "", "feed.name": "soon"}
    moved = asked | {"target.on": "2027-02-28", "target.until": "2027-03-25"}
    assert a_year_on(asked, date(2027, 3, 24)) == moved, "together, while any of it lies ahead"
    assert a_year_on(asked, date(2024, 3, 24)) == asked
