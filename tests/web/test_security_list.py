"""Lines of the list docs/method/security.md that no other test shows. All invented."""

from __future__ import annotations

import base64
import io
import re
import ssl
import zipfile
from pathlib import Path

import pytest
import uvicorn
from starlette.testclient import TestClient

from breadline.errors import RecordError
from breadline.jobs.phones import PhonesBook
from breadline.jobs.sheet_xlsx import workbook_cells
from breadline.web.app import create_app
from breadline.web.guard import COOKIE, COOKIE_HTTPS
from web.conftest import HERE

LIST = Path(__file__).parents[2] / "docs" / "method" / "security.md"
ROOT = LIST.parents[2]
SAFE = "https://hives.example:8417"


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    return create_app(tmp_path_factory.mktemp("list") / "book.db", hosts=("hives.example",))


@pytest.fixture
def paired(app):
    """A phone that was let in over https."""
    made = TestClient(app, base_url=SAFE, headers={"origin": SAFE}, client=("192.168.1.77", 50000))
    code = PhonesBook(app.state.book_path).offer("Crew 1")
    made.answer = made.post("/pair", data={"code": code}, follow_redirects=False)
    return made


def test_over_https_the_cookie_is_of_this_host_alone_and_http_is_not_gone_back_to(app, paired):
    cookie = paired.answer.headers["set-cookie"]
    assert cookie.startswith(f"{COOKIE_HTTPS}=")
    assert {"Secure", "HttpOnly", "Path=/"} <= {part.strip() for part in cookie.split(";")}
    assert "domain" not in cookie.lower()
    assert paired.get("/field/").status_code == 200
    assert paired.get("/field/").headers["strict-transport-security"] == "max-age=31536000"
    token = cookie.split("=", 1)[1].split(";")[0]
    other = TestClient(app, base_url=SAFE, client=("192.168.1.78", 50000), cookies={COOKIE: token})
    assert other.get("/field/").status_code == 401, "a cookie that any page of the host could have set"


def test_over_http_no_word_of_https_is_given(app):
    here = TestClient(app, base_url=HERE, client=("127.0.0.1", 50000))
    assert "strict-transport-security" not in here.get("/pair").headers


def test_no_answer_lets_another_origin_read_it_and_none_may_send(app, paired):
    foreign = {"origin": "https://evil.example"}
    seen = paired.get("/field/", headers=foreign)
    assert not [name for name in seen.headers if name.startswith("access-control")]
    for kind in ("text/plain", "application/json"):
        sent = paired.post("/field/send", content=b"{}", headers=foreign | {"content-type": kind})
        assert sent.status_code == 403
    asked = paired.options("/field/send", headers=foreign | {"access-control-request-method": "POST"})
    assert not [name for name in asked.headers if name.startswith("access-control")]


def test_every_kind_of_answer_says_what_it_is(app, paired):
    kinds = {
        "/field/": "text/html; charset=utf-8", "/field/yards.json": "application/json",
        "/field/parts.json": "application/json",
        "/field/worker.js": "text/javascript; charset=utf-8", "/static/field.css": "text/css; charset=utf-8",
        "/static/field/page.js": "text/javascript; charset=utf-8", "/static/mark.svg": "image/svg+xml",
        "/field/app.webmanifest": "application/manifest+json",
    }  # fmt: skip
    for path, kind in kinds.items():
        told = paired.get(path).headers
        assert told["content-type"] == kind, path
        assert told["x-content-type-options"] == "nosniff"


def test_tls_is_of_this_decade(app):
    context = ssl.SSLContext(uvicorn.Config(app).ssl_version)  # as the server makes it
    assert context.minimum_version >= ssl.TLSVersion.TLSv1_2
    assert {one["protocol"] for one in context.get_ciphers()} <= {"TLSv1.2", "TLSv1.3"}
    weak = re.compile(r"RC4|DES|MD5|NULL|EXPORT|aNULL")
    assert not [one["name"] for one in context.get_ciphers() if weak.search(one["name"])]


def test_each_pairing_has_a_token_of_its_own_and_ends_the_one_before(app):
    book, tokens = PhonesBook(app.state.book_path), []
    for _ in range(3):
        token = book.pair(book.offer("Crew 9"))
        tokens.append(token)
        assert [book.knows(one) for one in tokens] == [None] * (len(tokens) - 1) + ["Crew 9"]
    assert len(set(tokens)) == 3
    assert all(len(base64.urlsafe_b64decode(one + "=")) * 8 >= 128 for one in tokens)


def test_a_workbook_that_defines_its_own_letters_is_refused():
    made = io.BytesIO()
    outside = '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]><worksheet>&e;</worksheet>'
    with zipfile.ZipFile(made, "w") as packed:
        packed.writestr("xl/worksheets/sheet1.xml", outside)
    with pytest.raises(RecordError, match="defines its own letters"):
        workbook_cells("hives.xlsx", made.getvalue())


def test_the_pages_of_the_rules_are_there():
    text = LIST.read_text("utf-8")
    limits = text.split("## Limits")[1].split("## ")[0]
    pages = re.findall(r"\]\(([^)]+\.md)\)", limits)
    assert len(pages) >= 6
    assert all((LIST.parent / page).is_file() for page in pages)
    assert re.search(r"within 7 days.* within 30", text, re.S)


def test_each_line_that_is_ticked_names_a_test_that_is_there():
    text = LIST.read_text("utf-8")
    rows = re.findall(r"^\| (\d+\.\d+\.\d+) \|[^|]*\| ([^|]+) \|([^|]*)\|$", text, re.M)
    assert len(rows) == 70, "level 1 of version 5.0.0 has seventy"
    assert len({number for number, *_ in rows}) == 70
    for number, state, shown in rows:
        named = re.findall(r"`(tests/[\w/]+\.py)::(\w+)`", shown)
        assert (state.strip() == "met") <= bool(named), number
        for file, test in named:
            assert f"def {test}(" in (ROOT / file).read_text("utf-8"), f"{number}: {test}"
