"""The list of yards at the terminal in the reader's language."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.cli import serving, yards
from breadline.cli.yards import Adding
from breadline.errors import YardError
from breadline.jobs.book import YardLine
from breadline.jobs.look_typed import look_from
from breadline.language import speaking
from breadline.records.engine import open_book


@pytest.mark.parametrize("letters", [60, 96])
def test_heads_and_what_is_left_out(tmp_path, monkeypatch, capsys, letters):
    line = YardLine("a", "Norte", 12, None, "Aún no hay clima.")
    monkeypatch.setattr(yards.Book, "yards", lambda self: [line])
    monkeypatch.setattr(yards.Paper, "letters", letters)
    open_book(tmp_path / "book.sqlite").dispose()
    with speaking("es"):
        yards.run(tmp_path / "book.sqlite", Adding(None, None), date(2026, 3, 1), False)
    shown = capsys.readouterr().out
    for english in ("short from", "what to do", "can't tell", "Left out", "swarming", "queen failure"):
        assert english not in shown
    assert "no se sabe" in shown
    assert "falta desde" in shown


def test_bounds_of_a_look_have_their_unit_in_spanish():
    with speaking("es"), pytest.raises(YardError) as refused:
        look_from({"on": "2026-03-01", "frames_of_bees": "900"}, date(2026, 3, 1), None)
    assert refused.value.expected == "0 a 100 cuadros"


def test_the_demo_says_that_its_names_stay_in_english(tmp_path, capsys):
    says = {}
    for spoken in ("es", "en"):
        with speaking(spoken):
            serving.demo(tmp_path / "demo.sqlite", 8417, serving.Demo(False, serve=False, as_json=False))
        says[spoken] = " ".join(capsys.readouterr().out.split())
    assert "Sus nombres y notas quedan en inglés, como los escribió su gente." in says["es"]
    assert "stay in English" not in says["en"]
