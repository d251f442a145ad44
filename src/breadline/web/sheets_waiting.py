"""Sheets that wait between a look and a word: in memory only, a few at a time, gone when the pages stop."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
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

    def put(self, sheet: Sheet) -> str:
        """Keep a sheet; the word by which it is found."""
        word = secrets.token_urlsafe(16)
        with self._lock:
            self._all[word] = sheet
            while len(self._all) > MOST:
                self._all.popitem(last=False)
        return word

    def of(self, word: str) -> Sheet | None:
        """The sheet of a word; None where it is gone."""
        with self._lock:
            return self._all.get(word)

    def drop(self, word: str) -> None:
        """Forget a sheet."""
        with self._lock:
            self._all.pop(word, None)
