"""Pieces that nobody cuts out of the feed's own patty are weighed out. All invented."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.jobs import rounds_words as words
from breadline.jobs.rounds import Way, rounds_answer
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.plan.cuts import Patty
from breadline.plan.paper import Load
from breadline.plan.portions import Step
from breadline.sheets.labels import box_labels
from breadline.sheets.truck_sheet import truck_sheet_data
from jobs.test_rounds import POUND, YARD, asked, told, weather

__all__ = ["told", "weather"]


def test_pieces_are_weighed_out_of_a_block_too_large_to_be_cut_in_quarters(weather):
    told = rounds_answer(YARD, weather, asked("patty_lb = 1", "patty_lb = 6"), way=Way(draws=20))
    (of,) = told.allowed.of_feeds
    assert of.patty.sold_g == pytest.approx(6 * POUND)
    assert max(of.grams) == pytest.approx(POUND), "a quarter would be 1½ lb, more than they clear"
    at = max((one for one in told.answer.found.finalists if one.plan.kind == "search"), key=lambda o: o.money)
    paper = yard_paper(told, at)
    for visit, piece in zip(paper.visits, at.plan.pieces, strict=True):
        assert visit.patty.sold_g == pytest.approx(6 * POUND)
        assert {step.cut * visit.patty.mass_g for step in visit.steps} <= {0.0, piece.grams, piece.grams / 2}


def test_last_years_pieces_that_nobody_cuts_are_weighed_out_in_full(told):
    """38 hives of 40 with ¾ lb each take 28½ lb, which is no less than 29 patties of a pound."""
    at = told.taken(1)
    uneven = tuple(replace(piece, grams=0.75 * POUND) for piece in at.plan.pieces)
    at = replace(at, plan=replace(at.plan, pieces=uneven))
    assert "of ¾ lb (by weight)" in words.plan_name(told, at)
    whole = replace(told, plan=replace(told.plan, hives=()))
    visit = replace(yard_paper(whole, at).visits[0], steps=(Step(0.0, 0.0), Step(2.5, 1.0)), counts=(2, 38))
    assert visit.patty == Patty(0.75 * POUND, "lb", sold_g=POUND)
    load = Load((visit,), 0.0, 1)
    assert load.for_hives == 29
    assert truck_sheet_data(load, "a4")["yards"][0]["patties"] == "29 lb"
    assert [label.gets for label in box_labels(load, 20)] == ["20 lb", "9 lb"]
