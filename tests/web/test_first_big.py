"""A capital at the beginning of a line, and none where that would name another file."""

import pytest

from breadline.web.words import first_big


@pytest.mark.parametrize(
    ("text", "shown"),
    [("clima.csv, encabezado", "clima.csv, encabezado"), ("weather.xlsx", "weather.xlsx"),
     ("no weather. And so on", "No weather. And so on"), ("weather file", "Weather file"), ("ω", "ω")],
)  # fmt: skip
def test_the_first_letter(text, shown):
    assert first_big(text) == shown
