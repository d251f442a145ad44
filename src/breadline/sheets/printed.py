"""From a sheet's template and its words to a PDF, or to a picture of it."""

from __future__ import annotations

import json
import time
from datetime import UTC, date, datetime
from importlib.resources import files
from math import ceil
from typing import Any, Literal

from breadline.errors import OurFault
from breadline.going_on import still_wanted
from breadline.language import noted
from breadline.pictures.letters import font_folder

_PIXELS_AN_INCH = 144.0
LONG_S = 1.0  # from which a layout is one to wait for [s]
TOOK = noted("The last long sheet of its kind took {all:,} s.")
_TOOK: dict[str, float] = {}  # the last long one of each template, since the program began [s]


def printed(
    template: str, words: dict[str, Any], on: date, form: Literal["pdf", "png"] = "pdf",
    pixels_an_inch: float = _PIXELS_AN_INCH,
) -> bytes:  # fmt: skip
    """The sheet as a tagged PDF (PDF/UA-1), or as a picture.

    A letter that the shipped faces lack is taken from the faces of the machine; where none has it, the PDF
    is still tagged but does not claim PDF/UA.

    Parameters
    ----------
    template
        A file beside this one. It reads ``words`` as data, so that nothing in them is markup.
        Where its first line is "// after FILE", that file comes before it.
    on
        The day the sheet is dated, which is also the file's own.

    Errors
    ------
    NobodyWaits
        If nobody waits for it any more, before it is begun or once it is there.
    """
    still_wanted(0, ceil(_TOOK.get(template, 0.0)), TOOK)
    began = time.monotonic()
    made = _laid_out(template, words, on, form, pixels_an_inch)
    if (took := time.monotonic() - began) >= LONG_S:
        _TOOK[template] = took
    still_wanted()
    return made


def _laid_out(
    template: str, words: dict[str, Any], on: date, form: Literal["pdf", "png"], pixels_an_inch: float
) -> bytes:
    import typst  # heavy, and only here

    source = _with_what_it_follows(template)
    inputs = {"sheet": json.dumps(words, ensure_ascii=False)}
    dated = datetime(on.year, on.month, on.day, 12, tzinfo=UTC)

    def drawn(own_faces_only: bool, standards: list[Any]) -> bytes:
        return typst.compile(  # type: ignore[misc]  # its Input is not bound to an argument
            source, font_paths=[str(font_folder())], ignore_system_fonts=own_faces_only, format=form,
            ppi=pixels_an_inch, sys_inputs=inputs, pdf_standards=standards, timestamp=dated,
        )  # fmt: skip

    for own_faces_only in (True, False):
        try:
            return drawn(own_faces_only, ["ua-1"] if form == "pdf" else [])
        except typst.TypstError as error:
            if "could not be displayed" not in str(error):
                raise OurFault("sheet", f"{template}: {error}", "a page", "Please report it") from error
    return drawn(False, [])


def _with_what_it_follows(template: str) -> bytes:
    folder = files("breadline.sheets")
    text = folder.joinpath(template).read_text(encoding="utf-8")
    first = text.partition("\n")[0]
    before = folder.joinpath(first[9:]).read_text(encoding="utf-8") if first.startswith("// after ") else ""
    return (before + text).encode()
