"""Phones of the house: offered a code, paired by it, known by a token, revoked."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.append_only import current, put_in_place, same_again, withdraw
from breadline.records.phone_tables import PhoneRow
from breadline.records.storable import storable

DIGITS = 8  # of a code, to be typed on a phone
HOLDS = timedelta(minutes=10)  # a code, from when it was offered


@dataclass(frozen=True)
class Phone:
    """A phone as it is listed."""

    name: str
    paired: bool
    code_until: datetime | None


def offer(session: Session, name: str, now: datetime) -> str:
    """A new code for a phone of this name; what it had before holds no longer.

    Errors
    ------
    RecordError
        If the name is empty or cannot be kept.
    """
    name = name.strip()
    storable(name, "phone, name")
    if not name:
        raise RecordError(
            "phone", say("it has no name"), say("one you know it by"), say("Say whose phone it is")
        )
    code = "".join(secrets.choice("0123456789") for _ in range(DIGITS))
    row = PhoneRow(name=name, code_sha256=_digest(code), code_until=now + HOLDS, token_sha256=None)
    old = session.scalar(current(PhoneRow).where(PhoneRow.name == name))
    if old is None:
        session.add(row)
        session.flush()
    else:
        put_in_place(session, old, row)
    return code


def pair(session: Session, code: str, now: datetime) -> str | None:
    """The token of the phone that types a code that holds, once; ``None`` where none does."""
    row = session.scalar(current(PhoneRow).where(PhoneRow.code_sha256 == _digest(code)))
    if row is None or row.code_until is None or row.code_until < now:
        return None
    token = secrets.token_urlsafe(32)
    paired = same_again(row, code_sha256=None, code_until=None, token_sha256=_digest(token), because="paired")
    put_in_place(session, row, paired)
    return token


def known(session: Session, token: str) -> str | None:
    """The name of the phone with this token; ``None`` where it was revoked or never was."""
    row = session.scalar(current(PhoneRow).where(PhoneRow.token_sha256 == _digest(token)))
    return None if row is None else row.name


def listed(session: Session) -> list[Phone]:
    """The phones that are paired or offered a code, by name."""
    rows = session.scalars(current(PhoneRow))
    found = [Phone(row.name, row.token_sha256 is not None, row.code_until) for row in rows]
    return sorted(found, key=lambda one: one.name.casefold())


def revoke(session: Session, name: str, because: str) -> None:
    """From now on this phone is not let in.

    Errors
    ------
    RecordError
        If there is none of this name.
    """
    row = session.scalar(current(PhoneRow).where(PhoneRow.name == name))
    if row is None:
        names = ", ".join(one.name for one in listed(session)) or say("none yet")
        raise RecordError(
            f'phone "{name}"', say("it is not known"), say("one of these: {names}", names=names)
        )
    withdraw(session, row, because)


def _digest(text: str) -> str:
    """SHA-256; a token has 256 bits of chance in it, a code holds for minutes only."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
