"""Moving to another yard of one's own: its weather, its bloom, and who stands there. All invented."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.errors import PlanError
from breadline.jobs import rounds_words as words
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.rounds import Way, rounds_answer
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_feeds import FilesBeside
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.rounds_form import parts_of, text_of, typed_of
from breadline.jobs.rounds_move import OTHER_YEARS, SAME_YEARS, same_years
from breadline.jobs.yard_file import read_yard
from breadline.jobs.yard_text import yard_to_toml
from breadline.weather.read import read_weather
from breadline.weather.table import SeasonWeather
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
WEATHER = FIRST_YARD / "weather.csv"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8").replace("most_rounds = 6", "most_rounds = 1")
FEW = Way(draws=8)
LOAD = "on = 2026-02-01\nload_cost = 1200\nload_colonies = 400\n"
REGION = f'{TEXT}\n[move]\n{LOAD}latitude = {YARD.place.latitude}\nregion = "{YARD.place.region}"\n'


def to_yard(name: str, more: str = "") -> str:
    return f'{TEXT}\n[move]\n{LOAD}yard = "{name}"\n{more}'


def twin(name: str = "North Ridge", **place):
    return replace(YARD, name=name, colonies=20, place=replace(YARD.place, **place))


@pytest.fixture(scope="module")
def weather():
    return read_weather(WEATHER, latitude=YARD.place.latitude, today=YARD.today)


def warmer(path):
    """The example's made-up weather, five degrees warmer."""
    rows = [line.split(",") for line in WEATHER.read_text("utf-8").splitlines() if not line.startswith("#")]
    warm = [
        [r[0], *(f"{float(v) + 5:.1f}" for v in r[1:3]), *r[3:]] if r[0][0].isdigit() else r for r in rows
    ]
    path.write_text("\n".join(",".join(r) for r in warm) + "\n", "utf-8")


@pytest.fixture(scope="module")
def asked(tmp_path_factory):
    """A plan that moves to a yard, by where that stands and in which weather."""
    folder = tmp_path_factory.mktemp("move")

    def ask(there, warm=False):
        (folder / "north.toml").write_text(yard_to_toml(there), "utf-8")
        past = folder / "past.csv"
        warmer(past) if warm else past.write_bytes(WEATHER.read_bytes())
        text = to_yard("north.toml", 'weather = "past.csv"\n')
        return plan_from_text(text, YARD.today, source=FilesBeside(folder))

    return ask


def test_a_yard_like_this_one_with_nobody_there_is_the_region_by_itself(asked, weather):
    """The same weather and bloom: moving there brings what moving to the region's bloom does."""
    nobody = twin(colonies_in_flight_range=1e-9)
    named = rounds_answer(YARD, weather, asked(nobody), way=FEW)
    plain = rounds_answer(YARD, weather, plan_from_text(REGION, YARD.today), way=FEW)
    assert named.answer.move.money == pytest.approx(plain.answer.move.money, abs=1e-6)
    assert words.plan_name(named, named.plans[-1]) == "Move to North Ridge"
    assert SAME_YEARS.format(yard="North Ridge") in named.notes
    assert any("in the weather of the yard itself" in note for note in plain.notes)


def test_who_stands_there_shares_the_bloom_and_its_own_weather_counts(asked, weather):
    few, many = (
        rounds_answer(YARD, weather, asked(twin(colonies_in_flight_range=n)), way=FEW).answer.move
        for n in (10, 400)
    )
    assert many.frames[1] < few.frames[1]
    warm = rounds_answer(YARD, weather, asked(twin(colonies_in_flight_range=10), warm=True), way=FEW)
    assert warm.answer.move.frames[1] != pytest.approx(few.frames[1], rel=0.005)


def seasons(years, value, real=True):
    table = np.repeat(np.array(value, dtype=np.float64)[:, None], 3, axis=1)
    return SeasonWeather(np.datetime64("2026-01-01"), table, table, table, table, "", real, (),
                         {"years": tuple(years)})  # fmt: skip


def test_the_years_of_two_places_stand_beside_each_other():
    here, there = seasons((2012, 2014, 2015), (1, 2, 3)), seasons((2011, 2012, 2014, 2015), (11, 12, 14, 15))
    paired, alike = same_years(here, there)
    assert alike
    assert paired.tmin_c[:, 0].tolist() == [12, 14, 15]
    other, alike = same_years(here, seasons((2013, 2014), (13, 14)))
    assert not alike
    assert other.flight_h[:, 0].tolist() == [13, 14, 13], "each of them as often as may be"
    assert not same_years(here, seasons((2012, 2014, 2015), (1, 2, 3), real=False))[1]
    assert "wider than it is" in OTHER_YEARS


def test_what_cannot_be_is_refused(asked, tmp_path):
    south = asked(twin(latitude=-33.9, country="AU", region=None))
    past = read_weather(WEATHER, latitude=YARD.place.latitude, today=YARD.today)
    with pytest.raises(PlanError, match="other side of the equator"):
        rounds_answer(YARD, past, south, way=FEW)
    with pytest.raises(PlanError, match="says where it is"):
        plan_from_text(to_yard("north.toml", "latitude = 34\n"), YARD.today, source=FilesBeside(tmp_path))


@pytest.fixture
def book(tmp_path):
    made = RoundsBook(tmp_path / "book.sqlite", YARD.today)
    made.open_operation("Sorrel Bend Bees (invented)")
    made.add_yard(YARD, WEATHER)
    return made


def test_a_yard_of_the_book_is_named_by_its_name(book):
    key = book.first_yard()
    assert book.to_move_to(key) == ()
    before = book.stand(key)
    book.add_yard(twin(), WEATHER)
    assert book.to_move_to(key) == (("North Ridge", "North Ridge"),)
    assert book.stand(key) != before, "a search kept from before is not told again"
    told = book.rounds(key, to_yard("North Ridge"), FEW)
    kept = book.keep_plan(key, told, told.plans[-1])
    assert kept.sentence.startswith("Move to North Ridge, first morning there 1 Feb")
    with pytest.raises(PlanError, match=r'line \d+.*not in this book.*"North Ridge"'):
        book.asked(to_yard("South Ridge"))


def test_the_form_asks_where_to_only_where_there_is_another_yard():
    heads = [part.head for part in parts_of("frames", yards=(("North Ridge", "North Ridge"),))]
    assert "Moving instead, to compare" in heads
    assert "Moving instead, to compare" not in [part.head for part in parts_of("frames")]
    typed = {"move.yard": "7", "move.on": "2026-02-01", "move.load_cost": "1200",
             "move.load_colonies": "400"}  # fmt: skip
    text = text_of("frames", typed)
    assert 'yard = "7"' in text, "a name that looks like a number stays a name"
    kind, again = typed_of(text)
    assert (kind, {key: again[key] for key in typed}) == ("frames", typed)
    assert "[move]" not in text_of("frames", {"move.on": "2026-02-01"})
