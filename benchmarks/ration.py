"""How quick the solver of rations is, against a bare call of a solver on the same rows, in one run.

    uv run python benchmarks/ration.py

Prints ratios: times on one machine mean little, their ratios carry over. Nothing
here is a test. Prices are made up.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from fastapi.testclient import TestClient
from scipy.optimize import linprog

from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_written import Aim, Quote, RecipeFile, Solving
from breadline.knowledge.ingredient import Price
from breadline.knowledge.ingredients import ingredients
from breadline.ration.bases import AS_FED_OWN, DRY
from breadline.ration.model import Progress
from breadline.ration.problem import Making, Problem
from breadline.ration.rows import rows_of
from breadline.ration.solver import Solved, cheapest
from breadline.ration.standing import standing
from breadline.ration.targets import in_protein, nutrient, protein, ratio, share
from breadline.web.app import create_app

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "web"))
from feed_forms import form_of

RUNS = 60
FLOORS = {"arg": 3.0, "his": 1.5, "ile": 4.0, "leu": 4.5, "lys": 3.0, "met": 1.5, "phe": 2.5, "thr": 3.0,
          "trp": 1.0, "val": 4.0}  # fmt: skip


def medians_ms(*works: Callable[[], object], runs: int = RUNS) -> list[float]:
    """Median of each, run in turn so that a busy machine slows all alike. [ms]"""
    times: list[list[float]] = [[] for _ in works]
    for turn in range(runs + 1):
        for work, spent in zip(works, times, strict=True):
            begun = time.perf_counter()
            work()
            if turn:
                spent.append(1000.0 * (time.perf_counter() - begun))
    return [float(np.median(spent)) for spent in times]


def asked(making: Making | None = None) -> Problem:
    """25 ingredients and 33 rows."""
    there = ingredients()
    kept = [i for k, i in there.items() if k not in ("water", "honey", "cornstarch", "wheat_flour")]
    foods = (*kept[:24], there["water"])
    rng = np.random.default_rng(4)
    prices = {i.key: Price(float(rng.uniform(1.0, 12.0)), "US$", 2026, 22.7) for i in foods}
    targets = (
        protein(DRY, 18.0, 30.0), protein(AS_FED_OWN, 12.0), nutrient("water", "as fed", 10.0, 22.0),
        nutrient("fat", "as fed", 3.0, 8.0), nutrient("ash", "as fed", 0.5, 4.0),
        nutrient("sodium", "as fed", most=150.0), nutrient("potassium", "as fed", 100.0, 700.0),
        nutrient("calcium", "as fed", 20.0, 300.0), nutrient("zinc", "as fed", 0.2, 5.0),
        nutrient("phosphorus", "as fed", most=500.0), ratio("linoleic", "linolenic", 0.2, 3.0),
        ratio("sugars", "water", 2.0, 6.0), nutrient("lactose", "as fed", most=2.0),
        *(in_protein(acid, "N × 6.25", least) for acid, least in FLOORS.items()),
        share("egg_white_dried", most=10.0),
    )  # fmt: skip
    return Problem(foods, prices, targets, making or Making())


def one_solve() -> None:
    """The whole question to the whole answer, against a bare linprog on rows that are ready."""
    problem = asked()
    rows = rows_of(problem)
    matrix = np.array([-row.at(row.bound) for row in rows])
    matrix /= np.abs(matrix).max(axis=1)[:, None]
    costs = np.array([problem.price(k) for k in problem.keys])
    limits, one = np.zeros(len(rows)), np.ones((1, len(costs)))

    def bare() -> None:
        linprog(costs, matrix, limits, one, [1.0])

    def ours() -> None:
        cheapest(problem)

    solved = cheapest(problem)
    assert isinstance(solved, Solved)
    assert abs(linprog(costs, matrix, limits, one, [1.0]).fun - solved.cost_per_kg) < 1e-6
    mine, peer = medians_ms(ours, bare)
    size = f"{len(costs)} ingredients × {len(rows)} rows"
    print(f"one solve, {size}: {mine:.1f} ms, {mine / peer:.2f}× bare linprog")
    print("  (aim: no more than 1.5×; ours makes the rows from the table, and reads off every target)")
    (firm,) = medians_ms(lambda: standing(solved), runs=10)
    print(
        f"  savings, 25 price ranges and the next best: {firm:.0f} ms more, {firm / peer:.0f}× bare linprog"
    )


def price_change() -> None:
    """Another price, the whole solve again."""
    problem, rng = asked(), np.random.default_rng(1)

    def ours() -> None:
        key = problem.keys[int(rng.integers(24))]
        dearer = replace(problem.prices[key], per_kg=float(rng.uniform(1.0, 12.0)))
        cheapest(replace(problem, prices={**problem.prices, key: dearer}))

    (mine,) = medians_ms(ours)
    print(f"a price changed and solved again: {mine:.1f} ms (aim: 50 ms with the page around it)")


def page_change() -> None:
    """The same on the Feed page: the form sent, the piece of the page back, over a book on disk."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "book.sqlite"
        RecipeBook(path).keep(on_file(asked()))
        here = "http://127.0.0.1:8000"
        client = TestClient(create_app(path), base_url=here, headers={"origin": here, "hx-request": "true"})
        form = form_of(client.get("/feed/cheapest/25%20x%2033").text)
        rng, spent = np.random.default_rng(1), []
        for turn in range(RUNS // 2):
            form["price-3-price"] = [f"{rng.uniform(1.0, 12.0):.2f}"]
            begun = time.perf_counter(), time.process_time()
            answer = client.post("/feed/cheapest/25%20x%2033", data=form)
            took = time.perf_counter() - begun[0], time.process_time() - begun[1]
            assert answer.status_code == 200, answer.text[:300]
            time.sleep(0.3)  # what is worked out beside the page is not its answer
            spent += [took] if turn else []
        wall, work = (1000.0 * float(np.median(column)) for column in zip(*spent, strict=True))
    print(f"the same on the page: {wall:.0f} ms, of which {work:.0f} ms of computing (aim: 50 ms)")


def on_file(problem: Problem) -> RecipeFile:
    """The question as a recipe file says it, as far as it can."""
    quotes = tuple(
        Quote(key, round(price.per_kg, 2), "kg", price.money, price.year)
        for key, price in problem.prices.items()
    )
    aims = [
        Aim("protein", 18.0, 30.0, "%", "dry matter", "N x 6.25"),
        Aim("protein", 12.0, None, "%", "as fed", "own factor"),
        Aim("water", 10.0, 22.0, "%", "as fed"), Aim("fat", 3.0, 8.0, "%", "as fed"),
        Aim("sodium", None, 150.0, "mg/100 g", "as fed"), Aim("linoleic", 0.2, 3.0, "to 1", to="linolenic"),
        Aim("sugars", 2.0, 6.0, "to 1", to="water"), Aim("lactose", None, 2.0, "%", "as fed"),
    ]  # fmt: skip
    aims += [
        Aim(acid, at, None, "g/100 g of protein", None, "N x 6.25", "protein") for acid, at in FLOORS.items()
    ]
    return RecipeFile("25 x 33", quotes=quotes, aims=tuple(aims), solving=Solving(problem.keys))


def whole_bags() -> None:
    """When the first recipe by whole bags of six sizes is there, and how it goes on."""
    problem, rng = asked(), np.random.default_rng(3)
    sizes = (4.54, 9.1, 11.3, 20.0, 22.7, 25.0)
    prices = {k: replace(p, bag_kg=float(rng.choice(sizes))) for k, p in problem.prices.items()}
    bags = frozenset(prices) - {"water"}
    making = Making(136.0, 0.95, bags, most_ingredients=8, least_if_used=1.0, time_limit_s=10.0)
    told: list[tuple[float, Progress]] = []
    begun = time.perf_counter()

    def watch(progress: Progress) -> None:
        told.append((time.perf_counter() - begun, progress))

    solved = cheapest(replace(problem, prices=prices, making=making), watch=watch)
    assert isinstance(solved, Solved)
    whole = time.perf_counter() - begun
    print(f"24 kinds of whole bags, at most 8: first recipe after {told[0][0]:.2f} s (aim: under 1 s)")
    print(f"  told {len(told)} times how it stands; ended after {whole:.1f} s at a gap of {solved.gap:.1%}")
    changed = {**prices, "soy_flour_defatted": replace(prices["soy_flour_defatted"], per_kg=2.0)}
    begun = time.perf_counter()
    told.clear()
    again = replace(problem, prices=changed, making=making)
    cheapest(again, start=solved.shares_of_mixer, watch=watch)
    print(f"  a price changed: a recipe again after {told[0][0]:.2f} s, begun at the last one")


if __name__ == "__main__":
    one_solve()
    price_change()
    page_change()
    whole_bags()
