"""The whole first step on the example: same seed, same answer, and facts that must matter."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from breadline.errors import WeatherError, YardError
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.season import Asked, SeasonAnswer, season_answer, season_from_files, span_text
from breadline.jobs.season_told import season_document, season_lines
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.shelf import Edit, load
from breadline.need.yard import Yard
from breadline.weather.read import read_weather
from breadline.weather.table import WeatherFile

FEW = Asked(draws=60)


@lru_cache(maxsize=1)
def first_yard() -> tuple[Yard, WeatherFile]:
    yard = read_yard(FIRST_YARD / "yard.toml")
    return yard, read_weather(FIRST_YARD / "weather.csv", latitude=yard.place.latitude, today=yard.today)


def answer(**facts: object) -> SeasonAnswer:
    yard, weather = first_yard()
    return season_answer(replace(yard, **facts), weather, asked=FEW)  # type: ignore[arg-type]


def count(**facts: object):
    return replace(first_yard()[0].count, **facts)  # type: ignore[arg-type]


def test_same_seed_same_answer_and_another_seed_another() -> None:
    yard, weather = first_yard()
    one, same = answer(), answer()
    other = season_answer(yard, weather, asked=replace(FEW, seed=5))
    assert one.outlook is not None
    assert same.outlook is not None
    assert other.outlook is not None
    assert np.array_equal(one.outlook.adults.middle, same.outlook.adults.middle)
    assert not np.array_equal(one.outlook.adults.middle, other.outlook.adults.middle)


def test_starting_bread_decides() -> None:
    poor, rich = answer(), answer(count=count(bread=2.0))
    assert poor.outlook is not None
    assert rich.outlook is not None
    assert poor.outlook.short_from.middle is not None
    later = rich.outlook.short_from.middle
    assert later is None or later > poor.outlook.short_from.middle + timedelta(days=14)
    assert rich.outlook.lasts_days.middle > 3 * poor.outlook.lasts_days.middle


def test_the_definition_of_a_frame_changes_the_bees_and_is_said() -> None:
    small = answer(count=count(frame_means="mean_occupied")).outlook
    large = answer(count=count(frame_means="full")).outlook
    assert small is not None
    assert large is not None
    assert large.adults.middle[0] / small.adults.middle[0] == pytest.approx(2430 / 1400, rel=0.02)
    assert any("2,430 bees" in note for note in large.notes)


def test_feed_shows_beside_the_unfed_path_and_leaves_it_alone() -> None:
    from breadline.need.yard import Given

    plain = answer().outlook
    fed = answer(given=(Given(date(2026, 1, 22), 450.0), Given(date(2026, 2, 3), 450.0))).outlook
    assert plain is not None
    assert fed is not None
    assert fed.adults_fed is not None
    assert np.array_equal(plain.adults.middle, fed.adults.middle)
    assert fed.adults_fed.middle[60] > fed.adults.middle[60]


def test_an_edited_figure_is_used_and_marked() -> None:
    yard, weather = first_yard()
    shelf = load({"bread.g_per_cell": Edit(0.4, 0.4, 0.4, "weighed by us", date(2026, 1, 1))})
    ours, shipped = season_answer(yard, weather, shelf, FEW), answer()
    assert ours.outlook is not None
    assert shipped.outlook is not None
    assert ours.outlook.bread_g.middle[0] > 1.8 * shipped.outlook.bread_g.middle[0]
    assert [f.key for f in ours.figures if f.edited] == ["bread.g_per_cell"]


def test_a_colony_ahead_of_winter_gets_an_outlook_that_stops_at_the_last_brood() -> None:
    yard, weather = first_yard()
    autumn = replace(yard, today=date(2025, 8, 5), count=count(on=date(2025, 8, 4)), goal=None)
    told = season_answer(autumn, weather, asked=FEW)
    assert told.outlook is not None
    # Brood lasts weeks longer in the south than in Scotland.
    assert date(2025, 10, 15) < told.outlook.dates[-1] < date(2025, 11, 20)
    assert any("foretold across winter" in text for text in told.outlook.beyond)
    assert "winter" in told.outlook.stops_because


def test_no_outlook_across_winter_but_still_an_answer() -> None:
    yard, weather = first_yard()
    late = replace(yard, today=date(2025, 12, 10), count=count(on=date(2025, 12, 9)), goal=None)
    told = season_answer(late, weather, asked=FEW)
    assert told.outlook is None
    assert "winter" in told.no_outlook
    assert told.advice.sentence
    assert any("winter" in line for _, line in season_lines(told))
    assert ".." not in told.no_outlook
    assert not any("weather file" in text for text in told.advice.what_would_change), "it was given"


def test_the_south_half_a_year_on_has_the_same_season() -> None:
    yard, weather = first_yard()
    shifted = replace(yard, bloom=answer().yard.bloom)
    north = season_answer(shifted, weather, asked=FEW).outlook
    assert north is not None
    table = weather.table
    half = np.timedelta64(181, "D")
    moved = replace(weather, table=replace(table, date=table.date + half))  # type: ignore[union-attr,call-arg]
    bloom = tuple(
        replace(b, start=_half_year_on(b.start), end=_half_year_on(b.end)) for b in shifted.bloom if b.start
    )
    place = replace(yard.place, latitude=-yard.place.latitude, country=None, region=None)
    start = count(on=yard.count.on + timedelta(days=181))
    there = replace(
        yard, place=place, bloom=bloom, count=start, today=yard.today + timedelta(days=181), goal=None
    )
    south = season_answer(there, moved, asked=FEW).outlook
    assert south is not None
    days = min(len(north.dates), len(south.dates)) - 1
    # The two half years differ in length by a few days, and so do the bloom dates.
    assert south.adults.middle[days] == pytest.approx(north.adults.middle[days], rel=0.12)


def _half_year_on(month_day: tuple[int, int] | None) -> tuple[int, int] | None:
    if month_day is None:
        return None
    on = date(2025, *month_day) + timedelta(days=181)
    return on.month, on.day


def test_too_old_a_count_is_refused() -> None:
    with pytest.raises(YardError, match="old count says little"):
        answer(count=count(on=date(2025, 10, 1)))


def test_no_bloom_and_no_region_is_refused() -> None:
    yard, _ = first_yard()
    with pytest.raises(YardError, match="no bloom windows and no region"):
        answer(place=replace(yard.place, region=None))


def test_the_document_says_everything_a_line_says() -> None:
    told = season_from_files(FIRST_YARD / "yard.toml", FIRST_YARD / "weather.csv", asked=FEW)
    document = season_document(told)
    assert document["shape"] == "breadline.season/1"
    days = len(document["outlook"]["dates"])
    for name in ("need_g_day", "income_g_day", "bread_g", "adults", "brood_cells"):
        assert len(document["outlook"][name]["middle"]) == days
    text = "\n".join(line for _, line in season_lines(told))
    assert document["advice"]["sentence"] in text
    assert "varroa" in text, "every output says what the model leaves out"


def test_weather_that_ends_years_before_the_season_is_said() -> None:
    yard, weather = first_yard()
    later = replace(yard, today=date(2029, 1, 20), count=count(on=date(2029, 1, 19)), goal=None)
    told = season_answer(later, weather, asked=FEW)
    (said,) = (note.text for note in told.weather_notes if "before the count" in note.text)
    assert "3 years before the count: nothing of this season is in it" in said
    assert told.outlook is not None
    assert told.outlook.weather_label == "15 years, 2011 to 2025", "they are not the last years"
    assert not any("before the count" in note.text for note in answer().weather_notes)


def test_weather_of_another_age_is_refused() -> None:
    yard, weather = first_yard()
    asked = {"today": date(2045, 1, 20), "count": count(on=date(2045, 1, 19)), "goal": None}
    assert answer(**asked).outlook is not None, "19 years are said, not refused"
    later = {"today": date(2046, 1, 20), "count": count(on=date(2046, 1, 19)), "goal": None}
    with pytest.raises(WeatherError, match="ends on 31 December 2025, 20 years before the count"):
        season_answer(replace(yard, **later), weather, asked=FEW)


def test_a_region_far_away_and_sources_that_differ_are_said() -> None:
    yard, _ = first_yard()
    notes = " ".join(answer(place=replace(yard.place, latitude=43.0)).calendar_notes)
    assert "is the region right?" in notes
    assert "Sources differ:" in notes


def test_a_longitude_that_lost_its_sign_is_refused(tmp_path: Path) -> None:
    text = (FIRST_YARD / "yard.toml").read_text(encoding="utf-8")
    (tmp_path / "yard.toml").write_text(
        text.replace("longitude = -83.6", "longitude = 83.6"), encoding="utf-8"
    )
    with pytest.raises(YardError, match=r"Write -83\.6"):
        read_yard(tmp_path / "yard.toml")


def test_the_outlook_begins_with_what_is_seen_of_pollen_today() -> None:
    yard, _ = first_yard()
    warm = replace(yard.forage, fresh_arcs=None, outside_c=16.0)
    plain, none, plenty = (
        answer(forage=replace(warm, coming_in=seen)).outlook for seen in (None, "none", "plenty")
    )
    assert plain is not None
    assert none is not None
    assert plenty is not None
    assert none.income_g.high[1] == 0, "the count was yesterday: no pollen on any day of that week"
    assert plenty.income_g.middle[1] > plain.income_g.middle[1] > 0
    assert none.short_from.chance >= plain.short_from.chance >= plenty.short_from.chance
    assert any("as seen today" in note for note in none.notes)
    assert not any("as seen today" in note for note in plain.notes)


def test_none_seen_on_a_day_too_cold_to_fly_leaves_the_calendar() -> None:
    yard, _ = first_yard()
    plain = answer(forage=replace(yard.forage, coming_in=None, outside_c=2.0)).outlook
    cold = answer(forage=replace(yard.forage, coming_in="none", outside_c=2.0)).outlook
    assert plain is not None
    assert cold is not None
    assert np.array_equal(cold.income_g.middle, plain.income_g.middle)


def test_a_range_of_figures_keeps_the_digits_that_the_shelf_has() -> None:
    assert span_text(25.0, 31.25, 37.5) == "31.25 (25 to 37.5)"
    assert span_text(2430.0, 2430.0, 2430.0) == "2,430"


def test_a_forecast_in_utc_is_read_for_the_place_and_the_day_of_the_yard(tmp_path: Path) -> None:
    """Its hours need the yard's longitude; rows years after the yard's day are no forecast."""
    ahead = tmp_path / "ahead.csv"
    rows = [f"2026-01-{d}T{h:02d}:00Z,{h},0" for d in range(20, 25) for h in range(24)]
    rows += [f"2027-01-20T{h:02d}:00Z,{h},0" for h in range(24)]
    ahead.write_text("\n".join(["time,temp [°C],rain [mm]", *rows]), encoding="utf-8")
    told = season_from_files(
        FIRST_YARD / "yard.toml", FIRST_YARD / "weather.csv", asked=FEW, forecast_path=ahead
    )
    assert told.outlook is not None
    assert "days of forecast" in told.outlook.weather_label


def test_what_was_dropped_from_the_weather_says_so_in_the_answer(tmp_path: Path) -> None:
    weather = tmp_path / "weather.csv"
    text = (FIRST_YARD / "weather.csv").read_text(encoding="utf-8")
    weather.write_text(text.replace("2011-01-02,2.7,13.9,0.0", "2011-01-02,2.7,913.9,0.0"), encoding="utf-8")
    told = season_from_files(FIRST_YARD / "yard.toml", weather, asked=FEW)
    lines = [line for _, line in season_lines(told)]
    assert any(line.startswith("Dropped: 1 impossible highest temperature") for line in lines)
    assert any(line.startswith("Flight hours from each day") for line in lines)
