"""``breadline rounds … --as-of``: another day than the yard file's own, without touching the file."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from breadline.errors import YardError
from breadline.jobs.rounds import Beside, Way, rounds_from_files
from breadline.jobs.rounds_told import rounds_document
from breadline.jobs.yard_as_of import read_yard_as_of
from breadline.jobs.yard_file import read_yard
from cli.typed import breadline
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD, PLAN = FOLDER / "yard.toml", FOLDER / "rounds.toml"
WEATHER = tree.ROOT / "examples" / "first-yard" / "weather.csv"
LATER = date(2026, 1, 30)


def a_file(folder: Path, today: str, more: str = "", seen: bool = True) -> Path:
    folder.mkdir(exist_ok=True)
    file, text = folder / "yard.toml", YARD.read_text("utf-8")
    text = re.sub(r"(?m)^today = .*$", f"today = {today}", text, count=1)
    if not seen:
        text = re.sub(r"(?m)^(coming_in|fresh_arcs|outside) = .*\n", "", text)
    file.write_text(text + more, "utf-8")
    (folder / "rounds.toml").write_text(PLAN.read_text("utf-8"), "utf-8")
    return file


def test_a_later_day_is_what_the_file_says_with_that_day_in_it(tmp_path):
    """But for pollen coming in, which was seen on the file's own day and not on the later one."""
    few = Way(draws=20)
    old, new = (a_file(tmp_path / on, on, seen=False) for on in ("2026-01-20", "2026-01-30"))
    typed = rounds_from_files(old, WEATHER, of=Beside(as_of=LATER), way=few)
    written = rounds_from_files(new, WEATHER, way=few)
    assert typed.yard.today == LATER
    one, other = (rounds_document([told])["yards"][0] for told in (typed, written))
    assert one["today"] == "2026-01-30"
    assert (one["plans"], one["sentence"]) == (other["plans"], other["sentence"])
    assert all(
        one.plan.start >= typed.answer.question.ensemble.today for one in typed.plans if one.plan.pieces
    )


def test_search_plan_stop_and_sheet_take_it(tmp_path):
    of = ("--as-of", "2026-01-30", "--json")
    beside = (str(YARD), "--weather", str(WEATHER), *of)
    found = json.loads(breadline("rounds", "search", *beside).stdout)["yards"][0]
    assert found["today"] == "2026-01-30"
    assert min(r["on"] for one in found["plans"] for r in one["rounds"]) >= "2026-01-30"
    told = breadline("rounds", "plan", *beside).stdout
    assert found["plans"][found["best"]]["sentence"] in json.loads(told)["yards"][0]["plan"]["sentence"]
    seen = ("--bees-in", "200", "--with-pollen", "90", "--arcs", "6/6")
    stopped = json.loads(breadline("rounds", "stop", str(YARD), *seen, *of).stdout)
    assert stopped["today"] == "2026-01-30"
    assert stopped["decision"] == "stop"
    assert "What that saves is not known" in stopped["sentence"]
    assert stopped["saving"] is None, "no number where none is known"
    made = breadline("rounds", "sheet", *beside, "--out", str(tmp_path / "out"), "--only", "calendar")
    assert made.returncode == 0, made.stderr


@pytest.mark.parametrize("verb", ["search", "plan", "sheet", "stop"])
def test_a_day_before_the_count_or_none_at_all_is_refused_by_each(verb, tmp_path):
    beside = {
        "stop": ("--bees-in", "200", "--with-pollen", "90"),
        "sheet": ("--weather", str(WEATHER), "--out", str(tmp_path / "out")),
    }.get(verb, ("--weather", str(WEATHER)))
    early = breadline("rounds", verb, str(YARD), *beside, "--as-of", "2026-01-10")
    assert early.returncode == 2
    assert "is after today, 2026-01-10" in " ".join(early.stderr.split())
    none = breadline("rounds", verb, str(YARD), *beside, "--as-of", "30.1.2026")
    assert none.returncode == 2
    assert '"30.1.2026" is no date' in " ".join(none.stderr.split())
    assert not (tmp_path / "out").exists()


def test_what_was_seen_on_the_files_day_is_told_with_that_day(tmp_path):
    seen = read_yard(YARD)
    assert seen.forage.coming_in is not None
    later = read_yard_as_of(YARD, LATER)
    assert (later.forage.coming_in, later.forage.seen_on) == (seen.forage.coming_in, seen.today)
    assert read_yard_as_of(YARD, None) == seen == read_yard_as_of(YARD, seen.today)


def test_an_earlier_day_knows_nothing_of_what_was_seen_later(tmp_path):
    looks = "".join(
        f"\n[[inspection]]\non = {on}\nframes_of_bees = 6\n" for on in ("2026-02-01", "2026-02-20")
    )
    days = ("2026-02-05", "2026-02-20", "2026-03-08")
    fed = "".join(f"\n[[given]]\non = {on}\ngrams = 450\n" for on in days)
    file = a_file(tmp_path, "2026-03-01", looks + fed)
    then = read_yard_as_of(file, date(2026, 2, 10))
    assert [one.on for one in then.inspections] == [date(2026, 2, 1)]
    assert [one.on for one in then.given] == [date(2026, 2, 5), date(2026, 3, 8)]  # of March a plan then too
    assert (then.forage.coming_in, then.forage.fresh_arcs, then.forage.seen_on) == (None, None, None)
    assert then.health.honey == read_yard(file).health.honey
    with pytest.raises(YardError, match="more than a year before"):
        read_yard_as_of(file, date(2027, 3, 1))


def test_sheets_of_a_yard_where_something_comes_before_feed_say_it_first(tmp_path):
    file = a_file(tmp_path / "sick", "2026-01-20")
    file.write_text(file.read_text("utf-8").replace("foulbrood_signs = false", "foulbrood_signs = true"))
    out = tmp_path / "out"
    typed = ("rounds", "sheet", str(file), "--weather", str(WEATHER), "--out", str(out), "--only", "order")
    stop = "No round now. Stop: signs of foulbrood. Feed nothing, move no gear, and call the apiary inspector"
    assert json.loads(breadline(*typed, "--json").stdout)["said"] == [f"Copper Ford: {stop} today."]
    text = " ".join("".join(page.extract_text() for page in PdfReader(out / "order-list.pdf").pages).split())
    assert stop in text
