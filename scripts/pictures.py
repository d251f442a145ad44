"""Draw the pictures of the documentation with the program itself, from the invented first yard.

uv run python scripts/pictures.py
"""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import vl_convert
from PIL import Image

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.season import season_from_files
from breadline.jobs.season_chart import season_svg
from breadline.pictures.letters import font_folder

COLOURS = 64  # a flat drawing needs no more, and a page stays light
TARGET = Path(__file__).parent.parent / "docs" / "pictures"


def main() -> None:
    """The bread chart, wide, with its sentence."""
    vl_convert.register_font_directory(str(font_folder()))
    told = season_from_files(FIRST_YARD / "yard.toml", FIRST_YARD / "weather.csv")
    TARGET.mkdir(parents=True, exist_ok=True)
    png = vl_convert.svg_to_png(season_svg(told, alone=True), scale=1.5)
    few = Image.open(BytesIO(png)).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(TARGET / "bread-chart.png", optimize=True)
    print(TARGET / "bread-chart.png")


if __name__ == "__main__":
    main()
