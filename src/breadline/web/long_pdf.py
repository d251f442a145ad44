"""A PDF that may take longer than a second: laid out beside a page that says so, and kept once there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fastapi import Request
from fastapi.responses import Response

from breadline.going_on import still_wanted
from breadline.web.kept_answers import KeptAnswers, kept_in, question_of
from breadline.web.pages.working import in_time


@dataclass(frozen=True)
class Pdf:
    """A PDF by the name it is saved under, and how it is made."""

    name: str
    made: Callable[[], bytes]

    def answer(self, there: bytes | None = None) -> Response:
        """The answer that carries it; made now where it is not there."""
        head = {"Content-Disposition": f'inline; filename="{self.name}"'}
        content = self.made() if there is None else there
        return Response(content, media_type="application/pdf", headers=head)


def pdf_asked(request: Request) -> object:
    """What the PDF of an address hangs on; asked before the book is read: a change after makes it anew."""
    return question_of(request, "pdf", request.url.path, request.url.query)


def pdf_in_time(request: Request, question: object, what: str, pdf: Pdf) -> Response:
    """It where it is there in a second, else the way to the page that waits for it; again, it is at once."""
    kept: KeptAnswers[bytes] = kept_in(request, "long_pdfs")
    if (word := kept.asked(question)) is not None:
        return pdf.answer(kept.of(word))

    def made() -> Response:
        content = pdf.made()
        still_wanted()  # what somebody left is not kept
        kept.put(content, question)
        return pdf.answer(content)

    query = f"?{request.url.query}" if request.url.query else ""
    return in_time(request, question, what, lambda _: made(), f"{request.url.path}{query}")
