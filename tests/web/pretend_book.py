"""A book in memory for the tests of the pages; operation, yards and seasons are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from breadline.errors import YardError
from breadline.jobs.book import YardLine
from breadline.jobs.season import FigureUsed, SeasonAnswer
from breadline.knowledge.shelf import Edit, Figure, load
from breadline.need.advice import Advice, Caution, Reason
from breadline.need.outlook import Range, ShortFrom
from breadline.need.yard import Count, Given, Goal, Place, Yard
from breadline.weather.table import Note
from breadline.web.words import span_words
from pictures.made_up import made_up_outlook

TODAY = date(2026, 8, 22)
WINTER_DAY = date(2027, 2, 20)  # the day of the straight answers
USED = ("bread.g_per_cell", "nurses.pollen_mg_a_day")


FEED = Advice(
    answer="feed",
    state="feed",
    sentence="Yes: bread and pollen don't carry the brood today. Feed now; stop when pollen is steady, "
    "about 20 January.",
    rung="pollen",
    reasons=(
        Reason("Brood disease", "No signs of foulbrood seen", "ok"),
        Reason("Mites", "1.5 per 100 bees on 14 August, under 2", "ok"),
        Reason(
            "Queens",
            "46 of 48 hives with a laying queen; leave out the 2 without",
            "ok",
        ),
        Reason("Stores", "Enough honey or syrup (about 30 lb a colony)", "ok"),
        Reason("Beetles", "Seen: only pieces that are cleared within 7 days", "ok"),
        Reason("Bread", "¼ frame of bread, enough for 3 to 8 days if no pollen came in", "bad"),
        Reason("Pollen", "A little coming in, no fresh arcs round the brood", "bad"),
        Reason("Law and custom", "United States: fed by need", "ok"),
    ),
    what_would_change=(
        "Fresh arcs of pollen round the brood and settled weather: then stop.",
        "A hive that already has an arc of fresh pollen: leave it out.",
        "A mite wash over the limit: mites first.",
    ),
    look_again=date(2026, 9, 4),
    look_again_for="what is left over, beetles, fresh arcs",
    cautions=(
        Caution("Beetles were seen here. No piece bigger than the colony clears by the next visit.", ""),
        Caution("Feed with pollen in it: only irradiated, with its paper.", "the apiary inspector"),
    ),
    sources=("oliver2014", "patty_label"),
    figures=USED,
)
MITES = replace(
    FEED, answer="something_first", state="something_first", rung="mites",
    sentence="Mites first: 4.1 per 100 bees is too many. Bring them down and test again; feed would breed "
    "mites with the brood.",
    reasons=(FEED.reasons[0], Reason("Mites", "4.1 per 100 bees, at or over 2", "bad"), *FEED.reasons[2:]),
)  # fmt: skip
SOON = replace(
    FEED, state="soon", sentence="Yes, soon: short of bread from about 2 September. Have feed ready."
)
CANNOT = replace(
    FEED, answer="look_again", state="cannot_tell", sentence="Can't tell yet: look for eggs in 4 hives."
)
NONE = replace(
    FEED, answer="no_need", state="no_need", sentence="No need seen: bread and pollen carry the brood."
)
STOP = replace(FEED, answer="no_need", state="stop", sentence="Stop: pollen is plenty.", look_again=None)


def _short(first: int, days: int, now: bool = False) -> ShortFrom:
    start = TODAY + timedelta(days=first)
    return ShortFrom(0.9, start, start + timedelta(days=days // 2), start + timedelta(days=days), start, now)


NEVER = ShortFrom(0.05, None, None, None, date(2026, 10, 20), False)
# id, name, colonies, advice, short from, days of bread
YARDS = (
    ("tarweed", "Tarweed Flat", 48, FEED, _short(2, 12), Range(3.0, 5.0, 8.0)),
    ("scale", "Old Scale", 40, MITES, _short(0, 4, True), Range(1.0, 3.0, 5.0)),
    ("ditch", "Lower Ditch", 44, FEED, _short(0, 6, True), Range(4.0, 6.0, 9.0)),
    ("tank", "Water Tank", 52, SOON, _short(11, 16), Range(7.0, 11.0, 16.0)),
    ("melon", "Melon Road", 60, CANNOT, replace(_short(8, 60), latest=None), Range(2.0, 15.0, 28.0)),
    ("cutbank", "Cutbank", 32, NONE, NEVER, Range(17.0, 24.0, 30.0)),
    ("sunflower", "Sunflower Half", 64, STOP, NEVER, Range(21.0, 28.0, 40.0)),
)


class PretendBook:
    """Answers at once, and keeps edits of figures in memory."""

    operation_name = "Harrow & Daughter Bees"

    def __init__(self) -> None:
        self._edits: dict[str, Edit] = {}

    def opened(self, _: Path) -> PretendBook:
        """Itself: what ``create_app`` takes for opening a book."""
        return self

    def yards(self) -> list[YardLine]:
        lines = [YardLine(yard[0], yard[1], yard[2], self.season(yard[0]), None) for yard in YARDS]
        return [*lines, YardLine("north", "North Fence", 36, None, "Its weather file is too short: 40 days")]

    def season(self, yard_id: str) -> SeasonAnswer:
        for key, name, colonies, advice, short, days in YARDS:
            if key == yard_id:
                outlook = replace(
                    made_up_outlook(fed=True), short_from=short, lasts_days=days,
                    weather_label="weather of the last 15 years (2011 to 2025)",
                    leaves_out=("varroa", "swarming", "queen failure", "nectar limits"),
                )  # fmt: skip
                notes = (Note("filled", "11 hours of wind were filled between neighbours, March 2019", 11),)
                return SeasonAnswer(_yard(name, colonies), outlook, "", advice, self._used(), notes, (), 1)
        raise YardError("yard", f'there is no yard "{yard_id}" in this book', "", "Choose one from the list")

    def figures(self, text: str = "") -> tuple[Figure, ...]:
        return load(self._edits).find(text)

    def edit_figure(self, key: str, low: float, typical: float, high: float, why: str) -> None:
        edits = {**self._edits, key: Edit(low, typical, high, why, TODAY)}
        load(edits)
        self._edits = edits

    def undo_edit(self, key: str) -> None:
        self._edits.pop(key, None)

    def _used(self) -> tuple[FigureUsed, ...]:
        return tuple(
            FigureUsed(f.key, f.meaning, span_words(f.span), f.unit, f.source, f.read_words, f.edited)
            for f in load(self._edits).figures()[:6]
        )


def _yard(name: str, colonies: int) -> Yard:
    return Yard(
        name=name,
        place=Place(latitude=38.6, country="US"),
        colonies=colonies,
        today=TODAY,
        count=Count(
            on=date(2026, 8, 20), bread=0.25, bread_unit="frames", frames_of_bees=7.0, colonies_looked_in=6
        ),
        goal=Goal("frames", date(2027, 2, 10), 8.0),
        given=(
            Given(date(2026, 8, 12), 454.0),
            Given(date(2026, 8, 26), 454.0),
            Given(date(2026, 9, 8), 454.0),
        ),
    )
