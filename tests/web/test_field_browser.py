"""The phone pages in a real browser, with and without signal: what is entered is in the book, once."""

from __future__ import annotations

import re

import pytest

from web.phone_here import begin, go_to, heading, held, next_hive, phone_at, sent, tap
from web.phone_life import lived

pytestmark = pytest.mark.browser
HALVES = [n / 2 for n in range(61)]  # no frame to thirty, by halves
MOST_TAPS = 6  # a colony
SMALLEST = 48  # pixels of a target for gloves
LOOKED_AT = {"upright": (390, 844), "small": (320, 568), "across": (844, 390)}
TAPS = """async ([keys, values]) => {
    const of = (key) => document.querySelector(`fieldset[data-of=${key}]`);
    const all = (key) => [...of(key).querySelectorAll("button")];
    const press = (key, text) => all(key).find((one) => one.textContent === text).click();
    const value_of = (key) => of(key).querySelector("output").textContent;
    const words = (n) => (n % 1 ? `${Math.floor(n) || ""}½` : `${n}`);
    const shown = async (key, text) => {
        for (let n = 0; n < 400 && value_of(key) !== text; n += 1) {
            await new Promise((done) => setTimeout(done, 5));
        }
        return value_of(key);
    };
    const found = [];
    for (const key of keys) for (const value of values) {
        press(key, "Clear"); await shown(key, "");
        const tens = 10 * Math.floor(value / 10), rest = value - tens, taps = [];
        if (tens) taps.push(`${tens}+`);
        if (rest || !tens) taps.push(words(rest));
        for (const one of taps) press(key, one);
        found.push([key, value, taps.length, await shown(key, words(value)) === words(value)]);
    }
    return found;
}"""


@pytest.fixture(scope="module")
def reader(browser, house):
    """A page to try parts of it on."""
    with phone_at(browser, house) as page:
        yield page


@pytest.mark.parametrize("work", ["Feeding round", "A look inside", "Grading"])
def test_every_number_of_frames_takes_at_most_six_taps_a_colony(phone, work):
    begin(phone, work)
    asked = phone.locator("#field > fieldset")
    keys = [one.get_attribute("data-of") for one in asked.all()]
    pads = [key for key in keys if phone.locator(f"fieldset[data-of={key}] .pad").count()]
    assert "frames" in pads
    found = phone.evaluate(TAPS, [pads, HALVES])
    assert [one for one in found if not one[3]] == []  # each shows the number that was meant
    most = max(taps for _, _, taps, _ in found)
    others = len(keys) - len(pads)  # one tap each
    assert len(pads) * most + others + 1 <= MOST_TAPS  # and "Next hive"


@pytest.mark.parametrize("way", LOOKED_AT)
def test_targets_are_big_enough_for_gloves_and_nothing_runs_out_of_the_page(phone, way):
    width, height = LOOKED_AT[way]
    phone.set_viewport_size({"width": width, "height": height})
    begin(phone, "A look inside")
    phone.locator("summary").click()
    next_to = "Array.from(document.querySelectorAll('button, input[type=text], summary'))"
    small = phone.evaluate(
        f"""() => {next_to}.filter((one) => one.getClientRects().length)
            .map((one) => [one.textContent || one.id, one.getBoundingClientRect()])
            .filter(([_, box]) => box.width < {SMALLEST} || box.height < {SMALLEST}).map(([name]) => name)"""
    )
    assert small == []
    assert phone.evaluate("document.documentElement.scrollWidth") <= width


def test_a_hive_takes_at_most_six_taps_and_is_in_the_book(phone, house):
    begin(phone)
    assert heading(phone) == "A1"
    tap(phone, "frames", "7½")
    tap(phone, "left", "Some")
    tap(phone, "put", "1 lb")
    tap(phone, "maggots", "No")
    next_hive(phone)  # the sixth
    assert heading(phone) == "A2"
    sent(phone)
    assert held(house, phone.yard) == {"A1": [7.5]}
    tap(phone, "frames", "6")
    phone.go_back()  # the phone's own Back shows the screen before, and taps wait
    phone.get_by_text("Entered at").wait_for()
    assert heading(phone) == "A1"
    phone.go_back()
    phone.get_by_text("What is this visit?").wait_for()
    phone.go_forward()
    phone.get_by_role("heading", name="A1", exact=True).wait_for()
    go_to(phone, "A2")
    assert phone.locator("fieldset[data-of=frames] .value").inner_text() == "6"
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    phone.go_back()
    phone.get_by_role("heading", name="A1", exact=True).wait_for()
    phone.get_by_role("button", name="Back", exact=True).click()  # of the page: the same way
    phone.get_by_text("What is this visit?").wait_for()
    phone.get_by_role("button", name="Yards").click()
    phone.get_by_text("Which yard?").wait_for()
    phone.go_forward()
    phone.get_by_text("What is this visit?").wait_for()


def test_ten_steps_without_signal_end_with_just_what_was_entered(phone, house):
    context = phone.context
    phone.wait_for_selector("#can[data-ready=yes]")
    begin(phone, "A look inside")
    context.set_offline(True)
    tap(phone, "frames", "6")
    next_hive(phone)  # 1 entered without signal
    tap(phone, "frames", "4½")
    phone.locator("fieldset[data-of=frames] .value", has_text="4½").wait_for()  # shown, so it is kept
    phone.reload()  # 2 reloaded in the middle of a hive
    phone.wait_for_selector("#field[data-ready=yes]")
    assert heading(phone) == "A2"
    assert "4½" in phone.locator("fieldset[data-of=frames] legend").inner_text()
    next_hive(phone)  # 3
    phone.get_by_role("button", name="Undo").click()  # 4 taken back
    phone.get_by_role("heading", name="A2", exact=True).wait_for()  # a tap is for the hive that is shown
    tap(phone, "frames", "5")  # another key, another number
    next_hive(phone)  # 5 with another number
    phone.wait_for_selector("#waiting[data-waiting='2']")
    assert "2 hives kept on this phone" in phone.locator("#waiting").inner_text()
    second = context.new_page()  # 6 a second tab
    second.goto(phone.url)
    second.wait_for_selector("#field[data-ready=yes]")
    phone.close()  # 7 the first one closed
    context.set_offline(False)
    sent(second)  # 8 sent when there is signal again
    lost = []
    second.route("**/field/send", lambda route: (route.fetch(), lost.append(1), route.abort()))
    tap(second, "frames", "8")
    next_hive(second)  # 9 the reply is lost: the book has it, the phone does not know
    second.wait_for_selector("#waiting[data-waiting='1']")
    while not lost:
        second.wait_for_timeout(50)
    second.unroute("**/field/send")
    second.get_by_role("button", name="Send").click()  # 10 sent again
    sent(second)
    assert held(house, phone.yard) == {"A1": [6.0], "A2": [5.0], "A3": [8.0]}
    phone.messages = []


def test_what_was_sent_is_mended_and_a_dead_hive_leaves_the_row(phone, house):
    begin(phone, "Grading")
    tap(phone, "frames", "9")
    next_hive(phone)
    sent(phone)
    phone.get_by_role("button", name="Undo").click()
    phone.get_by_text("Entered at").wait_for()
    tap(phone, "frames", "3")
    assert "1 of 3" in phone.locator(".head").inner_text()
    phone.get_by_role("button", name="Keep the change").click()
    phone.get_by_text("A1 is kept.").wait_for()
    phone.locator(".head", has_text="2 of 3").wait_for()
    tap(phone, "frames", "7")
    next_hive(phone)
    sent(phone)
    phone.get_by_role("button", name="Undo").click()
    phone.get_by_text("Entered at").wait_for()
    assert "2 of 3" in phone.locator(".head").inner_text()
    phone.get_by_role("button", name="Take it back").click()
    phone.get_by_text("A2 is taken back.").wait_for()
    tap(phone, "frames", "Dead")
    next_hive(phone)
    sent(phone)
    assert held(house, phone.yard) == {"A1": [3.0]}
    rows = house.book.hives(phone.yard)[1]
    assert [one.standing for one in rows] == ["stands", "dead", "stands"]


def test_another_hive_is_typed_with_the_keyboards_own_go_and_the_yards_are_two_taps_away(phone, house):
    begin(phone, "A look inside")
    phone.get_by_role("button", name="Another hive").click()
    phone.fill("#tag", "Z77")
    phone.press("#tag", "Enter")
    phone.get_by_text("No hive Z77 is listed").wait_for()
    phone.get_by_role("button", name="I misread it").click()
    phone.get_by_role("button", name="Another yard or visit").click()
    phone.get_by_role("heading", name="Which yard?").wait_for()


def test_taps_that_come_before_the_page_is_drawn_anew_all_count(phone):
    begin(phone)
    script = """() => { const of = document.querySelector("fieldset[data-of=frames]");
        const all = [...of.querySelectorAll("button")];
        const press = (text) => all.find((one) => one.textContent === text).click();
        press("10+"); press("4"); press("4½"); }"""
    phone.evaluate(script)
    phone.locator("fieldset[data-of=frames] .value", has_text="14½").wait_for()


@pytest.mark.parametrize("seed", [4, pytest.param(1, marks=pytest.mark.soak)])
def test_a_day_at_random_ends_with_just_what_was_entered(browser, tmp_path, seed):
    """The short form of ``scripts/soak field_phone``: 300 days of twelve steps."""
    assert lived(browser, tmp_path / "book.sqlite", seed, 8) == []


@pytest.mark.parametrize(
    ("line", "means"),
    [
        (
            "twelve, six and a half, half left, ok",
            {"tag": "12", "frames": 6.5, "left": "some", "queen": "seen"},
        ),
        ("A1, 7, nothing left, eggs", {"tag": "A1", "frames": 7, "left": "none", "queen": "eggs"}),
        ("six, most left, maggots", {"frames": 6, "left": "most", "maggots": 1}),
        ("1,5, no maggots", {"frames": 1.5, "maggots": 0}),
        ("12 1/2 frames maybe", {}),
        ("twenty two", {"frames": 22}),
        ("dead", {"dead": True}),
        ("no eggs, no queen", {"queen": "neither"}),
        ("five, no eggs", {"frames": 5, "queen": "neither"}),
        ("not dead", {}),
    ],
)
def test_a_spoken_line_becomes_taps_and_nothing_is_guessed(reader, line, means):
    script = """async ([line, tags]) => (await import("/static/field/spoken.js")).spoken(line, tags).found"""
    assert reader.evaluate(script, [line, ["A1", "A2", "12"]]) == means


def test_keys_of_the_phone_are_version_7_and_rise(reader):
    keys = reader.evaluate(
        """async () => { const { newKey } = await import("/static/field/key.js");
        return Array.from({ length: 5000 }, () => newKey()); }"""
    )
    assert keys == sorted(set(keys))
    assert all(
        re.fullmatch(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}", one)
        for one in keys
    )


def test_what_more_may_be_told_of_a_graded_hive_names_its_brood(phone):
    begin(phone, "Grading")
    assert phone.locator("summary").inner_text().startswith("More: brood, queen")
