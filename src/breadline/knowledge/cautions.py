"""Cautions of one line with whom to ask, and claims that are common but wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from breadline.knowledge.data import shipped
from breadline.knowledge.figure import Read


@dataclass(frozen=True)
class Caution:
    """One line to show at a step, and who knows more."""

    key: str
    line: str
    ask: str
    topics: tuple[str, ...]
    source: str
    read: Read
    short: str = ""  # for paper that has room for no more


@dataclass(frozen=True)
class WrongClaim:
    """A claim that goes round, and what a source says instead."""

    key: str
    claim: str
    instead: str
    source: str
    read: Read


def cautions(*topics: str) -> tuple[Caution, ...]:
    """Cautions that belong to any of ``topics``, in the order of the file; all without topics."""
    wanted = set(topics)
    return tuple(c for c in _cautions() if not wanted or wanted & set(c.topics))


def caution(key: str) -> Caution:
    """One caution by key; a missing key is our own mistake and ends in a KeyError in the tests."""
    return {c.key: c for c in _cautions()}[key]


def in_the_yard() -> tuple[Caution, ...]:
    """Those of whoever opens hives: stings, smoker, lifting, heat."""
    return cautions("yard")


def common_but_wrong() -> tuple[WrongClaim, ...]:
    """Claims that sources contradict."""
    return tuple(
        WrongClaim(key, str(t["claim"]), str(t["instead"]), str(t["source"]), cast(Read, t["read"]))
        for key, t in shipped("common_but_wrong.toml").items()
    )


def _cautions() -> tuple[Caution, ...]:
    return tuple(
        Caution(
            key,
            str(t["line"]),
            str(t["ask"]),
            tuple(t["topics"]),
            str(t["source"]),
            cast(Read, t["read"]),
            str(t.get("short", "")),
        )
        for key, t in shipped("cautions.toml").items()
    )
