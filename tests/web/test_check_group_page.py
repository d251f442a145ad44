"""The pages of a check group over a real book: asked, drawn, locked, printed, graded. All invented."""

from __future__ import annotations

import re
import sqlite3
import threading
from contextlib import closing
from datetime import date
from html import unescape
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from breadline.errors import TrialError
from breadline.jobs import check_group_size
from breadline.jobs import check_group_size_form as form
from breadline.jobs.book import Book
from breadline.jobs.check_group_asked import asked_from_text
from breadline.jobs.check_group_file import trial_from_text
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from breadline.web.pages import working
from house import tree
from seasons.scenario import scenarios
from web.conftest import HERE
from web.test_evidence_page import plain

TODAY = {"is": date(2026, 8, 20)}
TABLE = (tree.ROOT / "examples" / "first-check-group" / "colonies.csv").read_text("utf-8")
TYPED = {
    "name": "Autumn patties", "outcome": "frames", "check_arm": "same-care", "feeds": "fed",
    "break_even": "0.9", "margin": "0.5", "grading": "2026-11-20", "rescue_below": "3", "way": "hive",
    "check": "20", "seed": "7",
}  # fmt: skip


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    """The pages of a book with one yard; its day can be moved on."""
    path = tmp_path_factory.mktemp("check") / "book.sqlite"
    book = Book(path, TODAY["is"])
    book.open_operation("Sorrel Bend Bees (invented)")
    book.add_yard(read_yard(FIRST_YARD / "yard.toml"), FIRST_YARD / "weather.csv")
    app = create_app(path, lambda p: Book(p, TODAY["is"]))
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(working, "WAIT_S", 120)  # answers, not pages to wait at, are looked at here
        yield TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


def drawn(client, **more):
    return client.post("/check-group/draw", data=TYPED | {"table": TABLE} | more, follow_redirects=False)


@pytest.fixture(scope="module")
def locked(client):
    """The address of a locked trial."""
    where = drawn(client).headers["location"]
    answer = client.post(f"{where}/lock", follow_redirects=False)
    assert answer.status_code == 303
    return answer.headers["location"]


def test_the_loop_leads_to_it_and_without_a_trial_it_says_what_is_missing(client):
    text = client.get("/check-group").text
    assert text.index('href="/rounds"') < text.index('href="/check-group"') < text.index('href="/evidence"')
    assert "How many to leave unfed" in text


def test_a_draw_from_the_yard_of_the_book_and_drawing_again_is_counted(client):
    typed = TYPED | {"yard": read_yard(FIRST_YARD / "yard.toml").name, "check": "8"}
    where = client.post("/check-group/draw", data=typed, follow_redirects=False).headers["location"]
    text = plain(client.get(where).text)
    assert "Leave 8 of 24 colonies unfed: 8 in Mill Shoals." in text
    assert "One yard only" in text
    assert "Paper" not in text, "no sheet before the lock"
    key = where.rpartition("/")[2]
    again = client.get(f"/check-group/draw?before={key}").text
    assert 'value="Autumn patties"' in again
    assert 'value="8"' in again
    other = client.post(
        "/check-group/draw", data=typed | {"before": key, "seed": "8"}, follow_redirects=False
    )
    assert "draw number 2" in plain(client.get(other.headers["location"]).text)


def test_a_form_that_is_sent_twice_is_one_draw_and_another_form_another(client):
    form = client.get("/check-group/draw").text
    lot = re.search(r'name="lot" value="(\d+)"', form)[1]
    assert f'value="{lot}"' not in client.get("/check-group/draw").text
    first, again, other = (
        drawn(client, name="Sent twice", seed="", lot=sent).headers["location"] for sent in (lot, lot, "11")
    )
    assert first == again != other
    assert "draw number" not in client.get(first).text
    locked = client.post(f"{first}/lock", follow_redirects=False).headers["location"]
    assert drawn(client, name="Sent twice", seed="", lot=lot).headers["location"] == locked
    rescue = drawn(client, name="Sent twice", seed="", lot=lot, rescue_below="4").headers["location"]
    assert rescue != first, "another rescue rule is another trial"


def test_drawing_again_asks_for_a_list_that_was_not_kept_and_never_takes_other_hives(client):
    where = drawn(client, fed_each="1", check="10").headers["location"]
    again = client.get(f"/check-group/draw?before={where.rpartition('/')[2]}").text
    assert "paste it once more" in plain(again)
    assert not re.search(r'name="yard" value="[^"]+" id="[^"]+" checked', again)
    whole = drawn(client).headers["location"]
    kept = client.get(f"/check-group/draw?before={whole.rpartition('/')[2]}").text
    assert "paste it once more" not in plain(kept)


def test_the_list_of_yards_says_what_its_check_group_waits_for(client):
    yard = read_yard(FIRST_YARD / "yard.toml").name
    where = client.post("/check-group/draw", data=TYPED | {"yard": yard, "check": "8"}).url.path
    assert "24 colonies; check group drawn, not locked" in plain(client.get("/").text)
    client.post(f"{where}/lock")
    assert "24 colonies; check group graded 20 November 2026" in plain(client.get("/").text)


def test_one_damaged_trial_is_named_and_the_others_stand(client, locked, tmp_path):
    path = tmp_path / "damaged.sqlite"
    with closing(sqlite3.connect(client.app.state.book_path)) as made, closing(sqlite3.connect(path)) as book:
        made.backup(book)
        for (name,) in book.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'trial'"
        ):
            book.execute(f"DROP TRIGGER {name}")
        book.execute(
            "UPDATE trial SET told = '{}' WHERE rowid = (SELECT min(rowid) FROM trial WHERE id NOT IN "
            "(SELECT replaces FROM trial WHERE replaces IS NOT NULL))"
        )
        book.commit()
    app = create_app(path, lambda p: Book(p, TODAY["is"]))
    shown = TestClient(app, base_url=HERE, raise_server_exceptions=False)
    page = shown.get("/check-group")
    assert page.status_code == 200
    assert "This trial cannot be read." in plain(page.text)
    assert "colonies unfed" in plain(page.text)
    assert shown.get("/").status_code == 200


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("break_even", "", "written down before the draw"), ("break_even", "0,9", "decimal point"),
        ("margin", "-1", "is not above 0"), ("grading", "20.11.2026", "is no date"),
        ("grading", "2026-08-01", "is not ahead"), ("rescue_below", "40", "0 to 20 frames"),
        ("check", "2.5", "is not a count"), ("check", "39", "39 in 3 yards"), ("check", "2", "2 in 3 yards"),
        ("outcome", "grade", "it is missing"), ("feeds", "a, b, c, d", "two to four groups"),
        ("name", " ", "the trial has none"), ("table", "hive,yard\n1,A\n1,A\n", "listed 2 times"),
        ("table", "", "no list is pasted"), ("way", "open", "its position is not known"),
    ],
)  # fmt: skip
def test_bad_input_is_named_and_nothing_typed_is_lost(client, field, value, says):
    answer = drawn(client, **{field: value})
    assert answer.status_code == 422
    assert says in plain(answer.text)
    assert 'aria-invalid="true"' in answer.text
    for key in ("margin", "grading", "rescue_below", "seed"):
        if key != field:
            assert f'value="{TYPED[key]}"' in answer.text
    if field != "table":
        assert "US1,Upper Sluice" in answer.text


def test_a_locked_trial_has_its_paper_its_file_and_is_not_drawn_or_locked_again(client, locked):
    text = plain(client.get(locked).text)
    assert "Leave 20 of 40 colonies unfed" in text
    assert "Locked on 20 August 2026. Colonies are graded on 20 November 2026; no answer before." in text
    for name in ("protocol", "feeding", "grading"):
        made = client.get(f"{locked}/paper/{name}.pdf")
        assert made.headers["content-type"] == "application/pdf"
        assert made.content.startswith(b"%PDF")
    assert client.get(f"{locked}/paper/map.pdf").status_code == 422
    trial = trial_from_text(client.get(f"{locked}/file").text, "trial.json")
    assert trial.seal is not None
    assert trial.seal in text
    assert client.post(f"{locked}/lock").status_code == 422
    assert drawn(client, before=locked.rpartition("/")[2]).status_code == 422


def test_the_page_of_a_trial_never_says_in_which_group_a_hive_is(client, locked):
    trial = trial_from_text(client.get(f"{locked}/file").text, "trial.json")
    text = plain(client.get(locked).text)
    told = text[text.index("What became of every colony") :]
    tags = [one.tag for one in trial.design.started]
    assert all(tag in told for tag in tags)
    assert [t for t in re.findall(r"[A-Z][a-z]+ \d+", told) if t in tags] == tags, "in the order of the list"


def test_ends_are_entered_and_pasted_and_open_ones_are_asked_for_on_the_day(client, locked):
    trial = trial_from_text(client.get(f"{locked}/file").text, "trial.json")
    first, second, third = trial.order[:3]
    one = {"tag": first, "status": "graded", "outcome": "6.5", "grader": "Ann", "guessed": "check"}
    assert client.post(f"{locked}/ends", data=one, follow_redirects=False).status_code == 303
    client.post(f"{locked}/ends", data=one | {"outcome": "5.5", "because": "misread"})
    client.post(f"{locked}/ends", data={"table": f"tag\tstatus\tframes\n{second}\tdead\t\n{third}\tsold\t\n"})
    text = plain(client.get(locked).text)
    for said in ("Graded 1 colony", "Counted as 0 1 colony", "Missing 1 colony", "Not yet graded"):
        assert said in text
    kept = trial_from_text(client.get(f"{locked}/file").text, "trial.json").ended
    assert {end.tag: end.outcome for end in kept} == {first: 5.5, second: None, third: None}
    assert "No verdict before" in plain(client.post(f"{locked}/verdict", data={"cost": "16"}).text)
    wrong = client.post(f"{locked}/ends", data=one | {"outcome": "six"})
    assert wrong.status_code == 422
    assert f'value="{first}"' in wrong.text
    TODAY["is"] = date(2026, 11, 20)
    try:
        text = plain(client.get(locked).text)
        assert "37 colonies of 40 without an end: blank is none." in text
        assert client.get(f"{locked}/paper/open-ends.pdf").status_code == 200
        assert client.post(f"{locked}/verdict", data={"cost": "16", "price": "18"}).status_code == 422
        rows = "".join(f"{tag}\tgraded\t{5 + n % 5}\n" for n, tag in enumerate(trial.order[3:]))
        client.post(f"{locked}/ends", data={"table": f"tag\tstatus\tframes\n{rows}"})
        form = client.get(locked).text
        assert "Ask for the verdict" in form
        assert 'name="situation"' in form, "no plan says what the place gave"
        for forage, together in (("", False), ("dearth", True)):
            data = {"cost": "16", "price": "18", "situation": forage}
            asked = client.post(f"{locked}/verdict", data=data, follow_redirects=False)
            assert asked.headers["location"].startswith("/verdict/")
            again = client.post(f"{locked}/verdict", data=data, follow_redirects=False)
            assert again.headers["location"] == asked.headers["location"], "asked again it is there"
            text = plain(client.get(asked.headers["location"]).text)
            assert (
                "Together with what was known before, the chance that feeding pays here" in text
            ) is together
    finally:
        TODAY["is"] = date(2026, 8, 20)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"outcome": "six"}, 'Count: "six" is not a number.'),
        ({"outcome": "-1"}, "Count: -1 frames cannot be. Expected 0 to 60 frames."),
        ({"graded_on": "20.11."}, 'Graded on: "20.11." is no date.'),
        (
            {"again": "6,5,1"},
            'Second reading: "6,5,1" is not a number. Expected a number of frames. Write',
        ),
        ({"merged_into": "nobody"}, 'Merged into: "nobody" was not drawn.'),
        ({"tag": "nobody"}, 'Tag: "nobody" was not drawn.'),
        ({"tag": ""}, "Tag: no hive is named"),
        ({"outcome": ""}, "graded, and nothing was graded"),
    ],
)
def test_the_form_of_one_hive_answers_with_its_own_fields(client, locked, typed, said):
    trial = trial_from_text(client.get(f"{locked}/file").text, "trial.json")
    one = {"tag": trial.order[-1], "status": "graded", "outcome": "6.5"}
    answer = client.post(f"{locked}/ends", data=one | typed)
    assert answer.status_code == 422
    wrong = re.search(r'id="wrong">(.*?)</div>', answer.text, re.DOTALL)[1]
    told = " ".join(unescape(plain(wrong)).replace(" :", ":").split())
    assert said in told
    assert not re.search(r"your table|row \d|column", told)


def test_a_correction_asks_for_its_reason_and_a_later_reading_is_none(client, monkeypatch):
    where = drawn(client, name="Corrected", seed="11").headers["location"]
    locked = client.post(f"{where}/lock", follow_redirects=False).headers["location"]
    tag, other = trial_from_text(client.get(f"{locked}/file").text, "trial.json").order[:2]
    one = {"tag": tag, "status": "graded", "outcome": "6.5", "graded_on": "2026-09-20"}
    refused = client.post(f"{locked}/ends", data=one)
    assert refused.status_code == 422
    assert "Graded on: 20 September 2026 has not come yet" in plain(refused.text)
    monkeypatch.setitem(TODAY, "is", date(2026, 11, 20))
    assert client.post(f"{locked}/ends", data=one, follow_redirects=False).status_code == 303
    assert client.post(f"{locked}/ends", data=one, follow_redirects=False).status_code == 303, (
        "the same again"
    )
    refused = client.post(f"{locked}/ends", data=one | {"outcome": "5.5"})
    assert refused.status_code == 422
    assert f"{tag} has another end kept already, and why it changes is not said" in plain(refused.text)
    assert "Why, where it corrects an earlier word:" in plain(refused.text)
    table = f"tag\tstatus\tframes\n{other}\tgraded\t7\n{tag}\tdead\t\n"
    assert client.post(f"{locked}/ends", data={"table": table}).status_code == 422
    kept = trial_from_text(client.get(f"{locked}/file").text, "trial.json").ended
    assert {end.tag: end.outcome for end in kept} == {tag: 6.5}, "nothing of a refused table is kept"
    later = one | {"outcome": "8", "graded_on": "2026-11-20"}
    assert client.post(f"{locked}/ends", data=later, follow_redirects=False).status_code == 303
    said = {"table": table, "because": "it was empty after all"}
    assert client.post(f"{locked}/ends", data=said, follow_redirects=False).status_code == 303


SIZE = {"money": "US$", "year": "2026", "cost": "16", "pays": "frame", "price": "12", "usual": "7",
        "situation": "dearth", "yard": "Mill Shoals"}  # fmt: skip


def test_the_size_is_told_and_leads_to_the_draw(client):
    text = client.get(f"/check-group/size?{urlencode(SIZE)}").text
    assert re.search(r"Leave \d+ of 24 unfed", plain(text))
    link = re.search(r'href="(/check-group/draw\?[^"]+)"', text)[1].replace("&amp;", "&")
    ask = client.get(link).text
    assert re.search(r'name="break_even" value="1.\d', ask)


def test_the_chance_in_the_first_sentences_is_that_of_the_table(client):
    text = client.get(f"/check-group/size?{urlencode(SIZE)}").text
    said = re.search(r"says “it paid” about (\d+) times? in 100 if the benefit is as believed", plain(text))
    best = re.search(r'<tr class="best">(.*?)</tr>', text, re.DOTALL)[1]
    cells = [plain(cell) for cell in re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", best, re.DOTALL)]
    assert said[1] == cells[5].strip(), "as believed"


def test_a_size_that_takes_long_has_its_page_to_wait_at_and_is_left_at_once(client, monkeypatch):
    monkeypatch.setattr(working, "WAIT_S", 0.05)
    let, drawn = threading.Event(), []
    really = check_group_size.size_answer

    def slow(*asked, wanted, **more):
        assert let.wait(60)
        drawn.append(wanted())
        return really(*asked, wanted=wanted, **more)

    monkeypatch.setattr("breadline.web.pages.check_group_size.size_answer", slow)
    address = f"/check-group/size?{urlencode(SIZE | {'cost': '15'})}"
    page = client.get(address)
    assert "How many to leave unfed is being worked out." in page.text
    assert client.get(address).url == page.url, "asked twice it is one"
    client.post(f"{page.url.path}/leave")
    let.set()
    while not drawn:
        threading.Event().wait(0.02)
    assert drawn == [False]
    again = client.get(address)
    assert again.url.path.startswith("/working/"), "asked again it is worked out anew"
    monkeypatch.setattr(working, "WAIT_S", 120)
    answer = client.get(again.url)
    assert str(answer.url).endswith(address), "the answer stands at its own address"
    assert "Leave " in plain(answer.text)


def test_where_nobody_waits_no_further_size_is_drawn(client):
    asked = asked_from_text(form.text_of(SIZE, [("Mill Shoals", 24)], TODAY["is"]), "your answers")
    left = iter([True, False])
    with pytest.raises(TrialError, match="nobody waits"):
        check_group_size.size_answer(asked, wanted=lambda: next(left))


def test_sizes_that_tell_nothing_are_no_part_of_the_picture(client):
    """Of four colonies of which many die no benefit is told at all: the page of a contract broke on it."""
    large = next(one for one in scenarios() if one.name.startswith("04")).check_group
    asked = {"file": large.replace("colonies = 800", "colonies = 60")}
    answer = client.get(f"/check-group/size?{urlencode(asked)}")
    assert answer.status_code == 200
    assert re.search(r"eav(e|ing) \d+ of 180 unfed", plain(answer.text))
    assert answer.text.count("benefit told is") == 3, "on a desk, a phone and paper"


def test_the_size_can_be_asked_without_a_grading_before_and_for_a_grade_line(client):
    text = client.get(f"/check-group/size?{urlencode(SIZE | {'baseline': 'false'})}").text
    assert "No grading before the draw is counted on." in plain(text)
    by_line = SIZE | {"pays": "grade", "price": "190", "grade": "8", "year": "", "wage": "20"}
    answer = client.get(f"/check-group/size?{urlencode(by_line)}").text
    text = plain(answer)
    assert re.search(r"eav(e|ing) \d+ of 24 unfed", text)
    (draw,) = re.findall(r'href="(/check-group/draw[^"]*)"', answer)
    assert "outcome=grade&grade=8&grading=&" in unescape(draw), "no day was asked, so none is filled in"
    assert "24 before the draw and" in text


def test_the_draw_says_where_the_grading_that_its_size_counted_on_is_missing(client):
    said = "The size counted on a grading before the draw"
    for asked, there in (({}, True), ({"baseline": "false"}, False)):
        text = client.get(f"/check-group/size?{urlencode(SIZE | asked)}").text
        link = re.search(r'href="(/check-group/draw\?[^"]+)"', text)[1].replace("&amp;", "&")
        assert (said in plain(client.get(link).text)) is there


def test_what_has_its_usual_value_is_folded_until_it_is_not(client):
    folded = "<details><summary>What has its usual value unless you say otherwise"
    for page in ("size", "draw"):
        assert folded in client.get(f"/check-group/{page}").text
    assert folded not in client.get("/check-group/draw?fed_each=2").text
    assert folded not in client.get(f"/check-group/size?{urlencode(SIZE | {'baseline': 'false'})}").text


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"cost": "lots"}, "cost"), ({"price": ""}, "says not once what pays"),
        ({"yard": "Nowhere"}, "no yard is named"), ({"file": "money ="}, "not TOML"),
        ({"plan": "Mill Shoals"}, "none was chosen for Mill Shoals"),
    ],
)  # fmt: skip
def test_a_size_that_cannot_be_told_says_why_and_keeps_what_was_typed(client, more, says):
    answer = client.get(f"/check-group/size?{urlencode(SIZE | more)}")
    assert answer.status_code == 422
    assert says in plain(answer.text)
    assert 'value="US$"' in answer.text
