"""The commands as a person types them: output, JSON, exit codes."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest
import typer

from breadline.cli import app as app_module
from breadline.jobs.demo import FIRST_YARD
from breadline.records.engine import open_book
from cli.typed import BREADLINE, breadline, program

YARD, WEATHER = str(FIRST_YARD / "yard.toml"), str(FIRST_YARD / "weather.csv")


def test_season_prints_the_sentence_first(tmp_path: Path) -> None:
    chart = tmp_path / "chart.svg"
    done = program("season", YARD, "--weather", WEATHER, "--chart", str(chart))
    assert done.returncode == 0, done.stderr
    lines = [line for line in done.stdout.splitlines() if line.strip()]
    assert lines[0].startswith("Mill Shoals")
    assert lines[1].startswith("Yes"), "the answer is the first thing said"
    assert chart.read_text(encoding="utf-8").startswith("<svg")


def test_season_as_json() -> None:
    done = breadline("season", YARD, "--weather", WEATHER, "--json")
    document = json.loads(done.stdout)
    assert document["shape"] == "breadline.season/1"
    assert document["advice"]["answer"] == "feed"


def test_input_to_mend_is_exit_code_2_with_the_four_parts(tmp_path: Path) -> None:
    broken = tmp_path / "yard.toml"
    broken.write_text("name = 'x'\nlatitude = 3", encoding="utf-8")
    done = program("season", str(broken), "--weather", WEATHER)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    as_json = program("season", str(broken), "--weather", WEATHER, "--json")
    error = json.loads(as_json.stdout)["error"]
    assert set(error) == {"where", "what", "expected", "do"}
    assert as_json.returncode == 2


def test_season_without_files_says_what_to_type() -> None:
    done = program("season")
    assert done.returncode == 2
    assert "--weather" in done.stderr


def test_regions() -> None:
    keys = [row[0] for row in json.loads(breadline("season", "--regions", "--json").stdout)["regions"]]
    assert "georgia-piedmont" in keys


def test_a_figure_is_edited_marked_and_put_back(tmp_path: Path) -> None:
    file = tmp_path / "figures.toml"
    key = "bread.g_per_cell"
    shipped = json.loads(breadline("figures", key, "--json").stdout)["figures"][0]
    set_it = breadline(
        "figures", "--edits", str(file), "--set", key, "--to", "0.2", "--why", "weighed", "--json"
    )
    edited = json.loads(set_it.stdout)["figures"][0]
    assert edited["edited"]
    assert edited["typical"] == 0.2
    assert edited["shipped"] == [shipped["low"], shipped["typical"], shipped["high"]]
    back = json.loads(breadline("figures", "--edits", str(file), "--undo", key, "--json").stdout)["figures"][
        0
    ]
    assert not back["edited"]
    assert back["typical"] == shipped["typical"]


def test_an_edit_without_a_reason_or_beyond_what_is_possible_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "figures.toml"
    key = "bread.g_per_cell"
    assert breadline("figures", "--edits", str(file), "--set", key, "--to", "0.2").returncode == 2
    far = breadline("figures", "--edits", str(file), "--set", key, "--to", "900", "--why", "x")
    assert far.returncode == 2
    assert not file.exists(), "nothing is written when it is refused"


def test_weather_report() -> None:
    report = json.loads(breadline("weather", WEATHER, "--json").stdout)
    assert report["shape"] == "breadline.weather/1"
    assert report["rows"] == 5479
    assert report["first"] == "2011-01-01"


def test_a_book_from_nothing(tmp_path: Path) -> None:
    book = str(tmp_path / "own.sqlite")
    added = breadline("yards", book, "--add", YARD, "--weather", WEATHER, "--as-of", "2026-01-20", "--json")
    assert added.returncode == 0, added.stderr
    (line,) = json.loads(added.stdout)["yards"]
    assert "varroa" in json.loads(added.stdout)["leaves_out"]
    assert line["name"] == "Mill Shoals"
    assert line["answer"] == "feed"
    later = breadline("yards", book, "--as-of", "2026-11-01")
    told = " ".join(later.stdout.split())
    assert "Count again: the last look into its hives was on 19 January 2026." in told


def test_demo_says_that_it_is_made_up(tmp_path: Path) -> None:
    done = breadline("demo", "--no-serve", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "made up" in " ".join(done.stdout.split())
    assert (tmp_path / "var" / "demo.sqlite").exists()


def test_the_book_of_serve_is_named_as_other_commands_name_it(tmp_path: Path) -> None:
    place = str(tmp_path / "none.sqlite")
    for typed, words, says in (
        (program, ("serve", "--book", place), "there is no such book"),
        (breadline, ("serve",), "no book is named"),
        (breadline, ("serve", place, "--book", f"{place}2"), "two books are named"),
    ):
        done = typed(*words)
        assert done.returncode == 2
        assert says in " ".join(done.stderr.split()), words


@pytest.mark.parametrize("port", ["not-a-port", "99999999"])
def test_a_port_that_is_none(port: str, tmp_path: Path) -> None:
    done = program("serve", str(tmp_path / "none.sqlite"), "--port", port)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "words", [("figures",), ("figures", "--json"), ("season", YARD, "--weather", WEATHER)]
)
def test_a_reader_who_leaves_early_ends_a_command_quietly(words: tuple[str, ...]) -> None:
    running = subprocess.Popen([BREADLINE, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert running.stdout is not None
    assert running.stderr is not None
    running.stdout.close()
    assert running.stderr.read() == ""
    assert running.wait(timeout=60) == 141


@pytest.mark.parametrize(
    ("to", "said"),
    [
        ("0,16", "Write decimals with a point (0.16)"),
        ("0,12;0,16;0,20", "Write decimals with a point (0.12,0.16,0.20)"),
        ("0,12,0,16,0,20", "Write decimals with a point (0.12,0.16,0.20)"),
        ("0.16 g", "without its unit"),
        ("", "no value is given"),
        ("nan", "implausible"),
    ],
)
def test_a_value_typed_another_way_is_refused_with_the_right_one(to: str, said: str, tmp_path: Path) -> None:
    file = tmp_path / "figures.toml"
    done = breadline("figures", "--edits", str(file), "--set", "bread.g_per_cell", "--to", to, "--why", "x")
    assert done.returncode == 2
    assert said in done.stderr
    assert not file.exists()


def test_per_cent_and_share_are_told_apart(tmp_path: Path) -> None:
    asked = ("figures", "--edits", str(tmp_path / "figures.toml"), "--why", "x", "--set")
    assert "enter per cent (24)" in breadline(*asked, "pollen.brassica_napus", "--to", "0.24").stderr
    assert "enter a share (0.35)" in breadline(*asked, "season.phi", "--to", "35").stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("figures", "--to", "0.2"), "go with --set"),
        (("figures", "--set", "a.b", "--undo", "a.b"), "one of them at a time"),
        (("figures", "--edits", "none.toml"), "no such file"),
        (("figures", "--edits", "."), "can't be read"),
        (
            ("figures", "--edits", "no/f.toml", "--set", "bread.g_per_cell", "--to", "0.2", "--why", "x"),
            "no/f",
        ),
        (("season", YARD, "--weather", WEATHER, "--seed", "-1"), "greater than or equal to 0"),
        (("weather", WEATHER, "--latitude", "nan"), "--latitude"),
        (("yards", "own.sqlite", "--weather", WEATHER), "goes with a yard"),
        (("serve", "."), "the book cannot be opened"),
        (("nonsense",), "No such command"),
    ],
)
def test_what_was_typed_wrong_is_said_and_is_exit_code_2(
    words: tuple[str, ...], said: str, tmp_path: Path
) -> None:
    done = breadline(*words, cwd=tmp_path)
    assert (done.returncode, said in done.stderr) == (2, True), done.stderr
    assert "Traceback" not in done.stderr
    as_json = breadline(*words, "--json", cwd=tmp_path)
    assert as_json.returncode == 2
    error = json.loads(as_json.stdout)["error"]
    assert said in " ".join(error.values())


def test_an_edited_figure_shows_the_edit_beside_what_was_shipped(tmp_path: Path) -> None:
    file = tmp_path / "figures.toml"
    asked = ("figures", "--edits", str(file), "--set", "bread.g_per_cell", "--to", "0.2")
    told = breadline(*asked, "--why", "our scale [bold]").stdout
    assert "bread.g_per_cell: 0.2 g" in told
    assert "our scale [bold]" in told
    assert "as shipped" in told


def test_a_narrow_terminal_keeps_keys_whole_and_lines_short(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    lines = breadline("figures", "bread").stdout.splitlines()
    assert any(line.startswith("bread.cells_per_deep_frame: ") for line in lines)
    assert max(map(len, lines)) <= 60


def test_a_terminal_without_our_letters_spells_them_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PYTHONIOENCODING", "ascii")
    told = program("season", YARD, "--weather", WEATHER)
    assert told.returncode == 0, told.stderr
    assert "5 1/2 frames of bees" in " ".join(told.stdout.split())
    document = json.loads(program("figures", "pollen", "--json").stdout)
    monkeypatch.delenv("PYTHONIOENCODING")
    assert document == json.loads(breadline("figures", "pollen", "--json").stdout)


def test_the_list_of_yards_is_read_at_any_width(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book, as_of = str(tmp_path / "own.sqlite"), ("--as-of", "2026-01-20")
    wide = breadline("yards", book, "--add", YARD, "--weather", WEATHER, *as_of).stdout.splitlines()
    assert wide[0].split() == ["yard", "short", "from", "what", "to", "do"]
    assert max(map(len, wide)) <= 80
    monkeypatch.setenv("COLUMNS", "60")
    narrow = breadline("yards", book, *as_of).stdout.splitlines()
    assert narrow[0] == "Mill Shoals (24)"
    assert narrow[1].startswith("  short from: about ")
    assert max(map(len, narrow)) <= 60


def test_an_empty_book_says_how_to_fill_it(tmp_path: Path) -> None:
    open_book(tmp_path / "own.sqlite").dispose()
    assert "--add YARD.toml" in program("yards", "own.sqlite", cwd=tmp_path).stdout
    mistyped = breadline("yards", "owm.sqlite", cwd=tmp_path)
    assert mistyped.returncode == 2
    assert "yards owm.sqlite --add YARD.toml" in mistyped.stderr
    assert not (tmp_path / "owm.sqlite").exists()


def test_the_record_of_a_book_is_told_and_files_alone_keep_nothing(tmp_path: Path) -> None:
    from breadline.jobs.demo import make_demo

    book = tmp_path / "demo.sqlite"
    make_demo(book)
    told = breadline("season", "--record", str(book))
    assert told.returncode == 0, told.stderr
    assert told.stdout.startswith("Of ")
    assert "by chance" in told.stdout
    assert json.loads(breadline("season", "--record", str(book), "--json").stdout)["outlooks_kept"] > 0
    files = " ".join(breadline("season", YARD, "--weather", WEATHER).stdout.split())
    assert "Nothing is kept of this outlook, since it came from files." in files


def test_a_record_wants_a_book_and_nothing_else(tmp_path: Path) -> None:
    missing = tmp_path / "none.sqlite"
    done = breadline("season", "--record", str(missing))
    assert done.returncode == 2
    assert "there is no such book" in done.stderr
    assert not missing.exists()
    both = breadline("season", YARD, "--weather", WEATHER, "--record", str(missing))
    assert both.returncode == 2
    assert "takes a book of records alone" in both.stderr


def test_the_commands_stand_in_the_order_of_the_loop() -> None:
    made = typer.main.get_command(app_module.app)
    assert isinstance(made, app_module.InOrder)
    listed = made.list_commands(None)
    assert list(app_module.IN_ORDER) == listed, "every command has its place, and no place is empty"
    loop = ["yards", "ration", "rounds", "check-group", "verdict", "evidence", "figures"]
    assert [name for name in listed if name in loop] == loop
