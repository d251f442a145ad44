"""Phones of the house: let in by a code, to the phone pages only, until revoked; a certificate they trust."""

from __future__ import annotations

import socket
import ssl
import threading
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec
from starlette.testclient import TestClient

from breadline.errors import RecordError
from breadline.jobs import certificate
from breadline.jobs.phones import PhonesBook
from breadline.web.app import create_app

HOUSE = "http://192.168.1.20:8417"
DAY = datetime(2026, 5, 3, tzinfo=UTC).date()


@pytest.fixture
def app(feed_book):
    return create_app(feed_book, today=lambda: DAY, hosts=("192.168.1.20",))


def phone(app, client="192.168.1.77"):
    return TestClient(app, base_url=HOUSE, headers={"origin": HOUSE}, client=(client, 50000))


def test_a_stranger_sees_only_where_to_type_a_code(app):
    made = phone(app)
    for path in ("/", "/feed", "/field/", "/field/yards.json", "/field/questions", "/settings"):
        assert made.get(path).status_code == 401, path
    assert made.get("/pair").status_code == 200
    assert made.post("/field/send", content=b"{}").status_code == 401


def test_a_code_lets_a_phone_in_once_to_the_phone_pages_only(app, feed_book):
    code = PhonesBook(feed_book).offer("Crew 1")
    made, other = phone(app), phone(app, "192.168.1.78")
    answer = made.post("/pair", data={"code": f"{code[:4]} {code[4:]}"}, follow_redirects=False)
    assert answer.status_code == 303
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert made.get("/field/").status_code == 200
    assert made.get("/field/yards.json").status_code == 200
    unasked = phone(app).get("/field/app.webmanifest")
    assert unasked.status_code == 200, "a browser asks for the mark and the name without its cookie"
    for path in (
        "/",
        "/feed",
        "/settings",
        "/figures",
        "/field/questions",
        "/field/hives/x",
        "/field/keying/x",
    ):
        assert made.get(path).status_code == 403, path
    assert other.post("/pair", data={"code": code}).status_code == 422, "a code holds once"
    PhonesBook(feed_book).revoke("Crew 1")
    assert made.get("/field/").status_code == 401


@pytest.mark.parametrize(
    ("spoken", "unknown", "no_longer", "only"),
    [
        ("en", "not known here yet", "let in here no longer", "the phone pages only"),
        ("es", "no es conocido aquí", "ya no tiene entrada aquí", "solo las páginas del teléfono"),
    ],
)
def test_a_phone_that_is_refused_has_a_page_in_its_language(app, feed_book, spoken, unknown, no_longer, only):
    made = phone(app)
    asks = {"accept": "text/html,application/xhtml+xml", "accept-language": spoken}
    told = made.get("/field/", headers=asks)
    assert (told.status_code, told.headers["content-type"]) == (401, "text/html; charset=utf-8")
    assert unknown in told.text
    assert 'action="/pair"' in told.text, "the code is typed right there"
    assert "script-src" not in made.get("/", headers=asks).headers["content-security-policy"]
    made.post("/pair", data={"code": PhonesBook(feed_book).offer("Crew 7")})
    told = made.get("/settings", headers=asks)
    assert told.status_code == 403
    assert only in told.text
    assert 'href="/field/"' in told.text
    PhonesBook(feed_book).revoke("Crew 7")
    told = made.get("/field/", headers=asks)
    assert told.status_code == 401
    assert no_longer in told.text
    script = made.get("/field/yards.json", headers={"accept": "*/*", "accept-language": spoken})
    assert script.status_code == 401
    assert "<" not in script.text


def test_codes_cannot_be_tried_out(app, feed_book):
    code = PhonesBook(feed_book).offer("Crew 1")
    made = phone(app)
    for _ in range(5):
        assert made.post("/pair", data={"code": "00000000"}).status_code in (422, 303)
    assert made.post("/pair", data={"code": code}).status_code == 429


def test_a_code_holds_for_minutes_and_a_new_one_takes_its_place(feed_book):
    from breadline.records import phones
    from breadline.records.engine import writing

    book = PhonesBook(feed_book)
    first, second = book.offer("Crew 1"), book.offer("Crew 1")
    assert book.pair(first) is None or first == second
    with writing(book._engine) as session:
        assert phones.pair(session, second, datetime.now(UTC) + timedelta(minutes=11)) is None
    assert book.pair(second)
    assert [one.paired for one in book.phones()] == [True]
    with pytest.raises(RecordError, match="Crew 1"):
        book.revoke("Crew 2")


def test_a_host_of_another_name_is_refused_also_with_phones(app):
    made = TestClient(app, base_url="http://evil.example", client=("192.168.1.77", 1))
    told = made.get("/pair")
    assert told.status_code == 421
    assert "printed on the laptop" in told.text
    assert "127.0.0.1" not in told.text  # which on a phone is the phone


@pytest.mark.parametrize("header", ["x-forwarded-for", "forwarded", "x-forwarded-host", "x-real-ip"])
def test_nobody_is_answered_through_a_proxy(app, feed_book, header):
    """Behind one everybody would come from this machine."""
    for made in (app, create_app(feed_book, today=lambda: DAY)):
        client = TestClient(made, base_url="http://127.0.0.1:8417", client=("127.0.0.1", 1))
        assert client.get("/feed", headers={header: "203.0.113.9"}).status_code == 421


def test_this_machine_needs_no_code(app):
    made = TestClient(app, base_url="http://127.0.0.1:8417", client=("127.0.0.1", 1))
    assert made.get("/feed").status_code == 200


TRUSTED, WRONG_NAME, WRONG_ADDRESS, NOT_PERMITTED = 0, 62, 64, 47  # OpenSSL's X509_V_ERR_…, x509_vfy.h


def refusal_of(made, name):
    """Why a strict client that trusts the authority alone refuses the certificate; 0 if it does not."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(made.host, made.host_key)
    client = ssl.create_default_context(cafile=str(made.authority))
    client.verify_flags |= ssl.VERIFY_X509_STRICT  # the identifiers of RFC 5280; from Python 3.13 by itself
    here, there = socket.socketpair()

    def answer():
        try:
            with server.wrap_socket(here, server_side=True):
                pass
        except (ssl.SSLError, OSError):
            here.close()

    thread = threading.Thread(target=answer, daemon=True)
    thread.start()
    try:
        with client.wrap_socket(there, server_hostname=name):
            return TRUSTED
    except ssl.SSLCertVerificationError as refused:
        return refused.verify_code
    finally:
        there.close()
        thread.join(5)


@pytest.mark.parametrize(
    "names",
    [["192.168.1.20"], ["2001:db8::7"], ["hives.example"], ["192.168.1.20", "hives.example"],
     ["hives.example", "192.168.1.20"]],
    ids=" and ".join,
)  # fmt: skip
def test_a_client_that_trusts_the_authority_trusts_this_machine_alone(tmp_path, names):
    made = certificate.make_certificate(tmp_path / "c", names)
    for name in names:
        assert refusal_of(made, name) == TRUSTED, name
    assert refusal_of(made, "bank.example") == WRONG_NAME
    assert refusal_of(made, "192.168.1.21") == WRONG_ADDRESS
    assert (made.host_key.stat().st_mode & 0o077) == 0
    old = made.authority.read_bytes()
    again = certificate.make_certificate(tmp_path / "c", names[:1])
    assert again.authority.read_bytes() == old, "phones need not be told again"
    assert (made.new_authority, again.new_authority) == (True, False)
    assert refusal_of(again, names[0]) == TRUSTED


def lying(folder):
    """What lies in a folder, by name."""
    return {one.name: one.read_bytes() for one in folder.iterdir()}


@pytest.mark.parametrize(
    ("names", "wrong", "says"),
    [
        (["hives.example"], None, "vouches for 192.168.1.20 alone"),
        (["192.168.1.20", "hives.example"], None, "vouches for 192.168.1.20 alone"),
        (["192.168.1.20"], "breadline-authority.key", "whose key is missing or cannot be read"),
        (["192.168.1.20"], "breadline-authority.crt", "that another authority gave"),
    ],
)
def test_an_authority_that_phones_trust_gives_way_only_where_a_new_one_is_asked_for(
    tmp_path, names, wrong, says
):
    certificate.make_certificate(tmp_path, ["192.168.1.20"])
    if wrong:
        (tmp_path / wrong).unlink()
    before = lying(tmp_path)
    with pytest.raises(RecordError, match=says) as refused:
        certificate.make_certificate(tmp_path, names)
    assert "--anew" in str(refused.value)
    assert lying(tmp_path) == before, "neither it nor the certificate of this machine is touched"
    made = certificate.make_certificate(tmp_path, names, anew=True)
    assert made.new_authority
    assert made.authority.read_bytes() != before.get("breadline-authority.crt")
    assert [refusal_of(made, name) for name in names] == [TRUSTED] * len(names)


@pytest.mark.parametrize("garbled", [b"", b"no certificate"])
def test_an_authority_that_cannot_be_read_or_ends_soon_is_left_and_said(tmp_path, garbled):
    made = certificate.make_certificate(tmp_path, ["192.168.1.20"])
    late = datetime.now(UTC) + timedelta(days=4 * 365)
    with pytest.raises(RecordError, match=r"holds until .* only"):
        certificate.make_certificate(tmp_path, ["192.168.1.20"], late)
    made.authority.write_bytes(garbled)
    with pytest.raises(RecordError, match="cannot be read"):
        certificate.make_certificate(tmp_path, ["192.168.1.20"])
    assert made.authority.read_bytes() == garbled


@pytest.mark.parametrize("own", ["192.168.1.20", "hives.example"])
def test_the_authority_cannot_vouch_for_another_machine(tmp_path, own):
    made = certificate.make_certificate(tmp_path, [own])
    authority = x509.load_pem_x509_certificate(made.authority.read_bytes())
    limits = authority.extensions.get_extension_for_class(x509.NameConstraints)
    assert limits.critical
    key = serialization.load_pem_private_key((tmp_path / certificate.AUTHORITY_KEY).read_bytes(), None)
    assert isinstance(key, ec.EllipticCurvePrivateKey)
    for name in ("bank.example", "192.168.1.21", "2001:db8::5"):  # whoever has the key signs for another one
        forged = certificate._host(tmp_path, (name,), [certificate._general(name)], (authority, key),
                                   datetime.now(UTC))  # fmt: skip
        assert refusal_of(forged, name) == NOT_PERMITTED, name
    other = certificate.make_certificate(tmp_path, ["bank.example"], anew=True)
    assert x509.load_pem_x509_certificate(other.authority.read_bytes()) != authority, (
        "it takes a new authority"
    )


@pytest.mark.parametrize("names", [[], ["  "], ["a b"], ["-!"], ["hive.example/path"], ["häuschen.example"]])
def test_what_is_no_name_is_refused(tmp_path, names):
    with pytest.raises(RecordError):
        certificate.make_certificate(tmp_path, names)
