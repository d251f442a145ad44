"""What can be asked of the search; see the package."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

import numpy as np
from scripts.season_search import sources_table, table
from scripts.season_search.search import search
from scripts.season_search.ship import agreement, ship

from breadline.knowledge.season_draws import shipped_draws
from breadline.knowledge.shelf import load
from breadline.need.forecast import constants
from breadline.need.parameters import Parameters

STATE = Path(".season_search")


def main() -> None:
    """Search, ship, sources or table."""
    asked = argparse.ArgumentParser(prog="python -m scripts.season_search")
    asked.add_argument("what", choices=["search", "ship", "sources", "table"])
    asked.add_argument("--seeds", type=int, nargs="+", default=[1, 2, 3])
    asked.add_argument("--generations", type=int, default=400)
    asked.add_argument("--state", type=Path, default=STATE)
    told = asked.parse_args()
    const = constants(load().reader())
    if told.what == "search":
        for seed in told.seeds:
            search(told.state / f"{seed}.npz", const, seed=seed, generations=told.generations)
    elif told.what == "ship":
        found = {seed: np.load(told.state / f"{seed}.npz")["kept"] for seed in told.seeds}
        ship(found)
        away = sources_table.narrowed(np.concatenate(list(found.values())))
        print("parameter  seeds agree (1 = fully)  range taken away by the facts")
        for (name, value), share in zip(agreement(found).items(), away, strict=True):
            print(f"{name:10} {value:6.2f} {share:18.0%}")
    elif told.what == "sources":
        page = sources_table.PAGE
        page.write_text(sources_table.with_sources(page.read_text("utf-8")), "utf-8")
    else:
        par = Parameters(**shipped_draws(), site=np.ones(len(next(iter(shipped_draws().values())))))
        found_rows = table.rows(par, const)
        print(table.markdown(found_rows))
        table.PAGE.write_text(table.page(found_rows), "utf-8")
        table.CHECKS.write_text(table.checks(found_rows, date.today()), "utf-8")
        for situation, may in table.trusted(found_rows).items():
            print(f"{situation}: {'frames may be drawn' if may else 'no frames are drawn'}")


if __name__ == "__main__":
    main()
