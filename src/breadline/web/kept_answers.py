"""Answers kept in memory until the program stops, each by a word, and found again by what was asked."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from secrets import token_urlsafe
from typing import Generic, TypeVar, cast

from fastapi import Request

from breadline.jobs.stands import stands_as
from breadline.measures import told_to
from breadline.web.opened import place_of

T = TypeVar("T")
KEPT = 20  # of one kind in memory; the oldest makes room


class KeptAnswers(Generic[T]):
    """The answers of one kind, the newest ``KEPT`` of them."""

    def __init__(self) -> None:
        self._lock, self._making = threading.Lock(), threading.Lock()
        self._all: OrderedDict[str, tuple[T, object]] = OrderedDict()

    def put(self, made: T, question: object = None) -> str:
        """Keep one; the word by which it is found. ``question`` is all that it hangs on, None never asked."""
        key = token_urlsafe(9)
        with self._lock:
            self._all[key] = made, question
            while len(self._all) > KEPT:
                self._all.popitem(last=False)
        return key

    def once(self, question: object, make: Callable[[], T]) -> tuple[str, bool]:
        """The word of the answer to a question, made where there is none, and whether it was there already.

        What ``make`` raises is raised, and nothing is kept.
        """
        with self._making:
            there = self.asked(question)
            return there or self.put(make(), question), there is not None

    def change(self, key: str, made: T) -> None:
        """Keep another in its place, which is no answer any more to what was asked."""
        with self._lock:
            self._all[key] = made, None

    def of(self, key: str) -> T | None:
        """One by its word; None where it is kept no more."""
        found = self._all.get(key)
        return None if found is None else found[0]

    def asked(self, question: object) -> str | None:
        """The word of the answer to the same question; None where there is none any more."""
        with self._lock:
            same = [key for key, (_, asked) in self._all.items() if asked is not None and asked == question]
        return same[-1] if same else None


def kept_in(request: Request, name: str) -> KeptAnswers[T]:
    """The answers of that kind of this app."""
    state = request.app.state
    if not hasattr(state, name):
        setattr(state, name, KeptAnswers())
    return cast("KeptAnswers[T]", getattr(state, name))


def question_of(request: Request, *asked: object) -> object:
    """What an answer hangs on: what was asked, by whom it is read, on which day, and how the book stands."""
    return (*asked, told_to(), request.app.state.today(), stands_as(place_of(request)))
