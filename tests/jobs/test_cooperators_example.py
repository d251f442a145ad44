"""The invented cooperators of the examples: eleven stand, and the one that was picked by hand does not."""

from __future__ import annotations

from pathlib import Path

from breadline.jobs.pooled import pooled_files

FILES = sorted((Path(__file__).parents[2] / "examples" / "cooperators").glob("*.json"))


def test_all_are_read_and_the_hand_picked_one_is_left_out():
    told = pooled_files(FILES)
    (left,) = told.left_out
    assert left.file.name.startswith("Cooperator L")
    assert "chosen by hand" in left.left_out
    assert sum(len(group.trials) for group in told.groups) == len(FILES) - 1 == 11


def test_they_say_that_they_are_invented_and_name_nobody():
    for path in FILES:
        text = path.read_text("utf-8")
        assert "(invented)" in text
        assert '"owner": ""' in text
        assert '"place": ""' in text
