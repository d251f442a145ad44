"""Make the font files of Breadline from the fontsource packages of Besley and Source Sans 3.

A development tool, run by hand when the faces change; the results are kept in the repository:

    npm pack @fontsource/besley @fontsource/source-sans-3      # in an empty folder
    uv run --with fonttools --with brotli scripts/fonts.py THAT_FOLDER

The five woff2 files (Latin subset) are renamed inside and written twice: as woff2 for the
browser, as TTF for drawings made on the server. The Open Font License asks for another name
on modified files, and a family name that ends in a digit is dropped by the SVG renderer. The widths
of the letters go into one JSON file, so that a label's place is worked out, not guessed.
"""

from __future__ import annotations

import hashlib
import io
import json
import sys
import tarfile
from pathlib import Path
from typing import Any

from fontTools.ttLib import TTFont

ROOT = Path(__file__).resolve().parents[1] / "src" / "breadline"
SERVER, BROWSER = ROOT / "pictures" / "fonts", ROOT / "web" / "static" / "fonts"
FACES = {
    "besley": ("Breadline Display", "breadline-display", (500, 700)),
    "source-sans-3": ("Breadline Text", "breadline-text", (400, 600, 700)),
}
WEIGHT_NAMES = {400: "Regular", 500: "Medium", 600: "SemiBold", 700: "Bold"}


def package_file(folder: Path, package: str, name: str) -> bytes:
    """One file out of a package's tarball."""
    tarball = next(folder.glob(f"fontsource-{package}-*.tgz"))
    with tarfile.open(tarball) as tar:
        member = tar.extractfile(f"package/{name}")
        if member is None:
            raise SystemExit(f"{tarball.name} holds no {name}")
        return member.read()


def rename(font: Any, family: str, weight: int) -> None:
    """Give the font Breadline's own family name; copyright and licence records stay."""
    style = WEIGHT_NAMES[weight]
    full = f"{family} {style}"
    plain = weight in (400, 700)  # the four-style family of old name tables holds only these
    records = {1: family if plain else full, 2: style if plain else "Regular", 3: f"{full} (modified)"}
    records |= {4: full, 6: full.replace(" ", ""), 16: family, 17: style}
    for number in (*records, 21, 22, 25):
        font["name"].removeNames(nameID=number)
    for number, text in records.items():
        font["name"].setName(text, number, 3, 1, 0x409)
    font["OS/2"].usWeightClass = weight


def widths(font: Any) -> dict[str, float]:
    """Advance width of each letter [em]."""
    em = font["head"].unitsPerEm
    advance = font["hmtx"].metrics
    return {chr(code): round(advance[glyph][0] / em, 3) for code, glyph in sorted(font.getBestCmap().items())}


def write_checksums(folder: Path) -> None:
    """SHA-256 of each file in the folder, in the format of ``sha256sum``."""
    files = sorted(p for p in folder.iterdir() if p.name != "CHECKSUMS")
    lines = [f"{hashlib.sha256(p.read_bytes()).hexdigest()}  {p.name}\n" for p in files]
    (folder / "CHECKSUMS").write_text("".join(lines), encoding="utf-8")


def main(folder: Path) -> None:
    """Write every font file, its licence, the widths and the checksums."""
    table: dict[str, dict[str, float]] = {}
    for target in (SERVER, BROWSER):
        target.mkdir(parents=True, exist_ok=True)
    for package, (family, stem, weights) in FACES.items():
        licence = package_file(folder, package, "LICENSE")
        for target in (SERVER, BROWSER):
            (target / f"OFL-{stem}.txt").write_bytes(licence)
        for weight in weights:
            data = package_file(folder, package, f"files/{package}-latin-{weight}-normal.woff2")
            font = TTFont(io.BytesIO(data))
            rename(font, family, weight)
            table[f"{family} {weight}"] = widths(font)
            font.save(BROWSER / f"{stem}-{weight}.woff2")
            font.flavor = None
            font.save(SERVER / f"{stem}-{weight}.ttf")
    (SERVER / "widths.json").write_text(json.dumps(table, ensure_ascii=True, indent=0), encoding="utf-8")
    for target in (SERVER, BROWSER):
        write_checksums(target)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
