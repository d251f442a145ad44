"""What the pages say, asked without a browser."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import pytest

from breadline.jobs.short_path import QUESTIONS
from breadline.language import speaking
from breadline.need.outlook import ShortFrom
from breadline.web import words
from breadline.web.pages import yards
from breadline.web.pages.season import range_note
from pictures.made_up import made_up_outlook
from web.pretend_book import FEED, TODAY

KEY = "bread.g_per_cell"
DAY, OCT = date(2026, 9, 20), date(2026, 10, 9)
HOBBYIST = {
    "where": "US", "brood": "not_seen", "mites": "not_tested", "honey": "light", "bees": "4",
    "bread": "not_seen", "flying": "cold", "first_pollen": "3",
}  # fmt: skip


def said_by(client, path, params=None):
    """The text of a page, with the spaces inside dates as plain ones."""
    return client.get(path, params=params).text.replace("\u00a0", " ")


def test_yards_lead_with_the_most_urgent_and_say_short_from(client):
    text = said_by(client, "/")
    names = [
        "Old Scale",
        "Lower Ditch",
        "Tarweed Flat",
        "Water Tank",
        "Melon Road",
        "Cutbank",
        "Sunflower Half",
    ]
    places = [text.index(f">{name}<") for name in names]
    assert places == sorted(places)
    assert "between 24 Aug and 5 Sep" in text
    assert "not before 20 Oct" in text
    assert "Mites first" in text
    assert "Its weather file is too short: 40 days" in text
    assert "376 colonies in 8 yards" in text
    assert "Two yards are short of bread now, and three more are likely to be by about 29 September." in text
    assert "Old Scale has something else to see to first. One cannot be answered yet." in text


def test_a_season_has_the_advice_before_the_picture_and_everything_it_rests_on(client):
    text = said_by(client, "/yards/tarweed")
    parts = ['class="advice"', "Feed now", "Short from: about 30 August", "Why, in this order", "As a table",
             "What this leaves out", "Sources and figures used"]  # fmt: skip
    places = [text.index(part) for part in parts]
    assert places == sorted(places)
    assert "4 September" in text
    assert text.count('role="img"') == 3
    assert "Oliver" in text, "the source is cited in full"


def test_a_number_inside_a_sentence_is_not_written_big_in_any_language():
    told = [SimpleNamespace(yard=SimpleNamespace(name=name),
                            advice=SimpleNamespace(answer="something_first", rung="mites"))
            for name in ("Alder", "Birch", "Cedar")]  # fmt: skip
    assert yards._first_ones(told) == ["Three yards have something else to see to first."]
    with speaking("es"):
        assert yards._first_ones(told) == ["En tres apiarios hay algo que atender antes."]


@pytest.mark.parametrize("path", ["/yards/tarweed", "/straight-answer"])
def test_a_figure_its_unit_and_its_source_do_not_run_together(client, path):
    text = said_by(client, path, HOBBYIST if "straight" in path else None)
    listed = re.findall(r"<li>([^<]*<b>.*?)<a", text, re.DOTALL)
    assert listed
    for line in listed:
        assert re.search(r"</b>( \S[^<]*)?( <span class=.edited.>edited by you</span>)? <span", line), line


def test_the_three_pictures_share_no_id(client):
    ids = re.findall(r'\sid="([^"]+)"', said_by(client, "/yards/tarweed"))
    assert len(ids) == len(set(ids))


def test_a_season_without_an_outlook_still_gives_its_advice(client, book, monkeypatch):
    whole = book.season("tarweed")
    bare = replace(whole, outlook=None, no_outlook="No brood is expected before 1 February.")
    monkeypatch.setattr(type(book), "season", lambda self, key: bare)
    text = said_by(client, "/yards/tarweed")
    assert "Feed now" in text
    assert "No brood is expected before 1 February." in text
    assert "As a table" not in text
    assert "no outlook" in said_by(client, "/")


def test_an_unknown_yard_and_an_unknown_page_say_what_to_do(client):
    answer = client.get("/yards/nobody")
    assert answer.status_code == 422
    assert "there is no yard" in answer.text
    assert "Choose one from the list" in answer.text
    lost = client.get("/nowhere")
    assert lost.status_code == 404
    assert "Go back to the yards" in lost.text


def test_the_short_path_asks_eight_questions_and_each_can_be_answered_with_not_known(client):
    assert len(QUESTIONS) == 8
    text = client.get("/straight-answer").text
    assert text.count("<fieldset") == 8
    for question in QUESTIONS:
        assert question.words in text.replace("&#39;", "'")


def test_the_short_path_keeps_what_was_answered_and_names_what_is_missing(client):
    answer = client.get("/straight-answer", params={"where": "US", "honey": "light"})
    assert answer.status_code == 422
    assert "6 still to answer." in answer.text
    assert 'value="US" checked' in answer.text
    assert 'value="light" checked' in answer.text
    assert answer.text.count("checked") == 2


def test_a_straight_no_for_the_hobbyist_in_february(client):
    text = said_by(client, "/straight-answer", HOBBYIST)
    assert "No protein feed now: give the light hive sugar on top today." in text
    assert "Test for mites" in text
    assert "36 °F" not in text, "nobody measured a temperature"


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("bread cell", KEY),
        ("meikle2011", "read in the source"),
        ("larva", "brood.larva_days"),
        ("from memory", "from memory, not checked"),
    ],
)
def test_figures_are_found_by_word_and_source(client, book, key, said):
    text = client.get("/figures", params={"find": key}).text
    assert said in text
    assert 0 < text.count("<tr id=") < len(book.figures())
    assert "No figure has these words" not in text


def test_a_search_without_a_hit_says_so(client):
    assert "No figure has these words" in client.get("/figures", params={"find": "zeppelin"}).text


def test_an_edit_is_kept_apart_marked_and_undone(client):
    form = {"low": "0.1", "typical": "0.2", "high": "0.3", "why": "weighed 40 cells"}
    answer = client.post(f"/figures/{KEY}", data=form, follow_redirects=False)
    assert answer.status_code == 303
    listed = client.get("/figures", params={"find": KEY}).text
    assert "edited by you" in listed
    assert "shipped: 0.16 (0.1 to 0.23)" in listed
    assert "weighed 40 cells" in listed
    assert client.post(f"/figures/{KEY}/undo").status_code == 200
    assert "edited by you" not in client.get("/figures", params={"find": KEY}).text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"low": "0,1"}, "Write a decimal point, not a comma"),
        ({"typical": "0.9 g"}, "is not a number"),
        ({"high": "nan"}, "implausible"),
        ({"high": "inf"}, "implausible"),
        ({"low": "0.25"}, "not in order"),
        ({"high": "400"}, "implausible"),
        ({"why": " "}, "your reason in a few words"),
        ({"why": "long " * 100}, "at most 400 characters"),
    ],
)
def test_a_refused_edit_says_why_and_keeps_what_was_typed(client, book, typed, said):
    form = {"low": "0.1", "typical": "0.2", "high": "0.3", "why": "weighed 40 cells"} | typed
    answer = client.post(f"/figures/{KEY}", data=form)
    assert answer.status_code == 422
    assert said in answer.text
    for value in form.values():
        assert f'value="{value}"' in answer.text
    assert not any(figure.edited for figure in book.figures())


def test_a_form_that_holds_a_file_is_refused_in_the_form_of_the_house(client, book):
    answer = client.post(f"/figures/{KEY}", files={"low": ("low.txt", b"0.1")})
    assert answer.status_code == 422
    assert "Something to mend" in answer.text
    assert not any(figure.edited for figure in book.figures())


def test_signs_of_foulbrood_stand_above_everything(client, book, monkeypatch):
    """The last yard of the list in every other way."""
    ill = replace(
        book.season("sunflower").advice, answer="something_first", state="stop", rung="foulbrood",
        sentence="Stop: signs of foulbrood.",
    )  # fmt: skip
    season = type(book).season

    def with_signs(self, key):
        whole = season(self, key)
        return replace(whole, advice=ill) if key == "sunflower" else whole

    monkeypatch.setattr(type(book), "season", with_signs)
    text = said_by(client, "/")
    assert text.index(">Sunflower Half<") < text.index(">Old Scale<")
    assert "Call the inspector about Sunflower Half. Old Scale has something else" in text
    assert "Stop: call the inspector" in text


@pytest.mark.parametrize(
    ("middle", "latest", "listed", "sentence"),
    [
        (None, None, "perhaps from 1 Sep", "Short from: not before 1 September; 55 in 100"),
        (DAY, None, "about 20 Sep, or not at all", "about 20 September (1 September or not at all); 55"),
        (DAY, OCT, "between 1 Sep and 9 Oct", "about 20 September (1 September to 9 October); 55 in 100"),
    ],
)
def test_short_from_is_said_as_the_terminal_says_it(middle, latest, listed, sentence):
    short = ShortFrom(0.55, date(2026, 9, 1), middle, latest, date(2026, 9, 1), False)
    assert words.short_from(short, TODAY) == listed
    assert sentence in words.short_from_sentence(short, TODAY)
    assert ("8 seasons in 10" in words.short_from_sentence(short, TODAY)) == (middle is not None)


def test_a_date_more_than_half_a_year_ahead_carries_its_year_on_the_list_too():
    far = date(2027, 4, 1)
    short = ShortFrom(0.95, DAY, far, far, DAY, False)
    assert words.short_from(short, TODAY) == "between 20 Sep and 1 Apr 2027"
    assert "1 April 2027" in words.short_from_sentence(short, TODAY)


def test_a_chance_from_few_years_is_a_range_on_the_page_too():
    short = ShortFrom(0.55, DAY, DAY, None, DAY, False, few_years=4)
    assert "from 4 years of weather only" in words.short_from_sentence(short, TODAY)


def test_a_straight_answer_lists_its_figures_and_sources_and_uses_the_edits(client, book):
    text = said_by(client, "/straight-answer", HOBBYIST)
    listed = re.findall(r'href="/figures/([a-z_.0-9A-Z]+)"', text)
    assert "Sources and figures used" in text
    assert len(listed) == int(re.search(r"figures used \((\d+)", text)[1]) > 3
    assert "edited by you" not in text
    key = "ladder.cluster_frames"
    assert key in listed
    shipped = next(figure for figure in book.figures() if figure.key == key).span.typical
    assert f"under {shipped:g}, too few" in text
    book.edit_figure(key, 3.0, 3.0, 3.0, "my own hives")
    text = said_by(client, "/straight-answer", HOBBYIST)
    assert "1 edited" in text
    assert "edited by you" in text
    assert "too few to warm" not in text


def test_the_list_says_what_comes_first(client, book, monkeypatch):
    scale = book.season("scale")
    advices = {
        "Mites first": scale.advice,
        "Queens first": replace(scale.advice, rung="queen"),
        "Stores first": replace(scale.advice, rung="stores"),
        "Stop: call the inspector": replace(scale.advice, rung="foulbrood", state="stop"),
    }
    for said, advice in advices.items():
        monkeypatch.setattr(type(book), "season", lambda self, key, a=advice: replace(scale, advice=a))
        assert said in said_by(client, "/")


@pytest.mark.parametrize(
    ("answer", "sentence", "said"),
    [
        ("no_need", "No need now: 1 frame of bread and pollen coming in.", "No need now"),
        ("no_need", "No: in trials fed colonies raised no more winter bees.", "Don't feed"),
        ("look_again", "Not now: too cold to open a hive.", "Not now"),
    ],
)
def test_a_yard_that_is_short_and_not_helped_by_feed_is_not_said_to_have_no_need(answer, sentence, said):
    advice = replace(FEED, answer=answer, state="no_need", rung="pollen", sentence=sentence)
    assert words.state_words(advice) == said


@pytest.mark.parametrize(
    ("years", "few", "said"),
    [
        (True, None, "Bands hold 8 seasons in 10."),
        (False, 7, "Bands hold 8 of these seasons in 10; the true range is wider than so few years show."),
        (False, 1, "Bands hold 8 runs in 10; there is no honest year-to-year range in this weather."),
    ],
)
def test_the_bands_are_explained_for_many_years_few_and_one(years, few, said):
    made = made_up_outlook(days=9, years=years)
    assert range_note(replace(made, short_from=replace(made.short_from, few_years=few))) == said
