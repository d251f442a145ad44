"""Make the demo's weather: fifteen years that never were, from a seed.

    uv run python scripts/demo_weather.py

A yearly wave, day-to-day noise that lasts a few days and is larger in winter,
and rain on about three days in ten. It stands for a mild, rainy foothill place
on 33.9° north and is no record of any real one.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

SEED = 41
FIRST, LAST = "2011-01-01", "2026-01-01"
TARGET = Path(__file__).parent.parent / "examples" / "first-yard" / "weather.csv"


def made_up(rng: np.random.Generator) -> str:
    """The table as text: date, coldest, warmest, rain."""
    days = np.arange(FIRST, LAST, dtype="datetime64[D]")
    of_year = (days - days.astype("datetime64[Y]")).astype(int) + 1
    winter = (1 + np.cos(2 * np.pi * (of_year - 15) / 365)) / 2  # 1 in mid January
    noise = np.zeros(len(days))
    shocks = rng.standard_normal(len(days))
    for t in range(1, len(days)):
        noise[t] = 0.75 * noise[t - 1] + shocks[t] * (1.5 + 2.0 * winter[t])
    rain_days = rng.random(len(days)) < 0.30
    rain = np.where(rain_days, rng.gamma(0.8, 13.0, len(days)), 0.0)
    mean = 16.6 - 9.6 * np.cos(2 * np.pi * (of_year - 18) / 365) + noise
    half = np.where(rain_days, 3.6, 6.4) + rng.normal(0, 0.7, len(days))
    rows = [
        f"{day},{low:.1f},{high:.1f},{wet:.1f}"
        for day, low, high, wet in zip(days, mean - half, mean + half, rain, strict=True)
    ]
    head = [
        f"# Made up by scripts/demo_weather.py, seed {SEED}. No real place had this weather.",
        "date,tmin [°C],tmax [°C],rain [mm]",
    ]
    return "\n".join([*head, *rows]) + "\n"


if __name__ == "__main__":
    TARGET.parent.mkdir(parents=True, exist_ok=True)
    TARGET.write_text(made_up(np.random.default_rng(SEED)), encoding="utf-8")
    print(f"{TARGET} written")
