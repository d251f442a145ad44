"""The example of rounds: its yard, its plan file, answers to it and a book with it. All invented."""

from __future__ import annotations

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.rounds import Way, rounds_answer
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.yard_file import read_yard
from breadline.weather.read import read_weather
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")


def told_of(text: str):
    """The answer to a plan file, of few draws."""
    weather = read_weather(FIRST_YARD / "weather.csv", latitude=YARD.place.latitude, today=YARD.today)
    return rounds_answer(YARD, weather, plan_from_text(text, YARD.today), way=Way(draws=40))


def book_with_the_yard(folder) -> RoundsBook:
    """A book in a folder that holds the yard and its weather."""
    made = RoundsBook(folder / "book.sqlite", YARD.today)
    made.open_operation("Sorrel Bend Bees (invented)")
    made.add_yard(YARD, FIRST_YARD / "weather.csv")
    return made
