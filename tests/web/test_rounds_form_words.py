"""What is wrong with a field of rounds is said in the words of the form, not of the file. All invented."""

from __future__ import annotations

import html
import re
from urllib.parse import urlencode

import pytest

from web.test_evidence_page import plain
from web.test_rounds_page import MISSPELT, TYPED, few_draws, there  # noqa: F401

FLOW = {
    "kind": "honey_flow", "target.on": "2026-04-10", "target.until": "2026-05-20", "target.usual_lb": "60",
    "target.price": "2", "target.per": "lb",
}  # fmt: skip
REST = {key: value for key, value in TYPED.items() if not key.startswith(("target.", "kind"))}


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (TYPED | {"feed.per": ""}, "Choose what the price is for"),
        (
            TYPED | {"feed.price": "-1"},
            "for the unit beside it. Write what you are paid or were quoted",
        ),
        (TYPED | {"target.grade": "abc"}, "Expected a number without a unit"),
        (TYPED | {"target.paid": ""}, "Expected one of hive by hive, by the sample's average"),
        (TYPED | {"year": ""}, "Expected the year of the prices"),
        (TYPED | {"work.minutes_colony": "-1"}, "leave it empty if you don't know it"),
        (FLOW | REST | {"target.usual_lb": ""}, "Expected the usual crop of a colony. "),
        (FLOW | REST | {"target.price": ""}, "Expected what honey sells for, and for what"),
    ],
)
def test_no_word_of_a_file_stands_on_the_form(there, typed, says):  # noqa: F811
    client, key, _ = there
    answer = client.get(f"/rounds/{key}/plans?{urlencode(typed)}")
    assert answer.status_code == 422
    wrong = re.search(r'id="wrong">(.*?)</div>', answer.text, re.DOTALL)
    assert wrong is not None
    said = html.unescape(plain(wrong[1]))
    assert says in said
    for word in (" = ", "quotes", "_", " line", " per.", "[["):
        assert word not in said.removesuffix("Nothing you typed is lost. "), said
    beside = re.search(r'class="wrong-here">(.*?)</span>', answer.text, re.DOTALL)
    assert beside is not None
    assert "_" not in plain(beside[1])


def test_a_plan_file_that_was_pasted_is_told_in_its_own_words(there):  # noqa: F811
    client, key, _ = there
    file = MISSPELT.replace("grad = 8", "grade = 8").replace('per = "lb"', "", 1)
    answer = client.get(f"/rounds/{key}/plans?{urlencode(TYPED | {'file': file})}")
    assert answer.status_code == 422
    assert 'per = "lb"' in html.unescape(answer.text)
