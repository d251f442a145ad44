"""Draw the pictures of the documentation with the program itself, from the invented first yard.

uv run python scripts/pictures.py
"""

from __future__ import annotations

from pathlib import Path

import vl_convert

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.season import season_from_files
from breadline.jobs.season_chart import season_svg
from breadline.pictures.letters import font_folder

TARGET = Path(__file__).parent.parent / "docs" / "pictures"


def main() -> None:
    """The bread chart, wide, with its sentence."""
    vl_convert.register_font_directory(str(font_folder()))
    told = season_from_files(FIRST_YARD / "yard.toml", FIRST_YARD / "weather.csv")
    TARGET.mkdir(parents=True, exist_ok=True)
    png = vl_convert.svg_to_png(season_svg(told, alone=True), scale=1.5)
    (TARGET / "bread-chart.png").write_bytes(png)
    print(TARGET / "bread-chart.png")


if __name__ == "__main__":
    main()
