"""A honey trial typed and read in pounds, and in kilograms: one trial, kept in kilograms. All invented.

The international pound is 0.45359237 kg by its definition of 1959; the sums below are by hand from it.
"""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import date

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.check_group_file import trial_from_text
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from breadline.web.pages import working
from cli.typed import breadline
from web.conftest import HERE
from web.test_check_group_page import TABLE, TYPED
from web.test_evidence_page import plain

POUND = 0.45359237  # [kg]
HONEY = TYPED | {
    "outcome": "honey",
    "break_even": "9",
    "margin": "4.5",
    "table": TABLE,
    "grading": "2027-06-20",
}
DRAWN, GRADED = date(2026, 8, 20), date(2027, 6, 20)
PRICES = {"cost": "16", "price": "2", "money": "$", "year": "2027"}


class Pages:
    """The pages of one book, on a day that moves on."""

    def __init__(self, path):
        self.path, self.day = path, DRAWN
        book = Book(path, DRAWN)
        book.open_operation("Sorrel Bend Bees (invented)")
        book.add_yard(read_yard(FIRST_YARD / "yard.toml"), FIRST_YARD / "weather.csv")
        made = create_app(path, lambda p: Book(p, self.day), lambda: self.day)
        self.client = TestClient(made, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)

    def sent(self, where, **typed):
        answer = self.client.post(where, data=typed, follow_redirects=False)
        assert answer.status_code == 303, plain(answer.text)
        return answer.headers["location"]

    def locked(self, measures, name):
        """A locked honey trial whose lines were typed in these units."""
        self.day = DRAWN
        where = self.sent(f"/check-group/draw?measures={measures}", **HONEY | {"name": name})
        return self.sent(f"{where}/lock")

    def trial(self, where):
        return trial_from_text(self.client.get(f"{where}/file").text, "t.json")


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(working, "WAIT_S", 120)
        yield Pages(tmp_path_factory.mktemp("honey") / "book.sqlite")


def test_the_draw_is_read_in_the_units_it_was_shown_in_and_kept_in_kilograms(pages):
    shown = plain(pages.client.get("/check-group/draw").text)
    assert "frames, or lb of honey, more a colony" in shown, "the yard is in the United States"
    metric = pages.client.get("/check-group/draw?measures=g").text
    assert "frames, or kg of honey, more a colony" in plain(metric)
    assert 'action="/check-group/draw?measures=g"' in metric
    pounds, kilos = (pages.trial(pages.locked(units, units)) for units in ("lb", "g"))
    # 9 lb and 4.5 lb: 9 × 0.45359237 and 4.5 × 0.45359237 kg
    assert pounds.design.lines.break_even == pytest.approx(4.08233133, abs=1e-8)
    assert pounds.design.lines.margin == pytest.approx(2.041165665, abs=1e-8)
    assert (kilos.design.lines.break_even, kilos.design.lines.margin) == (9.0, 4.5)


def test_drawing_again_shows_the_numbers_that_were_typed(pages):
    pages.day = DRAWN
    where = pages.sent("/check-group/draw?measures=lb", **HONEY | {"name": "Again"})
    key = where.rpartition("/")[2]
    for units, typed in (("lb", "9"), ("g", "4.08233")):
        form = pages.client.get(f"/check-group/draw?before={key}&measures={units}").text
        assert re.search(r'name="break_even" value="([^"]*)"', form)[1] == typed


def test_ends_are_read_in_the_reader_s_unit_or_in_the_one_that_the_head_says(pages):
    where = pages.locked("lb", "Ends")
    tags = [one.tag for one in pages.trial(where).design.started]
    page = plain(pages.client.get(where).text)
    assert "Count (lb)" in page
    assert "honey without its unit is read in lb" in page
    assert "Honey taken, kg" not in page, "it is the reading itself"
    ends = f"{where}/ends?measures="
    pages.sent(f"{ends}lb", tag=tags[0], status="graded", outcome="100", again="90")
    pages.sent(f"{ends}g", tag=tags[1], status="graded", outcome="100")
    pages.sent(f"{ends}g", table=f"tag\thoney lb\tagain\n{tags[2]}\t100\t90\n")
    pages.sent(f"{ends}lb", table=f"tag\thoney kg\n{tags[3]}\t100\n")
    pages.sent(f"{ends}lb", table=f"tag\thoney\n{tags[4]}\t100\n")
    kept = {end.tag: end for end in pages.trial(where).ended}
    assert [round(kept[tag].outcome, 6) for tag in tags[:5]] == [
        45.359237,
        100.0,
        45.359237,
        100.0,
        45.359237,
    ]
    assert round(kept[tags[0]].again, 6) == round(kept[tags[2]].again, 6) == 40.823313
    for table, says in (
        (f"tag\thoney lb\n{tags[5]}\t1000\n", "0 to 882 lb"),  # 400 kg
        (f"tag\thoney lb\thoney kg\n{tags[5]}\t10\t20\n", "there are two readings"),
        (f"tag\tstatus\n{tags[5]}\tgraded\n", "no column is the outcome"),
    ):
        refused = pages.client.post(f"{ends}lb", data={"table": table})
        assert refused.status_code == 422
        assert says in plain(refused.text)


def verdict(pages, where, units, price):
    """The verdict's page and picture's table, asked in these units."""
    asked = PRICES | {"price": price}
    found = pages.sent(f"{where}/verdict?measures={units}", **asked)
    return plain(pages.client.get(found).text), found


def test_one_trial_has_one_verdict_in_pounds_and_in_kilograms(pages, tmp_path):
    where = pages.locked("lb", "Verdict")
    started = pages.trial(where).design.started
    rows = [("tag", "honey lb", "graded on")]
    rows += [(one.tag, 60 + 20 * one.arm + n % 7, GRADED.isoformat()) for n, one in enumerate(started)]
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    pages.day = GRADED
    pages.sent(f"{where}/ends", table=out.getvalue())
    form = pages.client.get(where).text
    assert "What a pound of honey is worth" in plain(form)
    asks = form.index(f'action="{where}/verdict?measures=lb"')
    assert asks < form.index(
        "/paper/"
    )  # all ends are there: the verdict is what one came for, not the papers
    assert "What a kilogram of honey is worth" in plain(pages.client.get(f"{where}?measures=g").text)
    pounds, _ = verdict(pages, where, "lb", "2")
    kilos, _ = verdict(pages, where, "g", f"{2 / POUND:.6f}")
    said_lb, said_kg = (
        re.search(rf"Fed less check ([\d.]+) {unit} ", text)[1]
        for unit, text in (("lb", pounds), ("kg", kilos))
    )
    assert float(said_kg) == pytest.approx(float(said_lb) * POUND, abs=0.06)
    left = r"Left over(, prices now)? \+\$25\.7 a colony"  # one money, whichever way honey was weighed
    assert re.search(left, pounds)
    assert re.search(left, kilos)
    assert not re.search(r"\d kg\b", pounds)
    assert not re.search(r"\d lb\b", kilos)
    file = tmp_path / "trial.json"
    file.write_bytes(pages.client.get(f"{where}/file").content)
    told = {}
    for units, price in (("lb", "2"), ("kg", f"{2 / POUND:.6f}")):
        typed = (
            "--units",
            units,
            "verdict",
            str(file),
            "--cost",
            "16",
            "--price",
            price,
            "--as-of",
            "2027-06-20",
        )
        told[units] = json.loads(breadline(*typed, "--json").stdout)
        assert f" {units}" in breadline(*typed).stdout
    assert told["lb"]["class"] == told["kg"]["class"]
    assert (told["lb"]["unit"], told["kg"]["unit"]) == ("lb", "kg")
    assert told["lb"]["break_even"] == pytest.approx(9.0)
    assert told["kg"]["break_even"] == pytest.approx(9 * POUND)
    early = ("verdict", str(file), "--as-of", "2027-06-01")
    tag = started[0].tag  # 60 or 80 lb and a few
    first = 60 + 20 * started[0].arm
    assert f"{tag}: {first} lb" in breadline("--units", "lb", *early).stdout
    assert f"{tag}: {first * POUND:.4g} kg" in breadline("--units", "kg", *early).stdout


def test_a_honey_trial_that_travelled_is_told_in_the_units_of_the_book_on_every_page(pages):
    where = pages.locked("lb", "Travels")
    started = pages.trial(where).design.started
    rows = [f"{one.tag}\t{60 + 20 * one.arm + n % 7}\t{GRADED}\n" for n, one in enumerate(started)]
    pages.day = GRADED
    pages.sent(f"{where}/ends?measures=lb", table="tag\thoney lb\tgraded on\n" + "".join(rows))
    found = pages.sent(f"{where}/verdict", **PRICES)
    home = plain(pages.client.get(found).text)
    (said,) = re.findall(r"Fed less check: \+[\d.]+ lb, nine times in ten from [\d.]+ to [\d.]+\.", home)
    ticked = {"season": "spring 2027", "own_prices": "on"}
    travels = pages.client.post(f"{found}/trial.json", data=ticked)
    assert json.loads(travels.text)["prices"]["price"] == pytest.approx(2 / POUND)
    file = {"file": ("t.json", travels.content)}
    sent = pages.client.post("/verdict", data={"money": "$"}, files=file, follow_redirects=False)
    there = plain(pages.client.get(sent.headers["location"]).text)
    assert said in there, "the yard of the book is in the United States"
    assert re.search(r"Left over(, prices now)? \+\$25\.7 a colony", there)
    pool = pages.client.post(
        "/evidence/own",
        data={"whose": "X"},
        files={"files": ("t.json", travels.content)},
        follow_redirects=False,
    )
    paper = PdfReader(io.BytesIO(pages.client.get(f"{pool.headers['location']}/trial-1.pdf").content))
    assert said.partition(", nine")[0] in " ".join(paper.pages[0].extract_text().split())
