"""The documentation site: every page is in it, every link leads somewhere, no other host is asked."""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import unescape
from pathlib import Path

import pytest
from scripts.documentation.__main__ import build
from scripts.documentation.contents import address_of, parts
from scripts.documentation.words import keys_in, slug

from house import tree

HEAVIEST = 300_000  # of a page with what it loads [bytes]
KEPT = ("guide", "method", "decisions", "proof")


TAG = re.compile(r"<([a-z]\w*)([^<>]*)>")


@dataclass(frozen=True)
class Read:
    """Names, links and loaded files of a page, and the ranks of its headings."""

    ids: list[str]
    links: list[str]
    loads: list[str]
    ranks: list[int]


def read_page(html: str) -> Read:
    tags = [
        (m[1], {k: unescape(v) for k, v in re.findall(r'([\w-]+)="([^"]*)"', m[2])})
        for m in TAG.finditer(html)
    ]
    return Read(
        [told["id"] for _, told in tags if "id" in told],
        [told["href"] for tag, told in tags if tag == "a"],
        [told.get("src") or told["href"] for tag, told in tags if "src" in told or tag == "link"],
        [int(tag[1]) for tag, _ in tags if re.fullmatch("h[1-6]", tag)],
    )


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Path:
    out = tmp_path_factory.mktemp("site")
    build(out)
    return out


@pytest.fixture(scope="module")
def read(site) -> dict[Path, Read]:
    return {page.resolve(): read_page(page.read_text("utf-8")) for page in site.rglob("*.html")}


def test_every_page_of_the_repository_is_in_it(site):
    for folder in KEPT:
        for page in (tree.ROOT / "docs" / folder).glob("*.md"):
            assert (site / address_of(tree.short(page))).is_file(), page


def test_every_link_leads_somewhere_inside_and_to_a_name_that_is_there(read):
    lost = []
    for page, told in read.items():
        for link in told.links:
            if re.match("https?:", link):
                continue
            path, _, name = link.partition("#")
            target = (page.parent / path).resolve() if path else page
            there = target.is_file() and (not name or name in read[target].ids)
            lost += [] if there else [f"{page.name}: {link}"]
    assert not lost


def test_a_page_loads_only_what_lies_beside_it_and_is_light(site, read):
    fonts = sum(font.stat().st_size for font in (site / "fonts").glob("*.woff2"))
    for page, told in read.items():
        weight = page.stat().st_size + fonts
        for load in told.loads:
            assert not re.match("(https?:)?//", load)
            file = (page.parent / load).resolve()
            weight += file.stat().st_size
        assert weight < HEAVIEST, page
    css = (site / "site.css").read_text("utf-8")
    assert all((site / name).is_file() for name in re.findall(r"url\((.*?)\)", css))
    assert "//" not in re.sub(r"/\*.*?\*/", "", css, flags=re.S)


def test_names_are_unlike_and_headings_go_down_step_by_step(read):
    for page, told in read.items():
        assert len(told.ids) == len(set(told.ids)), page
        assert told.ranks.count(1) == 1, page
        assert told.ranks[0] == 1, page
        steps = zip(told.ranks, told.ranks[1:], strict=False)
        assert not [pair for pair in steps if pair[1] - pair[0] > 1], page


def test_no_table_has_a_head_that_says_nothing(site):
    for page in site.rglob("*.html"):
        html = page.read_text("utf-8")
        assert "<th></th>" not in html, page
        assert html.count("<table>") == html.count('role="region" tabindex="0"'), page


def test_the_parts_stand_in_the_order_of_the_loop():
    names = [part.name for part in parts()]
    loop = ["Need", "Ration", "Rounds", "The yard", "Check group", "Verdict", "Learning"]
    assert [name for name in names if name in loop] == loop
    every = [page.source or page.address for part in parts() for page in part.pages]
    assert len(every) == len(set(every))


def test_keys_and_commands_lead_to_what_they_name(site):
    page = (site / "guide" / "questions.html").read_text("utf-8")
    assert re.search(r'<a href="\.\./sources\.html#hoover2022" title="Hoover[^"]+">hoover2022</a>', page)
    assert '<a href="commands.html#breadline-season"><code>breadline season</code></a>' in page
    told = "as brodschneider2010 has it [judged], not judged; see docs/method/need.md and no_such_key [x]"
    known = {"brodschneider2010", "judged", "need"}
    assert [key for _, _, key in keys_in(told, known)] == ["brodschneider2010", "judged"]


def test_a_picture_that_was_drawn_for_a_phone_is_shown_there(site):
    page = (site / "guide" / "commercial.html").read_text("utf-8")
    shown = re.search(
        r'<source media="\(max-width: 600px\)" srcset="\.\./(files/[^"]+-phone\.png)"><img', page
    )
    assert shown
    assert (site / shown[1]).is_file()


def test_a_heading_is_named_as_links_write_it():
    taken: set[str] = set()
    assert slug("Short from (`need/shortfall.py`)", taken) == "short-from-needshortfallpy"
    assert (slug("What is in it", taken), slug("What is in it", taken)) == (
        "what-is-in-it",
        "what-is-in-it-1",
    )


def test_a_folder_with_something_else_in_it_is_left_alone(tmp_path):
    kept = tmp_path / "mine.txt"
    kept.write_text("mine")
    with pytest.raises(SystemExit, match="did not make"):
        build(tmp_path)
    assert kept.read_text() == "mine"
