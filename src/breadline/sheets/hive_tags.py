"""Tags for hives: the tag in big letters beside a code that a phone reads off a photo, on label sheets."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import cache
from math import ceil
from typing import Any

from breadline.errors import RecordError
from breadline.going_on import still_wanted
from breadline.language import noted, say
from breadline.sheets.labels import MOST_LABELS, LabelSheet, place_on_sheet
from breadline.sheets.letterhead import letterhead
from breadline.sheets.printed import printed

LEAST_CODE_MM = 15.0  # a side of the dark square, without its margin [mm]
MOST_CODE_MM = 40.0
CODES = noted("{n:,} of {all:,} tags drawn.")
MARGIN = 4  # light modules all round, as the standard of the code asks
LONGEST_TAG = 40  # letters; as long as a phone takes


def tags_printed(
    tags: Sequence[str], sheet: LabelSheet, on: date, first: int = 1, cut_lines: bool = False
) -> bytes:
    """One tag for each hive as a tagged PDF, in their order.

    Parameters
    ----------
    tags, sheet
        What they say, and on what they are printed.
    on
        The day the file is dated.
    first
        The first free label of the first sheet, from 1, where the sheet has been begun.
    cut_lines
        Lines to cut along, for plain paper.

    Errors
    ------
    RecordError
        If there are none or too many, or one is too long for a code of 15 mm that can be read.
    """
    return printed("hive_tags.typ", tags_data(tags, sheet, first, cut_lines), on)


def tags_data(
    tags: Sequence[str], sheet: LabelSheet, first: int = 1, cut_lines: bool = False
) -> dict[str, Any]:
    """Everything the tags say, as plain data; its words are never markup."""
    if not 1 <= first <= sheet.count:
        raise RecordError("first label", f"{first}", say("1 to {count} on this sheet", count=sheet.count))
    if not 1 <= len(tags) <= MOST_LABELS:
        raise RecordError(
            "tags",
            say("{tags} of them", tags=len(tags)),
            say("1 to {most_labels}", most_labels=MOST_LABELS),
            say("List the hives of the yard"),
        )
    return {
        **letterhead(sheet.paper, ""),
        "title": say("Tags of {n} hives", n=len(tags)),
        "wide": sheet.wide, "high": sheet.high, "cut_lines": cut_lines, "margin": MARGIN,
        "pages": ceil((first - 1 + len(tags)) / sheet.count),
        "tags": [
            {"tag": tag, **code, **place_on_sheet(n, sheet)}
            for n, (tag, code) in enumerate(zip(tags, _codes(tags, sheet), strict=True), start=first - 1)
        ],
    }  # fmt: skip


def _codes(tags: Sequence[str], sheet: LabelSheet) -> list[dict[str, Any]]:
    found = []
    for n, tag in enumerate(tags):
        still_wanted(n, len(tags), CODES)
        found.append(_code(tag, sheet))
    return found


def _code(tag: str, sheet: LabelSheet) -> dict[str, Any]:
    """The code of a tag as a picture of dark modules, and the side of its dark square [mm]."""
    if not tag or len(tag) > LONGEST_TAG:
        raise RecordError(
            f"tag {tag[:12]}",
            say("{tag} letters", tag=len(tag)),
            say("1 to {longest_tag}", longest_tag=LONGEST_TAG),
            say("Shorten the tag"),
        )
    modules, path = _drawn(tag)
    room = min(sheet.high - 1.0, 0.55 * sheet.wide)  # 0.5 mm to each edge of the label
    side = min(MOST_CODE_MM, room * modules / (modules + 2 * MARGIN))
    if side < LEAST_CODE_MM:
        what = say("its code would have {side:.0f} mm on this sheet", side=side)
        expected, do = (
            say("{least_code_mm:g} mm or more", least_code_mm=LEAST_CODE_MM),
            say("Shorten the tag, or take larger labels"),
        )
        raise RecordError(f"tag {tag[:12]}", what, expected, do)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {modules} {modules}" '
        f'shape-rendering="crispEdges"><path d="{path}" fill="#000"/></svg>'
    )
    return {"svg": svg, "side": round(side, 2), "modules": modules}


@cache
def _drawn(tag: str) -> tuple[int, str]:
    """Modules on a side, and the dark ones as one path, a rectangle for each run of them.

    The text of the code is the tag alone, as the phone pages take it. What the smallest code
    leaves free goes into correcting errors: dirt and scratches.
    """
    import segno  # only here

    plain = tag.isascii()
    made = segno.make(tag, error="m", micro=False, encoding=None if plain else "utf-8",
                      mode=None if plain else "byte")  # fmt: skip
    rows = [bytes(row) for row in made.matrix]
    runs = []
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            end = x
            while end < len(row) and row[end]:
                end += 1
            if end > x:
                runs.append(f"M{x} {y}h{end - x}v1h-{end - x}z")
            x = max(end, x + 1)
    return len(rows), "".join(runs)
