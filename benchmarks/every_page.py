"""How long every page takes that is two steps from the yards, in a book of 40 yards of 60 colonies.

    uv run python benchmarks/every_page.py

Through the whole server without the network, each page once to begin with and then the middle of some times.
48,000 readings, a recipe, a check group over four yards, and a plan of three rounds for every yard, one of
them due. The season model itself is not what is timed (see
`benchmarks/season_kernel.py`): one season is worked out, and every yard is given it. Times are those of the
processor, which a busy machine draws out less; the load average stands beside. Beside the pages stands the
same server's smallest answer, as the measure of what any page costs.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

import record_pages as large
from starlette.testclient import TestClient

from breadline.jobs import book as books
from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_chosen import as_chosen
from breadline.knowledge.shelf import load
from breadline.records import plans, weather_kept, yards
from breadline.records.engine import open_book, writing
from breadline.web.app import create_app
from jobs.first_rounds import TEXT, book_with_the_yard
from web.crawl import DRAWN, alike, crawled

ROOT = Path(__file__).parents[1]
READINGS, GROUP = 48_000, 4  # of the book; yards of the check group
ROUNDS = tuple((large.TODAY + timedelta(days=days), 226.8) for days in (-10, 4, 18))  # [g]
MANY = 30  # pages printed, slowest first


def client_of(path: Path) -> TestClient:
    """The server over the book, with a check group drawn in it."""
    app = create_app(path, today=lambda: large.TODAY)
    client = TestClient(app, base_url=large.HERE, headers={"origin": large.HERE})
    drawn = DRAWN | {"check": "24", "grading": "2027-02-20"}
    names = [f"Yard {n}" for n in range(GROUP)]
    answer = client.post("/check-group/draw", data=drawn | {"yard": names})  # type: ignore[arg-type]
    print(f"check group: {answer.status_code}")
    return client


def plan_every_yard(path: Path, folder: Path) -> None:
    """A plan for each yard, a searched one as it is kept: one round is due, two lie ahead."""
    beside = folder / "planned"
    beside.mkdir()
    of = book_with_the_yard(beside)
    told = of.rounds(of.first_yard(), TEXT, Way(draws=20))
    chosen = as_chosen(told, told.taken(1), load())
    chosen = replace(chosen, chosen_on=large.TODAY - timedelta(days=20), rounds=ROUNDS)
    with writing(open_book(path)) as session:
        for yard in yards.yards(session):
            plans.keep_plan(session, yard.id, chosen)


def main() -> None:
    """Print what each page takes."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=11)
    times = parser.parse_args().times
    large.YARDS, large.COLONIES = 40, 2400
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        answer, weather = large.one_season(folder)
        books.season_answer = lambda yard, *_: replace(answer, yard=replace(yard, inspections=()))  # type: ignore[assignment]
        path = folder / "book.db"
        made = large.filled(path, READINGS)
        with writing(open_book(path)) as session:
            weather_kept.keep(session, weather)
        RecipeBook(path).keep(read_recipe(ROOT / "examples" / "first-recipe" / "recipe.toml"))
        plan_every_yard(path, folder)
        client = client_of(path)
        begun = time.process_time()
        seen = crawled(client)
        print(f"{made:,} readings; {len(seen.asked)} pages for the first time: "
              f"{time.process_time() - begun:.1f} s")  # fmt: skip
        assert not seen.broken, seen.broken
        least = large.median(lambda: client.get("/static/mark.svg"), times)
        took = {at: large.median(lambda at=at: client.get(at), times) for at in seen.asked}
        slow = [at for at, one in took.items() if one > large.LIMIT]
        for at, one in sorted(took.items(), key=lambda pair: -pair[1])[:MANY]:
            weight = len(seen.asked[at].encode()) // 1000
            print(f"{one * 1000:6.0f} ms  {one / least:5.0f} times a small file  {weight:4} kB  {alike(at)}")
        print(f"{len(slow)} of {len(took)} pages over {large.LIMIT * 1000:.0f} ms; "
              f"a small file {least * 1000:.1f} ms; load {os.getloadavg()[0]:.1f}")  # fmt: skip


if __name__ == "__main__":
    main()
