"""The page of a yard with inspections: what they say stands on it once, and it is as it was last seen."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from web.conftest import HERE

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_page_of_a_yard_tells_what_its_inspections_say(tmp_path: Path) -> None:
    yard = read_yard(EXAMPLES / "fitted-yard" / "yard.toml")
    path = tmp_path / "own.sqlite"
    key = Book(path, yard.today).add_yard(yard, EXAMPLES / "first-yard" / "weather.csv")
    app = create_app(path, lambda book: Book(book, yard.today))
    client = TestClient(app, base_url=HERE, headers={"origin": HERE})
    shown = client.get(f"/yards/{key}").text
    assert shown.count("What your inspections say") == 1
    assert shown.count("was foretold from the count and 2 inspections before it") == 1
    assert shown.count("draws of figures, bloom and count") == 1
    assert "Looked in 6 hives on 18 April" in shown
    # Before and after stand side by side, and each inspection beside what was foretold of it.
    rows = re.findall(r"<tr><th scope=\"row\">(.*?)</th>(.*?)</tr>", shown.split('class="changed"', 1)[1])
    told = {what: re.findall(r"<td>(.*?)</td>", cells) for what, cells in rows}
    assert '<th scope="col">with your inspections</th>' in shown
    assert len(told["Frames of bees"]) == 2
    assert told["Frames of bees"][0] != told["Frames of bees"][1]
    assert told["18 April, frames of bees"][2].replace("<b>", "") in ("inside", "outside</b>")
    on_paper = shown.split('class="paper-only inspected"')[1].split("</p>")[0]
    assert "With your inspections, the average colony has" in on_paper


def test_a_yard_the_model_does_not_fit_is_not_counted_among_those_likely_short(tmp_path: Path) -> None:
    yard = read_yard(EXAMPLES / "fitted-yard" / "yard.toml")
    *before, last = yard.inspections
    lost = replace(last, frames_of_bees=1.0)
    unfit = replace(yard, inspections=(*before, lost), forage=replace(yard.forage, coming_in="little"))
    path = tmp_path / "own.sqlite"
    key = Book(path, yard.today).add_yard(unfit, EXAMPLES / "first-yard" / "weather.csv")
    client = TestClient(create_app(path, lambda book: Book(book, yard.today)), base_url=HERE)
    shown = client.get("/").text
    assert "One cannot be answered yet." in shown
    assert "likely to be" not in shown
    assert "Can&#39;t tell yet" in shown
    assert "Left out: varroa, swarming" in shown
    season = client.get(f"/yards/{key}").text
    assert '<th scope="col">widened, no fit</th>' in season
    assert '<th scope="col">with your inspections</th>' not in season
