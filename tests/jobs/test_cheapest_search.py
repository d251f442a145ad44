"""The search beside a page: the better answer stays, and a program may end while one goes on."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest

from breadline.jobs.cheapest_search import Search, _better
from breadline.jobs.recipe_written import RecipeFile
from breadline.ration.model import Progress
from breadline.ration.problem import Making
from breadline.ration.solver import Conflict, cheapest
from tests.ration.larder import problem

ENDING = """
import threading
import time
from dataclasses import replace
from breadline.jobs.cheapest_search import Search
from breadline.jobs.recipe_written import RecipeFile
from breadline.ration.problem import Making
from breadline.ration.solver import cheapest
from tests.ration.larder import problem

bags = frozenset({"bean", "yeast", "sugar"})
asked = problem(making=Making(batch_kg=140.0, fill_least=0.8, whole_bags=bags, most_ingredients=6))
found = replace(cheapest(asked), stopped=True)
search = Search(RecipeFile("x"), asked, found)
threading.Thread(target=search.go_on, daemon=DAEMON).start()  # a server answers pages in daemon threads
time.sleep(0.1)
assert not search.done
"""


def test_a_dearer_mix_or_none_does_not_take_the_place_of_a_better_one():
    good = cheapest(problem())
    dear, none = (
        replace(good, cost_per_kg=2.0 * good.cost_per_kg),
        Conflict(problem(), False, (), False, (), None),
    )
    assert _better(good, dear) is good
    assert _better(good, none) is good
    assert _better(dear, good) is good
    assert _better(none, good) is good


def test_a_page_shows_the_best_recipe_so_far_and_then_the_answer():
    asked = problem(making=Making(batch_kg=140.0, fill_least=0.8, whole_bags=frozenset({"bean"})))
    good = cheapest(asked)
    none = Conflict(asked, False, (), False, (), None)
    search = Search(RecipeFile("x"), asked, none)
    assert search.found is none
    search.told = Progress(0.1, good.cost_per_kg, 0.2, good.shares_of_mixer)
    shown = search.found
    assert (shown.bags, shown.gap, shown.stopped) == (good.bags, 0.2, True)
    assert shown.cost_per_kg == pytest.approx(good.cost_per_kg)
    assert search.found is shown
    search.known, search.sought = good, True
    assert search.found is good


@pytest.mark.parametrize("daemon", ["False", "True"])
def test_a_program_that_ends_while_a_search_goes_on_is_not_aborted(daemon):
    program = ENDING.replace("DAEMON", daemon)
    ended = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=False
    )
    assert (ended.returncode, ended.stderr) == (0, "")
