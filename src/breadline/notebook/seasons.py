"""A yard's season and its rounds, for notebooks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from breadline.errors import PlanError, WeatherError, YardError
from breadline.jobs import rounds as rounds_job
from breadline.jobs import season as season_job
from breadline.jobs.rounds_feeds import FilesBeside
from breadline.jobs.rounds_file import plan_from_text, read_plan
from breadline.jobs.rounds_told import rounds_document
from breadline.jobs.season_told import season_document
from breadline.jobs.yard_file import read_yard, yard_from_dict
from breadline.knowledge.edits import edits_from_toml, edits_of_tables
from breadline.knowledge.shelf import Shelf, load
from breadline.language import say
from breadline.need.forecast import DRAWS
from breadline.need.yard import Yard
from breadline.notebook.answer import InWords, days
from breadline.notebook.given import Columns, Given, columns_of, csv_of, path_of, tables_of, toml_of
from breadline.notebook.table import Table, table_of
from breadline.weather.read import read_weather, weather_of_text
from breadline.weather.readings import Origin
from breadline.weather.table import WeatherFile

BANDS = ("need_g_day", "income_g_day", "bread_g", "bread_days", "adults", "adults_fed", "brood_cells")


@dataclass(frozen=True)
class Season(InWords):
    """Whether a yard needs protein, why, and from when.

    Parameters
    ----------
    state
        feed, soon, no_need, stop, cannot_tell or something_first.
    short_from
        First day of a week that bread and pollen do not cover: earliest, middle and latest, which hold 8
        seasons in 10 of those that fall short; None where there is no such day.
    chance_short
        Of a season to fall short at all; None where there is no outlook. [share]
    reasons
        One row a reason, in the order in which they were looked at: head, detail, state.
    daily
        One row a day of the outlook: date; chance_short [share]; and, each as its 10th, 50th and 90th
        percentile (_low, _middle, _high), need_g_day and income_g_day [g/day and colony], bread_g [g],
        bread_days [d], adults and adults_fed [bees], brood_cells [cells]. None where nothing is foretold.
        No rows where there is no outlook.
    spells
        One row a time that is likely short: start, end, chance [share], missing_g_low … [g a colony].
    """

    state: str
    short_from: tuple[date | None, date | None, date | None]
    chance_short: float | None
    reasons: Table = field(repr=False)
    daily: Table = field(repr=False)
    spells: Table = field(repr=False)


@dataclass(frozen=True)
class Rounds(InWords):
    """The plans of a yard's rounds that are worth a look, "do nothing" always among them.

    Parameters
    ----------
    money
        Whose money all amounts are in.
    best
        Row of the plan that is worth most. [row]
    plans
        One row a plan: sentence; feed; first and last, its first and last round; rounds, their number;
        grams, fed to a colony in all [g]; gain, gain_low, gain_high, over doing nothing [money/colony];
        chance, to make the target [share]; pays, of seasons [share]; cost_feed, cost_labour, cost_travel,
        cost_syrup, cost_total [money/colony].
    struck
        The same of plans that were ruled out; ``struck`` has the reason.
    """

    money: str
    best: int
    plans: Table = field(repr=False)
    struck: Table = field(repr=False)


def season(
    yard: Given | Yard,
    weather: Given | WeatherFile | Columns,
    forecast: Given | WeatherFile | Columns = None,
    figures: Given | None = None,
    seed: int = season_job.SEED,
    draws: int = DRAWS,
) -> Season:
    """Does this yard need protein, why, and from when is it short of bread.

    Parameters
    ----------
    yard
        The path of a yard file, or what stands in one as tables.
    weather
        Past years: the path of a weather file, what ``weather_of`` gives, or a data frame with a day or hour
        a row and units in its heads ("tmin [°C]", "rain [mm]").
    forecast
        The same, put in front of the past years.
    figures
        Your own values: the path of a file of edits, or its tables.
    seed
        Of the ensemble; the same seed gives the same answer.
    draws
        Of the figures for each year of weather. [draws]

    Errors
    ------
    YardError, WeatherError, FigureError
        With what to mend.
    """
    known = _yard(yard)
    past = _weather(weather, known)
    ahead = None if forecast is None else _weather(forecast, known)
    asked = season_job.Asked(seed=seed, draws=draws, forecast=ahead)
    return _season(season_document(season_job.season_answer(known, past, _shelf(figures), asked)))


def rounds(
    yard: Given | Yard,
    weather: Given | WeatherFile | Columns,
    plan: Given,
    figures: Given | None = None,
    seed: int = rounds_job.SEED,
    draws: int = DRAWS,
) -> Rounds:
    """The plan of feeding that is worth its money in a yard's own seasons, and the few others worth a look.

    Parameters
    ----------
    yard, weather, figures, seed, draws
        As of ``season``.
    plan
        The path of a plan file, or what stands in one as tables: target, feeds with their prices, work.

    Errors
    ------
    YardError, WeatherError, FigureError, PlanError, RecipeError
        With what to mend.
    """
    known, shelf = _yard(yard), _shelf(figures)
    path = path_of(plan)
    folder = Path() if path is None else path.parent
    beside = FilesBeside(folder, shelf=shelf)
    if path is not None:
        asked = read_plan(path, known.today, beside)
    elif isinstance(plan, Mapping):
        asked = plan_from_text(toml_of(plan), known.today, "the plan", beside, by_hand=False)
    else:
        raise PlanError(
            "the plan", say("{name} is no plan", name=type(plan).__name__), say("a path, or its tables")
        )
    way = rounds_job.Way(seed, draws)
    told = rounds_job.rounds_answer(known, _weather(weather, known), asked, shelf, way)
    return _rounds(rounds_document([told]))


def weather_of(
    weather: Given | Columns, latitude: float | None = None, units: Mapping[str, str] | None = None
) -> WeatherFile:
    """Weather as Breadline reads it, checked; its ``notes`` say what was dropped, filled or assumed.

    Parameters
    ----------
    weather
        The path of a weather file, or a data frame with a day or an hour a row.
    latitude
        Of the yard, to check hemisphere and daylight against. [degrees north]
    units
        What columns without units are: ``{"temp_max": "tmax [°C]"}``; others are then not used.

    Errors
    ------
    WeatherError
        With what to mend.
    """
    path = path_of(weather)
    if path is not None:
        return read_weather(path, latitude=latitude, units=units)
    columns = columns_of(weather, "the weather", WeatherError)
    told = dict(units or {})
    if units:  # else the column of days would not be used
        told |= {name: "date" for name in ("date", "time") if name in columns and name not in told}
    text = csv_of(columns, "the weather", WeatherError)
    return weather_of_text(text, Origin("the weather", latitude, None, date.today(), told))


def _yard(given: Given | Yard) -> Yard:
    if isinstance(given, Yard):
        return given
    path = path_of(given)
    if path is not None:
        return read_yard(path)
    if not isinstance(given, Mapping):
        raise YardError(
            "the yard", say("{name} is no yard", name=type(given).__name__), say("a path, or its tables")
        )
    return yard_from_dict(tables_of(given), "the yard")


def _weather(given: Any, yard: Yard) -> WeatherFile:
    if isinstance(given, WeatherFile):
        return given
    place = yard.place
    path = path_of(given)
    if path is not None:
        return read_weather(path, latitude=place.latitude, longitude=place.longitude, today=yard.today)
    text = csv_of(given, "the weather", WeatherError)
    return weather_of_text(text, Origin("the weather", place.latitude, place.longitude, yard.today, {}))


def _shelf(given: Given | None) -> Shelf:
    path = None if given is None else path_of(given)
    if path is not None:
        return load(edits_from_toml(path))
    return load(edits_of_tables(tables_of(given))) if isinstance(given, Mapping) else load()


def _season(told: Mapping[str, Any]) -> Season:
    advice, out = told["advice"], told["outlook"]
    short = None if out is None else out["short_from"]
    first: list[date | None] = [None, None, None]
    if short is not None:
        at = [short[name] for name in ("earliest", "middle", "latest")]
        first = [None if one is None else date.fromisoformat(one) for one in at]
    return Season(
        advice["sentence"],
        told,
        advice["state"],
        (first[0], first[1], first[2]),
        None if short is None else short["chance"],
        table_of(advice["reasons"], ("head", "detail", "state")),
        Table() if out is None else _daily(out),
        days(table_of([] if out is None else out["spells"]), "start", "end"),
    )


def _daily(out: Mapping[str, Any]) -> Table:
    """The bands of an outlook side by side; where one stops, None."""
    many = len(out["dates"])
    told: dict[str, list[Any]] = {"date": [date.fromisoformat(one) for one in out["dates"]]}
    told["chance_short"] = out["chance_short"] or [None] * many
    for name in BANDS:
        for end in ("low", "middle", "high"):
            band = [] if out[name] is None else out[name][end]
            told[f"{name}_{end}"] = [*band, *[None] * (many - len(band))]
    return Table(told)


def _rounds(told: Mapping[str, Any]) -> Rounds:
    yard = told["yards"][0]
    plans, struck = (table_of(map(_plan, yard[part])) for part in ("plans", "struck"))
    return Rounds(yard["sentence"], told, yard["money"], yard["best"], plans, struck)


def _plan(of: Mapping[str, Any]) -> dict[str, Any]:
    on = [date.fromisoformat(one["on"]) for one in of["rounds"]]
    told = {"sentence": of["sentence"], "feed": of["feed"], "first": on[0] if on else None}
    told |= {"last": on[-1] if on else None, "rounds": len(on), "grams": of["feed_g"]}
    names = ("gain", "gain_low", "gain_high", "chance", "pays", "cost", "kind", "struck")
    return told | {name: of[name] for name in names}
