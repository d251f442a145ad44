"""The batch sheet is one tagged page that can be read back, whatever the user wrote into it."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date
from math import ceil

import pytest
from pypdf import PdfReader

from breadline.errors import RecordError
from breadline.knowledge.ingredient import Content, Price
from breadline.plan.mixing_days import mixing_days
from breadline.ration.batch import Batch, batch_of
from breadline.ration.batch_lines import Mixing
from breadline.ration.measures import LB_G
from breadline.ration.measuring import Bucket
from breadline.sheets.batch_sheet import LONGEST, MOST_BOXES, Heading, batch_sheet, batch_sheet_data
from tests.plan.loads import load
from tests.ration.made_up import ingredient, recipe
from tests.ration.mixing_room import CREW, DRY_FALL

HEADING = Heading(
    "14", date(2026, 8, 25), "version 3, 18 August 2026", "Tarweed Flat and Lower Ditch, round 2",
    ("Soy and yeast dust: mask on, door open, no sparks.", "No drugs in this batch. Ask a veterinarian."),
    "Cool and dark; freeze what is not used within the week.",
)  # fmt: skip
PAPERS = {"a4": (595, 842), "us-letter": (612, 792)}  # their sizes [pt]
LONG = "Defatted toasted soy flour of the second grade, low fat, as the mill in the valley bags it"


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def words(pdf: bytes) -> str:
    return " ".join(read(pdf).pages[0].extract_text().split())


def many(count: int) -> Batch:
    """So many ingredients with long names, all in buckets, with a price and a bag each."""
    kinds = [
        replace(ingredient(f"kind_{n}", 5.0 * (n % 5), traits=("powder",) if n else ("syrup",), water=6.0),
                name=f"{LONG} {n}", bulk_g_per_ml=Content(0.5, 0.6))
        for n in range(count)
    ]  # fmt: skip
    prices = {kind.key: Price(1.5, "US$", 2026, 25.0) for kind in kinds}
    mix = replace(recipe(*((kind, 10.0 + n) for n, kind in enumerate(kinds))), name=LONG, prices=prices)
    pail = Bucket(5.0, "filled to 2 inches under the rim of the old blue pail that stands by the door")
    return batch_of(mix, Mixing(150_000, LB_G, "lb", wanted_g=400_000, bucket=pail, lost=0.02))


WORDY = replace(HEADING, meant_for=LONG * 4, version=LONG * 2, keeping=LONG * 3, cautions=(LONG * 3,) * 12)


def test_a_sentence_in_brackets_gets_no_second_stop():
    told = replace(HEADING, keeping="Keep it cool. (Activity of its water: about 0.85.)")
    assert "0.85.)." not in words(batch_sheet(many(2), told, "a4"))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", [1, 12, 25])
def test_it_is_one_page_of_the_paper_with_every_ingredient_in_order(count, paper):
    batch = many(count)
    pdf = batch_sheet(batch, WORDY, paper)
    (page,) = read(pdf).pages
    assert [round(side) for side in page.mediabox[2:]] == list(PAPERS[paper])
    text = words(pdf)
    places = [text.find(f"{LONG} {n}"[: LONGEST["name"] - 1]) for n in range(count)]
    assert -1 not in places
    assert places == sorted(places)


@pytest.mark.parametrize("paper", PAPERS)
def test_everything_stands_inside_the_margins(paper):
    inside = []

    def seen(text, place, _matrix, _font, _size):
        if text.strip():
            inside.append((place[4], place[5]))

    page = read(batch_sheet(many(12), WORDY, paper)).pages[0]
    page.extract_text(visitor_text=seen)
    wide, high = PAPERS[paper]
    assert len(inside) > 50
    assert all(20 < x < wide - 20 and 20 < y < high - 20 for x, y in inside)


def test_it_says_what_the_mixing_room_needs():
    text = words(batch_sheet(batch_of(DRY_FALL, CREW), HEADING, "us-letter"))
    for said in (
        "Batch sheet · 14 · Tuesday 25 August 2026", "Dry-fall mix, one mixer load", "pieces of 1 lb",
        "Measure everything out and line it up before the mixer starts.", "2½ buckets",
        "Fill your 5-gallon pail to 2 inches under the rim", "Check on the scale", "should weigh",
        "Mix and press", "No drugs in this batch", "% as fed", "% of dry matter", "N × 6.25", "Real pollen",
        "Mixed by", "Time", "Pieces made", "version 3, 18 August 2026", "Tarweed Flat",
    ):  # fmt: skip
        assert said in text


def test_cost_carries_its_year():
    prices = {part.ingredient.key: Price(2.0, "US$", 2026) for part in DRY_FALL.parts}
    text = words(batch_sheet(batch_of(replace(DRY_FALL, prices=prices), CREW), HEADING, "a4"))
    assert "US$0.91 a pound" in text  # 2.00 a kg over 2.20462 lb
    assert "at your 2026 prices" in text


def test_it_is_tagged_and_titled_for_a_screen_reader():
    reader = read(batch_sheet(batch_of(DRY_FALL, CREW), HEADING, "a4"))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"].startswith("en")
    assert reader.metadata.title == "Dry-fall mix, one mixer load"
    assert "pdfuaid" in reader.xmp_metadata.stream.get_data().decode()
    kinds = set(_kinds(root["/StructTreeRoot"]))
    assert {"/H1", "/H2", "/Table", "/TH", "/TD"} <= kinds


def _kinds(node):
    if "/S" in node:
        yield str(node["/S"])
    below = node.get("/K", [])
    for kid in below if isinstance(below, list) else [below]:
        kid = kid.get_object() if hasattr(kid, "get_object") else kid
        if hasattr(kid, "get"):
            yield from _kinds(kid)


MARKUP = '#panic("no") $x$ *bold* _it_ = head @ref <tag> `raw` \\ // /* [x] "q" ~'


def test_what_the_user_wrote_is_never_markup():
    mix = replace(DRY_FALL, name=MARKUP)
    text = words(
        batch_sheet(batch_of(mix, CREW), replace(HEADING, meant_for=MARKUP, cautions=(MARKUP,)), "a4")
    )
    assert text.count("*bold* _it_") == 4  # title, foot, what for, caution
    assert '#panic("no")' in text


@pytest.mark.parametrize(
    "name", ["Пыльца и дрожжи", "Łódź, żółtko jajka", "大豆粉", "שמרים", "line\nbreak\ttab"]
)
def test_names_in_any_script_still_make_a_page(name):
    pdf = batch_sheet(batch_of(replace(DRY_FALL, name=name), CREW), HEADING, "a4")
    assert len(read(pdf).pages) == 1


def test_names_beyond_the_shipped_letters_can_be_read_back():
    text = words(batch_sheet(batch_of(replace(DRY_FALL, name="Łódź Пыльца"), CREW), HEADING, "a4"))
    assert "Łód" in text
    assert "Пыльца" in text


def test_the_same_batch_gives_the_same_file():
    batch = batch_of(DRY_FALL, CREW)
    assert batch_sheet(batch, HEADING, "a4") == batch_sheet(batch, HEADING, "a4")


def test_several_loads_say_that_the_amounts_are_for_one():
    text = words(batch_sheet(many(3), HEADING, "a4"))
    assert "Amounts are for one load: mix it 3 times" in text
    assert "Load no. (of 3)" in text


def test_a_mixing_day_of_the_rounds_becomes_a_batch_sheet():
    (day,) = mixing_days((load(2),), 2)
    heading = replace(HEADING, on=day.on, meant_for=day.meant_for)
    text = words(batch_sheet(batch_of(DRY_FALL, day.asked_of(CREW)), heading, "a4"))
    assert "Sunday 23 August 2026" in text
    assert "For Tarweed Flat and Lower Ditch, round 2." in text
    assert f"{day.patties} pieces of 1 lb" in text


def test_an_unknown_paper_is_refused():
    with pytest.raises(RecordError, match="a4 or us-letter"):
        batch_sheet(batch_of(DRY_FALL, CREW), HEADING, "a5")


def test_a_box_is_there_for_every_bucket_and_says_which_part():
    batch = batch_of(DRY_FALL, CREW)
    rows = batch_sheet_data(batch, HEADING, "a4")["lines"]
    assert [len(row["ticks"]) for row in rows] == [max(1, ceil(line.measured.count)) for line in batch.lines]
    assert [row["ticks"][-1] for row in rows if row["how"].startswith("2½")] == ["½"]


def test_more_boxes_than_fit_are_counted():
    crumbs = replace(CREW, bucket=Bucket(0.9, "to the rim", "scoop"), wanted_g=150 * LB_G)
    row = batch_sheet_data(batch_of(DRY_FALL, crumbs), HEADING, "a4")["lines"][1]
    assert len(row["ticks"]) == MOST_BOXES
    assert row["ticks"][-1].startswith("+")


@pytest.mark.parametrize("paper", PAPERS)
def test_twelve_ingredients_stay_legible(paper):
    sizes = []
    page = read(batch_sheet(many(12), HEADING, paper)).pages[0]
    page.extract_text(
        visitor_text=lambda text, _p, _m, _f, size: sizes.append(size) if text.strip() else None
    )
    assert min(sizes) >= 8.0
