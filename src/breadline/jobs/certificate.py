"""An authority of one's own and a certificate for this machine, so that a phone trusts it without signal.

A page that works without signal needs https that the phone trusts: a warning clicked
away does not do. The authority may vouch for the named machine only (RFC 5280, name
constraints), so that a phone that trusts it is open to nothing else.
"""

from __future__ import annotations

import ipaddress
import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from breadline.errors import RecordError
from breadline.jobs.phones import HOST_CERTIFICATE, HOST_KEY
from breadline.language import say
from breadline.need.words import day_and_year

AUTHORITY_DAYS = 5 * 365  # until phones have to be told again [d]
HOST_DAYS = 397  # phones refuse longer ones: 398 at most (CA/Browser Forum ballot SC31) [d]
HOST_TITLE = "Breadline host"  # with a blank: no client can take it for a name of a machine
NO_NAME = "breadline.invalid"
NOWHERE = ((4, "192.0.2.0/32"), (6, "2001:db8::/128"))
AUTHORITY, AUTHORITY_KEY = "breadline-authority.crt", "breadline-authority.key"


Pair = tuple[x509.Certificate, ec.EllipticCurvePrivateKey]


@dataclass(frozen=True)
class Made:
    """The files of a certificate, until when it holds, and whether its authority is new to every phone."""

    folder: Path
    names: tuple[str, ...]
    until: datetime
    new_authority: bool = True

    @property
    def authority(self) -> Path:
        """What goes onto the phone."""
        return self.folder / AUTHORITY

    @property
    def host(self) -> Path:
        """What the program shows."""
        return self.folder / HOST_CERTIFICATE

    @property
    def host_key(self) -> Path:
        """Its key; it stays on this machine."""
        return self.folder / HOST_KEY


def make_certificate(
    folder: Path, names: Sequence[str], now: datetime | None = None, anew: bool = False
) -> Made:
    """Make both; an authority that lies in the folder for these names is used again.

    Parameters
    ----------
    names
        Names or addresses by which phones reach this machine.
    anew
        Put a new authority in the place of the one that lies there: no phone trusts it yet.

    Errors
    ------
    RecordError
        If no name is given, one is no name, the files cannot be written, or an authority lies there
        that does not do, and none is wanted ``anew``: it stays.
    """
    now = now or datetime.now(UTC)
    wanted = tuple(dict.fromkeys(name.strip().casefold() for name in names if name.strip()))
    if not wanted:
        raise RecordError(
            "certificate",
            say("no name or address is given"),
            say("such as 192.168.1.20, or a name"),
            say("Say by which one phones reach this machine"),
        )
    general = [_general(name) for name in wanted]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        held = None if anew else _there(folder, general, now)
        made = _host(folder, wanted, general, held or _authority(folder, general, now), now)
        return replace(made, new_authority=held is None)
    except OSError as fault:
        raise RecordError(
            str(folder),
            say("it can't be written ({strerror})", strerror=fault.strerror),
            say("a folder of your own"),
        ) from None


def _general(name: str) -> x509.GeneralName:
    try:
        found = ipaddress.ip_address(name)
        if not getattr(found, "scope_id", None):  # which network card stands in no certificate
            return x509.IPAddress(found)
    except ValueError:
        pass
    labels = name.split(".")  # a last one of digits alone is read as an address by every browser (WHATWG URL)
    fits = not labels[-1].isdigit() and all(
        label and len(label) < 64 and label.replace("-", "").isalnum() for label in labels
    )
    if not fits or not name.isascii() or len(name) > 253:
        raise RecordError(
            "certificate",
            say("{name!r} is no name of a machine", name=name),
            say("such as hive.example, or an address"),
        )
    return x509.DNSName(name)


def _there(folder: Path, names: Sequence[x509.GeneralName], now: datetime) -> Pair | None:
    """The authority that lies in a folder; None where none does."""
    if not (folder / AUTHORITY).exists():
        given = (folder / HOST_CERTIFICATE).exists()
        unfit = say("a certificate lies there that another authority gave") if given else ""
        held = None
    else:
        held = _read(folder)
        unfit = _unfit(held, names, now)
    if unfit:
        raise RecordError(
            str(folder), unfit, say("the names that it was made for, or another folder"),
            say("It was left as it is, since phones that trust it trust no other. Add --anew to put a new "
                "one in its place, and give that to every phone"),
        )  # fmt: skip
    return held


def _read(folder: Path) -> Pair | None:
    """An authority and its key; None where they are none, or of two pairs."""
    try:
        made = x509.load_pem_x509_certificate((folder / AUTHORITY).read_bytes())
        key = serialization.load_pem_private_key((folder / AUTHORITY_KEY).read_bytes(), None)
    except (ValueError, TypeError, OSError):
        return None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != made.public_key():
        return None
    return made, key


def _unfit(held: Pair | None, names: Sequence[x509.GeneralName], now: datetime) -> str:
    """Why an authority that was there cannot be used again; empty where it can."""
    if held is None:
        return say("an authority lies there whose key is missing or cannot be read")
    made, _ = held
    permitted = _vouched(made)
    if made.not_valid_after_utc <= now + timedelta(days=HOST_DAYS):
        until = day_and_year(made.not_valid_after_utc.date())
        return say("an authority lies there that holds until {day} only", day=until)
    if not all(_subtree(name) in permitted for name in names):
        its = ", ".join(_own_names(permitted)) or say("nothing that is written in it")
        return say("an authority lies there that vouches for {names} alone", names=its)
    if not _bound(permitted) or not _has_key_name(made):
        return say("an authority lies there of an earlier version, which strict phones refuse")
    return ""


def _vouched(made: x509.Certificate) -> tuple[x509.GeneralName, ...]:
    """The names that an authority may vouch for."""
    found = next((one.value for one in made.extensions if isinstance(one.value, x509.NameConstraints)), None)
    return tuple(found.permitted_subtrees or ()) if found is not None else ()


def _has_key_name(made: x509.Certificate) -> bool:
    return any(isinstance(one.value, x509.SubjectKeyIdentifier) for one in made.extensions)


def _own_names(permitted: Sequence[x509.GeneralName]) -> list[str]:
    """Those of machines, as people write them."""
    nowhere = {ipaddress.ip_network(block) for _, block in NOWHERE}
    names = [one.value for one in permitted if isinstance(one, x509.DNSName) and one.value != NO_NAME]
    blocks = [one.value for one in permitted if isinstance(one, x509.IPAddress) and one.value not in nowhere]
    return [*names, *(str(getattr(one, "network_address", one)) for one in blocks)]


def _bound(permitted: Sequence[x509.GeneralName]) -> bool:
    """Whether names of every kind are bound: of a kind that is not named, every name would pass."""
    versions = {one.value.version for one in permitted if isinstance(one, x509.IPAddress)}
    return versions == {4, 6} and any(isinstance(one, x509.DNSName) for one in permitted)


def _authority(folder: Path, names: Sequence[x509.GeneralName], now: datetime) -> Pair:
    """A new one, for these names alone."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Breadline on this machine")])
    permitted = _permitted(names)
    made = (
        _begun(subject, subject, key, now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .sign(key, hashes.SHA256())
    )
    _written(folder / AUTHORITY_KEY, _private(key), secret=True)
    _written(folder / AUTHORITY, made.public_bytes(serialization.Encoding.PEM))
    return made, key


def _permitted(names: Sequence[x509.GeneralName]) -> list[x509.GeneralName]:
    """What the authority may vouch for; of a kind of name that nobody gave, only what cannot exist.

    A constraint binds the kinds of names that it names: without one of a kind, every name of that kind
    would pass. ``.invalid`` is no name of any machine (RFC 2606), nor are the two blocks of addresses (RFC
    5737, RFC 3849).
    """
    found = [_subtree(name) for name in names]
    if not any(isinstance(one, x509.DNSName) for one in found):
        found.append(x509.DNSName(NO_NAME))
    versions = {one.value.version for one in found if isinstance(one, x509.IPAddress)}
    found += [
        x509.IPAddress(ipaddress.ip_network(block)) for version, block in NOWHERE if version not in versions
    ]
    return found


def _subtree(name: x509.GeneralName) -> x509.GeneralName:
    """What an authority may vouch for: this one address, or this one name."""
    if isinstance(name, x509.IPAddress):
        return x509.IPAddress(ipaddress.ip_network(name.value))
    return name


def _host(
    folder: Path, told: tuple[str, ...], names: Sequence[x509.GeneralName],
    by: Pair, now: datetime,
) -> Made:  # fmt: skip
    """Who it is for stands in the list of names alone: a common name that looks like a machine's is taken
    for a DNS name by some clients where the list holds only addresses, and held against the constraint."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, HOST_TITLE)])
    made = (
        _begun(subject, by[0].subject, key, now, HOST_DAYS)
        .add_extension(_key_of(by[0]), critical=False)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(by[1], hashes.SHA256())
    )
    _written(folder / HOST_KEY, _private(key), secret=True)
    _written(folder / HOST_CERTIFICATE, made.public_bytes(serialization.Encoding.PEM))
    return Made(folder, told, made.not_valid_after_utc)


def _begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, now: datetime, days: int
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(hours=1))  # a phone's clock may be behind
        .not_valid_after(now + timedelta(days=days))
    )


def _key_of(authority: x509.Certificate) -> x509.AuthorityKeyIdentifier:
    """Which key signed (RFC 5280, 4.2.1.1)."""
    its = authority.extensions.get_extension_for_class(x509.SubjectKeyIdentifier)
    return x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(its.value)


def _usage(*, signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs, content_commitment=False, key_encipherment=False,
        data_encipherment=False, key_agreement=False, key_cert_sign=signs, crl_sign=signs,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _private(key: ec.EllipticCurvePrivateKey) -> bytes:
    plain = serialization.NoEncryption()
    return key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, plain)


def _written(path: Path, content: bytes, *, secret: bool = False) -> None:
    """Whole or not at all; a key is readable by its owner only from its first byte on."""
    spare = path.with_suffix(path.suffix + ".new")
    handle = os.open(spare, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600 if secret else 0o644)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
    spare.replace(path)
