"""When something blooms, out of its table in a yard file."""

from __future__ import annotations

from typing import Any, cast

from breadline.jobs.yard_fields import Table, needed
from breadline.language import noted, say
from breadline.need.yard import Bloom, DegreeDays

BLOOM = ("name", "start", "end", "strength", "nectar", "protein_pct", "degree_days", "lasts_days", "source")
DEGREE_DAYS = ("sum_c", "base_c", "cap_c", "method", "start")


def bloom_of(table: Table) -> Bloom:
    """One source of pollen."""
    start, degrees = table.month_day("start"), _degree_days(table)
    if (start is None) == (degrees is None):
        raise table.error(
            "start", say("a bloom has one beginning"), say('start = "02-10", or degree_days = {…}')
        )
    strength = table.number("strength", 0, 1, noted("of the best pollen weeks"))
    return Bloom(
        name=needed(table, "name", table.text("name") or None, noted("what blooms")),
        start=start,
        end=table.month_day("end")
        if degrees is not None
        else needed(table, "end", table.month_day("end"), "02-10"),
        strength=1.0 if strength is None else strength,
        nectar=table.number("nectar", 0, 1, noted("of the best nectar weeks")) or 0.0,
        protein_pct=table.number("protein_pct", 8, 40, noted("% of fresh mass")),
        degree_days=degrees,
        lasts_days=table.whole("lasts_days", 1, 366, "days"),
        source=table.text("source"),
    )


def _degree_days(bloom: Table) -> DegreeDays | None:
    if "degree_days" not in bloom:
        return None
    table = Table(bloom.data["degree_days"], f"{bloom.where}, degree_days", DEGREE_DAYS)
    if "lasts_days" not in bloom:
        raise bloom.error(
            "lasts_days", say("is missing"), say("how many days it blooms"), say("Add it beside degree_days")
        )
    return DegreeDays(
        needed(table, "sum_c", table.number("sum_c", 1, 5000, "°C·day"), noted("the sum at which it begins")),
        needed(
            table,
            "base_c",
            table.number("base_c", -5, 20, "°C"),
            noted("a sum means nothing without its base"),
        ),
        table.number("cap_c", 10, 50, "°C"),
        cast(Any, table.word("method", ("average", "clipped")) or "average"),
        table.month_day("start") or (1, 1),
    )
