"""Random questions for the solver: blanks and ranges, targets of every kind, some at odds."""

from __future__ import annotations

import numpy as np

from breadline.knowledge.ingredient import Content, Ingredient, Price
from breadline.ration.bases import AS_FED, AS_FED_OWN, DRY, DRY_OWN, SUGAR_FREE
from breadline.ration.problem import Problem
from breadline.ration.rows import rows_of
from breadline.ration.targets import Target, in_protein, nutrient, protein, ratio, share

BLANK = 0.15  # share of contents that were not reported
NAMES = ("fat", "ash", "sugars", "sodium", "potassium", "linoleic", "linolenic")


def random_problem(seed: int) -> Problem:
    """Four to fourteen ingredients, three to fourteen targets set round a hidden mix."""
    rng = np.random.default_rng(seed)
    foods = tuple(_food(rng, i) for i in range(int(rng.integers(4, 15))))
    hidden = rng.dirichlet(np.full(len(foods), 0.6))
    asked = [_wish(rng, foods) for _ in range(int(rng.integers(3, 15)))]
    prices = {f.key: Price(float(rng.uniform(0.3, 30.0)), "US$", 2026) for f in foods}
    # At a slack below nought the hidden mix misses the target: often nothing else keeps all of them.
    slack = 0.15 if rng.random() < 0.6 else -0.12
    targets = tuple(_set_round(rng, Problem(foods, prices, (wish,)), hidden, slack) for wish in asked)
    return Problem(foods, prices, targets, counted="safe" if rng.random() < 0.7 else "middle")


def _food(rng: np.random.Generator, i: int) -> Ingredient:
    water, protein_pct, fat, ash, sugars = 100.0 * rng.dirichlet((1.0, 1.5, 0.5, 0.2, 1.5, 0.5))[:5]
    nutrients = {
        "water": water, "fat": fat, "ash": ash, "sugars": sugars, "sodium": ash * rng.uniform(0.0, 300.0),
        "potassium": ash * rng.uniform(0.0, 500.0), "linoleic": fat * rng.uniform(0.0, 0.5),
        "linolenic": fat * rng.uniform(0.0, 0.3),
    }  # fmt: skip
    kept = {n: Content(v, v) for n, v in nutrients.items() if n == "water" or rng.random() > BLANK}
    spread = rng.uniform(0.85, 1.0) if rng.random() < 0.3 else 1.0
    factor = float(rng.choice([5.7, 5.71, 6.25, 6.38]))
    share = rng.uniform(0.005, 0.03)
    own = i % 3 == 2  # a label's own number does not move with the protein
    grams = Content(protein_pct * share, protein_pct * share)
    return Ingredient(
        f"f{i}", f"F{i}", factor, Content(protein_pct * spread, protein_pct), kept,
        {"met": grams} if own else {}, frozenset(), "made up", "judged",
        acid_shares={} if own else {"met": share},
    )  # fmt: skip


def _wish(rng: np.random.Generator, foods: tuple[Ingredient, ...]) -> Target:
    """A target of a random kind, whose bound is only a place-holder."""
    kind = int(rng.integers(6))
    if kind == 0:
        return protein((AS_FED, DRY, AS_FED_OWN, DRY_OWN, SUGAR_FREE)[int(rng.integers(5))], least=1.0)
    if kind == 1:
        return ratio("linoleic", "linolenic", 1.0) if rng.random() < 0.5 else ratio("sugars", "water", 1.0)
    if kind == 2:
        return share(foods[int(rng.integers(len(foods)))].key, 1.0)
    if kind == 3:
        if rng.random() < 0.3:
            return nutrient("met", "as fed" if rng.random() < 0.7 else "dry matter", 1.0)
        return in_protein("met", "N × 6.25" if rng.random() < 0.5 else "own factor", 1.0)
    basis = "as fed" if rng.random() < 0.7 else "dry matter"
    return nutrient(NAMES[int(rng.integers(len(NAMES)))], basis, 1.0)


def _set_round(rng: np.random.Generator, one: Problem, hidden: np.ndarray, slack: float) -> Target:
    """The bound beside what a hidden mix comes to, on a random side."""
    wish = one.targets[0]
    side = "least" if rng.random() < 0.5 else "most"
    placed = Target(wish.of, basis=wish.basis, factor=wish.factor, to=wish.to, keys=wish.keys, **{side: 1.0})
    (row,) = rows_of(Problem(one.ingredients, one.prices, (placed,)))
    there = row.reached(hidden)
    there = there if np.isfinite(there) else 1.0
    by = 1.0 - slack * rng.random() if side == "least" else 1.0 + slack * rng.random()
    bound = max(0.0, there * by)
    bound = min(bound, 100.0) if placed.unit.startswith("%") else bound
    return Target(wish.of, basis=wish.basis, factor=wish.factor, to=wish.to, keys=wish.keys, **{side: bound})
