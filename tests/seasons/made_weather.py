"""Weather for scenarios that name a climate: years that never were, and no record of any place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

FIRST, LAST = "2012-01-01", "2026-01-01"


@dataclass(frozen=True)
class Climate:
    """A yearly wave, the noise about it, and how often it rains in winter and in summer."""

    mean_c: float  # [°C]
    wave_c: float  # half of the way from the coldest to the warmest time [°C]
    half_day_c: float  # from the mean of a dry day to its ends [°C]
    rain_winter: float  # days with rain [share]
    rain_summer: float  # [share]


CLIMATES = {
    "dry summer": Climate(16.0, 9.0, 8.0, 0.35, 0.01),
    "rainy piedmont": Climate(15.5, 9.6, 6.4, 0.30, 0.30),
    "midwest": Climate(10.0, 13.5, 6.0, 0.25, 0.30),
}


def write(climate: str, path: Path, seed: int = 4) -> Path:
    """The climate's years as a weather file."""
    of, rng = CLIMATES[climate], np.random.default_rng(seed)
    days = np.arange(FIRST, LAST, dtype="datetime64[D]")
    of_year = (days - days.astype("datetime64[Y]")).astype(int) + 1
    winter = (1 + np.cos(2 * np.pi * (of_year - 15) / 365)) / 2
    noise, shocks = np.zeros(len(days)), rng.standard_normal(len(days))
    for t in range(1, len(days)):
        noise[t] = 0.75 * noise[t - 1] + 1.8 * shocks[t]
    share = of.rain_summer + (of.rain_winter - of.rain_summer) * winter
    wet = rng.random(len(days)) < share
    rain = np.where(wet, rng.gamma(0.8, 10.0, len(days)), 0.0)
    mean = of.mean_c - of.wave_c * np.cos(2 * np.pi * (of_year - 18) / 365) + noise
    half = np.where(wet, 0.55, 1.0) * of.half_day_c
    rows = [
        f"{day},{low:.1f},{high:.1f},{mm:.1f}"
        for day, low, high, mm in zip(days, mean - half, mean + half, rain, strict=True)
    ]
    text = "\n".join(
        ["# Made up. No real place had this weather.", "date,tmin [°C],tmax [°C],rain [mm]", *rows]
    )
    path.write_text(text + "\n", encoding="utf-8")
    return path
