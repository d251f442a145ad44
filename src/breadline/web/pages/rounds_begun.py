"""What the pages of rounds begin with: the book as rounds use it, and its kept plans."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from fastapi import Request

from breadline.errors import PlanError
from breadline.jobs.book import key_of
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_book import RoundsBook
from breadline.language import say
from breadline.web.opened import book_of


def rounds_book(request: Request) -> RoundsBook:
    """The book of this app as rounds use it."""
    book = cast(Any, book_of(request))
    return RoundsBook(book.path, book.today)


def kept_plan(book: RoundsBook, yard_id: str) -> PlanKept:
    """The plan that holds for a yard; PlanError where none was chosen."""
    return kept_plans(book, [yard_id])[yard_id]


def kept_plans(book: RoundsBook, yard_ids: Sequence[str]) -> dict[str, PlanKept]:
    """Those of several yards, by their keys, in the same order; PlanError where one has none."""
    keys = [str(key_of(one)) for one in yard_ids]
    plans = book.plans(keys)
    lack = [key for key in keys if key not in plans]
    if lack:
        names = {key: name for key, name, _ in book.yard_ids()}
        raise PlanError(
            "plan" if len(keys) == 1 else ", ".join(names.get(key, key) for key in lack),
            say("none is chosen for this yard"),
            say("a chosen plan"),
            say("Ask for plans and choose one"),
        )
    return {key: plans[key] for key in keys}
