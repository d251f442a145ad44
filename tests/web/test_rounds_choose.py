"""A plan that is chosen while another one stands, seen or not. All invented."""

from __future__ import annotations

import re

from breadline.jobs.rounds_book import RoundsBook
from web.test_rounds_page import FOLDER, TODAY, found, plain, shown_with, there

__all__ = ["there"]


def test_a_choice_off_an_old_list_asks_before_it_takes_the_place_of_another(there):
    client, key, path = there
    text = (FOLDER / "rounds.toml").read_text("utf-8")
    list_of = found(client, key, {"kind": "frames", "file": text}).text
    (seen,) = re.findall(r'name="seen" value="([^"]+)"', list_of)
    sent = [client.post(f"/rounds/{key}/choose", data={"asked": text, "at": at, "seen": seen},
                        follow_redirects=False) for at in ("1", "0")]  # fmt: skip
    assert [one.status_code for one in sent] == [303, 409]
    held = RoundsBook(path, TODAY).plan(key)
    assert held.rounds, "the first choice holds until it is said otherwise"
    asks = plain(sent[1].text)
    assert "Another plan was chosen here after you opened the list" in asks
    assert held.sentence in asks
    (now,) = re.findall(r'name="seen" value="([^"]+)"', sent[1].text)
    data = {"asked": text, "at": "0", "seen": now}
    assert client.post(f"/rounds/{key}/choose", data=data, follow_redirects=False).status_code == 303
    assert RoundsBook(path, TODAY).plan(key).rounds == ()


def test_a_choice_that_does_not_say_which_plan_its_list_had_asks_first(there):
    client, key, path = there
    text = (FOLDER / "rounds.toml").read_text("utf-8")
    seen = shown_with(found(client, key, {"kind": "frames", "file": text}))
    data = {"asked": text, "at": "1"}
    first = client.post(f"/rounds/{key}/choose", data=data | {"seen": seen}, follow_redirects=False)
    assert first.status_code == 303
    held = RoundsBook(path, TODAY).plan(key)
    for more in ({}, {"seen": ""}, {"seen": "none"}):
        sent = client.post(f"/rounds/{key}/choose", data={**data, "at": "0", **more}, follow_redirects=False)
        assert sent.status_code == 409
        assert RoundsBook(path, TODAY).plan(key).id == held.id
    sent = client.post(f"/rounds/{key}/choose", data=data | {"at": "0"}, follow_redirects=False)
    assert "A plan is chosen here already" in plain(sent.text)
    assert held.sentence in plain(sent.text)
    (now,) = re.findall(r'name="seen" value="([^"]+)"', sent.text)
    data |= {"at": "0", "seen": now}
    assert client.post(f"/rounds/{key}/choose", data=data, follow_redirects=False).status_code == 303
    assert RoundsBook(path, TODAY).plan(key).rounds == ()
