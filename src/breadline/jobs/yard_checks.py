"""Checks across the facts of a yard file: place against season, frames against boxes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from breadline.errors import YardError
from breadline.jobs.yard_fields import Table
from breadline.knowledge import shelf
from breadline.language import noted, say, say_counted
from breadline.need.yard import Count, Inspection

SOUTH = frozenset({"AU", "NZ", "ZA", "AR", "CL", "UY", "PY", "BO", "LS", "SZ", "NA", "BW", "ZW", "ZM", "MG"})
NORTH = frozenset({
    "US", "CA", "MX", "GB", "IE", "DE", "FR", "ES", "PT", "IT", "CH", "AT", "NL", "BE", "LU", "DK", "NO",
    "SE", "FI", "IS", "PL", "CZ", "SK", "HU", "RO", "BG", "GR", "HR", "SI", "RS", "TR", "UA", "EE", "LV",
    "LT", "RU", "IL", "CN", "JP", "KR", "IN",
})  # fmt: skip
AMERICAS = frozenset({"US", "CA", "MX", "AR", "CL", "UY", "PY", "BO"})
DATE_LINE = 170.0  # the last islands of Alaska lie beyond it
SEASONS = (noted("winter"), noted("spring"), noted("summer"), noted("autumn"))
SEASON_WORDS = (*SEASONS, noted("fall"))
NORTHWARD = noted("degrees north of the equator; south of it a minus sign")


def check_hemisphere(place: Table, latitude: float, today: date) -> None:
    """A latitude whose sign contradicts the country or the stated season.

    Errors
    ------
    YardError
        Names the latitude, what it contradicts, and the sign that would fit.
    """
    country = str(place.data.get("country", "")).upper()
    if (country in SOUTH and latitude > 0) or (country in NORTH and latitude < 0):
        raise place.error(
            "latitude",
            say(
                "{latitude:g} is not in {country}, which lies south of the equator",
                latitude=latitude,
                country=country,
            )
            if country in SOUTH
            else say(
                "{latitude:g} is not in {country}, which lies north of the equator",
                latitude=latitude,
                country=country,
            ),
            say(NORTHWARD),
            say("Write {degrees:g}, or mend the country", degrees=-latitude),
        )
    longitude = place.data.get("longitude")
    if country in AMERICAS and isinstance(longitude, int | float) and 0 < longitude < DATE_LINE:
        raise place.error(
            "longitude",
            say(
                "{longitude:g} is not in {country}, which lies west of Greenwich",
                longitude=longitude,
                country=country,
            ),
            say("degrees east; west of Greenwich a minus sign"),
            say("Write {degrees:g}, or mend the country", degrees=-longitude),
        )
    stated = place.word("season", SEASON_WORDS)
    if stated is None or abs(latitude) < 15:
        return
    here, stated_at = season_of(today, latitude), SEASONS.index("autumn" if stated == "fall" else stated)
    if (SEASONS.index(here) - stated_at) % 4 == 2:
        raise place.error(
            "latitude",
            say(
                "at {latitude:g} it is {here} on {today}, not {stated}",
                latitude=latitude,
                here=say(here),
                today=today.isoformat(),
                stated=say(stated),
            ),
            say(NORTHWARD),
            say("Write {degrees:g}, or mend the season or the date", degrees=-latitude),
        )


def season_of(on: date, latitude: float) -> str:
    """Which quarter of the year it is at this latitude, by the month."""
    quarter = (on.month % 12) // 3
    return SEASONS[(quarter + 2) % 4 if latitude < 0 else quarter]


def check_frames(table: Table, count: Count) -> None:
    """More frames than the boxes hold.

    Errors
    ------
    YardError
        Names the count, the boxes and how many frames they hold.
    """
    counted = {"frames_of_bees": count.frames_of_bees, "frames_of_brood": count.frames_of_brood}
    if count.bread_unit == "frames":
        counted["bread"] = count.bread
    _held(table, counted, len(count.boxes), count.frames_per_box)


def check_inspected(table: Table, inspection: Inspection, frames_per_box: int) -> None:
    """The same of an inspection that names its boxes.

    Errors
    ------
    YardError
        As ``check_frames``.
    """
    counted = {
        "frames_of_bees": inspection.frames_of_bees,
        "frames_each": max(inspection.frames_each, default=None),
        "frames_of_brood": inspection.frames_of_brood,
    }
    if inspection.bread_unit == "frames":
        counted["bread"] = inspection.bread
    _held(table, counted, len(inspection.boxes), frames_per_box)


def _held(table: Table, counted: dict[str, float | None], boxes: int, frames_per_box: int) -> None:
    hold = boxes * frames_per_box
    for key, frames in counted.items():
        if frames is not None and frames > hold:
            raise table.error(
                key,
                say_counted(
                    "{frames:g} frames are more than {n} box of {each} frames holds",
                    "{frames:g} frames are more than {n} boxes of {each} frames hold",
                    boxes,
                    frames=frames,
                    each=frames_per_box,
                ),
                say("0 to {hold} frames, for one colony", hold=hold),
                say("Count one average colony, not the yard; or add the missing box to boxes"),
            )


def check_dates(where: str, today: date, counted_on: date) -> None:
    """A count from the future, or one too old to start from.

    Errors
    ------
    YardError
        Names both dates.
    """
    if counted_on > today:
        raise YardError(
            f"{where}, [count], on",
            say("{counted_on} is after today, {today}", counted_on=counted_on, today=today),
            say("the day of the count, today or before"),
        )
    if today - counted_on > timedelta(days=366):
        raise YardError(
            f"{where}, [count], on",
            say("{counted_on} is more than a year before today, {today}", counted_on=counted_on, today=today),
            say("a count of this season"),
            say("Look again, and write what you see"),
        )


def check_later(where: str, counted_on: date, inspections: Sequence[Inspection]) -> None:
    """An inspection of a day before the first count.

    Errors
    ------
    YardError
        Names both dates.
    """
    for n, one in enumerate(inspections, 1):
        if one.on < counted_on:
            raise YardError(
                f"{where}, [[inspection]] {n}, on",
                say("{on} lies before the count of {counted_on}", on=one.on, counted_on=counted_on),
                say("a day after the first count"),
                say("Make the earliest of them the [count]: the season model begins there"),
            )


def frame_definition(table: Table) -> str:
    """Which definition of a frame of bees (``frame_of_bees.*``) the count was made with.

    Errors
    ------
    YardError
        Where none is given: lists the definitions with their bees a frame.
    """
    known = {figure.key.split(".", 1)[1]: figure for figure in shelf.load().below("frame_of_bees")}
    given = str(table.data.get("frame_means", "")).removeprefix("frame_of_bees.")
    if given in known:
        return given
    listed = "; ".join(
        say('"{name}" {n:,.0f} bees ({meaning})', name=name, n=f.span.typical, meaning=say(f.meaning))
        for name, f in known.items()
    )
    what = (
        say('"{given}" is not a definition of a frame of bees', given=given) if given else say("is missing")
    )
    raise table.error(
        "frame_means", what, say("one of: {listed}", listed=listed),
        say("Say which one you count by: they differ by three quarters, so none is taken for granted"),
    )  # fmt: skip
