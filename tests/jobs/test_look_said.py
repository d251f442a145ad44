"""What a look wrote down, as the page lists it, in either language. All invented."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from breadline.jobs.yard_said import _reading
from breadline.language import speaking


def seen(kind, value=None, word=None, unit=None):
    return SimpleNamespace(kind=kind, colony_id=None, value=value, word=word, unit=unit, out_of=None)


@pytest.mark.parametrize(("one", "english", "spanish"), [
    (seen("bread", 0.25, unit="frames"), "bread ¼ frames", "pan de abeja ¼ cuadros"),
    (seen("bread", 12000.0, unit="cells"), "bread 12000 cells", "pan de abeja 12000 celdas"),
    (seen("frames_of_bees", 5.5), "frames of bees 5½", "cuadros con abejas 5½"),
    (seen("frames_of_bees", 6.3), "frames of bees 6.3", "cuadros con abejas 6.3"),
    (seen("pollen_seen", word="little"), "pollen coming in a little", "polen que entra poco"),
    (seen("beetles_seen", 1.0), "hive beetles: yes", "escarabajos de la colmena: sí"),
])  # fmt: skip
def test_a_look_is_listed_in_its_readers_words_and_quarters(one, english, spanish):
    assert _reading(one) == english
    with speaking("es"):
        assert _reading(one) == spanish
