"""Draw the pictures of the documentation with the program itself, from the invented examples.

uv run python scripts/pictures.py
"""

from __future__ import annotations

from datetime import date
from io import BytesIO
from pathlib import Path

import vl_convert
from PIL import Image

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.pooled import pooled_files
from breadline.jobs.pooled_told import pooled_chart
from breadline.jobs.season import season_from_files
from breadline.jobs.season_chart import season_svg
from breadline.jobs.verdict import Prices, Told, Verdict, VerdictAsked
from breadline.jobs.verdict_chart import verdict_svg
from breadline.jobs.verdict_file import verdict_from_file
from breadline.knowledge.evidence import voting
from breadline.pictures.frame import Size
from breadline.pictures.letters import font_folder
from breadline.pictures.verdict_chart import verdict_chart

ROOT = Path(__file__).parent.parent
TARGET = ROOT / "docs" / "pictures"
COLOURS = 64  # a flat drawing needs no more, and a page stays light


def drawn(size: Size) -> dict[str, str]:
    """Each picture by its name, as SVG."""
    season = season_from_files(FIRST_YARD / "yard.toml", FIRST_YARD / "weather.csv")
    asked = VerdictAsked(Prices(cost=16, price=18, unit="US$", year=2027), Told(drawn="lot"))
    verdict = verdict_from_file(ROOT / "examples/first-verdict/colonies.csv", asked, date(2027, 3, 1))
    assert isinstance(verdict, Verdict)
    return {
        "bread-chart": season_svg(season, size, alone=True),
        "verdict": verdict_svg(verdict, size),
        "evidence": verdict_chart(voting(), size),
        "cooperators": pooled_chart(pooled_files(sorted(ROOT.glob("examples/cooperators/*.json"))), size),
    }


def write(svg: str, scale: float, file: Path) -> None:
    """A drawing as flat PNG on the paper of the pages."""
    png = Image.open(BytesIO(vl_convert.svg_to_png(svg, scale=scale))).convert("RGBA")
    on_paper = Image.alpha_composite(Image.new("RGBA", png.size, "#FCFBF7"), png).convert("RGB")
    on_paper.quantize(COLOURS, dither=Image.Dither.NONE).save(file, optimize=True)
    print(file)


def main() -> None:
    """Write them, wide and for a phone."""
    vl_convert.register_font_directory(str(font_folder()))
    TARGET.mkdir(parents=True, exist_ok=True)
    for name, svg in drawn("wide").items():
        write(svg, 1.5, TARGET / f"{name}.png")
    for name, svg in drawn("phone").items():
        write(svg, 2.0, TARGET / f"{name}-phone.png")


if __name__ == "__main__":
    main()
