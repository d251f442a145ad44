"""The files of chosen rounds: truck sheets, order list, labels, batch sheets and the calendar."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fastapi import Request
from fastapi.responses import Response

from breadline.errors import InputToMend
from breadline.language import say
from breadline.web.long_pdf import Pdf, pdf_in_time


def file_of(
    request: Request, question: object, made: Mapping[str, Callable[[], bytes]], name: str
) -> Response:
    """One of the files that can be made, to look at or to print; InputToMend where there is no such one."""
    if name not in made:
        raise InputToMend(
            name,
            say("there is no such sheet"),
            say("one of {made}", made=", ".join(made)),
            say("Go back to the yard's rounds"),
        )
    if name.endswith(".pdf"):
        return pdf_in_time(request, question, say("The sheet is being laid out."), Pdf(name, made[name]))
    head = {"Content-Disposition": f'inline; filename="{name}"'}
    return Response(made[name](), media_type="text/calendar; charset=utf-8", headers=head)
