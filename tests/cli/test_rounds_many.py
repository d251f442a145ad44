"""``breadline rounds search`` of several yard files: one that is refused, and one that is asked for whole."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

import pytest

from breadline.cli import rounds as command
from breadline.jobs.rounds import Way
from cli.typed import breadline
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
WEATHER = ("--weather", str(tree.ROOT / "examples" / "first-yard" / "weather.csv"))


@pytest.fixture
def files(tmp_path, monkeypatch):
    """Three yards, the second with beetles and colonies too small for any piece."""
    monkeypatch.setattr(command, "Way", partial(Way, draws=10))
    (tmp_path / "rounds.toml").write_text((FOLDER / "rounds.toml").read_text("utf-8"), "utf-8")
    text, made = (FOLDER / "yard.toml").read_text("utf-8"), []
    small = text.replace("frames_of_bees = 7\n", "frames_of_bees = 4\n").replace(
        "beetles_seen = false", "beetles_seen = true"
    )
    for name, said in (("Alder", text), ("Birch", small), ("Cedar", text)):
        file = tmp_path / f"{name.lower()}.toml"
        file.write_text(said.replace('name = "Copper Ford"', f'name = "{name}"'), "utf-8")
        made.append(str(file))
    return made


def test_a_yard_that_is_refused_is_named_and_stops_no_other(files):
    done = breadline("rounds", "search", *files, *WEATHER)
    said = " ".join(done.stdout.split())
    assert done.returncode == 2
    assert "Alder, 40 colonies" in said
    assert "Cedar, 40 colonies" in said
    assert "Not worked out - birch.toml, piece: none for colonies of 4 frames of bees" in said
    told = json.loads(breadline("rounds", "search", *files, *WEATHER, "--json").stdout)
    assert [one["yard"] for one in told["yards"]] == ["Alder", "Cedar"]
    assert [one["where"] for one in told["refused"]] == ["birch.toml, piece"]


def test_what_is_kept_or_printed_is_of_all_yards_or_none_and_says_which_is_refused(files, tmp_path):
    for verb, beside in (("plan", ()), ("sheet", ("--out", str(tmp_path / "out")))):
        done = breadline("rounds", verb, *files, *WEATHER, *beside)
        assert done.returncode == 2
        assert done.stderr.startswith("birch.toml, piece: none for colonies")
    assert not Path(tmp_path / "out").exists()


def test_one_of_many_is_had_whole_by_its_name(files):
    done = breadline("rounds", "search", *files, *WEATHER, "--yard", "cedar")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Cedar: 40 colonies")
    assert "Plans worth a look" in done.stdout
    assert "Alder" not in done.stdout
    alone = json.loads(breadline("rounds", "search", files[2], *WEATHER, "--json").stdout)
    named = breadline("rounds", "search", *files, *WEATHER, "--yard", "Cedar", "--json").stdout
    assert json.loads(named) == alone
    assert alone["refused"] == []
    wrong = breadline("rounds", "search", *files, *WEATHER, "--yard", "Elm")
    assert wrong.returncode == 2
    assert "one of these: Alder, Birch, Cedar" in wrong.stderr


def test_one_that_is_asked_for_is_had_beside_a_file_that_cannot_be_read(files):
    """The list of many yards says to ask again by name, beside the one that was not worked out."""
    broken = Path(files[0])
    broken.write_text(broken.read_text("utf-8").replace('coming_in = "none"', 'coming_in = "nome"'), "utf-8")
    done = breadline("rounds", "search", *files, *WEATHER, "--yard", "Cedar")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Cedar: 40 colonies")
    meant = breadline("rounds", "search", *files, *WEATHER, "--yard", "Alder")
    assert meant.returncode == 2
    assert 'coming_in: "nome" is not one of the words for it' in " ".join(meant.stderr.split())


def test_two_files_of_one_name_are_both_named_and_none_is_taken(files):
    twin = Path(files[1])
    twin.write_text(Path(files[2]).read_text("utf-8"), "utf-8")  # a second Cedar
    wrong = breadline("rounds", "search", *files, *WEATHER, "--yard", "Cedar")
    assert wrong.returncode == 2
    said = " ".join(wrong.stderr.split())
    assert '"Cedar": 2 yards have this name' in said
    assert all(file in said.replace(" ", "") for file in files[1:])
    other = twin.read_text("utf-8").replace('name = "Cedar"', 'name = "cedar"')
    twin.write_text(other, "utf-8")
    done = breadline("rounds", "search", *files, *WEATHER, "--yard", "cedar")
    assert done.stdout.startswith("cedar: 40 colonies"), "one that is written just so is meant"
