"""Taps that were not entered: over midnight, in two tabs, and of a hive that there never was."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest

from web.phone_here import begin, entries, go_to, heading, held, next_hive, sent, tap, until

pytestmark = pytest.mark.browser
FRAMES = "fieldset[data-of=frames] .value"


def shows(page, value: str) -> None:
    until(page, lambda: "".join(page.locator(FRAMES).all_inner_texts()) == value)


def test_taps_not_entered_before_midnight_are_entered_for_their_own_day(phone, house):
    today = datetime.now(UTC)
    phone.clock.set_system_time(today - timedelta(days=1))
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    begin(phone)
    tap(phone, "frames", "7")
    go_to(phone, "A2")
    tap(phone, "frames", "5")
    phone.clock.set_system_time(today)
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    phone.get_by_role("button", name="Look").click()
    phone.get_by_role("button", name=re.compile("^A2 of .* has taps of")).wait_for()
    phone.get_by_role("button", name=re.compile("^A1 of .* has taps of")).click()
    until(phone, lambda: heading(phone) == "A1")
    phone.get_by_text("Tapped on").wait_for()
    shows(phone, "7")
    next_hive(phone)
    until(phone, lambda: held(house, phone.yard) == {"A1": [7.0]})
    (one,) = entries(house, phone.yard)
    assert one.on == today.date() - timedelta(days=1)
    assert one.told["at"][:10] == one.on.isoformat()


def test_two_tabs_keep_each_others_taps(phone):
    other = phone.context.new_page()
    other.goto(phone.url)
    other.wait_for_selector("#field[data-ready=yes]")
    other.yard_name = phone.yard_name
    begin(phone)
    begin(other)
    phone.bring_to_front()
    tap(phone, "frames", "7")
    other.bring_to_front()
    go_to(other, "A2")
    tap(other, "frames", "5")
    go_to(other, "A3")
    phone.bring_to_front()
    go_to(phone, "A3")
    for page in (phone, other):
        page.bring_to_front()  # a browser lets a tab behind wait
        page.reload()
        page.wait_for_selector("#field[data-ready=yes]")
        go_to(page, "A2")
        shows(page, "5")
        go_to(page, "A1")
        shows(page, "7")
    other.close()


def test_a_hive_that_was_new_by_mistake_goes_with_its_entry(phone, house):
    begin(phone)
    for offline in (True, False):
        phone.context.set_offline(offline)
        phone.get_by_role("button", name="Another hive").click()
        phone.locator("#tag").fill("X9")
        phone.get_by_role("button", name="Go", exact=True).click()
        phone.get_by_role("button", name="It is a new hive").click()
        until(phone, lambda: heading(phone) == "X9")
        tap(phone, "frames", "6")
        next_hive(phone)
        if not offline:
            sent(phone)
            until(phone, lambda: held(house, phone.yard) == {"X9": [6.0]})
        go_to(phone, "X9")
        phone.get_by_role("button", name="Take it back").click()
        phone.get_by_text("X9 is taken back.").wait_for()
        phone.get_by_role("button", name="Another hive").click()
        row = phone.locator(".tags")
        row.get_by_role("button", name="A2").wait_for()
        if offline:
            assert row.get_by_role("button", name="X9").count() == 0
        phone.get_by_role("button", name="Back", exact=True).click()
        until(phone, lambda: heading(phone) == "X9")
    sent(phone)
    until(phone, lambda: held(house, phone.yard) == {})
    until(phone, lambda: [one.tag for one in house.book.hives(phone.yard)[1]] == ["A1", "A2", "A3"])


def test_each_record_tells_how_far_the_clock_was_ahead_when_the_laptop_was_last_reached(phone, house):
    begin(phone)
    tap(phone, "frames", "7")
    next_hive(phone)
    sent(phone)
    until(phone, lambda: len(entries(house, phone.yard)) == 1)
    told = entries(house, phone.yard)[0].told["clock"]
    assert abs(told["ahead"]) < 60
    assert abs(datetime.fromisoformat(told["met"]) - datetime.now(UTC)) < timedelta(minutes=5)
