"""Why a plan is struck out is said in the language of who reads, whoever asked first. All invented."""

from __future__ import annotations

import re

from starlette.testclient import TestClient

from breadline.language import say, speaking
from web.conftest import HERE
from web.served import found
from web.test_rounds_page import TYPED, few_draws, there  # noqa: F401


def struck(html: str) -> str:
    part = re.search(r'class="plain struck">(.*?)</ul>', html, re.DOTALL)
    assert part is not None
    return part[1]


def test_a_second_reader_has_the_reasons_in_his_own_language(there):  # noqa: F811
    client, key, _ = there
    late = "too late for {day}: no bee raised on it is out by then"
    english = struck(found(client, key, TYPED).text)
    assert "no bee raised on it is out by then" in english
    reader = TestClient(client.app, base_url=HERE, headers={"origin": HERE, "accept-language": "es"})
    spanish = struck(found(reader, key, TYPED).text)
    with speaking("es"):
        own = say(late, day="§").partition("§")[2]
    assert own
    assert own in spanish
    assert "no bee raised" not in spanish
    assert struck(found(client, key, TYPED).text) == english, "the first one's stay English"
