"""Phones that may send to a book over the network of the house, and the certificate they trust."""

from __future__ import annotations

from datetime import UTC, datetime

from breadline.jobs.book import Book
from breadline.records import phones
from breadline.records.engine import looking, writing
from breadline.records.phones import Phone

HOST_CERTIFICATE, HOST_KEY = "breadline-host.crt", "breadline-host.key"  # files of ``certificate.py``


class PhonesBook(Book):
    """A book and the phones that it knows."""

    def offer(self, name: str) -> str:
        """A code to type on a phone; it holds for ten minutes."""
        with writing(self._engine) as session:
            return phones.offer(session, name, datetime.now(UTC))

    def pair(self, code: str) -> str | None:
        """The token for a phone that typed a code that holds."""
        with writing(self._engine) as session:
            return phones.pair(session, code.strip().replace(" ", ""), datetime.now(UTC))

    def knows(self, token: str) -> str | None:
        """The name of the phone that has this token."""
        with looking(self._engine) as session:
            return phones.known(session, token)

    def phones(self) -> list[Phone]:
        """All of them."""
        with looking(self._engine) as session:
            return phones.listed(session)

    def revoke(self, name: str) -> None:
        """Let a phone in no longer."""
        with writing(self._engine) as session:
            phones.revoke(session, name, "revoked")


def in_address(name: str) -> str:
    """A name or address as it stands in what a browser opens: one of version 6 in brackets (RFC 3986)."""
    return f"[{name}]" if ":" in name else name
