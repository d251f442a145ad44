"""``python -m scripts.documentation``: writes the site."""

from __future__ import annotations

import argparse
import shutil
import sys
import tomllib
from pathlib import Path

from jinja2 import Environment, FileSystemLoader
from scripts.documentation import pages
from scripts.documentation.contents import ROOT, Page, Part, parts

TITLES = {"sources.html": "Sources", "headings.html": "Every heading"}
STATIC = "src/breadline/web/static"
MARK = ".made-by-breadline-site"  # a folder without it is not emptied


def build(out: Path, root: Path = ROOT) -> list[Path]:
    """Write the site into a folder that is new, empty, or was made by this before; every file written.

    Errors
    ------
    SystemExit
        If the folder holds anything else.
    """
    _emptied(out)
    found = parts(root)
    every = [page for part in found for page in part.pages]
    site = _site(root, [page for page in every if page.source])
    _fill(site, every)
    written = _pages(out, found, root)
    written += [_copied(root / file, out / "files" / file) for file in sorted(site.files)]
    for name in ("mark.svg", *(f"fonts/{font.name}" for font in (root / STATIC / "fonts").glob("*"))):
        written.append(_copied(root / STATIC / name, out / name))
    written.append(_copied(root / "docs/site/site.css", out / "site.css"))
    return written


def _emptied(out: Path) -> None:
    if out.exists() and any(out.iterdir()):
        if not (out / MARK).exists():
            sys.exit(f"{out}: there is something in it that this command did not make. Name another --out.")
        shutil.rmtree(out)
    out.mkdir(parents=True, exist_ok=True)
    (out / MARK).touch()


def _site(root: Path, with_source: list[Page]) -> pages.Site:
    shelf = tomllib.loads((root / "src/breadline/knowledge/sources.toml").read_text("utf-8"))
    sources = {key: entry["cite"] for key, entry in shelf.items()}
    return pages.Site(root, {page.source: page for page in with_source}, sources)


def _fill(site: pages.Site, every: list[Page]) -> None:
    """Headings first, so that links can be led to them; then what is on each page."""
    texts = {source: (site.root / source).read_text("utf-8") for source in site.pages}
    for source, page in site.pages.items():
        pages.read_headings(page, texts[source])
    commands = site.pages[pages.COMMANDS].headings
    site.commands = {h.text: h.slug for h in commands if h.text.startswith("breadline ")}
    for page in every:
        page.title = page.title or TITLES[page.address]
    for source, page in site.pages.items():
        pages.write(page, texts[source], site)
    for page in every:
        if page.address == "sources.html":
            page.html = pages.sources_html(site, page)
        if page.address == "headings.html":
            page.html = pages.headings_html(site, page)


def _pages(out: Path, found: tuple[Part, ...], root: Path) -> list[Path]:
    project = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]
    there = Environment(loader=FileSystemLoader(root / "docs/site"), autoescape=True)
    template = there.get_template("page.html")
    every = [page for part in found for page in part.pages]
    written = []
    for before, page, after in zip([None, *every], every, [*every[1:], None], strict=False):
        head, end, rest = page.html.partition("</h1>")
        around = {"before": before, "after": after, "head": head + end, "rest": rest}
        html = template.render(page=page, parts=found, up=page.up, version=project["version"], **around)
        file = out / page.address
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(html, encoding="utf-8")
        written.append(file)
    return written


def _copied(file: Path, to: Path) -> Path:
    to.parent.mkdir(parents=True, exist_ok=True)
    return Path(shutil.copyfile(file, to))


def main() -> None:
    """Build it, and say where it begins."""
    asked = argparse.ArgumentParser(description="Builds the documentation site.")
    asked.add_argument(
        "--out", type=Path, default=ROOT / "var" / "site", help="the folder it is written into"
    )
    out = asked.parse_args().out
    made = build(out)
    print(f"{sum(file.suffix == '.html' for file in made)} pages written; open {out / 'index.html'}")


if __name__ == "__main__":
    main()
