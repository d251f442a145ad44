"""Model against published fact, with the misfits left in; and what the program reads of it."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
from scripts.season_search import experiments
from scripts.season_search.facts import Fact, facts
from scripts.season_search.places import climate
from scripts.season_search.search import YEARS

from breadline.knowledge.season_checks import NAME, Situation, draws_digest
from breadline.need.parameters import Parameters
from breadline.need.season import Constants
from breadline.span import FloatArray

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs/method/season-model-facts.md"
CHECKS = ROOT / "src/breadline/knowledge" / NAME
# The facts that decide whether frames may be drawn across a situation.
ASKED: Mapping[Situation, tuple[str, ...]] = {
    "winter": ("march_adults", "winter_reared"),
    "dearth": ("syrup_only_brood", "fed_brood"),
}
SEEDS = (11, 12)  # random years that the search has not seen
EQUIVALENCE = (0.35, 0.7)  # middle and log SD of the belief about feeds, our judgement


@dataclass(frozen=True)
class Row:
    """One fact beside what the shipped draws make of it."""

    fact: Fact
    low: float
    middle: float
    high: float

    @property
    def known(self) -> tuple[float, float]:
        """The range the fact is known in, the fact itself where there is none."""
        published = self.fact.published
        low = published if self.fact.low is None else self.fact.low
        return low, published if self.fact.high is None else self.fact.high

    @property
    def inside(self) -> bool:
        """Whether the fact, or the range it is known in, meets the 80 % band."""
        low, high = self.known
        return low <= self.high and self.low <= high

    @property
    def misfit(self) -> str:
        """A ratio, or a difference where the fact is near nothing or itself a log ratio."""
        if "log" in self.fact.unit or self.fact.unit == "d" or abs(self.fact.published) < 0.01:
            return f"{self.middle - self.fact.published:+.3g} {self.fact.unit}"
        return f"× {self.middle / self.fact.published:.2f}"


def everything(par: Parameters, const: Constants, seed: int) -> experiments.Facts:
    """Fitted, held-out and checked facts in one random set of years."""
    feeds = np.random.default_rng(seed).standard_normal(par.draws)
    belief = EQUIVALENCE[0] * np.exp(EQUIVALENCE[1] * feeds)
    return {
        **experiments.fitted_facts(par, const, YEARS, seed),
        **experiments.manitoba(par, const),
        **experiments.north_china(par, const),
        **experiments.rich_spring(par, const),
        **experiments.warm_autumn(par, const),
        **experiments.foothills(par, const, belief),
    }


def rows(par: Parameters, const: Constants) -> list[Row]:
    """Every fact with the middle and the 80 % band of the draws."""
    worked = [everything(par, const, seed) for seed in SEEDS]
    told = []
    for fact in facts().values():
        values: FloatArray = np.concatenate([one[fact.key] for one in worked])
        low, middle, high = np.quantile(values, [0.1, 0.5, 0.9])
        told.append(Row(fact, float(low), float(middle), float(high)))
    return told


def trusted(table: list[Row]) -> dict[Situation, bool]:
    """Which situations the model may draw frames for: its own checks there lie inside its bands."""
    inside = {row.fact.key: row.inside for row in table}
    return {situation: all(inside[key] for key in keys) for situation, keys in ASKED.items()}


def checks(table: list[Row], on: date) -> str:
    """The file that the program reads: the facts of each situation, met or not."""
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.strip()
    lines = [
        "# The season model against the published facts that decide where frames may be drawn.",
        "# Written by scripts/season_search table beside docs/method/season-model-facts.md; not by hand.",
        "",
        "[made]",
        f"on = {on.isoformat()}",
        f'commit = "{commit}"',
        f'draws = "{draws_digest()}"  # of season_draws.csv',
    ]
    by_key = {row.fact.key: row for row in table}
    for situation, keys in ASKED.items():
        for key in keys:
            lines += ["", f"[[{situation}]]", *_as_toml(by_key[key])]
    return "\n".join(lines) + "\n"


def _as_toml(row: Row) -> list[str]:
    low, high = row.known
    return [
        f'key = "{row.fact.key}"',
        f"meaning = {json.dumps(row.fact.fact)}",
        f"published = {row.fact.published:g}",
        f"low = {low:g}",
        f"high = {high:g}",
        f"model_low = {row.low:.5g}",
        f"model = {row.middle:.5g}",
        f"model_high = {row.high:.5g}",
        f"inside = {str(row.inside).lower()}",
    ]


def markdown(table: list[Row]) -> str:
    """The tables of the method page."""
    parts = []
    titles = {
        "fitted": "Facts the search was given",
        "held_out": "Facts kept from the search, named before it",
        "checked": "Facts looked at beside it",
    }
    for use, title in titles.items():
        parts += [
            f"## {title}",
            "",
            "| fact | stand-in climate | published | model: middle [8 in 10] | misfit | inside | source |",
        ]
        parts.append("|---|---|---|---|---|---|---|")
        for row in table:
            if row.fact.use == use:
                parts.append(_line(row))
        parts.append("")
    return "\n".join(parts)


HEAD = """# Model against published fact

Worked out by `uv run python -m scripts.season_search table`, which writes this page, and beside it what
the program reads before it draws frames (`src/breadline/knowledge/season_checks.toml`), with the
600 sets of parameters that Breadline ships and random years of weather that the search has not
seen. The middle of all sets and the band that holds 8 in 10 of them stand beside each fact;
"inside" says whether the fact, or the range it is known in, meets that band: a mild test, which a
wide band or a fact known only roughly passes easily. The band holds the sets and the years, not the
error of whoever counted. Each fitted fact inside shows only that the search did what it was asked;
the model is tried by those that were held out. The misfits are left in.

Tolerances, and what "judged" stands for, are in `scripts/season_search/targets.toml`;
the stand-in climates are made up, because no source gives the weather of its own years
(`climates.toml`). Sources: `src/breadline/knowledge/sources.toml`.

"""
CLOSING = """## What follows

- **Across winter**: {winter}. The March adults lie {march_adults} the band and the share of them
  reared in confinement {winter_reared} it; both have to be inside before an outlook crosses winter.
- **In a full dearth**: {dearth}. The share of colonies that keep brood lies {syrup_only_brood} the band on
  syrup alone and {fed_brood} it fed; both have to be inside before frames are drawn across a dearth.
  Both were fitted, so this shows less than it seems; the fed-to-unfed ratio, which was held out, lies
  {dearth_gain} it.
- **Workers in 48 days of early spring** lie {workers_48_days} the band. The source's abstract
  does not give the size of its colonies, nor whether brood was counted at the sealing or at the
  emerging; the gain from feeding in early spring may be understated here.
- **Scotland in autumn.** Adults in late September come out at {september_adults_off} what was counted. The
  counts of that source (brood almost gone by then, adults down from 37,000 to 13,000) do not go together
  with brood that lasts through August and with the mean life of summer bees that other sources have; the
  search was given all of them and meets neither side: brood on 1 September comes out at
  {early_september_brood_off} its fact, the mean life of summer bees {summer_life_off} off it.
  Read frames in a northern autumn with that in mind.
- **Yearly pollen** comes out at {year_pollen_off} the 30 kg of one source. That source's own counts of bees
  and brood do not add up to it either: 24,000 brood at the most, of all stages, gives about 100,000 bees
  a year, and at 140 mg each that is 14 kg.
- The held-out facts were seen between trial searches; what was changed meanwhile is listed in
  `docs/decisions/0006-the-season-model.md`.
"""


def page(table: list[Row]) -> str:
    """The whole method page."""
    words = {True: "frames are drawn", False: "no frames are drawn"}
    may: dict[str, str] = {name: words[ok] for name, ok in trusted(table).items()}
    where = {row.fact.key: "inside" if row.inside else "outside" for row in table}
    off = {f"{row.fact.key}_off": row.misfit for row in table}
    return HEAD + markdown(table) + "\n" + CLOSING.format(**where | may | off)


def _line(row: Row) -> str:
    f = row.fact
    where = "the model's own curve" if f.climate == "none" else str(climate(f.climate)["name"])
    known = f"{f.published:,g}" if f.low is None else f"{f.published:,g} ({f.low:,g} to {f.high:,g})"
    model = f"{_short(row.middle)} [{_short(row.low)} to {_short(row.high)}]"
    inside = "yes" if row.inside else "**no**"
    source = f"{f.source}, {f.read}"
    return f"| {f.fact} | {where} | {known} {f.unit} | {model} | {row.misfit} | {inside} | {source} |"


def _short(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.3g}"
