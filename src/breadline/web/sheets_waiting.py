"""Sheets that wait between a look and a word: in memory only, a few at a time, gone when the pages stop."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass

MOST = 6  # sheets; the oldest goes first


@dataclass(frozen=True)
class Sheet:
    """A file as it came."""

    name: str
    content: bytes


class Waiting:
    """The sheets of one app, each by a word that nobody can guess."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._all: OrderedDict[str, Sheet] = OrderedDict()
        self._said: dict[str, dict[str, str]] = {}  # what was said of each

    def put(self, sheet: Sheet) -> str:
        """Keep a sheet; the word by which it is found."""
        word = secrets.token_urlsafe(16)
        with self._lock:
            self._all[word] = sheet
            while len(self._all) > MOST:
                self._said.pop(self._all.popitem(last=False)[0], None)
        return word

    def say(self, word: str, typed: Mapping[str, str]) -> None:
        """Keep what was said of a sheet, in the place of what was said before."""
        with self._lock:
            if word in self._all:
                self._said[word] = dict(typed)

    def said(self, word: str) -> dict[str, str]:
        """What was said of a sheet last."""
        with self._lock:
            return dict(self._said.get(word, {}))

    def of(self, word: str) -> Sheet | None:
        """The sheet of a word; None where it is gone."""
        with self._lock:
            return self._all.get(word)

    def drop(self, word: str) -> None:
        """Forget a sheet."""
        with self._lock:
            self._all.pop(word, None)
            self._said.pop(word, None)
