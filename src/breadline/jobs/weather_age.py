"""How old the weather is against the season that it stands for."""

from __future__ import annotations

from datetime import date

from breadline.errors import WeatherError
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.need.yard import Yard
from breadline.weather.table import Hourly, Note, WeatherFile

STALE_YEARS = 2  # whole years between the last weather and the count, from which it is said
TOO_OLD_YEARS = 20  # our judgement: the climate has moved by then, and so long a gap is a slip of the year


def stale(yard: Yard, weather: WeatherFile) -> tuple[Note, ...]:
    """A word where the weather ends years before the season."""
    last, years = _years_since(yard, weather)
    if years < STALE_YEARS:
        return ()
    said = say(
        "The weather ends on {day_and_year}, {years} years before the count: nothing of this "
        "season is in it, and what it was like then stands for now. Is it the right file?",
        day_and_year=day_and_year(last),
        years=years,
    )
    return (Note("warning", said),)


def not_of_another_age(yard: Yard, weather: WeatherFile) -> None:
    """Weather so old that it says nothing of a season of today.

    Errors
    ------
    WeatherError
        With the day on which it ends.
    """
    last, years = _years_since(yard, weather)
    if years >= TOO_OLD_YEARS:
        raise WeatherError(
            weather.table.station.source,
            say(
                "it ends on {last}, {years} years before the count, {on}",
                last=day_and_year(last),
                years=years,
                on=day_and_year(yard.count.on),
            ),
            say(
                "weather that ends less than {years} years before the count, best last year",
                years=TOO_OLD_YEARS,
            ),
            say("Get a newer file, or mend the year of the count and of today"),
        )


def _years_since(yard: Yard, weather: WeatherFile) -> tuple[date, int]:
    """The last day of the weather, and whole years from it to the count; a typical year has no age."""
    table = weather.table
    when = table.time if isinstance(table, Hourly) else table.date
    last: date = when[-1].astype("datetime64[D]").astype(date)
    return last, 0 if table.station.typical_year else (yard.count.on - last).days // 365
