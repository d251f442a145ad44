"""What a phone keeps and says of it: nothing lost, nothing forgotten at one tap, no false comfort."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest

from breadline.jobs.field_record import LONGEST_BATCH, MOST, batch_of
from breadline.records.append_only import current
from breadline.records.engine import looking, open_book
from breadline.records.field_tables import FieldAnswer
from breadline.records.ids import new_id
from web.phone_here import begin, entries, go_to, heading, held, next_hive, sent, tap, until

pytestmark = pytest.mark.browser
WHY = "the clock of the phone is wrong"


def refusing(route) -> None:
    """A book that takes nothing."""
    told = json.loads(route.request.post_data)
    answers = [{"id": one["id"], "answer": "refused", "why": WHY} for one in told["records"]]
    route.fulfill(json={"answers": answers})


def foot(page) -> str:
    return page.locator("#waiting").inner_text()


def questions(house) -> int:
    with looking(open_book(house.path)) as session:
        return len(session.scalars(current(FieldAnswer).where(FieldAnswer.answer == "conflict")).all())


def saved(page, by="Save as file") -> dict:
    """The file that the page saves."""
    with page.expect_download() as coming:
        page.get_by_role("button", name=by).first.click()
    return json.loads(coming.value.path().read_text(encoding="utf-8"))


def test_what_the_book_refused_is_kept_told_saved_and_sent_again_and_forgotten_at_two_taps_only(phone, house):
    begin(phone)
    phone.route("**/field/send", refusing)
    tap(phone, "frames", "7½")
    next_hive(phone)
    phone.get_by_role("button", name="1 not taken: look").wait_for()
    assert "Everything" not in foot(phone)
    tap(phone, "frames", "6")
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    phone.get_by_role("button", name="1 not taken: look").click()
    assert f"Not taken: {WHY}" in phone.locator(".refused").inner_text()
    assert "Frames of bees: 7½" in phone.locator(".refused").inner_text()
    phone.get_by_role("button", name="Forget it").click()
    phone.get_by_role("button", name="Keep it").click()  # one tap forgets nothing
    assert [one["tag"] for one in saved(phone)["records"]] == ["A1"]
    phone.unroute("**/field/send")
    phone.get_by_role("button", name="Send again", exact=True).click()
    phone.get_by_text("Sent.").wait_for()
    until(phone, lambda: "Everything is" in foot(phone))
    assert heading(phone) == "A2"
    assert (
        "6" in phone.locator("fieldset[data-of=frames] legend").inner_text()
    )  # the hive in hand is as it was
    assert held(house, phone.yard) == {"A1": [7.5]}


def test_a_phone_that_is_let_in_no_longer_is_told_to_pair_anew_and_keeps_what_waits(phone, house):
    begin(phone)
    phone.route("**/field/send", lambda route: route.fulfill(status=401, body="no longer"))
    tap(phone, "frames", "5")
    next_hive(phone)
    until(phone, lambda: "the laptop lets this phone in no longer" in foot(phone))
    assert "1 hive kept on this phone" in foot(phone)
    assert phone.get_by_role("link", name="Pair it anew").get_attribute("href") == "/pair"
    assert phone.get_by_role("button", name="Save as file").count() == 1, "should nobody let it in"
    box = phone.locator("#waiting").bounding_box()
    for one in phone.locator("#waiting > *").all():
        assert one.bounding_box()["x"] + one.bounding_box()["width"] <= box["width"], "all of it is seen"
    phone.unroute("**/field/send")
    phone.reload()  # as after pairing
    phone.wait_for_selector("#field[data-ready=yes]")
    until(phone, lambda: "Everything is" in foot(phone))
    assert not phone.get_by_role("link", name="Pair it anew").count()
    assert held(house, phone.yard) == {"A1": [5.0]}
    phone.route("**/field/yards.json", lambda route: route.fulfill(status=401, body="no longer"))
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    until(phone, lambda: "The laptop lets this phone in no longer" in foot(phone))
    assert phone.get_by_role("link", name="Pair it anew").count() == 1


def test_a_refused_record_is_opened_and_entered_anew_in_its_place(phone, house):
    begin(phone)
    phone.route("**/field/send", refusing)
    tap(phone, "frames", "5")
    next_hive(phone)
    phone.get_by_role("button", name="1 not taken: look").click()
    phone.unroute("**/field/send")
    phone.get_by_role("button", name="Open it").click()
    until(phone, lambda: heading(phone) == "A1")
    tap(phone, "frames", "4")
    next_hive(phone)
    until(phone, lambda: "Everything is" in foot(phone))
    assert held(house, phone.yard) == {"A1": [4.0]}


def test_a_wrong_entry_that_was_sent_is_taken_back_and_what_was_taken_back_by_mistake_stays(phone, house):
    begin(phone)
    tap(phone, "frames", "9")
    next_hive(phone)
    sent(phone)
    until(phone, lambda: held(house, phone.yard) == {"A1": [9.0]})
    go_to(phone, "A1")
    phone.context.set_offline(True)
    phone.get_by_role("button", name="Take it back").click()
    phone.get_by_text("A1 is taken back.").wait_for()
    phone.get_by_role("button", name="Undo").click()  # not yet: it was the right one
    phone.get_by_text("Entered at").wait_for()
    phone.get_by_role("button", name="Take it back").click()
    phone.get_by_text("A1 is taken back.").wait_for()
    assert "1 hive kept on this phone" in foot(phone)
    phone.context.set_offline(False)
    sent(phone)
    until(phone, lambda: held(house, phone.yard) == {})
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    assert not phone.get_by_text("Entered at").count()
    tap(phone, "frames", "3")  # and is entered anew
    next_hive(phone)
    until(phone, lambda: held(house, phone.yard) == {"A1": [3.0]})  # the foot may tell of what was before


def test_taps_of_a_hive_that_is_left_wait_for_it_and_are_not_entered(phone, house):
    begin(phone)
    next_to = "fieldset[data-of=frames] legend"
    tap(phone, "frames", "10+", "4½")
    go_to(phone, "A2")
    tap(phone, "frames", "6")
    phone.locator(".back").click()
    until(phone, lambda: heading(phone) == "A1")
    assert "14½" in phone.locator(next_to).inner_text()
    phone.locator(".back").click()  # to the works of the yard, and again
    phone.get_by_role("button", name="Feeding round").click()
    until(phone, lambda: heading(phone) == "A1")
    assert "14½" in phone.locator(next_to).inner_text()
    next_hive(phone)
    assert "6" in phone.locator(next_to).inner_text()
    sent(phone)
    assert held(house, phone.yard) == {"A1": [14.5]}


def test_a_new_hive_that_is_changed_before_it_was_sent_is_still_new(phone, house):
    begin(phone)
    phone.context.set_offline(True)
    phone.get_by_role("button", name="Another hive").click()
    phone.locator("#tag").fill("N7")
    phone.get_by_role("button", name="Go", exact=True).click()
    phone.get_by_role("button", name="It is a new hive").click()
    phone.get_by_role("button", name="Another hive").click()
    phone.get_by_role("button", name="Back", exact=True).click()  # looked at the list, and is new still
    tap(phone, "frames", "8")
    go_to(phone, "A2")
    go_to(phone, "N7")
    assert "8" in phone.locator("fieldset[data-of=frames] legend").inner_text()
    next_hive(phone)
    phone.get_by_role("button", name="Undo").click()
    until(phone, lambda: heading(phone) == "N7")
    tap(phone, "frames", "7")
    next_hive(phone)
    go_to(phone, "N7")
    tap(phone, "frames", "6")
    phone.get_by_role("button", name="Keep the change").click()
    phone.get_by_text("N7 is kept.").wait_for()
    phone.context.set_offline(False)
    sent(phone)
    assert held(house, phone.yard) == {"N7": [6.0]}
    assert len(entries(house, phone.yard)) == 1
    assert questions(house) == 0


def test_what_was_saved_as_a_file_is_mended_from_then_on_and_is_in_the_book_once(phone, house):
    begin(phone, "Grading")
    phone.context.set_offline(True)
    for tag in ("A1", "A2", "A3"):
        assert heading(phone) == tag
        tap(phone, "frames", "9")
        next_hive(phone)
    phone.get_by_text("All 3 hives").wait_for()
    file = saved(phone, "Save what waits as a file")
    assert [one["tag"] for one in file["records"]] == ["A1", "A2", "A3"]
    house.book.take(json.dumps(file).encode(), saved=True)  # on the laptop, before the phone knows
    phone.get_by_role("button", name="Undo A3").click()
    phone.get_by_text("Entered at").wait_for()  # the laptop may have it: it is mended, not as if it never was
    tap(phone, "frames", "4")
    phone.get_by_role("button", name="Keep the change").click()
    phone.get_by_text("A3 is kept.").wait_for()
    phone.context.set_offline(False)
    sent(phone)
    assert held(house, phone.yard) == {"A1": [9.0], "A2": [9.0], "A3": [4.0]}
    assert questions(house) == 0


def test_a_saved_file_is_never_longer_than_the_laptop_takes(phone, house):
    texts = phone.evaluate(
        """async () => { const { files } = await import("/static/field/send.js");
        const { newKey, moment } = await import("/static/field/key.js");
        const one = () => ({ id: newKey(), work: "round", yard: newKey(), tag: "A1", at: moment(), seen: {},
            spoken: "日".repeat(300), state: "waiting", taps: { frames: 3 } });
        return files(Array.from({ length: 2345 }, one)); }"""
    )
    batches = [batch_of(text.encode(), datetime.now(UTC), saved=True) for text in texts]
    assert sum(len(one.records) for one in batches) == 2345
    assert all(len(one.records) <= MOST for one in batches)
    assert all(len(text.encode()) <= LONGEST_BATCH for text in texts)


def test_a_store_that_the_phone_has_shut_is_told_wherever_something_was_to_be_kept(phone):
    begin(phone)
    phone.evaluate(
        """() => { IDBDatabase.prototype.transaction = () => {
            throw new DOMException("no room", "QuotaExceededError"); }; }"""
    )
    for press in (
        lambda: phone.locator("fieldset[data-of=frames]").get_by_role("button", name="7", exact=True).click(),
        lambda: phone.locator(".next").click(),
        lambda: phone.get_by_role("button", name="Another hive").click(),
    ):
        phone.evaluate("() => { document.getElementById('said').hidden = true; }")
        press()
        phone.locator("#said.alarm").wait_for()
        assert "Not kept" in phone.locator("#said").inner_text()


def test_honey_mites_and_weight_are_in_the_book_with_their_units_and_who_entered_them(phone, house):
    phone.get_by_role("button", name=phone.yard_name).click()
    phone.locator("#who").fill("crew 2")
    phone.get_by_role("button", name="Yards").click()
    begin(phone, "A look inside")
    phone.locator("summary").click()
    tap(phone, "honey", "Light")
    phone.locator("#mites").fill("2,5")
    phone.locator("#weight").fill("a lot")
    phone.locator(".next").click()
    phone.get_by_text("is not taken. Mend it").wait_for()  # nothing typed is left out without a word
    assert heading(phone) == "A1"
    phone.locator("#weight").fill("100")
    next_hive(phone)
    sent(phone)
    assert held(house, phone.yard, "honey") == {"A1": ["light"]}
    assert held(house, phone.yard, "mites_per_100") == {"A1": [2.5]}
    assert held(house, phone.yard, "weight") == {"A1": [45.36]}  # 100 lb of 0.45359237 kg each
    assert [one.by for one in entries(house, phone.yard)] == ["crew 2"]


def test_what_the_plan_gives_is_shown_at_a_round_and_neither_it_nor_a_group_at_a_grading(phone, house):
    on = phone.evaluate("async () => (await import('/static/field/key.js')).moment().slice(0, 10)")
    steps = [
        {"from": 0, "grams": 0, "gets": "none", "piece": "Nothing"},
        {"from": 4, "grams": 300, "gets": "1 patty (300 g)", "piece": "300 g"},
    ]
    told = house.book.yards_for_phones()
    yard = next(one for one in told["yards"] if one["id"] == phone.yard)
    yard |= {
        "rounds": [{"round": 2, "on": on, "feed": "x", "steps": steps}],
        "check": {"A2": "no protein feed"},
    }
    phone.route("**/field/yards.json", lambda route: route.fulfill(json=told))
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    begin(phone)
    given = phone.locator(".given")
    assert given.inner_text().startswith("By frames: none / 300 g")
    tap(phone, "frames", "6")
    given.get_by_text("Give 1 patty (300 g)").wait_for()
    tap(phone, "frames", "3½")
    given.get_by_text("Give nothing: under 4 frames").wait_for()
    tap(phone, "put", "300 g")  # the piece of the plan has a button
    next_hive(phone)
    assert given.inner_text() == "Check group: no protein feed"
    sent(phone)
    assert held(house, phone.yard, "put_on") == {"A1": [300.0]}
    phone.locator(".back").click()
    until(phone, lambda: heading(phone) == "A1")
    phone.locator(".back").click()
    phone.get_by_role("button", name="Grading").click()
    until(phone, lambda: heading(phone) == "A1")
    for _ in range(3):
        text = phone.locator("#main").inner_text()
        assert "Give" not in text
        assert "Check" not in text
        tap(phone, "frames", "7")
        next_hive(phone)


def test_a_check_hive_is_not_fed_by_the_tag_that_it_wears_nor_is_a_hive_that_nobody_knows(phone, house):
    on = phone.evaluate("async () => (await import('/static/field/key.js')).moment().slice(0, 10)")
    told = house.book.yards_for_phones()
    yard = next(one for one in told["yards"] if one["id"] == phone.yard)
    steps = [{"from": 0, "grams": 300, "gets": "1 patty", "piece": "300 g"}]
    yard |= {"rounds": [{"round": 2, "on": on, "feed": "x", "steps": steps}]}
    yard |= {"check": {"A2": "no protein feed"}, "worn": [["Birch 47", "A2"], ["Alder 12", "A3"]]}
    phone.route("**/field/yards.json", lambda route: route.fulfill(json=told))
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    begin(phone)
    for typed, tag, says in (
        ("birch 47", "A2", "Check group: no protein feed"),
        ("Alder  12", "A3", "Give 1 patty"),
        ("a2", "A2", "Check group: no protein feed"),
    ):
        typed_tag(phone, typed)
        until(phone, lambda tag=tag: heading(phone) == tag)
        assert phone.locator(".given b").inner_text() == says
    phone.locator("summary").click()
    phone.locator("#line").fill("Alder 12, six")
    phone.locator("#line").blur()
    phone.get_by_role("button", name="Go to A3").wait_for()
    typed_tag(phone, "Birch 74")  # misread
    phone.get_by_role("button", name="It is a new hive").click()
    until(phone, lambda: heading(phone) == "Birch 74")
    assert "Give nothing before you know" in phone.locator(".given").inner_text()
    tap(phone, "frames", "6")
    phone.context.set_offline(True)
    next_hive(phone)
    go_to(phone, "Birch 74")  # known to the phone now, and to no list still
    assert "Give 1 patty" not in phone.locator("#main").inner_text()


def typed_tag(page, tag: str) -> None:
    page.get_by_role("button", name="Another hive").click()
    page.locator("#tag").fill(tag)
    page.get_by_role("button", name="Go", exact=True).click()


def test_a_correction_not_sent_yet_is_there_again_when_taking_it_back_is_undone(phone, house):
    begin(phone)
    tap(phone, "frames", "9")
    next_hive(phone)
    until(phone, lambda: held(house, phone.yard) == {"A1": [9.0]})
    sent(phone)
    go_to(phone, "A1")
    phone.context.set_offline(True)
    tap(phone, "frames", "4")
    phone.get_by_role("button", name="Keep the change").click()
    phone.get_by_text("A1 is kept.").wait_for()
    go_to(phone, "A1")
    phone.get_by_role("button", name="Take it back").click()
    phone.get_by_text("A1 is taken back.").wait_for()
    phone.get_by_role("button", name="Undo").click()
    phone.get_by_text("Entered at").wait_for()
    assert phone.locator("fieldset[data-of=frames] .value").inner_text() == "4"
    phone.context.set_offline(False)
    until(phone, lambda: held(house, phone.yard) == {"A1": [4.0]})


def test_a_number_that_is_not_taken_stays_as_typed_and_moves_nothing(phone):
    begin(phone, "A look inside")
    phone.locator("summary").click()
    phone.locator("#weight").fill("35,5 kg")
    at = phone.locator("#weight").bounding_box()
    tap(phone, "honey", "Light")  # the first tap counts, and the text is there still
    pressed = phone.locator("fieldset[data-of=honey] [aria-pressed=true]")
    pressed.wait_for()
    assert phone.locator("#weight").input_value() == "35,5 kg"
    assert phone.locator("#weight").bounding_box() == at
    go_to(phone, "A2")
    go_to(phone, "A1")
    phone.locator(".next").click()
    phone.get_by_text("is not taken. Mend it").wait_for()
    assert heading(phone) == "A1"
    assert phone.locator("#weight").input_value() == "35,5 kg"


def test_the_foot_says_how_many_entries_wait_for_a_word_and_not_that_all_is_in_the_book(phone, house):
    at, seen = datetime.now(UTC).isoformat(), {"frames_of_bees": {"value": 4.0, "unit": "frames"}}
    told = {"id": str(new_id()), "work": "round", "yard": phone.yard, "tag": "A1", "at": at, "seen": seen}
    body = {"shape": "breadline.field/1", "phone": "crew 2", "now": at, "records": [told]}
    house.book.take(json.dumps(body).encode())
    begin(phone)
    tap(phone, "frames", "7½")
    next_hive(phone)
    until(phone, lambda: "entries that wait there for a word: 1" in foot(phone))
    assert "in the book" not in foot(phone)
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    until(phone, lambda: "Everything is on the laptop; entries that wait there for a word: 1" in foot(phone))
    (question,) = house.book.questions()
    house.book.decide(question.id, True, "", "seen twice")
    phone.evaluate("document.dispatchEvent(new Event('visibilitychange'))")  # looked at again
    until(phone, lambda: "Everything is in the book on the laptop" in foot(phone))
    assert held(house, phone.yard) == {"A1": [7.5]}
