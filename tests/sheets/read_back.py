"""Sheets read back from their PDF, for the tests of all of them."""

from __future__ import annotations

import io

from pypdf import PdfReader

PAPERS = {"a4": (595, 842), "us-letter": (612, 792)}  # their sizes [pt]
MARKUP = '#panic("no") $x$ *bold* _it_ = head @ref <tag> `raw` \\ // /* [x] "q" ~'
SCRIPTS = ["Пыльца и двор", "Łódź, żółtko", "大豆の庭", "חצר", "line\nbreak\ttab", "🐝 yard", "é́́́"]


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def words(pdf: bytes, page: int = 0) -> str:
    return " ".join(read(pdf).pages[page].extract_text().split())


def places(pdf: bytes, page: int = 0) -> list[tuple[str, float, float, float]]:
    """Every piece of text with its place from the lower left and its size [pt]."""
    seen = []

    def visitor(text, page_to, line_to, _font, size):
        if text.strip():
            (a, b, c, d, e, f), (x, y) = page_to, line_to[4:]
            seen.append((text, a * x + c * y + e, b * x + d * y + f, size))

    read(pdf).pages[page].extract_text(visitor_text=visitor)
    return seen


def sizes(pdf: bytes) -> list[float]:
    """Sizes of all letters [pt]."""
    return [size for _, _, _, size in places(pdf)]


def kinds(pdf: bytes) -> set[str]:
    """Kinds of the tags in its structure: headings, tables."""
    root = read(pdf).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"].startswith("en")
    return set(_kinds(root["/StructTreeRoot"]))


def _kinds(node):
    if "/S" in node:
        yield str(node["/S"])
    below = node.get("/K", [])
    for kid in below if isinstance(below, list) else [below]:
        kid = kid.get_object() if hasattr(kid, "get_object") else kid
        if hasattr(kid, "get"):
            yield from _kinds(kid)


def claims_ua(pdf: bytes) -> bool:
    return "pdfuaid" in read(pdf).xmp_metadata.stream.get_data().decode()
