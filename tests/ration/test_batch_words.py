"""What the mixing room reads: amounts, checks, protein and cost, each as it is and not finer."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings

from breadline.knowledge.ingredient import Content, Price
from breadline.language import speaking
from breadline.ration.batch import batch_of
from breadline.ration.batch_contents import (
    cost_said,
    pollen_said,
    protein_by_bucket,
    protein_rounding,
    protein_said,
)
from breadline.ration.batch_lines import Mixing
from breadline.ration.batch_words import (
    bags_said,
    bucket_said,
    full_bucket,
    how_much,
    left_over,
    lost,
    makes,
    mixing_steps,
    scale_checks,
    short,
    ticks,
    to_ask,
)
from breadline.ration.measures import LB_G
from breadline.ration.measuring import Bucket

from .made_up import ingredient, recipe
from .mixing_room import CREW, DRY_FALL, FINE_SUGAR, SYRUP, YEAST, priced
from .test_batch import SMALL, STRONG_MIX, batches


def test_a_full_bucket_is_checked_against_its_range():
    assert full_bucket(Content(31.2 * LB_G, 34.9 * LB_G), "lb") == "33 lb (31 to 35)"
    assert full_bucket(Content(8_150, 9_780), "kg") == "9 kg (8.2 to 9.8)"


def test_a_bucket_that_somebody_weighed_still_has_a_range():
    assert full_bucket(Content(18 * LB_G, 18 * LB_G), "lb") == "18 lb (17 to 19)"


def test_only_what_fills_a_bucket_is_checked():
    names = [name for name, _ in scale_checks(batch_of(DRY_FALL, CREW))]
    assert names == ["Syrup 2:1, warm", "Sugar, fine", "Soy flour, low fat", "Brewer’s yeast, dried"]


@pytest.mark.parametrize(
    "level", ["filled to 2 inches under the rim", "to 2 inches under the rim", "2 inches under the rim"]
)
def test_the_level_reads_well_however_it_was_written(level):
    batch = batch_of(DRY_FALL, replace(CREW, bucket=Bucket(17.0, level)))
    said = bucket_said(batch)
    assert said == "Fill your bucket to 2 inches under the rim: 4½ gal."
    with speaking("es"):
        assert "hasta 2 pulgadas bajo el borde" in bucket_said(batch)


def test_a_part_of_a_bucket_is_a_box_with_its_part():
    lines = batch_of(DRY_FALL, CREW).lines
    for line in lines:
        boxes = ticks(line)
        assert len(boxes) >= 1
        if line.measured.vessel == "buckets":
            parts = {"": 1.0, "¼": 0.25, "½": 0.5, "¾": 0.75}
            assert sum(parts[box] for box in boxes) == line.measured.count


def test_amounts_are_in_buckets_bags_or_weights():
    said = [how_much(line, "lb") for line in batch_of(DRY_FALL, CREW).lines]
    assert all(re.fullmatch(r"[\d¼½¾]+ buckets?|[\d¼½¾]+ lb( [\d¼½¾]+ oz)?", one) for one in said)
    assert any("bucket" in one for one in said)


def test_pieces_and_what_is_left_over():
    batch = batch_of(DRY_FALL, Mixing(10_000, 450, "kg", wanted_g=10_000))
    assert batch.pieces == 22
    assert f"22 pieces of 450 g, {left_over(batch)} left over" in makes(batch)
    assert left_over(batch_of(DRY_FALL, Mixing(9_000, 450, "kg", wanted_g=9_000))) == "nothing"


def test_losses_and_a_short_batch_are_said_and_only_then():
    plain = batch_of(DRY_FALL, Mixing(100_000, 500, "kg", wanted_g=50_000))
    assert (lost(plain), short(plain)) == ("", "")
    sticky = batch_of(DRY_FALL, Mixing(100_000, 500, "kg", wanted_g=50_000, lost=0.04))
    assert "your 4 %" in lost(sticky)
    three = batch_of(DRY_FALL, Mixing(136_077, 500, "kg", 400_000, CREW.bucket, lost=0.02))
    assert three.short_g > 250
    assert "less than the 400 kg wanted" in short(three)


def test_bags_are_taken_from_the_store():
    mix = replace(DRY_FALL, prices=priced("fine_sugar", 1.0, 25.0))
    (said,) = bags_said(batch_of(mix, Mixing(100_000, 500, "kg", wanted_g=100_000)))
    assert said.startswith("Sugar, fine: 2 bags of 25 kg (")


def test_a_density_that_nobody_told_is_asked_for():
    mix = recipe((SYRUP, 10), (replace(YEAST, bulk_g_per_ml=None), 10))
    assert "weigh one full bucket once: Brewer’s yeast, dried" in to_ask(batch_of(mix, CREW))


def test_protein_is_told_on_both_bases_with_the_factor():
    said = protein_said(batch_of(DRY_FALL, CREW))
    assert re.fullmatch(r"(about )?[\d to]+ % as fed, (about )?[\d to]+ % of dry matter "
                        r"\(crude protein, N × 6.25\)", said)  # fmt: skip


def test_buckets_that_may_be_light_or_heavy_widen_protein():
    assert protein_by_bucket(batch_of(DRY_FALL, CREW))
    assert protein_by_bucket(batch_of(DRY_FALL, replace(CREW, bucket=None))) == ""


def test_moved_protein_comes_with_the_weights_that_mend_it():
    kept = batch_of(STRONG_MIX, replace(SMALL, keep_buckets=True))
    said = protein_rounding(kept)
    assert "more than the half point allowed" in said
    assert re.search(r"Weigh instead: [\d.]+ kg isolate", said)


@settings(max_examples=60, deadline=None)
@given(batch=batches())
def test_the_sentence_on_protein_is_true(batch):
    """From low ends where it names two: the shift is said, and said to be too far just when it is."""
    said, moved = protein_rounding(batch), batch.protein_moved
    assert ("more than the half point" in said) == (abs(moved) > 0.5)
    stated = re.search(r"(\d+\.\d) points (more|less)", said)
    if stated is None:
        assert abs(moved) < 0.05
        assert "stays" in said
    else:
        assert float(stated[1]) == pytest.approx(abs(moved), abs=0.051)
        assert (stated[2] == "more") == (moved > 0)


def test_real_pollen_is_none_or_its_share():
    pollen = ingredient("pollen", 20.0, traits=("pollen",), water=10.0)
    assert pollen_said(batch_of(DRY_FALL, CREW)) == "none"
    assert pollen_said(batch_of(recipe((SYRUP, 90), (pollen, 10)), Mixing(1000, 100, "kg"))).startswith(
        "10 %"
    )


def test_cost_needs_every_price_and_says_its_year():
    mix = recipe((SYRUP, 50), (FINE_SUGAR, 50))
    kilo = Mixing(100_000, 500, "kg", wanted_g=10_000)
    one = {"syrup": Price(1.0, "€", 2025)}
    both = {**one, "fine_sugar": Price(2.0, "€", 2026)}
    assert cost_said(batch_of(mix, kilo)) == "no prices given"
    assert cost_said(batch_of(replace(mix, prices=one), kilo)) == "not known: no price for Sugar, fine"
    assert cost_said(batch_of(replace(mix, prices=both), kilo)).startswith(
        "€1.50 a kg, €15.00 in all, at your 2025 to 2026"
    )
    lossy = batch_of(replace(mix, prices=both), replace(kilo, lost=0.5))
    assert cost_said(lossy).startswith("€3.00 a kg")  # half of what is mixed is lost


@pytest.mark.parametrize(
    ("many", "said"), [(1, "number 1 first, with"), (2, "then 2 with"), (5, "then 2 to 5 with")]
)
def test_the_order_of_mixing_counts_the_lines(many, said):
    mix = replace(DRY_FALL, parts=DRY_FALL.parts[:many])
    assert said in mixing_steps(batch_of(mix, CREW))[1]
