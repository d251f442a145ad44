"""Until when colonies lived: no word over another, and the sentence says the same. Invented."""

from __future__ import annotations

import re
from dataclasses import asdict, replace
from datetime import timedelta

import pytest

from breadline.language import speaking
from breadline.pictures.frame import Size
from breadline.pictures.lived_chart import lived_chart
from breadline.pictures.palette import GREY, SCREEN
from breadline.trial.colonies import Became
from breadline.verdict.ends_of import ends_of
from breadline.verdict.lived import lived
from pictures.reading import overlaps, view_box, written
from tests.verdict.finished_trials import DAY, became, trial

SIZES: tuple[Size, ...] = ("wide", "phone", "print")


def shown(tags: list[str], since: int):
    one = trial()
    for n, tag in enumerate(tags):
        one = became(one, [tag], Became.DEAD, graded_on=DAY - timedelta(days=9 * n + 4))
    return lived(one.design, ends_of(one.design, one.ended), DAY - timedelta(days=since) if since else None)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("tags", "since"),
    [(["T0", "T2", "T1", "T8"], 120), (["T0"], 0), ([f"T{k}" for k in range(36)], 400)],
    ids=["some", "one", "nearly all"],
)
def test_no_letter_covers_another_or_leaves_the_sheet_and_every_colour_is_of_the_house(tags, since, size):
    svg = lived_chart(shown(tags, since), size)
    lines, sheet = written(svg), view_box(svg)
    assert overlaps(lines) == []
    assert not [line.text for line in lines if not sheet.holds(line.box)]
    colours = {str(value).upper() for value in asdict(GREY if size == "print" else SCREEN).values()}
    assert {c.upper() for c in re.findall(r"#[0-9A-Fa-f]{6}", svg)} <= colours
    assert {"fed", "check", "Colonies living"} <= {line.text for line in lines}


@pytest.mark.parametrize("size", SIZES)
def test_a_long_name_is_shortened_and_leaves_the_curve_its_room(size):
    both = shown(["T0", "T2", "T1"], 120)
    long = replace(
        both, fed=replace(both.fed, name="patties with real pollen and a very long name of its own")
    )
    svg = lived_chart(long, size)
    lines, sheet = written(svg), view_box(svg)
    assert overlaps(lines) == []
    assert not [line.text for line in lines if not sheet.holds(line.box)]
    assert any(line.text.startswith("patties") for line in lines)


def test_it_says_itself_what_it_shows():
    svg = lived_chart(shown(["T0", "T2", "T1", "T8"], 120), "wide")
    assert "Living on 10 February 2027: 95 of 100 fed and 85 of 100 check." in svg


def test_a_spanish_reader_sees_the_groups_in_spanish_and_own_names_as_they_are():
    both = shown(["T0", "T2", "T1", "T8"], 120)
    with speaking("es"):
        drawn = lived_chart(both, "print")
        own = lived_chart(replace(both, fed=replace(both.fed, name="Amber")), "print")
    words = {line.text for line in written(drawn)}
    assert {"con alimento", "testigo"} <= words
    assert not {"fed", "check"} & words
    assert "Amber" in {line.text for line in written(own)}
