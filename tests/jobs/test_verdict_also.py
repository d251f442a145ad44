"""Columns beside the outcome: units by their heads, and nothing in them stops a verdict."""

from __future__ import annotations

import pytest

from breadline.errors import TrialError
from breadline.jobs.check_group_ends import ends_from_text
from breadline.jobs.verdict import Prices, Told, VerdictAsked, verdict_of_table
from breadline.jobs.verdict_also import NAMED
from breadline.jobs.verdict_cells import table_of
from breadline.jobs.verdict_columns import NAMES, UNITS
from breadline.jobs.verdict_rows import SheetAsked, colonies_of
from breadline.jobs.verdict_told import verdict_document, verdict_lines
from breadline.trial.colonies import Also
from tests.verdict.finished_trials import trial

HEAD = "hive,yard,group,before,after"
ASKED = VerdictAsked(Prices(cost=16, price=18, year=2026), Told(drawn="lot"), draws=99)


def rows(more):
    return [f"H{k},north,{'fed' if k % 2 else 'check'},6,{6 + k % 5 + k % 2},{more(k)}" for k in range(20)]


def read(head, more):
    table = table_of("own.csv", "\n".join([f"{HEAD},{head}", *rows(more)]).encode())
    return colonies_of(table, SheetAsked())


def test_units_stand_behind_the_heads():
    found = read("Brood,Hive weight (lb),Weight before lb,Honey kg,Eaten oz", lambda k: f"{k / 2},50,40,3,16")
    also = found.ended[3].also
    assert (also.brood, also.honey) == (1.5, 3.0)
    assert (also.weight, also.weight_before) == pytest.approx((22.679619, 18.143695), abs=1e-5)
    assert also.eaten == pytest.approx(453.59237)


def test_honey_beside_frames_is_what_was_taken_and_asks_its_unit():
    found = read("honey", lambda k: "12")
    assert found.ended[0].also.honey is None
    assert found.ended[0].outcome == 6
    assert any("kg or lb is not said" in text for text in found.remarks)


@pytest.mark.parametrize(
    ("cell", "why"), [("good", "is no number"), ("-3", "cannot be"), ("900", "cannot be")]
)
def test_a_word_in_such_a_column_leaves_it_out_and_is_said(cell, why):
    found = read("Brood", lambda k: cell if k == 4 else "5")
    assert all(end.also == Also() for end in found.ended)
    assert any("row 6, column Brood" in text and why in text for text in found.remarks)


def test_a_verdict_describes_and_does_not_decide():
    table = table_of(
        "own.csv", "\n".join([f"{HEAD},brood,eaten g", *rows(lambda k: f"{k % 7},{k}")]).encode()
    )
    plain = table_of(
        "own.csv", "\n".join([HEAD, *(row.rsplit(",", 2)[0] for row in rows(lambda k: ","))]).encode()
    )
    found, without = verdict_of_table(table, ASKED), verdict_of_table(plain, ASKED)
    lines = [text for _, text in verdict_lines(found)]
    assert "Described, not decided on" in lines
    assert not [text for _, text in verdict_lines(without) if "Described" in text]
    assert (found.answer.given, found.spoken.sentence) == (without.answer.given, without.spoken.sentence)
    assert [one["measure"] for one in verdict_document(found)["described"]["measures"]] == ["brood"]


def test_ends_of_a_drawn_trial_carry_them_too():
    text = "tag,frames,brood,weight lb,eaten g\nT0,7,4.5,80,410\nT1,8,,,\n"
    first, second = ends_from_text(text, "ends.csv", trial().design)
    assert first.also == Also(brood=4.5, weight=pytest.approx(36.2873896), eaten=410.0)
    assert second.also == Also()


def test_a_weight_without_its_unit_is_asked_and_not_guessed():
    with pytest.raises(TrialError, match="its unit is not said"):
        ends_from_text("tag,frames,weight\nT0,7,80\n", "ends.csv", trial().design)


HEADS = ["honey kg", *(
    f"{name}{unit and f' ({unit})'}"
    for column in NAMED
    for name in NAMES[column].split("|")
    for unit in UNITS.get(column, ("",))
)]  # fmt: skip


def test_a_head_says_the_same_in_a_spreadsheet_and_where_ends_are_entered():
    """Every head and unit that the one reads, the other reads as the same number of the same thing."""
    design = trial().design
    for head in HEADS:
        text = f"hive,group,end,status,{head}\n"
        text += "".join(f"T{n},{'fed' if n % 2 else 'check'},7,graded,{n + 1}\n" for n in range(4))
        sheet = colonies_of(table_of("t.csv", text.encode()), SheetAsked()).ended[3].also
        assert sheet != Also(), head
        assert ends_from_text(text, "t.csv", design)[3].also == sheet, head
