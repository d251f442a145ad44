"""``breadline check-group`` as it is typed: draw, lock, compare, sheets. All invented."""

from __future__ import annotations

import json

import pytest
from typer.testing import CliRunner

from breadline.cli.app import app
from breadline.errors import TrialError
from house import tree
from house.test_documentation import differences, json_shapes, sections

TABLE = str(tree.ROOT / "examples" / "first-check-group" / "colonies.csv")
WISHES = ["--check", "20", "--break-even", "0.9", "--margin", "0.5", "--grading", "2999-11-20",
          "--rescue-below", "3", "--seed", "7"]  # fmt: skip


def run(*typed):
    result = CliRunner().invoke(app, ["check-group", *map(str, typed)])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.stdout


def documented(command: str, printed: dict) -> None:
    (shape,) = [s for s in json_shapes(sections()[command]) if s["shape"] == printed["shape"]]
    assert not differences(shape, printed)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A folder with a drawn trial and the same one locked."""
    here = tmp_path_factory.mktemp("trial")
    run("draw", TABLE, "--out", here / "drawn.json", *WISHES)
    (here / "locked.json").write_text((here / "drawn.json").read_text("utf-8"), "utf-8")
    run("lock", here / "locked.json")
    return here


def test_the_first_sentence_says_who_stays_unfed_and_the_shape_is_the_pages(folder):
    text = run("draw", TABLE, "--out", folder / "new.json", *WISHES)
    assert text.startswith("Leave 20 of 40 colonies unfed: 8 in Upper Sluice")
    assert (folder / "new.json").exists()
    told = json.loads(run("draw", TABLE, "--out", folder / "more.json", *WISHES, "--json"))
    documented("breadline check-group draw", told)


@pytest.mark.parametrize(
    ("word", "says", "kept_kg"),
    [
        ("honey", "read as kilograms, whatever --units says", 0.9),
        ("honey-lb", "read as pounds", 0.9 * 0.45359237),
    ],
)
def test_a_honey_draw_says_in_which_unit_its_lines_were_read(folder, word, says, kept_kg):
    out = folder / f"{word}.json"
    text = (
        CliRunner()
        .invoke(
            app,
            ["--units", "lb", "check-group", "draw", TABLE, "--out", str(out), "--outcome", word, *WISHES],
        )
        .stdout
    )
    assert says in " ".join(text.split())
    assert json.loads(out.read_text("utf-8"))["design"]["break_even"] == pytest.approx(kept_kg)
    assert "were read as" not in run("draw", TABLE, "--out", folder / f"frames-{word}.json", *WISHES)


def test_a_draw_is_never_lost_without_a_word(folder):
    out = folder / "again.json"
    run("draw", TABLE, "--out", out, *WISHES)
    with pytest.raises(TrialError, match="drawn already"):
        run("draw", TABLE, "--out", out, *WISHES)
    assert "draw number 2" in " ".join(run("draw", TABLE, "--out", out, *WISHES, "--again").split())
    with pytest.raises(TrialError, match="a locked trial lies there"):
        run("draw", TABLE, "--out", folder / "locked.json", *WISHES, "--again")


def test_what_is_otherwise_than_locked_is_told(folder):
    told = json.loads((folder / "locked.json").read_text("utf-8"))
    told["design"]["break_even"], told["rescue_below_frames"] = 0.4, 5.0
    changed = folder / "changed.json"
    changed.write_text(json.dumps(told), "utf-8")
    printed = json.loads(run("lock", changed, "--against", folder / "locked.json", "--json"))
    documented("breadline check-group lock", printed)
    assert printed["seal_holds"] is False
    assert printed["deviations"] == [
        "The break-even was locked as 0.9 and is now 0.4.",
        "The rescue line was locked as 3 frames and is now 5.",
    ]
    same = run("lock", folder / "locked.json", "--against", folder / "locked.json")
    assert same.strip() == "Nothing is otherwise than it was locked."
    with pytest.raises(TrialError, match="never locked"):
        run("lock", changed, "--against", folder / "drawn.json")


def test_sheets_come_from_a_locked_trial_only(folder):
    with pytest.raises(TrialError, match="the trial is not locked"):
        run("sheets", folder / "drawn.json", "--out", folder / "paper")
    told = json.loads(
        run("sheets", folder / "locked.json", "--out", folder / "paper", "--only", "tags", "--json")
    )
    documented("breadline check-group sheets", told)
    assert (folder / "paper" / "tags.pdf").read_bytes().startswith(b"%PDF")
    with pytest.raises(TrialError, match='"map" is none'):
        run("sheets", folder / "locked.json", "--out", folder / "paper", "--only", "map")


def test_ends_are_kept_in_the_trial(folder):
    ends = folder / "ends.csv"
    ends.write_text("hive,status,frames\nUS1,dead,\nUS2,graded,6.5\n", "utf-8")
    path = folder / "graded.json"
    path.write_text((folder / "locked.json").read_text("utf-8"), "utf-8")
    told = json.loads(
        run("sheets", path, "--out", folder / "paper", "--only", "protocol", "--ends", ends, "--json")
    )
    assert len(told["without_end"]) == 38
    ends.write_text("hive,status,frames\nUS2,graded,5.5\nUS3,sold,\n", "utf-8")
    run("sheets", path, "--out", folder / "paper", "--only", "protocol", "--ends", ends)
    with pytest.raises(TrialError, match="Lock it before grading"):
        run("sheets", folder / "drawn.json", "--out", folder / "paper", "--ends", ends)
    assert json.loads((folder / "drawn.json").read_text("utf-8"))["ends"] == []
    kept = json.loads(path.read_text("utf-8"))["ends"]
    assert [(end["became"], end["outcome"]) for end in kept] == [
        ("dead", None),
        ("graded", 5.5),
        ("sold", None),
    ]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (["--outcome", "money"], "--outcome"), (["--check-arm", "none"], "--check-arm"),
        (["--grading", "20.11.2026"], "--grading"), (["--yard", "Home"], "there is no yard Home in the list"),
    ],
)  # fmt: skip
def test_what_is_mistyped_is_named(folder, typed, says):
    with pytest.raises(TrialError, match=says):
        run("draw", TABLE, "--out", folder / "none.json", *WISHES, *typed)
