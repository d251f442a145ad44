"""Make the demo's earlier outlooks and counts: invented, seeded, written into the package as data.

    python scripts/demo_record.py

The outlooks are what the season model showed on the demo's made-up weather; the counts
that came later are drawn about them with a chosen misfit, so the record has hits and
misses. Nothing in it happened. Run again only when the shape of the file changes: an
outlook of an older model stays what it was.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from breadline.jobs.demo import FIRST_YARD, VARIANTS, varied
from breadline.jobs.foretelling import shown
from breadline.jobs.season import season_answer
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.shelf import load
from breadline.need.yard import Count, Forage, Health, Yard
from breadline.weather.read import read_weather

OUT = Path(__file__).parents[1] / "src" / "breadline" / "jobs" / "demo_record.json"
SEED = 1789
MISFIT = 0.22  # log scale, invented; about what a band of 8 in 10 and a reader make together
SHELF = load()
CELLS = SHELF["frame_of_brood.cells_deep"].span.typical * SHELF["frame_of_brood.occupancy"].span.typical


@dataclass(frozen=True)
class Past:
    """One yard's invented year: its first count, and the days of the later ones."""

    name: str
    first: Count
    later: tuple[date, ...]


def _count(on: date, frames: float, brood: float, bread: float, means: str = "one_layer") -> Count:
    boxes = ("deep", "deep") if frames > 9 else ("deep",)
    return Count(on, bread, "frames", frames, means, brood, colonies_looked_in=6, boxes=boxes)


PASTS = (
    Past("Mill Shoals", _count(date(2025, 2, 10), 6.0, 2.0, 0.5),
         (date(2025, 3, 12), date(2025, 4, 16), date(2025, 6, 4), date(2025, 7, 16), date(2025, 8, 27))),
    Past("Upper Sluice", _count(date(2025, 2, 11), 7.0, 2.5, 1.0),
         (date(2025, 3, 13), date(2025, 4, 17), date(2025, 6, 5), date(2025, 7, 17))),
    Past("Long Culvert", _count(date(2025, 2, 18), 8.0, 3.0, 1.0),
         (date(2025, 3, 20), date(2025, 4, 24), date(2025, 6, 12))),
    Past("Pear Tree Lot", _count(date(2025, 3, 3), 5.0, 2.0, 0.75), (date(2025, 4, 8), date(2025, 5, 20))),
)  # fmt: skip


def written(past: Past, rng: np.random.Generator) -> list[dict[str, Any]]:
    """The outlook after each count but the last, and each count, in the order of the year."""
    first = read_yard(FIRST_YARD / "yard.toml")
    by_name = {first.name: first, **{v.name: varied(first, v) for v in VARIANTS}}
    yard, count = by_name[past.name], past.first
    steps = [_step(count)]
    for on in past.later:
        told = _outlook(yard, count, count.on + timedelta(days=int(rng.integers(0, 8))))
        steps.append(told)
        count = _came(told, on, rng)
        steps.append(_step(count))
    return steps


def _outlook(yard: Yard, count: Count, today: date) -> dict[str, Any]:
    then = replace(yard, today=today, count=count, health=Health(), forage=Forage(), given=())
    place = yard.place
    weather = read_weather(
        FIRST_YARD / "weather.csv", latitude=place.latitude, longitude=place.longitude, today=today
    )
    kept = shown(season_answer(then, weather, SHELF), SHELF)
    assert kept is not None, f"{yard.name} has no outlook on {today}"
    columns = kept.columns()
    del columns["last"]  # follows from the bands
    columns |= {name: columns[name].isoformat() for name in ("shown_on", "counted_on", "first")}
    # whole weeks, to keep the file small; the days between are filled in when it is read
    weekly = {name: numbers[::7] for name, numbers in kept.bands.items()}
    return {"outlook": columns | {"bands": weekly}}


def _came(told: dict[str, Any], on: date, rng: np.random.Generator) -> Count:
    outlook = told["outlook"]
    week = (on - date.fromisoformat(outlook["first"])).days / 7.0

    def middle(name: str) -> float:
        numbers = np.array(outlook["bands"][name], dtype=float)[:, 1]
        return float(np.interp(week, np.arange(len(numbers)), numbers) * np.exp(rng.normal(0.0, MISFIT)))

    frames = round(2 * middle("adults") / outlook["bees_a_frame"]) / 2
    return _count(on, frames, round(2 * middle("brood") / CELLS) / 2, round(4 * rng.uniform(0.25, 1.5)) / 4)


def _step(count: Count) -> dict[str, Any]:
    told = asdict(count)
    return {"count": told | {"on": count.on.isoformat(), "boxes": list(count.boxes)}}


def main() -> None:
    """Write the file."""
    rng = np.random.default_rng(SEED)
    document = {
        "says": "Invented: no yard, no count and no outlook in it is real. Made by scripts/demo_record.py.",
        "seed": SEED,
        "yards": {past.name: written(past, rng) for past in PASTS},
    }
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":"))
    OUT.write_text(text.replace('},{"', '},\n{"') + "\n", encoding="utf-8")
    print(f"{OUT.name}: {len(text):,} characters")


if __name__ == "__main__":
    main()
