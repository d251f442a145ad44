"""The phone pages in Spanish: with and without signal, spoken lines, and back to English. All invented."""

from __future__ import annotations

import json
import re

import pytest

from breadline.language import LANGUAGES, PRETENDED
from web.phone_here import heading, held, phone_at, tap, until

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def phone(browser, house):
    with phone_at(browser, house, locale="es-MX") as page:
        yield page


def test_a_phone_asked_in_spanish_enters_what_an_english_one_does_without_signal(phone, house):
    phone.wait_for_selector("#can[data-ready=yes]")
    phone.context.set_offline(True)
    phone.reload()
    phone.wait_for_selector("#field[data-ready=yes]")
    phone.get_by_role("button", name=re.compile(rf"^{phone.yard_name}\b")).click()
    phone.get_by_role("button", name="Ronda de alimento").click()
    phone.wait_for_selector(".tag")
    tap(phone, "frames", "7½")
    tap(phone, "left", "Casi todo")
    phone.get_by_role("button", name="Siguiente").click()
    phone.get_by_text("A1 guardada.").wait_for()
    until(phone, lambda: heading(phone) == "A2")
    phone.context.set_offline(False)
    phone.wait_for_selector("#waiting[data-waiting='0']")
    until(phone, lambda: held(house, phone.yard) == {"A1": [7.5]})
    assert held(house, phone.yard, "patty_left") == {"A1": ["most"]}


@pytest.mark.parametrize(
    ("line", "means"),
    [
        (
            "12, seis y medio, sobra la mitad, bien",
            {"tag": "12", "frames": 6.5, "left": "some", "queen": "seen"},
        ),
        ("doce, siete, no queda nada, huevos", {"tag": "12", "frames": 7, "left": "none", "queen": "eggs"}),
        ("treinta y uno, casi todo queda, sin larvas", {"frames": 31, "left": "most", "maggots": 0}),
        ("veintidós, sin reina", {"frames": 22, "queen": "neither"}),
        ("1,5, gusanos", {"frames": 1.5, "maggots": 1}),
        ("muerta", {"dead": True}),
        ("no está muerta", {}),
    ],
)
def test_a_line_spoken_in_spanish_becomes_taps(phone, line, means):
    script = """async (line) => (await import("/static/field/spoken.js")).spoken(line, ["A1", "12"]).found"""
    assert phone.evaluate(script, line) == means


def test_the_language_is_changed_on_the_phone_and_holds(phone):
    phone.goto(phone.url)
    phone.wait_for_selector("#field[data-ready=yes]")
    until(phone, lambda: phone.get_by_role("button", name="Atrás").count() or heading(phone).startswith("¿"))
    while phone.get_by_role("button", name="Atrás").count():
        phone.get_by_role("button", name="Atrás").last.click()
        phone.wait_for_timeout(200)
    if phone.get_by_role("button", name="Apiarios").count():  # a visit that another test left open
        phone.get_by_role("button", name="Apiarios").click()
    phone.get_by_role("button", name="English").click()
    phone.get_by_role("heading", name="Which yard?").wait_for()
    assert phone.locator("html").get_attribute("lang") == "en"


def test_the_shell_brings_its_words_and_each_language_is_a_version_of_its_own(phone, house, monkeypatch):
    def asked(address, code):
        return phone.context.request.get(f"{house.where}{address}?language={code}").text()

    def words(code):
        return json.loads(re.search(r'id="words"[^>]*>(.*?)</script>', asked("/field/", code))[1])

    monkeypatch.setitem(LANGUAGES, PRETENDED, "Pretended")
    assert words("en") == {}
    assert words("es")["Next hive"] == "Siguiente"
    assert words(PRETENDED).keys() == words("es").keys()
    told = [json.loads(asked("/field/parts.json", code)) for code in ("en", "es")]
    assert [one["language"] for one in told] == ["en", "es"]
    assert len({one["version"] for one in told}) == 2
    assert len({asked("/field/worker.js", code) for code in ("en", "es")}) == 1
